package breakdown

import (
	"fmt"
	"slices"

	"marram.example/events"
	"marram.example/projections/handicap"
)

// Sums are the handicap figures of one ball, from their inputs to the strokes on
// every hole, with the sum done again.
type Sums struct {
	Figures    events.Figures       `json:"figures"`
	Shares     []Share              `json:"shares,omitempty"` // of a side that plays one ball: each player, as on the card
	Handicap   handicap.Explanation `json:"handicap"`         // from index to playing handicap; of shares from course handicaps
	Strokes    handicap.Explanation `json:"strokes"`          // how strokes fall on holes
	Recomputed bool                 `json:"recomputed"`       // the sum done again gives the figures as issued
}

// Share is one player of a ball that a side plays together.
type Share struct {
	PlayerID   string               `json:"player_id"`
	Tee        string               `json:"tee"`
	Percent    int                  `json:"percent"`
	Handicap   handicap.Explanation `json:"handicap"` // from index to course handicap
	Recomputed bool                 `json:"recomputed"`
}

// sumsOf explains the figures of a ball over its holes and does them again.
func sumsOf(f events.Figures, holes []events.Hole, leaveOut bool) Sums {
	out := Sums{Figures: f, Strokes: handicap.Explanation{}}
	playing, exact, err := out.playing(len(holes), leaveOut)
	if err == nil {
		err = out.allocated(holes)
	}
	if err != nil {
		out.Handicap = append(out.Handicap, handicap.Line{Label: "The sum cannot be done again", Arithmetic: err.Error()})
		return out
	}
	index := indexes(holes)
	strokes, err := handicap.StrokesReceived(playing, index)
	out.Recomputed = err == nil && int(playing) == f.PlayingHandicap && exact.Rounded() == f.CourseHandicap &&
		same(exact, f.CourseHandicapNum, f.CourseHandicapDen) && slices.Equal(strokes, f.StrokesByHole)
	for _, s := range out.Shares {
		out.Recomputed = out.Recomputed && s.Recomputed
	}
	return out
}

func indexes(holes []events.Hole) []int {
	out := make([]int, len(holes))
	for i, h := range holes {
		out[i] = h.StrokeIndex
	}
	return out
}

// same reports whether a fraction that was stored is this course handicap.
func same(c handicap.Course, num, den int64) bool {
	stored, err := handicap.NewCourse(num, den)
	return err == nil && stored.Compare(c) == 0
}

// playing explains the way to the playing handicap.
func (s *Sums) playing(holes int, leaveOut bool) (handicap.Playing, handicap.Course, error) {
	f := s.Figures
	if len(f.Shares) > 0 {
		return s.shared(holes, leaveOut)
	}
	exact, lines, err := courseHandicap(holes, rated{f.IndexTenths, f.IndexUsedTenths, f.CourseRatingTenths, f.SlopeRating, f.Par}, leaveOut)
	s.Handicap = lines
	if err != nil {
		return 0, exact, err
	}
	playing, lines, err := handicap.PlayingHandicap(exact, handicap.Percent(f.AllowancePercent), f.ParDifference)
	s.Handicap = append(s.Handicap, lines...)
	return playing, exact, err
}

// shared explains how the players of one ball combine (Rules of Handicapping,
// Appendix C).
func (s *Sums) shared(holes int, leaveOut bool) (handicap.Playing, handicap.Course, error) {
	courses, percents := make([]handicap.Course, len(s.Figures.Shares)), make([]handicap.Allowance, len(s.Figures.Shares))
	for i, p := range s.Figures.Shares {
		exact, lines, err := courseHandicap(holes, rated{p.IndexTenths, p.IndexUsedTenths, p.CourseRatingTenths, p.SlopeRating, p.Par}, leaveOut)
		if err != nil {
			return 0, exact, err
		}
		courses[i], percents[i] = exact, handicap.Percent(p.Percent)
		s.Shares = append(s.Shares, Share{
			PlayerID: p.PlayerID, Tee: p.Tee, Percent: p.Percent, Handicap: lines, Recomputed: same(exact, p.CourseHandicapNum, p.CourseHandicapDen),
		})
	}
	sum, playing, lines, err := handicap.SidePlaying(courses, percents, s.Figures.ParDifference)
	s.Handicap = lines
	if err != nil {
		return 0, handicap.Course{}, err
	}
	exact, err := handicap.NewCourse(sum.Num, max(1, sum.Den))
	return playing, exact, err
}

// rated is what a course handicap is worked out from.
type rated struct{ index, used, rating, slope, par int }

func courseHandicap(holes int, r rated, leaveOut bool) (handicap.Course, handicap.Explanation, error) {
	term := handicap.WithRatingLessPar
	if leaveOut {
		term = handicap.WithoutRatingLessPar
	}
	var out handicap.Explanation
	if r.used != r.index {
		out = append(out, handicap.Line{
			Label:      "Highest index that counts",
			Arithmetic: fmt.Sprintf("%s, above the competition's maximum, counts as %s", handicap.Index(r.index), handicap.Index(r.used)),
			Rule:       "terms of the competition",
		})
	}
	exact, lines, err := handicap.CourseHandicap(holes, handicap.Index(r.used), handicap.Slope(r.slope), handicap.Rating(r.rating), r.par, term)
	return exact, append(out, lines...), err
}

// allocated explains how the playing handicap as issued falls on the holes.
func (s *Sums) allocated(holes []events.Hole) error {
	var err error
	s.Strokes, err = handicap.ExplainStrokes(handicap.Playing(s.Figures.PlayingHandicap), indexes(holes))
	return err
}
