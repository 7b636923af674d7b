package card

import "slices"

// Penalty is strokes that count beside what was entered for a hole of a ball, or
// against its whole round.
type Penalty struct {
	ID      string `json:"id"`
	Ball    int    `json:"ball"`
	Hole    int    `json:"hole"` // its number on the course; 0 for the round
	Strokes int    `json:"strokes"`
	Rule    string `json:"rule"` // as the committee states it; may be empty
	Reason  string `json:"reason"`
}

// PenaltyOn adds up the penalty strokes that the committee put on a hole of a
// ball. They count where the hole has strokes.
func (s *State) PenaltyOn(ball, hole int) int {
	if hole == 0 {
		return 0
	}
	return s.penaltyStrokes(ball, hole)
}

// RoundPenalty adds up the penalty strokes against the whole round of a ball.
func (s *State) RoundPenalty(ball int) int { return s.penaltyStrokes(ball, 0) }

func (s *State) penaltyStrokes(ball, hole int) int {
	n := 0
	for _, p := range s.Penalties {
		if p.Ball == ball && p.Hole == hole {
			n += p.Strokes
		}
	}
	return n
}

// forget takes a penalty off.
func (s *State) forget(id string) {
	s.Penalties = slices.DeleteFunc(s.Penalties, func(p Penalty) bool { return p.ID == id })
	if len(s.Penalties) == 0 {
		s.Penalties = nil // as on a card that never had one
	}
}
