package web

import (
	"math"
	"strconv"
	"strings"
)

// lineHole is one hole of a round: what it gained, nil where that is unknown.
type lineHole struct {
	Number int
	Gained *float64
}

// roundLine draws how a round went: above, what had been gained hole by hole; below,
// what each hole gained. What is unknown leaves a gap. Other is a second line above,
// compared with something else; it may be missing.
func (d *drawing) roundLine(holes, other []lineHole, name, otherName string) {
	const left, right, top, deep, axis, stems, foot = 34, 352, 16, 120, 152, 176, 236
	d.Width, d.Height = 360, foot+6
	low, high, most, sum := 0.0, 0.0, 0.5, 0.0
	for _, h := range holes {
		if h.Gained != nil {
			sum += *h.Gained
			low, high = math.Min(low, sum), math.Max(high, sum)
			most = math.Max(most, math.Abs(*h.Gained))
		}
	}
	sum = 0
	for _, h := range other {
		if h.Gained != nil {
			sum += *h.Gained
			low, high = math.Min(low, sum), math.Max(high, sum)
		}
	}
	step := roundStep(math.Max(high-low, 1), 4)
	low, high = math.Floor(low/step)*step, math.Ceil(high/step)*step
	if low == high {
		low, high = -1, 1
	}
	y := scale{low, high, deep + 14, top}
	for n := math.Round(low / step); n*step <= high+step/2; n++ {
		v := n * step
		class := "grid"
		if n == 0 {
			class = "zero"
		}
		d.shape(class, "", "M%v %vH%v", float64(left), y.at(v), float64(right))
		d.label(left-4, y.at(v)+4, end, "soft", decimalText(v, decimalsOf(step), true))
	}
	grid := len(d.Paths) // the line lies over the grid and under its stops
	wide := float64(right-left) / math.Max(1, float64(len(holes)))
	bar := scale{-most, most, foot, stems}
	d.shape("zero", "", "M%v %vH%v", float64(left), bar.at(0), float64(right))
	var line strings.Builder
	line.WriteString(pathText("M%v %v", float64(left), y.at(0)))
	sum = 0
	ends := [2]float64{}
	for i, h := range holes {
		x := left + wide*(float64(i)+0.5)
		if len(holes) <= 9 || i%2 == 0 || wide > 20 {
			d.label(x, axis+6, middle, "soft", strconv.Itoa(h.Number))
		} else {
			d.shape("tick", "", "M%v %vv5", x, float64(axis-3))
		}
		if h.Gained == nil {
			continue
		}
		sum += *h.Gained
		line.WriteString(pathText("L%v %v", x, y.at(sum)))
		ends = [2]float64{x, y.at(sum)}
		words := "Hole " + strconv.Itoa(h.Number) + ": " + gainedText(*h.Gained) + ", " + gainedText(sum) + " so far"
		d.Paths = append(d.Paths, drawnPath{"stop", disc(x, y.at(sum), 2.6), words})
		if tint := gainedTint(*h.Gained); tint != "level" {
			d.Paths = append(d.Paths, drawnPath{"stem " + tint, box(x-wide*0.32, bar.at(0), wide*0.64, bar.at(*h.Gained)-bar.at(0)), words})
		}
	}
	d.Paths = append(d.Paths, drawnPath{})
	copy(d.Paths[grid+1:], d.Paths[grid:])
	d.Paths[grid] = drawnPath{"line", line.String(), ""}
	if len(other) > 0 {
		second, sum := pathText("M%v %v", float64(left), y.at(0)), 0.0
		for i, h := range other {
			if h.Gained != nil {
				sum += *h.Gained
				second += pathText("L%v %v", left+wide*(float64(i)+0.5), y.at(sum))
			}
		}
		d.Paths = append(d.Paths, drawnPath{"line second", second, ""})
	}
	if ends[0] > 0 {
		d.Paths = append(d.Paths, drawnPath{"last", disc(ends[0], ends[1], 4.5), ""})
		at := ends[1] - 10
		if at < top+6 {
			at = ends[1] + 20
		}
		d.label(math.Min(ends[0]+8, 356), at, end, "figure "+gainedTint(sum), gainedText(sum))
	}
	d.label(left-4, bar.at(most/2)+5, end, "soft", "+")
	d.label(left-4, bar.at(-most/2)+5, end, "soft", "\u2212")
	d.key("line", "sum so far "+name, "M1 12L6 8L10 9L15 3")
	if len(other) > 0 {
		d.key("line second", "sum so far "+otherName, "M1 12L6 8L10 9L15 3")
	}
	d.key("stem under", "hole gained", "M4 2h8v12h-8Z")
	d.key("stem over", "hole lost", "M4 2h8v12h-8Z")
}

// decimalsOf is how many decimals the marks of a step need.
func decimalsOf(step float64) int {
	if step < 1 {
		return 1
	}
	return 0
}
