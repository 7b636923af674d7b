package handicap

import (
	"cmp"
	"slices"
)

// HoleDifficulty is how hard a hole of eighteen plays relative to its par: Num/Den strokes, harder holes higher. It may be
// the mean score over par, or any other measure on which the committee ranks the holes.
type HoleDifficulty struct {
	Par int // 3 to 6
	Num int64
	Den int64
}

// HolesByRank turns a committee's ranking, 1 for the hardest hole to 18 for the easiest, into difficulties. Anything but
// eighteen pars of 3 to 6 and the ranks 1 to 18 is refused with an [InputError].
func HolesByRank(par, ranks []int) ([]HoleDifficulty, error) {
	if len(par) != 18 {
		return nil, refuse("par", strokesRule, "there must be 18 pars, not %d", len(par))
	}
	if len(ranks) != 18 {
		return nil, refuse("rank", strokesRule, "there must be 18 ranks, not %d", len(ranks))
	}
	var seen [19]bool
	holes := make([]HoleDifficulty, 18)
	for i, rank := range ranks {
		if rank < 1 || rank > 18 || seen[rank] {
			return nil, refuse("rank", strokesRule, "%d of hole %d is outside 1 to 18 or appears twice", rank, i+1)
		}
		seen[rank] = true
		holes[i] = HoleDifficulty{Par: par[i], Num: int64(-rank), Den: 1}
	}
	return holes, validateDifficulty(holes)
}

func validateDifficulty(holes []HoleDifficulty) error {
	const field = "difficulty"
	if len(holes) != 18 {
		return refuse(field, strokesRule, "there must be 18 holes, not %d", len(holes))
	}
	for i, hole := range holes {
		if err := validatePar(hole.Par, i+1); err != nil {
			return err
		}
		if hole.Den < 1 || hole.Den > 1_000_000 {
			return refuse(field, "", "hole %d: the denominator %d is outside 1 to 1000000", i+1, hole.Den)
		}
		if hole.Num < -100*hole.Den || hole.Num > 100*hole.Den {
			return refuse(field, "", "hole %d: %d/%d is beyond 100 strokes", i+1, hole.Num, hole.Den)
		}
	}
	return nil
}

// difficultyRanks returns each hole's rank, 1 for the hardest; of equal holes the one played earlier ranks first.
func difficultyRanks(holes []HoleDifficulty) []int {
	order := make([]int, len(holes))
	for i := range order {
		order[i] = i
	}
	slices.SortStableFunc(order, func(a, b int) int {
		return cmp.Compare(holes[b].Num*holes[a].Den, holes[a].Num*holes[b].Den)
	})
	ranks := make([]int, len(holes))
	for rank, hole := range order {
		ranks[hole] = rank + 1
	}
	return ranks
}
