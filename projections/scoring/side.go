package scoring

import (
	"fmt"
	"slices"

	"marram.example/events"
)

// Side describes who plays together for one result, and which of their balls count.
type Side struct {
	// Name is the side's name as data, in snake_case; empty for one player.
	Name string
	// Rule is where the Rules of Golf or the Committee Procedures define it.
	Rule string
	// Fewest and Most are how many players a side has.
	Fewest, Most int
	// OneBall is true where the players play one ball together: the side has one card of one ball.
	OneBall bool
	// ByRound is true where the terms may count whole rounds of balls instead of holes.
	ByRound bool
	// Counting is how many of so many balls count on a hole, given what the terms state there (0 for nothing).
	Counting func(stated, balls int) int
	// Words say how the side's score comes about, given how many of so many balls count.
	Words func(count, balls int) string
}

// Sides lists every side, each defined in a file of its own; the first is one player.
func Sides() []Side {
	return []Side{OnePlayer(), FourBall(), Foursomes(), Greensomes(), Chapman(), Scramble(), BestOf(), Aggregate()}
}

// SideByName finds a side; the empty name is one player. An unknown name is refused with an error of field "side".
func SideByName(name string) (Side, error) {
	for _, side := range Sides() {
		if side.Name == name {
			return side, nil
		}
	}
	return Side{}, refuse("side", "", "%q is unknown", name)
}

// OnePlayer is no side: each player for themselves.
func OnePlayer() Side {
	return Side{Rule: "Rules of Golf 3.1", Fewest: 1, Most: 1, OneBall: true, Counting: oneBall, Words: func(int, int) string { return "one player, one ball" }}
}

func oneBall(int, int) int { return 1 }

// counts checks the balls of a side and returns how many of them count on each hole, in the order of the first card, and
// whether whole rounds count instead.
func (s Side) counts(play events.Play, balls []Card) (need []int, byRound bool, err error) {
	switch n := len(balls); {
	case s.OneBall && n != 1:
		return nil, false, refuse("balls", s.Rule, "a side that plays one ball has one, not %d", n)
	case !s.OneBall && (n < s.Fewest || s.Most == s.Fewest && n > s.Most):
		return nil, false, refuse("balls", s.Rule, "%s needs %d balls or more, not %d", s.Name, s.Fewest, n)
	}
	switch play.CountBy {
	case "", byHole:
	case wholeRound:
		byRound = s.ByRound
		if !byRound {
			return nil, false, refuse("count_by", s.Rule, "%s counts hole by hole", s.Name)
		}
	default:
		return nil, false, refuse("count_by", s.Rule, "%q is unknown; use %s or %s", play.CountBy, byHole, wholeRound)
	}
	holes := len(balls[0].Par)
	if n := len(play.Count); n > 1 && (n != holes || byRound) {
		return nil, false, refuse("count", s.Rule, "%d numbers for %d holes; state one, or one a hole", n, holes)
	}
	order := balls[0].places()
	need = make([]int, holes)
	for i, place := range order {
		stated := 0
		switch len(play.Count) {
		case 0:
		case 1:
			stated = play.Count[0]
		default:
			stated = play.Count[i]
		}
		need[place] = s.Counting(stated, len(balls))
		if need[place] < 1 || need[place] > len(balls) {
			return nil, false, refuse("count", s.Rule, "%d of %d balls cannot count", need[place], len(balls))
		}
	}
	return need, byRound, nil
}

// Whether holes or whole rounds of balls count (events.Terms.CountBy).
const (
	byHole     = "hole"
	wholeRound = "round"
)

// places lists the places of a card in the order of their hole numbers.
func (c Card) places() []int {
	order := make([]int, len(c.Par))
	for i := range order {
		order[i] = i
	}
	if c.Holes != nil && len(c.Holes) == len(order) {
		slices.SortFunc(order, func(a, b int) int { return c.Holes[a] - c.Holes[b] })
	}
	return order
}

// ScoreSide scores the card of a side, one [Card] a ball, as one result that ranks, counts back and explains like a
// player's. play says who the side is, which balls count and the maximum of a hole (for balls that state none). A side
// of one ball gives what [Format.Score] gives. Refused with a [handicap.InputError]: an unknown side, a number of balls
// that it does not have, balls over different holes, a count that cannot be, and whatever Format.Score refuses.
func ScoreSide(format Format, play events.Play, balls []Card, basis Basis) (Result, error) {
	side, err := SideByName(play.Side)
	if err != nil {
		return Result{}, err
	}
	need, byRound, err := side.counts(play, balls)
	if err != nil {
		return Result{}, err
	}
	scored := make([]Result, len(balls))
	for i, card := range balls {
		if card.Maximum.Kind == "" {
			card.Maximum = play.Maximum
		}
		if scored[i], err = format.Score(card, basis); err != nil {
			if len(balls) > 1 {
				err = fmt.Errorf("ball %d: %w", i, err)
			}
			return Result{}, err
		}
	}
	if side.OneBall {
		scored[0].Side = side.Name
		return scored[0], nil
	}
	for i := range scored {
		for place := range scored[i].Holes {
			if len(scored[i].Holes) != len(scored[0].Holes) || scored[i].Holes[place].Hole != scored[0].Holes[place].Hole {
				return Result{}, refuse("balls", side.Rule, "ball %d is scored over other holes than the first", i)
			}
		}
	}
	r := Result{Format: format.Name, Unit: format.Unit, Side: side.Name, Basis: basis, Start: scored[0].Start, Holes: make([]HoleResult, len(scored[0].Holes)), Balls: scored}
	if byRound {
		format.sideByRound(&r, need[0])
	} else {
		format.sideByHole(&r, need)
	}
	return r, nil
}
