package card

import (
	"fmt"
	"reflect"

	"marram.example/events"
)

func issue(s *State, c Issue) ([]events.Event, error) {
	if s.Exists() {
		return nil, events.Conflict("card_id", "card_issued", "this card has been issued already")
	}
	if err := checkFigures(c.Holes, c.Figures); err != nil {
		return nil, err
	}
	if err := checkStart(c.Holes, c.StartingHole); err != nil {
		return nil, err
	}
	return []events.Event{c.CardIssued}, nil
}

func reissue(s *State, c Reissue) ([]events.Event, error) {
	if s.scored() || s.Status() != events.StatusInPlay {
		return nil, events.NotNow("card_id", "has_scores", "a card with scores keeps its figures; reopen the question with the committee")
	}
	if err := checkFigures(c.Holes, c.Figures); err != nil {
		return nil, err
	}
	if err := checkStart(c.Holes, c.StartingHole); err != nil {
		return nil, err
	}
	if c.Tee == s.Tee && c.MarkerID == s.MarkerID && c.StartingHole == s.StartingHole && reflect.DeepEqual(c.Figures, s.Figures) {
		return nil, nil
	}
	return []events.Event{c.CardReissued}, nil
}

func assignMarker(s *State, c AssignMarker) ([]events.Event, error) {
	if c.MarkerID == s.EntryID {
		return nil, events.Invalid("marker_id", "own_card", "nobody marks their own card").WithRule("Rules of Golf, definition of Marker")
	}
	holes := make([]events.Hole, len(s.Holes))
	for i, h := range s.Holes {
		holes[i] = h.Hole
	}
	if err := checkStart(holes, c.StartingHole); err != nil {
		return nil, err
	}
	if c.MarkerID == s.MarkerID && c.StartingHole == s.StartingHole {
		return nil, nil
	}
	return []events.Event{events.MarkerAssigned{MarkerID: c.MarkerID, StartingHole: c.StartingHole, Reason: c.Reason}}, nil
}

func checkStart(holes []events.Hole, start int) error {
	for _, h := range holes {
		if h.Number == start {
			return nil
		}
	}
	return events.Invalid("starting_hole", "not_in_play", fmt.Sprintf("hole %d is not in play", start))
}

// checkFigures makes sure that the parts of a card fit together. Where they
// came from is the command's business; that they agree is ours.
func checkFigures(holes []events.Hole, f events.Figures) error {
	if len(holes) != 18 && len(holes) != 9 {
		return events.Invalid("holes", "hole_count", fmt.Sprintf("a card has 18 or 9 holes, not %d", len(holes)))
	}
	if len(f.StrokesByHole) != len(holes) {
		return events.Invalid("strokes_by_hole", "hole_count", "strokes are allocated to every hole in play")
	}
	sum, par := 0, 0
	for i, n := range f.StrokesByHole {
		sum += n
		par += holes[i].Par
	}
	if sum != f.PlayingHandicap {
		return events.Invalid("strokes_by_hole", "sum", fmt.Sprintf("strokes by hole add up to %d, the playing handicap is %d", sum, f.PlayingHandicap))
	}
	if par != f.Par {
		return events.Invalid("par", "sum", fmt.Sprintf("the holes' pars add up to %d, not %d", par, f.Par))
	}
	if f.CourseHandicapDen <= 0 {
		return events.Invalid("course_handicap_den", "out_of_range", "a denominator is positive")
	}
	if r := roundHalfUp(f.CourseHandicapNum, f.CourseHandicapDen); r != int64(f.CourseHandicap) {
		return events.Invalid("course_handicap", "rounding", fmt.Sprintf("%d/%d rounds to %d, not %d", f.CourseHandicapNum, f.CourseHandicapDen, r, f.CourseHandicap))
	}
	playing := roundHalfUp(f.CourseHandicapNum*int64(f.AllowancePercent), f.CourseHandicapDen*100) + int64(f.ParDifference)
	if playing != int64(f.PlayingHandicap) {
		return events.Invalid("playing_handicap", "rounding", fmt.Sprintf("%d%% of the course handicap and %d for par make %d, not %d",
			f.AllowancePercent, f.ParDifference, playing, f.PlayingHandicap)).WithRule("Rules of Handicapping 6.2, Appendix C")
	}
	return nil
}

// roundHalfUp rounds num/den to a whole number, halves towards plus infinity
// (Rules of Handicapping 5.1c); den is positive.
func roundHalfUp(num, den int64) int64 {
	n, d := 2*num+den, 2*den
	q := n / d
	if n%d < 0 {
		q--
	}
	return q
}
