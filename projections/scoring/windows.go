package scoring

import (
	"fmt"
	"slices"
)

// Windows says which holes a countback compares.
type Windows int

const (
	// ByNumber compares holes 10-18, 13-18, 16-18, 18, then 4-9, 7-9 and 9, whatever the starting hole (Committee
	// Procedures 5A(6)). A card of nine holes compares its last six, last three and last hole by number; the
	// procedures leave that to the terms.
	ByNumber Windows = iota
	// ByPlay compares the same places in the order in which each card was played, for shotgun starts whose terms say so
	// (common practice, no source).
	ByPlay
)

// windowPlaces are the places that the windows cover, counted from 1, first and last.
var (
	windowPlaces18 = [][2]int{{10, 18}, {13, 18}, {16, 18}, {18, 18}, {4, 9}, {7, 9}, {9, 9}}
	windowPlaces9  = [][2]int{{4, 9}, {7, 9}, {9, 9}}
)

// window is one comparison: its name and the places, counted from 0, in a card's order for comparing.
type window struct {
	name        string
	first, last int
}

func (w window) holes() int { return w.last - w.first + 1 }

// windowsFor lists the windows for cards with these hole numbers in ascending order. wholeRound puts the round's total
// first, for competitions over several rounds.
func windowsFor(numbers []int, kind Windows, wholeRound bool) []window {
	places := windowPlaces18
	if len(numbers) == 9 {
		places = windowPlaces9
	}
	windows := make([]window, 0, len(places)+1)
	if wholeRound {
		windows = append(windows, window{"last round", 0, len(numbers) - 1})
	}
	for _, p := range places {
		w := window{first: p[0] - 1, last: p[1] - 1}
		// Nine holes need not be neighbours in number; then the name says how many they are.
		from, to := numbers[w.first], numbers[w.last]
		switch {
		case kind == ByPlay:
			w.name = spanText("holes played ", p[0], p[1])
		case to-from == w.last-w.first:
			w.name = spanText("", from, to)
		default:
			w.name = fmt.Sprintf("last %d", w.holes())
		}
		windows = append(windows, w)
	}
	return windows
}

func spanText(prefix string, from, to int) string {
	if from == to {
		return fmt.Sprintf("%s%d", prefix, to)
	}
	return fmt.Sprintf("%s%d-%d", prefix, from, to)
}

// numbersOf lists a card's hole numbers in ascending order.
func numbersOf(r *Result) []int {
	numbers := make([]int, len(r.Holes))
	for i := range r.Holes {
		numbers[i] = r.Holes[i].Hole
	}
	slices.Sort(numbers)
	return numbers
}

// compared returns a card's holes in the order in which windows count them.
func compared(r *Result, kind Windows) []HoleResult {
	if kind == ByPlay {
		return r.Holes
	}
	byNumber := func(a, b HoleResult) int { return a.Hole - b.Hole }
	if slices.IsSortedFunc(r.Holes, byNumber) {
		return r.Holes
	}
	return slices.SortedFunc(slices.Values(r.Holes), byNumber)
}
