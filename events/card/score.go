package card

import (
	"fmt"
	"strings"

	"marram.example/events"
)

// MaxStrokes is the highest number that can be entered for a hole: two digits.
const MaxStrokes = 99

// checkScore refuses what no hole can have.
func checkScore(field string, v events.Score) error {
	switch {
	case v.None != "" && v.Strokes != 0:
		return events.Invalid(field, "ambiguous", "a hole has strokes or none, not both")
	case v.None != "" && v.None != events.PickedUp && v.None != events.NoScore && v.None != events.Excluded:
		return events.Invalid(field+".none", "unknown", fmt.Sprintf("%q is not known here; use picked_up or no_score", v.None))
	case v.None == "" && (v.Strokes < 0 || v.Strokes > MaxStrokes):
		return events.Invalid(field+".strokes", "out_of_range", fmt.Sprintf("%d strokes cannot be; enter 1 to %d", v.Strokes, MaxStrokes))
	}
	return nil
}

// Unlikely reports whether a score is so rare that it is asked back: three under
// par or better, a hole in one on a par 4 or longer, six over par or worse
// (common practice, no source).
func Unlikely(par, strokes int) bool {
	return strokes > 0 && (strokes <= par-3 || strokes == 1 && par > 3 || strokes >= par+6)
}

func checkLikely(field string, h events.Hole, v events.Score, confirmed bool) error {
	if confirmed || !Unlikely(h.Par, v.Strokes) {
		return nil
	}
	return events.Invalid(field, "unlikely_score", fmt.Sprintf("%d on hole %d, a par %d, is unlikely; confirm it if it is meant", v.Strokes, h.Number, h.Par))
}

// mayWrite says whether a role may write scores now.
func mayWrite(s *State, by events.Role, reason string) error {
	switch by {
	case events.RoleCommittee:
		if s.Returned && strings.TrimSpace(reason) == "" {
			return events.Invalid("reason", "required", "say why a returned card is changed")
		}
		return nil
	case events.RolePlayer, events.RoleMarker:
	default:
		return events.Forbidden("role", "only player, marker and committee write scores")
	}
	if s.Returned {
		return events.NotNow("card_id", "card_returned", "the card is returned; only the committee changes it now").WithRule("Rules of Golf 3.3b(2)")
	}
	if s.Ruled != "" {
		return events.NotNow("card_id", "card_ruled", fmt.Sprintf("the committee ruled this card %s", s.Ruled))
	}
	return nil
}

// checkShown refuses a score of somebody who did not show up.
func checkShown(s *State) error {
	if s.Ruled == events.StatusNoShow {
		return events.NotNow("card_id", "card_ruled", "the committee ruled this card NS; lift the ruling before a score is entered")
	}
	return nil
}

func enterScore(s *State, c EnterScore) ([]events.Event, error) {
	if !s.hasBall(c.Ball) {
		return nil, noSuchBall(c.Ball)
	}
	i, ok := s.Line(c.Hole)
	if !ok {
		return nil, events.Invalid("hole", "not_in_play", fmt.Sprintf("hole %d is not on this card", c.Hole))
	}
	if err := checkScore("score", c.Score); err != nil {
		return nil, err
	}
	if err := c.Saw.check(); err != nil {
		return nil, err
	}
	h := s.Lines(c.Ball)[i]
	if err := checkLikely("score.strokes", h.Hole, c.Score, c.Confirmed); err != nil {
		return nil, err
	}
	if err := mayWrite(s, c.By, c.Reason); err != nil {
		return nil, err
	}
	if err := changedSince(s, h, c); err != nil {
		return nil, err
	}
	if c.By != events.RoleCommittee && h.Committee.Entered() {
		return nil, isSettled("hole", c.Hole)
	}
	out, err := entered(s, i, c)
	if err != nil {
		return nil, err
	}
	return withNoReturn(s, out), nil
}

func isSettled(field string, hole int) error {
	return events.NotNow(field, "settled", fmt.Sprintf("the committee settled hole %d", hole))
}

func noSuchBall(ball int) error {
	return events.Invalid("ball", "not_on_card", fmt.Sprintf("ball %d is not on this card", ball))
}

// entered is what follows from a value that its writer may enter.
func entered(s *State, at int, c EnterScore) ([]events.Event, error) {
	h := s.Lines(c.Ball)[at]
	switch {
	case c.Score.None == events.Excluded && c.By != events.RoleCommittee:
		return nil, onlyCommitteeExcludes()
	case c.Score.None == events.Excluded:
		return exclude(s, at, c.Reason), nil
	case h.Excluded() && !c.Score.Entered():
		return restore(s, at, c.Reason), nil
	case h.Excluded():
		return nil, isExcluded("hole", h.Number)
	default:
		if err := checkShown(s); err != nil {
			return nil, err
		}
		return write(c.Ball, h, c.By, c.Score, c.Reason), nil
	}
}

// write is the event for one value, or none where it stands already.
func write(ball int, h HoleLine, by events.Role, v events.Score, reason string) []events.Event {
	old := h.by(by)
	if by == events.RoleCommittee && !old.Entered() {
		old = h.Counting()
	}
	switch {
	case h.by(by) == v:
		return nil
	case !old.Entered():
		return []events.Event{events.HoleScored{Ball: ball, Hole: h.Number, Score: v, By: by}}
	default:
		return []events.Event{events.HoleScoreCorrected{Ball: ball, Hole: h.Number, Old: old, New: v, By: by, Reason: reason}}
	}
}
