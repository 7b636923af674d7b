package card

import (
	"fmt"

	"marram.example/events"
)

// typed is the holes of one ball, as somebody typed them.
type typed struct {
	ball   int
	field  string // as the command spells it
	scores []events.Score
}

func enterCard(s *State, c EnterCard) ([]events.Event, error) {
	balls, err := typedBalls(s, c)
	if err != nil {
		return nil, err
	}
	if err := mayWrite(s, c.By, c.Reason); err != nil {
		return nil, err
	}
	if err := checkShown(s); err != nil {
		return nil, err
	}
	if c.Signed && c.By != events.RoleCommittee {
		return nil, events.Forbidden("signed", "only the committee types in a signed paper card")
	}
	for _, b := range balls {
		for i, v := range b.scores {
			if err := checkScore(fmt.Sprintf("%s[%d]", b.field, i), v); err != nil {
				return nil, err
			}
		}
	}
	out, err := excludeTyped(s, c, balls)
	if err != nil {
		return nil, err
	}
	after := apply(s, out)
	for _, b := range balls {
		written, err := enterBall(after, c, b)
		if err != nil {
			return nil, err
		}
		out = append(out, written...)
	}
	if !c.Signed {
		return withNoReturn(s, out), nil
	}
	if err := checkWhole(apply(s, out)); err != nil {
		return nil, err
	}
	if s.Returned {
		return withNoReturn(s, out), nil
	}
	return signed(s, out, c.Receipt)
}

// typedBalls are the balls of the command, each with every hole.
func typedBalls(s *State, c EnterCard) ([]typed, error) {
	if !s.hasBall(c.Ball) {
		return nil, noSuchBall(c.Ball)
	}
	balls := []typed{{c.Ball, "scores", c.Scores}}
	if len(c.Partners) > 0 || c.Signed {
		if c.Ball != 0 {
			return nil, events.Invalid("ball", "ambiguous", "where every ball is entered, scores are those of ball 0")
		}
		if len(c.Partners) != len(s.Partners) {
			return nil, events.Invalid("partners", "ball_count", fmt.Sprintf("this card has %d balls, not %d", s.Balls(), 1+len(c.Partners)))
		}
		for i, scores := range c.Partners {
			balls = append(balls, typed{i + 1, fmt.Sprintf("partners[%d]", i), scores})
		}
	}
	for _, b := range balls {
		if len(b.scores) != len(s.Holes) {
			return nil, events.Invalid(b.field, "hole_count", fmt.Sprintf("this card has %d holes, not %d", len(s.Holes), len(b.scores)))
		}
	}
	return balls, nil
}

// enterBall is what follows from the holes of one ball.
func enterBall(s *State, c EnterCard, b typed) ([]events.Event, error) {
	var out []events.Event
	for i, v := range b.scores {
		h, field := s.Lines(b.ball)[i], fmt.Sprintf("%s[%d]", b.field, i)
		if h.Excluded() {
			if v == excluded || !v.Entered() {
				continue
			}
			if c.By != events.RoleCommittee {
				return nil, isSettled(field, h.Number)
			}
			return nil, isExcluded(field, h.Number)
		}
		if c.Signed && !v.Entered() && h.Counting().Entered() {
			return nil, events.Invalid(field, "hole_missing",
				fmt.Sprintf("hole %d has an entry that the paper does not; enter strokes, picked up or no score", h.Number))
		}
		if err := checkLikely(field+".strokes", h.Hole, v, c.Confirmed); err != nil {
			return nil, err
		}
		if c.By != events.RoleCommittee && h.Committee.Entered() && h.Committee != v {
			return nil, isSettled(field, h.Number)
		}
		if c.By == events.RoleCommittee && !h.Differs() && h.Counting() == v {
			continue // the paper says what stands already
		}
		out = append(out, write(b.ball, h, c.By, v, c.Reason)...)
	}
	return out, nil
}

// checkWhole makes sure that a signed paper card says something for every hole.
func checkWhole(after *State) error {
	for i, h := range after.Holes {
		if after.missing(i) {
			return events.Invalid(fmt.Sprintf("scores[%d]", i), "hole_missing", missingDetail(h.Number))
		}
	}
	return nil
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
