package card

import (
	"fmt"

	"marram.example/events"
)

var excluded = events.Score{None: events.Excluded}

func onlyCommitteeExcludes() error {
	return events.Forbidden("role", "only the committee excludes a hole")
}

func isExcluded(field string, hole int) error {
	return events.NotNow(field, "excluded", fmt.Sprintf("the committee excluded hole %d; nothing is entered there until it takes that back", hole))
}

// exclude takes the hole at an index out of play, for every ball.
func exclude(s *State, at int, reason string) []events.Event {
	var out []events.Event
	for b := range s.Balls() {
		out = append(out, write(b, s.Lines(b)[at], events.RoleCommittee, excluded, reason)...)
	}
	return out
}

// restore puts an excluded hole back into play, with what stood there before.
func restore(s *State, at int, reason string) []events.Event {
	var out []events.Event
	for b := range s.Balls() {
		h := s.Lines(b)[at]
		out = append(out, write(b, h, events.RoleCommittee, h.SetAside, reason)...)
	}
	return out
}

// excludeTyped excludes the holes that a whole card says so of.
func excludeTyped(s *State, c EnterCard, balls []typed) ([]events.Event, error) {
	var out []events.Event
	for i, h := range s.Holes {
		if h.Excluded() {
			continue
		}
		for _, b := range balls {
			if b.scores[i].None != events.Excluded {
				continue
			}
			if c.By != events.RoleCommittee {
				return nil, onlyCommitteeExcludes()
			}
			out = append(out, exclude(s, i, c.Reason)...)
			break
		}
	}
	return out, nil
}
