package scoring

// Limits of a hole score in strokes. The upper one only keeps entries to two digits (common practice, no source).
const (
	FewestStrokes = 1
	MostStrokes   = 99
)

// Impossible reports whether no hole can have been played in so many strokes: fewer than 1 or more than 99.
func Impossible(strokes int) bool { return strokes < FewestStrokes || strokes > MostStrokes }
