package card

import (
	"fmt"
	"slices"
	"strings"

	"marram.example/events"
)

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

// MostPenaltyStrokes is the most that one penalty adds. The Rules know one stroke
// and the general penalty of two (Rules of Golf 1.3c); a committee may state
// several breaches as one.
const MostPenaltyStrokes = 10

// addPenalty leaves signatures alone: they stand for the hole scores that player
// and marker entered, and what the committee adds later is its own (Rules of Golf
// 3.3b).
func addPenalty(s *State, c AddPenalty) ([]events.Event, error) {
	if err := checkPenalty(s, c); err != nil {
		return nil, err
	}
	p := Penalty{ID: c.PenaltyID, Ball: c.Ball, Hole: c.Hole, Strokes: c.Strokes, Rule: c.Rule, Reason: c.Reason}
	if i := s.penalty(c.PenaltyID); i >= 0 {
		if s.Penalties[i] == p {
			return nil, nil
		}
		return nil, events.Conflict("penalty_id", "taken", "another penalty of this card has this id")
	}
	if err := checkShown(s); err != nil {
		return nil, err
	}
	if err := penalizes(s, c.Ball, c.Hole); err != nil {
		return nil, err
	}
	return []events.Event{events.PenaltyAdded{
		PenaltyID: c.PenaltyID, Ball: c.Ball, Hole: c.Hole, Strokes: c.Strokes, Rule: c.Rule, Reason: c.Reason,
	}}, nil
}

func checkPenalty(s *State, c AddPenalty) error {
	switch {
	case c.PenaltyID == "":
		return events.Invalid("penalty_id", "required", "a penalty has an id")
	case !s.hasBall(c.Ball):
		return events.Invalid("ball", "not_on_card", fmt.Sprintf("ball %d is not on this card", c.Ball))
	case c.Hole != 0 && numbered(s.Holes, c.Hole) < 0:
		return events.Invalid("hole", "not_in_play", fmt.Sprintf("hole %d is not on this card; use 0 for the round", c.Hole))
	case c.Strokes < 1 || c.Strokes > MostPenaltyStrokes:
		return events.Invalid("strokes", "out_of_range", fmt.Sprintf("%d penalty strokes cannot be; add 1 to %d", c.Strokes, MostPenaltyStrokes)).
			WithRule("Rules of Golf 1.3c")
	case strings.TrimSpace(c.Reason) == "":
		return events.Invalid("reason", "required", "say why strokes are added")
	}
	return nil
}

// penalizes makes sure that penalty strokes on a hole have something to be added
// to. Where a hole counts without strokes it cannot become worse by them.
func penalizes(s *State, ball, hole int) error {
	if hole == 0 {
		return nil
	}
	h := s.Lines(ball)[numbered(s.Holes, hole)]
	if h.Excluded() {
		return events.NotNow("hole", "excluded", fmt.Sprintf("hole %d is excluded; it counts for nobody", hole))
	}
	if s.Format == events.StrokePlay && h.Counting().Strokes == 0 {
		return events.NotNow("hole", "hole_missing", fmt.Sprintf("hole %d has no strokes to which a penalty is added", hole))
	}
	return nil
}

func removePenalty(s *State, c RemovePenalty) ([]events.Event, error) {
	if s.penalty(c.PenaltyID) < 0 {
		return nil, events.NotFound("penalty_id", "no such penalty on this card")
	}
	if strings.TrimSpace(c.Reason) == "" {
		return nil, events.Invalid("reason", "required", "say why the penalty is taken back")
	}
	return []events.Event{events.PenaltyRemoved{PenaltyID: c.PenaltyID, Reason: c.Reason}}, nil
}

// penalty finds one by its id, or gives -1.
func (s *State) penalty(id string) int {
	return slices.IndexFunc(s.Penalties, func(p Penalty) bool { return p.ID == id })
}
