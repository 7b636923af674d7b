package web

import (
	"fmt"
	"math"
	"strconv"
	"strings"
)

// drawing is a picture of numbers with the words and the table that say the same. It
// is drawn on the server in units of its own width and height.
type drawing struct {
	ID      string // anchor
	Heading string
	Lead    string // what it shows, in one sentence
	Title   string // name of the picture
	Words   string // the picture in words
	TooFew  string // stands instead of the picture where there is too little to draw
	Width   int
	Height  int
	Paths   []drawnPath
	Texts   []drawnText
	Key     []drawnKey
	Table   numbers
	Note    string
	What    string // meaning of the terms used
}

// Drawn reports whether there is a picture.
func (d *drawing) Drawn() bool { return len(d.Paths) > 0 }

// drawnPath is one shape; its class says what it stands for.
type drawnPath struct{ Class, D, Words string }

// drawnText is one label.
type drawnText struct {
	X, Y   string
	Anchor string // start, middle or end
	Class  string
	Words  string
}

// drawnKey explains a mark.
type drawnKey struct{ Class, D, Words string }

// numbers is the table behind a picture. The first column heads its row.
type numbers struct {
	Caption string
	Head    []string
	Rows    [][]string
	Words   int // how many columns from the left are words, not numbers; at least the first
}

func (d *drawing) shape(class, words, format string, args ...any) {
	d.Paths = append(d.Paths, drawnPath{class, pathText(format, args...), words})
}

// Where a label stands to its point.
const (
	start  = "start"
	middle = "middle"
	end    = "end"
)

func (d *drawing) label(x, y float64, anchor, class, words string) {
	d.Texts = append(d.Texts, drawnText{X: tenthText(x), Y: tenthText(y), Anchor: anchor, Class: class, Words: words})
}

// key explains a mark by the very shape that is drawn, in a box of 16 by 16.
func (d *drawing) key(class, words, format string, args ...any) {
	d.Key = append(d.Key, drawnKey{class, pathText(format, args...), words})
}

// pathText fills %v of a path with numbers to a tenth of a unit.
func pathText(format string, args ...any) string {
	out := make([]any, len(args))
	for i, a := range args {
		switch v := a.(type) {
		case float64:
			out[i] = tenthText(v)
		default:
			out[i] = v
		}
	}
	return fmt.Sprintf(format, out...)
}

// tenthText writes a coordinate.
func tenthText(v float64) string {
	return strconv.FormatFloat(math.Round(v*10)/10+0, 'f', -1, 64)
}

// Marks around a point.
func disc(x, y, r float64) string {
	return pathText("M%v %va%v %v 0 1 0 %v 0a%v %v 0 1 0 %v 0Z", x-r, y, r, r, 2*r, r, r, -2*r)
}

func diamond(x, y, r float64) string {
	return pathText("M%v %vl%v %vl%v %vl%v %vZ", x-r, y, r, -r, r, r, -r, r)
}

func cross(x, y, r float64) string {
	return pathText("M%v %vl%v %vm0 %vl%v %v", x-r, y-r, 2*r, 2*r, -2*r, -2*r, 2*r)
}

func box(x, y, w, h float64) string { return pathText("M%v %vh%vv%vh%vZ", x, y, w, h, -w) }

// arrowBar is a bar from one value to another that points the way it goes.
func arrowBar(from, to, y, h float64) string {
	tip := math.Min(6, math.Abs(to-from))
	if to < from {
		tip = -tip
	}
	return pathText("M%v %vH%vL%v %vL%v %vH%vZ", from, y, to-tip, to, y+h/2, to-tip, y+h, from)
}

// scale puts values on a line of the picture.
type scale struct{ from, to, low, high float64 }

// at is where a value lies, held within the picture.
func (s scale) at(v float64) float64 {
	if s.to == s.from {
		return (s.low + s.high) / 2
	}
	share := (v - s.from) / (s.to - s.from)
	return s.low + (s.high-s.low)*math.Min(1, math.Max(0, share))
}

// roundStep is the smallest of 1, 2 and 5 times a power of ten that cuts a span into
// at most so many parts.
func roundStep(span float64, parts int) float64 {
	if !(span > 0) {
		return 1
	}
	raw := span / float64(parts)
	power := math.Pow(10, math.Floor(math.Log10(raw)))
	for _, m := range []float64{1, 2, 5} {
		if m*power >= raw*(1-1e-9) {
			return m * power
		}
	}
	return 10 * power
}

// gainedText writes strokes gained or lost: one decimal, always with its sign.
func gainedText(v float64) string { return decimalText(v, 1, true) }

// decimalText writes a number with so many decimals and a true minus sign.
func decimalText(v float64, decimals int, sign bool) string {
	s := strconv.FormatFloat(math.Abs(v), 'f', decimals, 64)
	switch zero := strings.Trim(s, "0.") == ""; {
	case zero:
		return s
	case v < 0:
		return "\u2212" + s
	case sign:
		return "+" + s
	default:
		return s
	}
}

// gainedTint is the class of strokes gained; more is better.
func gainedTint(v float64) string {
	switch s := gainedText(v); {
	case strings.HasPrefix(s, "+"):
		return "under"
	case strings.HasPrefix(s, "\u2212"):
		return "over"
	default:
		return "level"
	}
}
