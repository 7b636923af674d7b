package web

import "math"

// ranged is one row of figures with the range in which each may lie.
type ranged struct {
	Name   string
	Small  string // under the name
	Value  float64
	Low    float64
	High   float64
	Figure string // the value in words
	Known  bool   // whether there is a range
	Sure   string // a word for it
}

// rangedRows draws values in rows about nothing gained and nothing lost, each with the
// range in which it may lie.
func (d *drawing) rangedRows(rows []ranged, lost, gained string) {
	const left, right, top, row = 84, 300, 26, 46
	d.Width, d.Height = 360, top+row*len(rows)+6
	low, high := -0.2, 0.2
	for _, r := range rows {
		low, high = math.Min(low, r.Value), math.Max(high, r.Value)
		if r.Known { // a range that is far too wide would press all values together
			reach := 3 * math.Max(math.Abs(low), math.Abs(high))
			low, high = math.Min(low, math.Max(r.Low, -reach)), math.Max(high, math.Min(r.High, reach))
		}
	}
	x := scale{low, high, left, right}
	if x.at(0) > left+44 {
		d.label(x.at(0)-6, 15, end, "soft", lost)
	}
	if x.at(0) < right-44 {
		d.label(x.at(0)+6, 15, start, "soft", gained)
	}
	for i, r := range rows {
		y := float64(top+row*i) + 32
		if i > 0 {
			d.shape("grid", "", "M4 %vH356", y-32)
		}
		d.shape("zero", "", "M%v %vv22", x.at(0), y-10)
		d.label(4, y-15, start, "name", r.Name)
		d.label(4, y+5, start, "soft", r.Small)
		if r.Known {
			d.shape("range", "", "M%v %vH%v", x.at(r.Low), y, x.at(r.High))
		}
		tint := gainedTint(r.Value)
		d.Paths = append(d.Paths, drawnPath{"mark-value " + tint, valueMark(tint, x.at(r.Value), y), r.Name + ": " + r.Figure})
		d.label(356, y+5, end, "figure "+tint, r.Figure)
	}
	d.key("mark-value over", "lost", "%v", valueMark("over", 8, 8))
	d.key("mark-value under", "gained", "%v", valueMark("under", 8, 8))
	d.key("range", "may be anywhere here, 95 of 100", "M2 8h12")
}

// valueMark points the way a value goes.
func valueMark(tint string, x, y float64) string {
	switch tint {
	case "over":
		return pathText("M%v %vl9 -8v16Z", x-5, y)
	case "under":
		return pathText("M%v %vl-9 -8v16Z", x+5, y)
	default:
		return disc(x, y, 5)
	}
}
