package web

import "math"

// sureBar draws what something costs a round with the range in which it may lie, on a
// line from nothing upwards: a range that reaches over nothing says that it may be none.
func sureBar(mean, low, high float64) *drawing {
	const left, right, y = 8, 312, 26
	d := &drawing{Width: 320, Height: 62}
	lo, hi := math.Min(0, low), math.Max(math.Max(high, mean), 0.5)
	step := roundStep(hi-lo, 4)
	lo, hi = math.Floor(lo/step+1e-9)*step, math.Ceil(hi/step-1e-9)*step
	x := scale{lo, hi, left, right}
	d.shape("grid", "", "M%v %vH%v", float64(left), float64(y), float64(right))
	for n := math.Round(lo / step); n*step <= hi+step/2; n++ {
		v := n * step
		class, anchor := "tick", middle
		if n == 0 {
			class = "zero"
		}
		if x.at(v) < left+10 {
			anchor = start
		} else if x.at(v) > right-10 {
			anchor = end
		}
		d.shape(class, "", "M%v %vv16", x.at(v), float64(y-8))
		d.label(x.at(v), y+26, anchor, "soft", decimalText(v, decimalsOf(step), false))
	}
	d.Paths = append(d.Paths, drawnPath{"band", box(x.at(low), y-8, math.Max(2, x.at(high)-x.at(low)), 16), ""})
	d.Paths = append(d.Paths, drawnPath{"own", diamond(x.at(mean), y, 11), ""})
	return d
}
