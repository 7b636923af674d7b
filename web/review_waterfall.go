package web

import "math"

// fall is one step of a waterfall: what a part of the game gained or lost.
type fall struct {
	Name    string
	Strokes int // how many were counted
	Gained  float64
}

// waterfall draws how the parts add up to the total: each bar begins where the one
// above it ended and points the way it goes.
func (d *drawing) waterfall(parts []fall, total string) {
	const left, right, top, row, bar = 130, 300, 24, 40, 22
	sum, low, high := 0.0, 0.0, 0.0
	for _, p := range parts {
		sum += p.Gained
		low, high = math.Min(low, sum), math.Max(high, sum)
	}
	pad := math.Max(0.25, (high-low)*0.04)
	x := scale{low - pad, high + pad, left, right}
	d.Width, d.Height = 360, top+row*(len(parts)+1)+8
	foot := float64(d.Height - 6)
	d.shape("zero", "", "M%v %vV%v", x.at(0), float64(top-4), foot)
	d.label(x.at(0), top-9, middle, "soft", "as expected")
	at := 0.0
	for i, p := range parts {
		y := float64(top + row*i + (row-bar)/2)
		next := at + p.Gained
		d.label(4, y+10, start, "name", p.Name)
		d.label(4, y+25, start, "soft", count(p.Strokes, "stroke", "strokes"))
		if gainedTint(p.Gained) == "level" {
			d.shape("fall level", p.Name+": "+gainedText(p.Gained), "M%v %vv%v", x.at(next), y, float64(bar))
		} else {
			d.Paths = append(d.Paths, drawnPath{"fall " + gainedTint(p.Gained), arrowBar(x.at(at), x.at(next), y, bar), p.Name + ": " + gainedText(p.Gained)})
		}
		d.shape("link", "", "M%v %vv%v", x.at(next), y+bar, float64(row-bar))
		d.label(356, y+17, end, "figure "+gainedTint(p.Gained), gainedText(p.Gained))
		at = next
	}
	y := float64(top + row*len(parts) + (row-bar)/2)
	d.shape("rule", "", "M4 %vH356", y-7)
	d.label(4, y+17, start, "name", total)
	if gainedTint(at) != "level" {
		d.Paths = append(d.Paths, drawnPath{"fall whole " + gainedTint(at), arrowBar(x.at(0), x.at(at), y, bar), total + ": " + gainedText(at)})
	}
	d.label(356, y+18, end, "figure big "+gainedTint(at), gainedText(at))
	d.key("fall under", "gained", "M1 3h8l5 5l-5 5h-8Z")
	d.key("fall over", "lost", "M15 3h-8l-5 5l5 5h8Z")
}
