package card

import (
	"fmt"
	"strings"

	"marram.example/events"
)

// uphold states what counts on a hole anew, as the committee's word and with its
// reason: a score returned higher than made, or one whose fault changes nothing,
// stands (Rules of Golf 3.3b(3)).
func uphold(s *State, c Uphold) ([]events.Event, error) {
	if !s.hasBall(c.Ball) {
		return nil, noSuchBall(c.Ball)
	}
	at, ok := s.Line(c.Hole)
	if !ok {
		return nil, events.Invalid("hole", "not_in_play", fmt.Sprintf("hole %d is not on this card", c.Hole))
	}
	h := s.Lines(c.Ball)[at]
	switch {
	case !s.Returned:
		return nil, events.NotNow("card_id", "not_returned", "the card is not returned: correct the score on it").WithRule("Rules of Golf 3.3b(2)")
	case strings.TrimSpace(c.Reason) == "":
		return nil, events.Invalid("reason", "required", "say why the score stands")
	case h.Excluded():
		return nil, isExcluded("hole", c.Hole)
	case !h.Counting().Entered():
		return nil, nil // a ball that the side did without
	}
	v := h.Counting()
	return []events.Event{events.HoleScoreCorrected{Ball: c.Ball, Hole: c.Hole, Old: v, New: v, By: events.RoleCommittee, Reason: c.Reason}}, nil
}
