package scoring

import (
	"fmt"

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

// Card is what a format needs to score one round of 18 or nine holes. All lists run in parallel, in the order of play.
type Card struct {
	// Holes are the hole numbers, 1 to 18; nil stands for hole 1 onward. Other starts list them in the order of play.
	Holes []int
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
}

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

// validate checks the whole card and returns the strokes received on each hole for the basis (nil for none).
func (c Card) validate(basis Basis) ([]int, error) {
	holes := len(c.Par)
	if holes != 18 && holes != 9 {
		return nil, refuse("par", "a card of 18 or 9 holes", "there must be 18 or 9 pars, not %d", holes)
	}
	for place, par := range c.Par {
		if par < 3 || par > 6 {
			return nil, refuse("par", "holes of par 3 to 6", "%d at place %d is outside 3 to 6", par, place+1)
		}
	}
	if err := c.validateNumbers(holes); err != nil {
		return nil, err
	}
	if len(c.Scores) != holes {
		return nil, refuse("scores", "a card of 18 or 9 holes", "there are %d scores for %d holes", len(c.Scores), holes)
	}
	for place, score := range c.Scores {
		if err := score.Validate(); err != nil {
			return nil, refuse("scores", "Rules of Golf 3.3", "hole %d: %v", c.number(place), err)
		}
	}
	return c.received(basis, holes)
}

func (c Card) validateNumbers(holes int) error {
	if c.Holes == nil {
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
