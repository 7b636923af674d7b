package web

import (
	"slices"
	"strconv"

	"marram.example/api"
	"marram.example/projections/breakdown"
	"marram.example/projections/scoring"
)

// countGrid draws which balls of a side counted: a column a hole, a row a ball.
type countGrid struct {
	Width, Height int
	Rows          []gridRow
	Holes         []gridHole
}

// gridRow is one ball.
type gridRow struct {
	Name  string
	TextY int
	Cells []gridCell
}

// gridCell is one hole of a ball.
type gridCell struct {
	X, Y  int
	TextX int
	TextY int
	Class string // counts, equal or out
	Text  string
}

// gridHole is the number under a column.
type gridHole struct{ X, Y, Number int }

// The grid's frame, in units: a column for the ball's number, then one a hole.
const (
	gridLeft = 64
	gridStep = 36
	gridTall = 34
	gridGap  = 3
)

func gridOf(f api.Figures, balls []ballView) *countGrid {
	out := &countGrid{Width: gridLeft + gridStep*len(f.Holes), Height: gridTall*len(balls) + 24}
	for row, b := range balls {
		r := gridRow{Name: "Ball " + strconv.Itoa(b.No), TextY: row*gridTall + 22}
		for i, h := range b.Holes {
			c := gridCell{X: gridLeft + i*gridStep, Y: row * gridTall, TextX: gridLeft + i*gridStep + (gridStep-gridGap)/2, TextY: row*gridTall + 22, Class: "out", Text: holeFigure(h, f.Format)}
			if i < len(f.Side.Holes) {
				side := f.Side.Holes[i]
				switch {
				case slices.Contains(side.By, row):
					c.Class = "counts"
				case slices.Contains(side.Equal, row):
					c.Class = "equal"
				}
			}
			r.Cells = append(r.Cells, c)
		}
		out.Rows = append(out.Rows, r)
	}
	for i, h := range f.Holes {
		out.Holes = append(out.Holes, gridHole{X: gridLeft + i*gridStep + (gridStep-gridGap)/2, Y: gridTall*len(balls) + 18, Number: h.Number})
	}
	return out
}

// holeFigure is what a ball's hole comes to in the format: net strokes, points or
// the result against par.
func holeFigure(h breakdown.Hole, format string) string {
	switch {
	case h.Counting.None == "excluded":
		return ""
	case format == "stableford" && h.Points != nil:
		return strconv.Itoa(*h.Points)
	case format == "par_bogey" && h.ParBogey != nil:
		return scoring.ToPar(*h.ParBogey)
	case h.Net != nil:
		return strconv.Itoa(*h.Net)
	case h.Counting.Entered():
		return "–"
	default:
		return ""
	}
}
