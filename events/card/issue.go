package card

import (
	"fmt"
	"reflect"
	"slices"
	"strings"

	"marram.example/events"
)

func issue(s *State, c Issue) ([]events.Event, error) {
	if s.Exists() {
		return nil, events.Conflict("card_id", "card_issued", "this card has been issued already")
	}
	if err := checkNamed(c.CardIssued); err != nil {
		return nil, err
	}
	if err := checkPrinted(c.Holes, c.Figures, c.StartingHole, c.EntryID, c.MarkerID); err != nil {
		return nil, err
	}
	return []events.Event{c.CardIssued}, nil
}

// checkNamed makes sure that a card says whose it is and what it is played in.
func checkNamed(c events.CardIssued) error {
	for _, p := range []struct{ field, id string }{
		{"competition_id", c.CompetitionID}, {"entry_id", c.EntryID}, {"player_id", c.PlayerID}, {"course_id", c.CourseID}, {"tee", c.Tee},
	} {
		if p.id == "" {
			return events.Invalid(p.field, "required", "a card names competition, entry, player, course and tee")
		}
	}
	if c.Round < 1 {
		return events.Invalid("round", "out_of_range", "rounds count from 1")
	}
	if c.Format != strokePlay && c.Format != stableford {
		return events.Invalid("format", "unknown", fmt.Sprintf("%q is not known here; use stroke_play or stableford", c.Format))
	}
	return nil
}

// The formats (Rules of Golf 3.3 and 21.1).
const strokePlay, stableford = "stroke_play", "stableford"

// checkPrinted makes sure that what stands on a card from the start fits together.
func checkPrinted(holes []events.Hole, f events.Figures, start int, entryID, markerID string) error {
	if err := checkMarker(entryID, markerID); err != nil {
		return err
	}
	if err := checkFigures(holes, f); err != nil {
		return err
	}
	return checkStart(holes, start)
}

func checkMarker(entryID, markerID string) error {
	if markerID == entryID {
		return events.Invalid("marker_id", "own_card", "nobody marks their own card").WithRule("Rules of Golf, definition of Marker")
	}
	return nil
}

// reissue corrects what stands on a card from the start. The committee is
// responsible for the handicap and puts a wrong one right at any time (Rules of
// Golf 3.3b(4) and 20.2d(2)), so scores, a return or a ruling do not stop it.
func reissue(s *State, c Reissue) ([]events.Event, error) {
	if c.Tee == "" {
		return nil, events.Invalid("tee", "required", "a card names its tee")
	}
	if err := checkPrinted(c.Holes, c.Figures, c.StartingHole, s.EntryID, c.MarkerID); err != nil {
		return nil, err
	}
	if c.Tee == s.Tee && c.MarkerID == s.MarkerID && c.StartingHole == s.StartingHole &&
		slices.Equal(c.Holes, layout(s.Holes)) && reflect.DeepEqual(c.Figures, s.Figures) {
		return nil, nil
	}
	if s.scored() || s.Status() != events.StatusInPlay {
		if strings.TrimSpace(c.Reason) == "" {
			return nil, events.Invalid("reason", "required", "say why a card with scores or a ruling is changed")
		}
		if !slices.EqualFunc(c.Holes, s.Holes, func(a events.Hole, b HoleLine) bool { return a.Number == b.Number }) {
			return nil, events.NotNow("holes", "has_scores", "a card with scores keeps its holes")
		}
	}
	return []events.Event{c.CardReissued}, nil
}

func assignMarker(s *State, c AssignMarker) ([]events.Event, error) {
	if err := checkMarker(s.EntryID, c.MarkerID); err != nil {
		return nil, err
	}
	if err := checkStart(layout(s.Holes), c.StartingHole); err != nil {
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
		if i > 0 && holes[i].Number <= holes[i-1].Number {
			return events.Invalid(fmt.Sprintf("holes[%d].number", i), "out_of_order", "the holes of a card stand in order, each once")
		}
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
