package scoring

import "fmt"

// Limits of a hole score in strokes. The upper one only keeps entries to two digits (common practice, no source).
const (
	FewestStrokes = 1
	MostStrokes   = 99
)

// Impossible reports whether no hole can have been played in so many strokes: fewer than 1 or more than 99.
func Impossible(strokes int) bool { return strokes < FewestStrokes || strokes > MostStrokes }

// Unlikely reports whether a score deserves a second look before it is taken, and why: three or more under par (which
// includes a hole in one on a par 4 or longer), or six or more over par. It is never a reason to refuse a score. The
// limits are common practice, no source.
func Unlikely(strokes, par int) (bool, string) {
	switch {
	case Impossible(strokes):
		return false, ""
	case strokes == 1 && par >= 4:
		return true, fmt.Sprintf("a hole in one on a par %d", par)
	case strokes <= par-3:
		return true, fmt.Sprintf("%d under par on a par %d", par-strokes, par)
	case strokes >= par+6:
		return true, fmt.Sprintf("%d over par on a par %d", strokes-par, par)
	default:
		return false, ""
	}
}
