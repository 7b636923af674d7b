package scoring

import (
	"strconv"

	"marram.example/projections/handicap"
)

// Direction says which value wins.
type Direction int

// Low is the zero value: fewer is better, as in stroke play. High is for points.
const (
	Low Direction = iota
	High
)

// ParseDirection reads "low" or "high".
func ParseDirection(text string) (Direction, error) {
	switch text {
	case "low":
		return Low, nil
	case "high":
		return High, nil
	default:
		return 0, refuse("direction", "", "%q is unknown; use low or high", text)
	}
}

// String is "low" or "high".
func (d Direction) String() string {
	switch d {
	case Low:
		return "low"
	case High:
		return "high"
	default:
		return "direction " + strconv.Itoa(int(d))
	}
}

// Compare is negative where a is better than b, 0 where they are equal, positive where b is better.
func (d Direction) Compare(a, b int) int {
	switch {
	case a == b:
		return 0
	case (a < b) == (d == Low):
		return -1
	default:
		return 1
	}
}

// Better reports whether a beats b.
func (d Direction) Better(a, b int) bool { return d.Compare(a, b) < 0 }

// Format describes how hole scores become a result. The total is the sum of the holes' figures; what differs between
// formats is in the fields.
type Format struct {
	// Name is the format's name as data, in snake_case.
	Name string
	// Rule is where the Rules of Golf define it.
	Rule string
	// Direction says which total wins.
	Direction Direction
	// Unit is what totals count; only rounds of one unit add up.
	Unit Unit
	// EveryHole is true where one hole without a score leaves the card without a total.
	EveryHole bool
	// SharesHandicap is true where a net countback deducts a share of the playing handicap from gross strokes, instead
	// of using the figures as allocated by hole (Committee Procedures 5A(6)).
	SharesHandicap bool
	// Capped is true where no hole counts more than the card's maximum, and a hole without a score counts the maximum.
	Capped bool
	// Figure is what one entered hole adds to the total: net strokes, points.
	Figure func(HoleResult) int
	// Level is the figure of the same hole for a player who is level with the target there: par, two points. A card in
	// progress ranks by the sum of Figure - Level over the holes played. A hole that a card cannot do without and that
	// has no score is never asked for.
	Level func(HoleResult) int
	// ExplainHole shows the arithmetic of one entered hole.
	ExplainHole func(HoleResult) handicap.Line
	// ExplainTotal shows the arithmetic of a card.
	ExplainTotal func(Result) handicap.Explanation
}

// Unit is what a format's totals count. A competition over several rounds mixes formats within one unit only.
type Unit string

// The units.
const (
	UnitStrokes Unit = "strokes"
	UnitPoints  Unit = "points"
	UnitHoles   Unit = "holes" // won less lost against the target
)

// Formats lists every format, each defined in a file of its own.
func Formats() []Format {
	return []Format{StrokePlay(), Stableford(), ParBogey(), MaximumScore()}
}

// FormatByName finds a format. An unknown name is refused with an error of field "format".
func FormatByName(name string) (Format, error) {
	for _, format := range Formats() {
		if format.Name == name {
			return format, nil
		}
	}
	return Format{}, refuse("format", "", "%q is unknown", name)
}
