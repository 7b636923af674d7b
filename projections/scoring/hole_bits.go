package scoring

import "math/bits"

// holeBits is a set of hole numbers.
type holeBits uint32

func (b holeBits) has(number int) bool { return b&(1<<number) != 0 }
func (b holeBits) len() int            { return bits.OnesCount32(uint32(b)) }

// holeSet gathers the holes of a card whose score is wanted.
func holeSet(r *Result, wanted func(State) bool) (set holeBits) {
	for i := range r.Holes {
		if wanted(r.Holes[i].Score.State) {
			set |= 1 << r.Holes[i].Hole
		}
	}
	return set
}

func anyState(State) bool { return true }

// excludedOn gathers the holes that are excluded on any of the cards.
func excludedOn(contenders []Contender) (set holeBits) {
	for _, c := range contenders {
		set |= holeSet(c.Card, func(s State) bool { return s == Excluded })
	}
	return set
}
