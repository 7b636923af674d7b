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
	case v.None != "" && v.None != events.PickedUp && v.None != events.NoScore:
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
		if s.Ruled == events.StatusNoShow {
			return events.NotNow("card_id", "card_ruled", "the committee ruled this card NS; lift the ruling before a score is entered")
		}
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

func enterScore(s *State, c EnterScore) ([]events.Event, error) {
	i, ok := s.Line(c.Hole)
	if !ok {
		return nil, events.Invalid("hole", "not_in_play", fmt.Sprintf("hole %d is not on this card", c.Hole))
	}
	if err := checkScore("score", c.Score); err != nil {
		return nil, err
	}
	if err := checkLikely("score.strokes", s.Holes[i].Hole, c.Score, c.Confirmed); err != nil {
		return nil, err
	}
	if err := mayWrite(s, c.By, c.Reason); err != nil {
		return nil, err
	}
	if c.By != events.RoleCommittee && s.Holes[i].Committee.Entered() {
		return nil, events.NotNow("hole", "settled", fmt.Sprintf("the committee settled hole %d", c.Hole))
	}
	out := write(s.Holes[i], c.By, c.Score, c.Reason)
	return withNoReturn(s, out), nil
}

// write is the event for one value, or none where it stands already.
func write(h HoleLine, by events.Role, v events.Score, reason string) []events.Event {
	old := h.by(by)
	if by == events.RoleCommittee && !old.Entered() {
		old = h.Counting()
	}
	switch {
	case h.by(by) == v:
		return nil
	case !old.Entered():
		return []events.Event{events.HoleScored{Hole: h.Number, Score: v, By: by}}
	default:
		return []events.Event{events.HoleScoreCorrected{Hole: h.Number, Old: old, New: v, By: by, Reason: reason}}
	}
}

func enterCard(s *State, c EnterCard) ([]events.Event, error) {
	if len(c.Scores) != len(s.Holes) {
		return nil, events.Invalid("scores", "hole_count", fmt.Sprintf("this card has %d holes, not %d", len(s.Holes), len(c.Scores)))
	}
	if err := mayWrite(s, c.By, c.Reason); err != nil {
		return nil, err
	}
	if c.Signed && c.By != events.RoleCommittee {
		return nil, events.Forbidden("signed", "only the committee types in a signed paper card")
	}
	var out []events.Event
	for i, v := range c.Scores {
		field := fmt.Sprintf("scores[%d]", i)
		if err := checkScore(field, v); err != nil {
			return nil, err
		}
		if c.Signed && !v.Entered() {
			return nil, events.Invalid(field, "hole_missing", fmt.Sprintf("hole %d has no entry; enter strokes, picked up or no score", s.Holes[i].Number))
		}
		if err := checkLikely(field+".strokes", s.Holes[i].Hole, v, c.Confirmed); err != nil {
			return nil, err
		}
		h := s.Holes[i]
		if c.By != events.RoleCommittee && h.Committee.Entered() && h.Committee != v {
			return nil, events.NotNow(field, "settled", fmt.Sprintf("the committee settled hole %d", h.Number))
		}
		if c.By == events.RoleCommittee && !h.Differs() && h.Counting() == v {
			continue // the paper says what stands already
		}
		out = append(out, write(h, c.By, v, c.Reason)...)
	}
	if !c.Signed || s.Returned {
		return withNoReturn(s, out), nil
	}
	return signed(s, out, c.Receipt)
}

// signed certifies and returns a paper card after its scores.
func signed(s *State, scores []events.Event, receipt string) ([]events.Event, error) {
	after := apply(s, scores)
	out := scores
	for _, c := range []Command{
		Certify{By: events.RolePlayer, Keeper: string(events.RoleCommittee)},
		Certify{By: events.RoleMarker, Keeper: string(events.RoleCommittee)},
		Return{Receipt: receipt},
	} {
		more, err := Decide(after, c)
		if err != nil {
			return nil, err
		}
		after = apply(after, more)
		out = append(out, more...)
	}
	return out, nil
}

// apply evolves a copy.
func apply(s *State, es []events.Event) *State {
	c := Clone(s)
	for _, e := range es {
		Evolve(c, e)
	}
	return c
}
