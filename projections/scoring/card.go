package scoring

import (
	"fmt"

	"marram.example/events"
	"marram.example/projections/handicap"
)

// Basis says whether strokes received count.
type Basis int

// Net is the zero value. On the gross basis a card is scored as if no strokes were received.
const (
	Net Basis = iota
	Gross
)

// String is "net" or "gross".
func (b Basis) String() string {
	if b == Gross {
		return "gross"
	}
	return "net"
}

// Card is what a format needs to score one round of 18 or nine holes. All lists run in parallel, in
// the order of play or by hole number with Start.
type Card struct {
	// Holes are the hole numbers, 1 to 18; nil stands for hole 1 onward.
	Holes []int
	// Start is the number of the hole on which play began, where Holes are listed by number; 0 for the first one listed. The
	// other holes follow in the order of the list, from its end to its beginning.
	Start int
	// Par is each hole's par, 3 to 6.
	Par []int
	// StrokeIndex is each hole's published stroke index. It may be nil on the gross basis.
	StrokeIndex []int
	// Received are the strokes received on each hole, negative where they are given back, as decided when the card was
	// issued. nil works them out with [handicap.StrokesReceived].
	Received []int
	// Scores are the gross scores.
	Scores []Score
	// Playing is the playing handicap; 0 for scratch.
	Playing handicap.Playing
	// Course is the exact course handicap, for a countback whose terms take its share instead of the playing handicap's.
	Course handicap.Course
	// Maximum is the most strokes of a hole; only maximum score looks at it (Rules of Golf 21.2).
	Maximum events.Maximum
	// Penalties are strokes to be added to the score of each hole, in the same order; nil for none.
	Penalties []int
	// RoundPenalty counts against the whole round: strokes added to the total, or points or holes taken off it. It is for
	// a committee's own policy, such as one of pace; the Rules put a penalty on the hole of the breach.
	RoundPenalty int
}

const penaltyRule = "Rules of Golf 1.3c"

func refuse(field, rule, format string, args ...any) error {
	return &handicap.InputError{Field: field, Problem: fmt.Sprintf(format, args...), Rule: rule}
}

// number is the hole number at a place of the card.
func (c Card) number(place int) int {
	if c.Holes == nil {
		return place + 1
	}
	return c.Holes[place]
}

// validate checks the whole card and returns the strokes received on each hole for the basis (nil for none). capped says
// that holes have a maximum; allowed are then the strokes received that it depends on, whatever the basis.
func (c Card) validate(basis Basis, capped bool) (received, allowed []int, err error) {
	holes := len(c.Par)
	if holes != 18 && holes != 9 {
		return nil, nil, refuse("par", "a card of 18 or 9 holes", "there must be 18 or 9 pars, not %d", holes)
	}
	for place, par := range c.Par {
		if par < 3 || par > 6 {
			return nil, nil, refuse("par", "holes of par 3 to 6", "%d at place %d is outside 3 to 6", par, place+1)
		}
	}
	if err := c.validateNumbers(holes); err != nil {
		return nil, nil, err
	}
	if len(c.Scores) != holes {
		return nil, nil, refuse("scores", "a card of 18 or 9 holes", "there are %d scores for %d holes", len(c.Scores), holes)
	}
	for place, score := range c.Scores {
		if err := score.Validate(); err != nil {
			return nil, nil, refuse("scores", "Rules of Golf 3.3", "hole %d: %v", c.number(place), err)
		}
	}
	if err := c.validatePenalties(holes); err != nil {
		return nil, nil, err
	}
	if received, err = c.received(basis, holes); err != nil || !capped {
		return received, nil, err
	}
	if err := ValidateMaximum(c.Maximum); err != nil {
		return nil, nil, err
	}
	if c.Maximum.Kind == events.NetDoubleBogey {
		if allowed, err = c.received(Net, holes); err != nil {
			return nil, nil, err
		}
	}
	return received, allowed, nil
}

func (c Card) validatePenalties(holes int) error {
	if c.Penalties != nil && len(c.Penalties) != holes {
		return refuse("penalties", penaltyRule, "there are %d entries for %d holes", len(c.Penalties), holes)
	}
	for place, strokes := range c.Penalties {
		if strokes < 0 || strokes > MostStrokes {
			return refuse("penalties", penaltyRule, "hole %d: %d is outside 0 to %d strokes", c.number(place), strokes, MostStrokes)
		}
	}
	if c.RoundPenalty < 0 || c.RoundPenalty > MostStrokes {
		return refuse("round_penalty", penaltyRule, "%d is outside 0 to %d", c.RoundPenalty, MostStrokes)
	}
	return nil
}

func (c Card) validateNumbers(holes int) error {
	if c.Holes == nil {
		if c.Start < 0 || c.Start > holes {
			return refuse("start", "", "hole %d is not on the card", c.Start)
		}
		return nil
	}
	if len(c.Holes) != holes {
		return refuse("holes", "", "there are %d hole numbers for %d holes", len(c.Holes), holes)
	}
	var seen [19]bool
	for _, number := range c.Holes {
		if number < 1 || number > 18 {
			return refuse("holes", "", "hole %d is outside 1 to 18", number)
		}
		if seen[number] {
			return refuse("holes", "", "hole %d appears twice", number)
		}
		seen[number] = true
	}
	if c.Start < 0 || c.Start > 18 || c.Start != 0 && !seen[c.Start] {
		return refuse("start", "", "hole %d is not on the card", c.Start)
	}
	return nil
}

func (c Card) received(basis Basis, holes int) ([]int, error) {
	if c.StrokeIndex != nil || basis == Net {
		if len(c.StrokeIndex) != holes {
			return nil, refuse("stroke_index", "Rules of Handicapping, Appendix E", "there are %d stroke indexes for %d holes", len(c.StrokeIndex), holes)
		}
		if err := handicap.ValidateStrokeIndexes(c.StrokeIndex); err != nil {
			return nil, err
		}
	}
	if err := c.Playing.Validate(); err != nil {
		return nil, err
	}
	if basis == Gross {
		return nil, nil
	}
	if c.Received == nil {
		return handicap.StrokesReceived(c.Playing, c.StrokeIndex)
	}
	if len(c.Received) != holes {
		return nil, refuse("received", "Rules of Handicapping, Appendix E", "there are %d entries for %d holes", len(c.Received), holes)
	}
	sum := 0
	for _, strokes := range c.Received {
		sum += strokes
	}
	if sum != int(c.Playing) {
		return nil, refuse("received", "Rules of Handicapping, Appendix E", "the strokes add up to %d, the playing handicap is %d", sum, int(c.Playing))
	}
	return c.Received, nil
}
