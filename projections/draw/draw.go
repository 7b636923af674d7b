// Package draw makes start sheets: who plays with whom, from where, when, and
// who marks whose card. It is pure; a random draw repeats from its stated seed.
package draw

import (
	"cmp"
	"fmt"
	"slices"

	"marram.example/events"
	"marram.example/events/competition"
	"marram.example/projections/scoring"
)

// The methods (Committee Procedures 5F leaves the choice to the committee).
const (
	ByHandicap   = "handicap"    // lowest index goes out first
	Random       = "random"      // shuffled with a stated seed
	AsEntered    = "as_entered"  // in the order of entry
	BySeed       = "seeded"      // of matches: the order of entry is that of the seeds
	ByRoundRobin = "round_robin" // of matches: likewise for the schedule
	ByStanding   = "standing"    // of a later round: as the competition stands, the leaders last
)

// Groups draws a field. Groups are as even as they can be, smaller ones first,
// because a small group in front holds nobody up (common practice, no source).
// It fails where the method is unknown, nobody is entered, or a shotgun start has
// more groups than two on every hole.
func Groups(field []competition.Entry, method string, seed uint64, terms events.Terms) ([]events.Group, error) {
	if len(field) == 0 {
		return nil, events.NotNow("entries", "no_entries", "nobody is entered yet")
	}
	entries, err := order(field, method, seed)
	if err != nil {
		return nil, err
	}
	sizes := Sizes(len(entries), max(1, terms.Start.GroupSize/terms.Players()))
	starts, err := Starts(len(sizes), terms)
	if err != nil {
		return nil, err
	}
	groups := make([]events.Group, len(sizes))
	next := 0
	for i, size := range sizes {
		ids := make([]string, size)
		for j := range ids {
			ids[j] = entries[next].ID
			next++
		}
		groups[i] = starts[i]
		groups[i].Places = Mark(ids)
	}
	return groups, nil
}

// order puts a field in the order of a method.
func order(field []competition.Entry, method string, seed uint64) ([]competition.Entry, error) {
	entries := slices.Clone(field)
	switch method {
	case ByHandicap:
		slices.SortStableFunc(entries, func(a, b competition.Entry) int { return cmp.Compare(a.Index(), b.Index()) })
	case Random:
		shuffle(entries, seed)
	case AsEntered, ByStanding:
	default:
		return nil, events.Invalid("method", "unknown", fmt.Sprintf("%q is not known here; use handicap, random, as_entered or standing", method))
	}
	return entries, nil
}

// Seeds puts the entries of matches in the order of their seeds, the first one
// first: by handicap, by lot, or as entered, which is also what seeded and
// round_robin mean.
func Seeds(field []competition.Entry, method string, seed uint64) ([]competition.Entry, error) {
	if method == BySeed || method == ByRoundRobin {
		method = AsEntered
	}
	return order(field, method, seed)
}

// Sizes splits n players into the fewest groups of at most most, as evenly as
// possible, smaller groups first.
func Sizes(n, most int) []int {
	count := (n + most - 1) / most
	sizes := make([]int, count)
	for i := range sizes {
		sizes[i] = n / count
		if i >= count-n%count {
			sizes[i]++
		}
	}
	return sizes
}

// Mark assigns markers: each player keeps the card of the one before, the first
// that of the last. A player alone is marked by the committee.
func Mark(entryIDs []string) []events.GroupSlot {
	out := make([]events.GroupSlot, len(entryIDs))
	for i, id := range entryIDs {
		out[i].EntryID = id
		if len(entryIDs) > 1 {
			out[i].MarkerID = entryIDs[(i+1)%len(entryIDs)]
		}
	}
	return out
}

// Starts says when and where each of n groups begins.
func Starts(n int, terms events.Terms) ([]events.Group, error) {
	first, err := scoring.ParseClock(terms.Start.FirstTime)
	if err != nil {
		return nil, events.Invalid("start.first_time", "malformed", "a time is written HH:MM")
	}
	switch terms.Start.Kind {
	case "shotgun":
		return shotgun(n, first, terms.Holes)
	case "two_tee":
		return inOrder(n, first, terms.Start, []int{1, 10})
	default:
		return inOrder(n, first, terms.Start, terms.Holes[:1])
	}
}

// inOrder sends groups from one or several tees at each time.
func inOrder(n, first int, s events.StartTerms, tees []int) ([]events.Group, error) {
	times := (n + len(tees) - 1) / len(tees)
	minutes, err := scoring.TeeTimes(first, s.IntervalMinutes, times, s.EmptyIntervalAfter)
	if err != nil {
		return nil, events.Invalid("start", "out_of_range", err.Error())
	}
	out := make([]events.Group, n)
	for i := range out {
		out[i] = events.Group{Number: i + 1, Time: scoring.ClockText(minutes[i/len(tees)]), StartingHole: tees[i%len(tees)]}
	}
	return out, nil
}

// shotgun sends one group from each hole, then a second one.
func shotgun(n, first int, holes []int) ([]events.Group, error) {
	if n > 2*len(holes) {
		return nil, events.Invalid("start.kind", "too_many_groups",
			fmt.Sprintf("a shotgun start takes at most two groups a hole: %d groups, %d holes", n, len(holes)))
	}
	out := make([]events.Group, n)
	for i := range out {
		out[i] = events.Group{Number: i + 1, Time: scoring.ClockText(first), StartingHole: holes[i%len(holes)]}
		if n > len(holes) {
			out[i].Letter = string(rune('A' + i/len(holes)))
		}
	}
	return out, nil
}

// Lot puts ids in the order of a lot drawn from a stated seed. Their own order
// does not matter.
func Lot(ids []string, seed uint64) []string {
	entries := make([]competition.Entry, len(ids))
	for i, id := range slices.Sorted(slices.Values(ids)) {
		entries[i].ID = id
	}
	shuffle(entries, seed)
	out := make([]string, len(ids))
	for i, e := range entries {
		out[i] = e.ID
	}
	return out
}

// shuffle is Fisher and Yates with a splitmix64 generator, both published
// algorithms, so that anybody can repeat a draw from its seed in any language.
func shuffle(entries []competition.Entry, seed uint64) {
	g := splitmix{state: seed}
	for i := len(entries) - 1; i > 0; i-- {
		j := g.below(uint64(i) + 1)
		entries[i], entries[j] = entries[j], entries[i]
	}
}

type splitmix struct{ state uint64 }

func (g *splitmix) next() uint64 {
	g.state += 0x9e3779b97f4a7c15
	z := g.state
	z = (z ^ z>>30) * 0xbf58476d1ce4e5b9
	z = (z ^ z>>27) * 0x94d049bb133111eb
	return z ^ z>>31
}

// below draws evenly from 0 to n-1 by rejecting the uneven rest.
func (g *splitmix) below(n uint64) uint64 {
	limit := -n % n // 2^64 mod n
	for {
		if x := g.next(); x >= limit {
			return x % n
		}
	}
}
