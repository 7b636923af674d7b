package handicap

import (
	"fmt"
	"slices"
)

// AdviceKind says which part of the recommended stroke-index allocation an advice is about.
type AdviceKind string

// The parts of the recommendation in the Rules of Handicapping, Appendix E. AdviceDifficulty compares an index with the
// hole's difficulty; its threshold is common practice, no source.
const (
	AdviceOddEven     AdviceKind = "odd_even"
	AdviceLowest      AdviceKind = "lowest"
	AdviceSecond      AdviceKind = "second_lowest"
	AdviceSpread      AdviceKind = "spread"
	AdviceConsecutive AdviceKind = "consecutive"
	AdviceDifficulty  AdviceKind = "difficulty"
)

// Advice is one departure of an allocation from the recommendation. It never makes an allocation invalid: the committee
// decides. Holes are numbered 1 to 18.
type Advice struct {
	Kind  AdviceKind `json:"kind"`
	Holes []int      `json:"holes"`
	Text  string     `json:"text"`
	Rule  string     `json:"rule"`
}

// CheckStrokeIndexes lists where an allocation for eighteen holes departs from the recommendation that
// [ProposeStrokeIndexes] follows, in a fixed order; nil where it does not. holes may be nil: without difficulties the
// lowest index of a nine may lie in the middle triad or in an adjoining hole, and nothing is compared with difficulty.
// Only what is no allocation at all is refused, with an [InputError]: other numbers of holes, indexes missing or twice.
func CheckStrokeIndexes(strokeIndexes []int, holes []HoleDifficulty, backHarder bool) ([]Advice, error) {
	if len(strokeIndexes) != 18 {
		return nil, refuse("stroke_index", strokesRule, "there must be 18 indexes, not %d", len(strokeIndexes))
	}
	if err := ValidateStrokeIndexes(strokeIndexes); err != nil {
		return nil, err
	}
	c := allocationCheck{indexes: strokeIndexes}
	if holes != nil {
		if err := validateDifficulty(holes); err != nil {
			return nil, err
		}
		c.ranks = difficultyRanks(holes)
	}
	c.oddEven(backHarder)
	for _, first := range []int{0, 9} {
		c.nine(first)
	}
	c.consecutive()
	c.difficulty()
	return c.advice, nil
}

type allocationCheck struct {
	indexes []int
	ranks   []int // nil without difficulties
	advice  []Advice
}

func (c *allocationCheck) add(kind AdviceKind, rule, text string, holes ...int) {
	for i := range holes {
		holes[i]++ // numbered from 1 outside
	}
	c.advice = append(c.advice, Advice{Kind: kind, Holes: holes, Text: text, Rule: rule})
}

func (c *allocationCheck) oddEven(backHarder bool) {
	var off []int
	for hole, index := range c.indexes {
		odd := (hole < 9) != backHarder
		if (index%2 == 1) != odd {
			off = append(off, hole)
		}
	}
	if off == nil {
		return
	}
	text := "odd indexes are recommended on the front nine and even ones on the back"
	if backHarder {
		text = "with a clearly harder back nine, odd indexes are recommended there and even ones on the front"
	}
	c.add(AdviceOddEven, strokesRule, text, off...)
}

// nine checks where the three lowest indexes of a nine lie, whichever they are.
func (c *allocationCheck) nine(first int) {
	places := []int{0, 1, 2, 3, 4, 5, 6, 7, 8}
	slices.SortFunc(places, func(a, b int) int { return c.indexes[first+a] - c.indexes[first+b] })
	c.lowest(first, places[0])
	second := places[1]
	switch second / 3 {
	case 1:
		c.add(AdviceSecond, strokesRule, fmt.Sprintf("index %d, the second lowest of its nine, is recommended in the first or third triad", c.indexes[first+second]), first+second)
	case places[0] / 3:
		c.add(AdviceSecond, strokesRule, fmt.Sprintf("index %d, the second lowest of its nine, is recommended in another triad than the lowest", c.indexes[first+second]), first+second)
	}
	for third, what := range []string{"three lowest", "three middle", "three highest"} {
		group := places[3*third : 3*third+3]
		if group[0]/3 != group[1]/3 && group[0]/3 != group[2]/3 && group[1]/3 != group[2]/3 {
			continue
		}
		c.add(AdviceSpread, strokesRule+`, our reading of "spread evenly"`,
			fmt.Sprintf("the %s indexes of holes %d to %d do not lie in three different triads", what, first+1, first+9),
			first+group[0], first+group[1], first+group[2])
	}
}

func (c *allocationCheck) lowest(first, place int) {
	index := c.indexes[first+place]
	switch {
	case place/3 == 1:
		return
	case place != 2 && place != 6:
		c.add(AdviceLowest, strokesRule, fmt.Sprintf("index %d, the lowest of its nine, is recommended in the middle triad or in a hole adjoining it", index), first+place)
	case c.ranks == nil:
		return
	case min(c.ranks[first+3], c.ranks[first+4], c.ranks[first+5]) <= hardest:
		c.add(AdviceLowest, strokesRule, fmt.Sprintf("index %d, the lowest of its nine, is recommended in the middle triad, which has one of the hardest six holes", index), first+place)
	}
}

func (c *allocationCheck) consecutive() {
	for hole := range 17 {
		if isLow(c.indexes[hole]) && isLow(c.indexes[hole+1]) {
			c.add(AdviceConsecutive, strokesRule, fmt.Sprintf("indexes %d and %d are on consecutive holes; of indexes up to %d this is to be avoided",
				c.indexes[hole], c.indexes[hole+1], hardest), hole, hole+1)
		}
	}
}

func (c *allocationCheck) difficulty() {
	const rule = strokesRule + "; how far is too far is common practice, no source"
	for hole := range c.ranks {
		rank, index := c.ranks[hole], c.indexes[hole]
		switch {
		case rank <= hardest && index > 12:
			c.add(AdviceDifficulty, rule, fmt.Sprintf("the hole ranks %d in difficulty, yet its index is %d", rank, index), hole)
		case rank > 12 && index <= hardest:
			c.add(AdviceDifficulty, rule, fmt.Sprintf("the hole ranks only %d in difficulty, yet its index is %d", rank, index), hole)
		}
	}
}
