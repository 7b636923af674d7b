package scoring

import (
	"fmt"
	"slices"
	"strconv"
)

// Windows says which holes a countback compares.
type Windows int

const (
	// ByNumber compares holes 10-18, 13-18, 16-18, 18, then 4-9, 7-9 and 9, whatever the starting hole (Committee
	// Procedures 5A(6)). A card of nine holes compares its last six, last three and last hole by number; the
	// procedures leave that to the terms.
	ByNumber Windows = iota
	// ByPlay compares the same places in the order in which each card was played, for shotgun starts whose terms say so
	// (common practice, no source). Places are counted back from the last hole that counts.
	ByPlay
)

// ParseWindows reads "by_number" or "by_play"; empty means [ByNumber].
func ParseWindows(text string) (Windows, error) {
	switch text {
	case "", "by_number":
		return ByNumber, nil
	case "by_play":
		return ByPlay, nil
	default:
		return 0, refuse("tie_holes", countbackRule, "%q is unknown; use by_number or by_play", text)
	}
}

func (w Windows) validate() error {
	if w != ByNumber && w != ByPlay {
		return refuse("windows", countbackRule, "%d is unknown", int(w))
	}
	return nil
}

// Sequence says what follows the last hole of a card.
type Sequence int

const (
	// FirstNine goes on with the last six, last three and last hole of the first nine (Committee Procedures 5A(6)).
	FirstNine Sequence = iota
	// HoleByHole goes back hole by hole: 17, 16, 15 and so on to the first (common practice, no source).
	HoleByHole
)

// ParseSequence reads "first_nine" or "hole_by_hole"; empty means [FirstNine].
func ParseSequence(text string) (Sequence, error) {
	switch text {
	case "", "first_nine":
		return FirstNine, nil
	case "hole_by_hole":
		return HoleByHole, nil
	default:
		return 0, refuse("tie_windows", countbackRule, "%q is unknown; use first_nine or hole_by_hole", text)
	}
}

func (s Sequence) validate() error {
	if s != FirstNine && s != HoleByHole {
		return refuse("sequence", countbackRule, "%d is unknown", int(s))
	}
	return nil
}

// window is one comparison: its name and the holes, counted from 0 among those of a card that count, in its order for
// comparing. round stands for the whole round's total.
type window struct {
	name        string
	first, last int
	round       bool
}

func (w window) holes() int { return w.last - w.first + 1 }

// span is a stretch of places, counted from 1, first and last, before excluded holes are taken out.
type span struct{ first, last int }

// spansOf lists what a card of 18 or nine holes compares; counted is how many of them count, where places are counted
// back from the last one that does.
func spansOf(holes, counted int, sequence Sequence) []span {
	last := func(end int, sizes ...int) (spans []span) {
		for _, size := range sizes {
			spans = append(spans, span{end - size + 1, end})
		}
		return spans
	}
	sizes := []int{6, 3, 1}
	if holes == 18 {
		sizes = []int{9, 6, 3, 1}
	}
	spans := last(counted, sizes...)
	switch {
	case sequence == HoleByHole:
		for place := counted - 1; place >= 1; place-- {
			spans = append(spans, span{place, place})
		}
	case holes == 18:
		spans = append(spans, last(counted-9, 6, 3, 1)...)
	}
	return slices.DeleteFunc(spans, func(s span) bool { return s.first < 1 })
}

// windowsFor lists the windows for cards with these hole numbers in ascending order, without the holes that are out. A
// window of which no hole is left is dropped. The whole round's total comes first in competitions over several rounds.
func windowsFor(numbers []int, out holeBits, terms CountbackTerms) []window {
	counted := len(numbers) - out.len()
	var windows []window
	if terms.SeveralRounds {
		windows = append(windows, window{name: "last round", first: 0, last: counted - 1, round: true})
	}
	if terms.Windows == ByPlay {
		for _, s := range spansOf(len(numbers), counted, terms.Sequence) {
			windows = append(windows, window{name: spanText("holes played ", s.first, s.last), first: s.first - 1, last: s.last - 1})
		}
		return windows
	}
	for _, s := range spansOf(len(numbers), len(numbers), terms.Sequence) {
		w := window{first: countIn(numbers[:s.first-1], out), last: countIn(numbers[:s.last], out) - 1}
		if w.last < w.first {
			continue
		}
		// Nine holes need not be neighbours in number; then the name says how many they are.
		if from, to := numbers[s.first-1], numbers[s.last-1]; to-from == s.last-s.first {
			w.name = spanText("", from, to)
		} else {
			w.name = fmt.Sprintf("last %d", s.last-s.first+1)
		}
		windows = append(windows, w)
	}
	return windows
}

// countIn is how many of the holes count.
func countIn(numbers []int, out holeBits) int {
	n := 0
	for _, number := range numbers {
		if !out.has(number) {
			n++
		}
	}
	return n
}

func spanText(prefix string, from, to int) string {
	if from == to {
		return prefix + strconv.Itoa(to)
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

// compared lists the places of a card's holes in the order in which windows count them, without the holes that are out.
func compared(r *Result, kind Windows, out holeBits) []int {
	order := make([]int, 0, len(r.Holes))
	first := 0
	if kind == ByPlay && r.Start != 0 {
		first = slices.IndexFunc(r.Holes, func(h HoleResult) bool { return h.Hole == r.Start })
	}
	for i := range r.Holes {
		if place := (first + i) % len(r.Holes); !out.has(r.Holes[place].Hole) {
			order = append(order, place)
		}
	}
	if kind == ByNumber {
		byNumber := func(a, b int) int { return r.Holes[a].Hole - r.Holes[b].Hole }
		if !slices.IsSortedFunc(order, byNumber) {
			slices.SortFunc(order, byNumber)
		}
	}
	return order
}
