package command

import (
	"fmt"

	"marram.example/events"
	"marram.example/events/competition"
	"marram.example/events/course"
	"marram.example/projections/handicap"
)

// grounds are what the figures of a card are worked out from, as read.
type grounds struct {
	id          string // of the competition
	field       *competition.State
	competition events.Sequence
	course      *course.State
	courseSeq   events.Sequence
}

// figures works out the handicap figures of an entry and the holes of its card
// (Rules of Handicapping 6.1, 6.2, Appendix C and E).
func (g grounds) figures(e competition.Entry, playerSeq events.Sequence) (events.Figures, []events.Hole, error) {
	tee, ok := g.course.Tees[e.Tee]
	if !ok {
		return events.Figures{}, nil, events.Invalid("tee", "unknown", fmt.Sprintf("the course has no tee %q", e.Tee))
	}
	holes := inPlay(tee, g.field.Terms.Holes)
	f := events.Figures{
		IndexTenths: e.IndexTenths, IndexOrigin: e.IndexOrigin, IndexUsedTenths: e.IndexTenths,
		AllowancePercent: g.field.Terms.AllowancePercent, Par: parOf(holes),
		CourseSequence: g.courseSeq, CompetitionSequence: g.competition, PlayerSequence: playerSeq,
	}
	if m := g.field.Terms.MaximumIndexTenths; m != nil {
		f.IndexUsedTenths = min(f.IndexUsedTenths, *m)
	}
	f.CourseRatingTenths, f.SlopeRating = rating(tee, g.field.Terms.Holes)
	f.LowestPar = g.lowestPar()
	if g.field.Terms.ParDifference {
		f.ParDifference = f.Par - f.LowestPar
	}
	if err := work(&f, holes, g.field.Terms.LeaveOutPar); err != nil {
		return events.Figures{}, nil, err
	}
	return f, holes, nil
}

// work does the sums from the inputs that stand in f.
func work(f *events.Figures, holes []events.Hole, leaveOutPar bool) error {
	ch, _, err := handicap.CourseHandicap(len(holes), handicap.Index(f.IndexUsedTenths), handicap.Slope(f.SlopeRating),
		handicap.Rating(f.CourseRatingTenths), f.Par, ParTerm(leaveOutPar))
	if err != nil {
		return domain(err)
	}
	f.CourseHandicapNum, f.CourseHandicapDen, f.CourseHandicap = ch.Num, ch.Den, ch.Rounded()
	if f.CourseHandicapDen == 0 {
		f.CourseHandicapDen = 1
	}
	ph, _, err := handicap.PlayingHandicap(ch, handicap.Percent(f.AllowancePercent), f.ParDifference)
	if err != nil {
		return domain(err)
	}
	f.PlayingHandicap = int(ph)
	index := make([]int, len(holes))
	for i, h := range holes {
		index[i] = h.StrokeIndex
	}
	f.StrokesByHole, err = handicap.StrokesReceived(ph, index)
	return domain(err)
}

// ParTerm is the switch of the terms as the arithmetic takes it.
func ParTerm(leaveOut bool) handicap.ParTerm {
	if leaveOut {
		return handicap.WithoutRatingLessPar
	}
	return handicap.WithRatingLessPar
}

// lowestPar is the lowest par, over the holes in play, of the tees in the
// competition (Rules of Handicapping 6.2b).
func (g grounds) lowestPar() int {
	lowest := 0
	for _, name := range g.field.Terms.Tees {
		if tee, ok := g.course.Tees[name]; ok {
			if p := parOf(inPlay(tee, g.field.Terms.Holes)); lowest == 0 || p < lowest {
				lowest = p
			}
		}
	}
	return lowest
}

func inPlay(t events.TeeDefinition, numbers []int) []events.Hole {
	out := make([]events.Hole, 0, len(numbers))
	for _, n := range numbers {
		if n <= len(t.Holes) {
			out = append(out, t.Holes[n-1])
		}
	}
	return out
}

func parOf(holes []events.Hole) int {
	sum := 0
	for _, h := range holes {
		sum += h.Par
	}
	return sum
}

// rating is the course and slope rating of the holes in play.
func rating(t events.TeeDefinition, numbers []int) (tenths, slope int) {
	nine := t.Front
	switch {
	case len(numbers) == len(t.Holes):
		return t.CourseRatingTenths, t.SlopeRating
	case numbers[0] == 10:
		nine = t.Back
	}
	if nine == nil {
		return 0, 0
	}
	return nine.CourseRatingTenths, nine.SlopeRating
}
