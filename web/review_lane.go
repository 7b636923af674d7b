package web

import "math"

// lane draws a corridor from above between trouble on the left and on the right, with
// how strokes spread now and from the better aim. Metres from the middle of where the
// player aims now: left and right are where trouble begins.
func (d *drawing) lane(bias, sd, left, right, aim float64, unit func(float64) string) {
	const from, to, top, foot = 4, 356, 40, 180
	d.Width, d.Height = 360, 236
	reach := math.Max(math.Max(left, right)*1.25, math.Max(math.Abs(bias)+2.2*sd, math.Abs(bias+aim)+2.2*sd))
	x := scale{-reach, reach, from, to}
	d.Paths = append(d.Paths,
		drawnPath{"trouble", box(from, top, x.at(-left)-from, foot-top), "trouble on the left"},
		drawnPath{"trouble", box(x.at(right), top, to-x.at(right), foot-top), "trouble on the right"},
		drawnPath{"safe", box(x.at(-left), top, x.at(right)-x.at(-left), foot-top), "in play"},
	)
	for v := from + 8.0; v < x.at(-left)-4; v += 10 {
		d.shape("hatch", "", "M%v %vl-6 12m6 20l-6 12m6 20l-6 12m6 20l-6 12", v, float64(top+10))
	}
	for v := x.at(right) + 8; v < to; v += 10 {
		d.shape("hatch", "", "M%v %vl-6 12m6 20l-6 12m6 20l-6 12m6 20l-6 12", v, float64(top+10))
	}
	d.Paths = append(d.Paths, drawnPath{"hill now", hill(x, bias, sd, foot, 92), "where strokes finish with the aim of now"})
	d.Paths = append(d.Paths, drawnPath{"hill better", hill(x, bias+aim, sd, foot, 92), "where they finish with the better aim"})
	d.shape("aim-now", "aim now", "M%v %vV%v", x.at(0), float64(top), float64(foot+6))
	d.Paths = append(d.Paths, drawnPath{"aim-better", pathText("M%v %vV%vm-7 -14l7 -8l7 8", x.at(aim), float64(foot+6), float64(top+4)), "better aim"})
	d.label(from, 16, start, "name", "trouble left")
	d.label(to, 16, end, "name", "trouble right")
	d.label(from, 33, start, "soft", "from "+unit(left))
	d.label(to, 33, end, "soft", "from "+unit(right))
	d.label(x.at(0), foot+22, middle, "soft", "aim now")
	if math.Abs(x.at(aim)-x.at(0)) > 3 {
		at := math.Min(math.Max(x.at(aim), 60), 300)
		d.label(at, foot+40, middle, "name", "better aim")
	}
	d.key("hill now", "now", "M1 14C5 14 5 3 8 3S11 14 15 14Z")
	d.key("hill better", "with the better aim", "M1 14C5 14 5 3 8 3S11 14 15 14Z")
}

// hill is the curve of a normal distribution above a line.
func hill(x scale, mean, sd, foot, height float64) string {
	out := pathText("M%v %v", x.at(mean-3*sd), foot)
	for i := -12; i <= 12; i++ {
		z := float64(i) / 4
		out += pathText("L%v %v", x.at(mean+z*sd), foot-height*math.Exp(-z*z/2))
	}
	return out + pathText("L%v %vZ", x.at(mean+3*sd), foot)
}
