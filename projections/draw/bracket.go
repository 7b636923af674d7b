package draw

import (
	"fmt"

	"marram.example/projections/handicap"
)

// Pair is one match of a draw: two numbers, counted from 1, seeds in a knockout and players in a round robin. B is 0
// where A has a bye.
type Pair struct{ A, B int }

// Bye reports whether A goes on, or sits out, without a match.
func (p Pair) Bye() bool { return p.B == 0 }

// mostEntries bounds a draw (common practice, no source).
const mostEntries = 1024

// Seeded draws the first round of a knockout for so many seeds, 1 the best, in the order of the bracket: neighbouring
// matches meet in the next round. It is the general numerical draw (Committee Procedures 5F): starting from 1 against 2,
// each doubling to a bracket of n replaces every seed x by the pair x and n+1-x, so that the best two can meet only in
// the final and every pair adds up to n+1. Byes go to the highest seeds, whose opponents' numbers exceed the entries
// (common practice, no source). Fewer than 2 and more than 1024 entries are refused with a [handicap.InputError].
func Seeded(entries int) ([]Pair, error) {
	if entries < 2 || entries > mostEntries {
		return nil, &handicap.InputError{
			Field: "entries", Problem: fmt.Sprintf("%d is outside 2 to %d", entries, mostEntries), Rule: "Committee Procedures 5F",
		}
	}
	seeds := []int{1, 2}
	for size := 4; len(seeds) < entries; size *= 2 {
		next := make([]int, 0, size)
		for _, x := range seeds {
			next = append(next, x, size+1-x)
		}
		seeds = next
	}
	pairs := make([]Pair, 0, len(seeds)/2)
	for i := 0; i < len(seeds); i += 2 {
		p := Pair{A: min(seeds[i], seeds[i+1]), B: max(seeds[i], seeds[i+1])}
		if p.B > entries {
			p.B = 0
		}
		pairs = append(pairs, p)
	}
	return pairs, nil
}

// KnockoutRounds is how many rounds a knockout of so many entries takes.
func KnockoutRounds(entries int) int {
	rounds := 0
	for size := 1; size < entries; size *= 2 {
		rounds++
	}
	return rounds
}

// NextRound pairs the winners of neighbouring matches, given in the order of the bracket. An odd number of winners, or
// none to pair, is refused: byes are in the first round only, so that this is a match left out.
func NextRound(winners []string) ([][2]string, error) {
	if len(winners) < 2 || len(winners)%2 != 0 {
		return nil, &handicap.InputError{
			Field: "winners", Problem: fmt.Sprintf("%d winners cannot be paired: every match of the round needs one", len(winners)), Rule: "Committee Procedures 5F",
		}
	}
	pairs := make([][2]string, 0, len(winners)/2)
	for i := 0; i < len(winners); i += 2 {
		pairs = append(pairs, [2]string{winners[i], winners[i+1]})
	}
	return pairs, nil
}

// ExplainSeeded says how the draw of so many entries came about.
func ExplainSeeded(entries int) handicap.Explanation {
	rounds := KnockoutRounds(entries)
	size := 1 << rounds
	lines := handicap.Explanation{
		{
			Label: "Bracket", Rule: "Committee Procedures 5F",
			Arithmetic: fmt.Sprintf("%d entries need a bracket of %d, %s; seeds 1 and 2 are in opposite halves", entries, size, roundsText(rounds)),
		},
		{
			Label: "Pairs", Rule: "Committee Procedures 5F",
			Arithmetic: fmt.Sprintf("the two seeds of every first match add up to %d + 1 = %d; neighbouring matches meet next", size, size+1),
		},
	}
	switch byes := size - entries; byes {
	case 0:
		return lines
	case 1:
		return append(lines, handicap.Line{Label: "Bye", Arithmetic: fmt.Sprintf("%d - %d = 1, to seed 1", size, entries), Rule: "common practice, no source"})
	default:
		return append(lines, handicap.Line{
			Label: "Byes", Arithmetic: fmt.Sprintf("%d - %d = %d, to seeds 1 to %d", size, entries, byes, byes), Rule: "common practice, no source",
		})
	}
}

func roundsText(n int) string {
	if n == 1 {
		return "one round"
	}
	return fmt.Sprintf("%d rounds", n)
}
