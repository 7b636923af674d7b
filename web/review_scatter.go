package web

import "math"

// miss is where a stroke finished from its aim, in the units of the drawing's words.
type miss struct {
	Across, Along float64 // right and long are positive
	Strike        string
	Words         string
}

// round about a middle, seen from above.
type spread struct {
	X, Y         float64 // its middle
	Major, Minor float64 // half axes
	Degrees      float64 // of the major axis, against the clock from the right
}

// scatter draws misses about the aim in the middle, from above: left is left and long
// is up. Whole is the ellipse that holds most of them, bias the middle of these strokes
// and usual the middle of those before; each may be missing.
func (d *drawing) scatter(misses []miss, whole *spread, bias, usual *[2]float64, unit string) {
	const size, middleX, middleY, half = 360, 180, 176, 146
	d.Width, d.Height = size, 350
	reach := 1.0
	for _, m := range misses {
		reach = math.Max(reach, math.Max(math.Abs(m.Across), math.Abs(m.Along)))
	}
	if whole != nil {
		reach = math.Max(reach, math.Max(math.Abs(whole.X), math.Abs(whole.Y))+whole.Major*0.9)
	}
	step := roundStep(reach, 3)
	reach = math.Ceil(reach/step*1.02) * step
	k := half / reach
	x := func(v float64) float64 { return middleX + v*k }
	y := func(v float64) float64 { return middleY - v*k }
	for r := step; r <= reach+step/2; r += step {
		d.Paths = append(d.Paths, drawnPath{"grid", disc(middleX, middleY, r*k), ""})
	}
	d.shape("zero", "", "M%v %vH%vM%v %vV%v", float64(middleX-half), float64(middleY), float64(middleX+half), float64(middleX), float64(middleY-half), float64(middleY+half))
	if whole != nil {
		d.shape("ellipse", "", "M%v %v%v", x(whole.X)-whole.Major*k*math.Cos(radians(whole.Degrees)), y(whole.Y)+whole.Major*k*math.Sin(radians(whole.Degrees)), ellipseArcs(*whole, k))
	}
	for _, m := range misses {
		d.Paths = append(d.Paths, drawnPath{"miss " + strikeClass(m.Strike), strikeMark(m.Strike, x(m.Across), y(m.Along)), m.Words})
	}
	if usual != nil {
		d.Paths = append(d.Paths, drawnPath{"usual", diamond(x(usual[0]), y(usual[1]), 9), "the usual middle"})
	}
	if bias != nil {
		d.Paths = append(d.Paths, drawnPath{"bias", disc(x(bias[0]), y(bias[1]), 8), "the middle of these strokes"})
	}
	d.Paths = append(d.Paths, drawnPath{"aim", disc(middleX, middleY, 3), "the aim"})
	d.label(middleX, 20, middle, "name", "long")
	d.label(middleX, middleY+half+20, middle, "name", "short")
	d.label(6, middleY-8, start, "name", "left")
	d.label(size-4, middleY-8, end, "name", "right")
	d.label(x(step)+3, middleY+15, start, "soft", plainFloat(step)+" "+unit)
	d.key("aim", "aim", "%v", disc(8, 8, 3))
	if bias != nil {
		d.key("bias", "middle of these strokes", "%v", disc(8, 8, 6))
	}
	if usual != nil {
		d.key("usual", "usual middle", "%v", diamond(8, 8, 7))
	}
	if whole != nil {
		d.key("ellipse", "2 of 3 strokes", "M1 8a7 4.5 0 1 0 14 0a7 4.5 0 1 0 -14 0Z")
	}
	seen := map[string]bool{}
	for _, m := range misses {
		seen[strikeClass(m.Strike)] = true
	}
	for _, s := range []string{"good", "fair", "poor", ""} {
		if seen[strikeClass(s)] && len(seen) > 1 {
			d.key("miss "+strikeClass(s), strikeWords(s), "%v", strikeMark(s, 8, 8))
		}
	}
}

func radians(degrees float64) float64 { return degrees * math.Pi / 180 }

// ellipseArcs goes once round an ellipse, from one end of its major axis. The picture's
// y points down, so that it turns the other way.
func ellipseArcs(e spread, k float64) string {
	dx, dy := 2*e.Major*k*math.Cos(radians(e.Degrees)), -2*e.Major*k*math.Sin(radians(e.Degrees))
	return pathText("a%v %v %v 0 1 %v %va%v %v %v 0 1 %v %vZ", e.Major*k, e.Minor*k, -e.Degrees, dx, dy, e.Major*k, e.Minor*k, -e.Degrees, -dx, -dy)
}

func strikeClass(strike string) string {
	if strike == "" {
		return "unsaid"
	}
	return strike
}

func strikeWords(strike string) string {
	if strike == "" {
		return "strike not said"
	}
	return strike + " strike"
}

// strikeMark differs in shape by how a stroke was struck.
func strikeMark(strike string, x, y float64) string {
	switch strike {
	case "poor":
		return cross(x, y, 4)
	default:
		return disc(x, y, 4)
	}
}

// sides draws how many strokes went left, stayed on line and went right as one strip.
func (d *drawing) sides(left, online, right int, names [3]string) {
	const from, to = 4, 356
	d.Width, d.Height = 360, 62
	n := float64(max(1, left+online+right))
	at := float64(from)
	for i, c := range []int{left, online, right} {
		if c == 0 {
			continue
		}
		w := float64(to-from) * float64(c) / n
		d.Paths = append(d.Paths, drawnPath{"part " + []string{"one", "between", "other"}[i], box(at+1, 22, math.Max(1, w-2), 30), names[i]})
		d.label(at+w/2, 43, middle, "count", decimalText(float64(c), 0, false))
		at += w
	}
	d.label(from, 14, start, "name", names[0])
	d.label(180, 14, middle, "name", names[1])
	d.label(to, 14, end, "name", names[2])
}
