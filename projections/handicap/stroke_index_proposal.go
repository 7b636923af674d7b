package handicap

import (
	"fmt"
	"slices"
)

// hardest is how many of the hardest holes may pull the lowest index of a nine out of its middle triad, and the index up
// to which neighbouring holes are avoided (Rules of Handicapping, Appendix E).
const hardest = 6

// ProposedHole is one hole of a proposed stroke-index allocation.
type ProposedHole struct {
	Hole   int    `json:"hole"` // 1 to 18
	Par    int    `json:"par"`
	Rank   int    `json:"rank"` // difficulty relative to par among the eighteen, 1 for the hardest
	Index  int    `json:"index"`
	Reason string `json:"reason"`
}

// StrokeIndexProposal is a proposed allocation; the committee decides.
type StrokeIndexProposal struct {
	Indexes     []int          `json:"indexes"` // hole 1 first
	Holes       []ProposedHole `json:"holes"`
	Explanation Explanation    `json:"explanation"`
}

// ProposeStrokeIndexes proposes the stroke indexes of a course of eighteen holes by the recommendation of the Rules of
// Handicapping, Appendix E. Each nine is split into three triads of three holes.
//
//   - The front nine takes the odd indexes and the back nine the even ones; backHarder, for a back nine that is clearly
//     harder by course rating, swaps them.
//   - The lowest index of a nine goes to the hardest hole of its middle triad. If none of these ranks among the hardest six
//     of the eighteen, it goes to the harder of the two adjoining holes that does; if neither does, it stays in the middle.
//   - The second lowest goes to the hardest hole of the first and third triads, leaving out the triad with the lowest.
//   - The third lowest goes to the hardest hole of the triad left, so that each triad has one of the three.
//   - No two of these six holes are neighbours, the ninth and tenth included.
//   - The next three indexes of a nine go to the harder of the two holes left in each triad, and the last three to the
//     others, in order of difficulty (our reading of "spread evenly").
//
// Of equally hard holes the one played earlier counts as harder. The result is the same for the same input. Anything but
// eighteen holes, and impossible figures, are refused with an [InputError].
func ProposeStrokeIndexes(holes []HoleDifficulty, backHarder bool) (StrokeIndexProposal, error) {
	if err := validateDifficulty(holes); err != nil {
		return StrokeIndexProposal{}, err
	}
	a := allocation{ranks: difficultyRanks(holes)}
	nines := [2]int{0, 9} // first hole of the nine with the odd indexes, then of the other
	lines := Explanation{{
		Label:      "Odd and even",
		Arithmetic: "odd indexes on holes 1 to 9, even indexes on holes 10 to 18",
		Rule:       strokesRule,
	}}
	if backHarder {
		nines = [2]int{9, 0}
		lines[0].Arithmetic = "the back nine is clearly harder: odd indexes on holes 10 to 18, even indexes on holes 1 to 9"
	}
	for second, first := range nines {
		a.lowest(first, 1+second)
	}
	for second, first := range nines {
		a.secondLowest(first, 3+second)
	}
	for second, first := range nines {
		a.thirdLowest(first, 5+second)
	}
	for second, first := range nines {
		a.spread(first, 7+second, "the harder of the two holes left in its triad")
		a.spread(first, 13+second, "the last hole left in its triad")
	}
	proposal := StrokeIndexProposal{Indexes: a.index[:], Holes: make([]ProposedHole, 18)}
	for i, hole := range holes {
		proposal.Holes[i] = ProposedHole{Hole: i + 1, Par: hole.Par, Rank: a.ranks[i], Index: a.index[i], Reason: a.reason[i]}
	}
	for index := 1; index <= 18; index++ {
		hole := slices.Index(a.index[:], index)
		lines = append(lines, Line{
			Label:      fmt.Sprintf("Stroke index %d", index),
			Arithmetic: fmt.Sprintf("hole %d, ranked %d in difficulty: %s", hole+1, a.ranks[hole], a.reason[hole]),
			Rule:       strokesRule,
		})
	}
	proposal.Explanation = lines
	return proposal, nil
}

// allocation is a course on the way; index 0 is a hole without one. Holes count from 0 here.
type allocation struct {
	ranks  []int
	index  [18]int
	reason [18]string
}

func (a *allocation) give(hole, index int, reason string) {
	a.index[hole], a.reason[hole] = index, reason
}

// pick is the hardest of the candidates, -1 if there are none.
func (a *allocation) pick(candidates []int) int {
	best := -1
	for _, hole := range candidates {
		if best < 0 || a.ranks[hole] < a.ranks[best] {
			best = hole
		}
	}
	return best
}

// free lists the holes of a triad that have no index and, for low indexes, no neighbour with a low one.
func (a *allocation) free(triad int, low bool) []int {
	var holes []int
	for hole := triad; hole < triad+3; hole++ {
		if a.index[hole] == 0 && (!low || !a.lowNeighbour(hole)) {
			holes = append(holes, hole)
		}
	}
	return holes
}

func (a *allocation) lowNeighbour(hole int) bool {
	return hole > 0 && isLow(a.index[hole-1]) || hole < 17 && isLow(a.index[hole+1])
}

func isLow(index int) bool { return index >= 1 && index <= hardest }

// hasLow reports whether a triad holds one of the six lowest indexes.
func (a *allocation) hasLow(triad int) bool {
	return slices.ContainsFunc(a.index[triad:triad+3], isLow)
}

func (a *allocation) lowest(first, index int) {
	middle := a.pick(a.free(first+3, true))
	if a.ranks[middle] <= hardest {
		a.give(middle, index, "the lowest of its nine: the hardest hole of the middle triad")
		return
	}
	adjoining := a.pick([]int{first + 2, first + 6})
	if a.ranks[adjoining] <= hardest {
		a.give(adjoining, index, "the lowest of its nine: no hole of the middle triad ranks among the hardest six, this adjoining one does")
		return
	}
	a.give(middle, index, "the lowest of its nine: the hardest hole of the middle triad, though neither it nor an adjoining hole ranks among the hardest six")
}

func (a *allocation) secondLowest(first, index int) {
	var candidates []int
	for _, triad := range []int{first, first + 6} {
		if !a.hasLow(triad) {
			candidates = append(candidates, a.free(triad, true)...)
		}
	}
	a.give(a.pick(candidates), index, "the second lowest of its nine: the hardest hole of the first and third triads away from other low indexes")
}

func (a *allocation) thirdLowest(first, index int) {
	for _, triad := range []int{first, first + 3, first + 6} {
		if !a.hasLow(triad) {
			a.give(a.pick(a.free(triad, true)), index, "the third lowest of its nine: the hardest hole of the triad left, away from other low indexes")
			return
		}
	}
}

// spread gives one index to each triad of a nine, from index upward by twos, the hardest of the three holes first.
func (a *allocation) spread(first, index int, reason string) {
	var holes []int
	for _, triad := range []int{first, first + 3, first + 6} {
		holes = append(holes, a.pick(a.free(triad, false)))
	}
	slices.SortFunc(holes, func(x, y int) int { return a.ranks[x] - a.ranks[y] })
	for i, hole := range holes {
		a.give(hole, index+2*i, reason)
	}
}
