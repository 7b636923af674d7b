package web

import (
	"math"
	"slices"
	"strconv"
)

// miss is where a stroke finished from its aim, in the units of the drawing's words.
type miss struct {
	Across, Along float64 // right and long are positive
	Strike        string
	Past          bool // not of the round under review
}

// spread is an ellipse seen from above.
type spread struct {
	X, Y         float64 // its middle
	Major, Minor float64 // half axes
	Degrees      float64 // of the major axis, against the clock from the right
}

// scatter draws misses about the aim in the middle, from above: left is left and long
// is up. Whole is the ellipse that holds most of them, bias their middle; usual and
// today are how far across strokes finish, by all days before and by this one. Each may
// be missing.
func (d *drawing) scatter(misses []miss, whole *spread, bias *[2]float64, usual, today *float64, unit string) {
	const size, middleX, middleY, half = 360, 180, 168, 140
	d.Width, d.Height = size, 336
	reach := reachOf(misses, whole)
	step := roundStep(reach, 3)
	reach = math.Ceil(reach/step*1.02-1e-9) * step
	k := half / reach
	held := func(v float64) float64 { return math.Min(reach, math.Max(-reach, v)) } // strays stand at the edge
	x := func(v float64) float64 { return middleX + held(v)*k }
	y := func(v float64) float64 { return middleY - held(v)*k }
	for r := step; r <= reach+step/2; r += step {
		d.Paths = append(d.Paths, drawnPath{"grid", disc(middleX, middleY, r*k), ""})
	}
	d.shape("cross-hair", "", "M%v %vH%vM%v %vV%v", float64(middleX-half), float64(middleY), float64(middleX+half), float64(middleX), float64(middleY-half), float64(middleY+half))
	if whole != nil {
		d.shape("ellipse", "", "M%v %v%v", x(whole.X)-whole.Major*k*math.Cos(radians(whole.Degrees)), y(whole.Y)+whole.Major*k*math.Sin(radians(whole.Degrees)), ellipseArcs(*whole, k))
	}
	d.dots(misses, x, y)
	if usual != nil {
		d.shape("usual", "the usual direction", "M%v %vV%v", x(*usual), float64(middleY-half), float64(middleY+half))
	}
	if today != nil {
		d.shape("today", "the direction of this day", "M%v %vV%vm-7 12l7 -12l7 12", x(*today), float64(middleY+half), float64(middleY-half))
	}
	if bias != nil {
		d.Paths = append(d.Paths, drawnPath{"bias", disc(x(bias[0]), y(bias[1]), 8), "the middle of the strokes"})
		d.key("bias", "their middle", "%v", disc(8, 8, 6))
	}
	d.Paths = append(d.Paths, drawnPath{"aim", diamond(middleX, middleY, 5.5), "the aim"})
	d.key("aim", "aim", "%v", diamond(8, 8, 5.5))
	if whole != nil {
		d.key("ellipse", "holds 2 of 3 strokes", "M1 8a7 4.5 0 1 0 14 0a7 4.5 0 1 0 -14 0Z")
	}
	if usual != nil {
		d.key("usual", "usual line", "M8 1v14")
	}
	if today != nil {
		d.key("today", "line of this day", "M8 15V2m-5 6l5 -6l5 6")
	}
	d.label(middleX, 18, middle, "name", "long")
	d.label(middleX, middleY+half+20, middle, "name", "short")
	d.label(6, middleY-8, start, "name", "left")
	d.label(size-4, middleY-8, end, "name", "right")
	d.label(x(step)+3, middleY+15, start, "soft", plainFloat(step)+" "+unit)
}

// strip draws how far left and right strokes finished where nothing is known of their
// length: the latest stands on top.
func (d *drawing) strip(misses []miss, bias float64, usual, today *float64, unit string) {
	const mid, half, top, foot = 180, 150, 36, 170
	d.Width, d.Height = 360, 204
	reach := reachOf(misses, &spread{X: bias})
	step := roundStep(reach, 3)
	reach = math.Ceil(reach/step*1.02-1e-9) * step
	x := scale{-reach, reach, mid - half, mid + half}
	y := scale{0, float64(max(1, len(misses)-1)), top + 6, foot - 6}
	for v := -reach; v <= reach+step/2; v += step {
		d.shape("grid", "", "M%v %vV%v", x.at(v), float64(top), float64(foot))
		d.label(x.at(v), foot+18, middle, "soft", decimalText(math.Abs(v), decimalsOf(step), false))
	}
	d.shape("cross-hair", "", "M%v %vV%v", x.at(0), float64(top), float64(foot))
	for i := range misses {
		misses[i].Along = float64(i)
	}
	d.dots(misses, x.at, y.at)
	if usual != nil {
		d.shape("usual", "the usual direction", "M%v %vV%v", x.at(*usual), float64(top), float64(foot))
		d.key("usual", "usual line", "M8 1v14")
	}
	if today != nil {
		d.shape("today", "the direction of this day", "M%v %vV%vm-7 12l7 -12l7 12", x.at(*today), float64(foot), float64(top))
		d.key("today", "line of this day", "M8 15V2m-5 6l5 -6l5 6")
	}
	d.Paths = append(d.Paths, drawnPath{"bias", disc(x.at(bias), foot-8, 7), "the middle of the strokes"}, drawnPath{"aim", diamond(mid, top, 5.5), "the aim"})
	d.key("bias", "their middle", "%v", disc(8, 8, 6))
	d.key("aim", "aim", "%v", diamond(8, 8, 5.5))
	d.label(6, 18, start, "name", "left")
	d.label(354, 18, end, "name", "right")
	d.label(mid, 18, middle, "soft", "the latest on top, "+unit)
}

// reachOf is how far the picture shows: nine strokes in ten and the ellipse.
func reachOf(misses []miss, whole *spread) float64 {
	far := make([]float64, 0, len(misses))
	for _, m := range misses {
		far = append(far, math.Max(math.Abs(m.Across), math.Abs(m.Along)))
	}
	slices.Sort(far)
	reach := 1.0
	if len(far) > 0 {
		reach = math.Max(reach, far[len(far)*9/10-min(1, len(far)*9/10)])
	}
	if whole != nil {
		reach = math.Max(reach, math.Max(math.Abs(whole.X), math.Abs(whole.Y))+whole.Major*0.9)
	}
	return reach
}

// dots puts all strokes of one kind into one shape, strokes before the day under review
// in the background.
func (d *drawing) dots(misses []miss, x, y func(float64) float64) {
	var words []string
	past, seen := false, map[string]bool{}
	for _, kind := range []struct {
		strike string
		past   bool
	}{{"", true}, {"good", true}, {"fair", true}, {"poor", true}, {"", false}, {"good", false}, {"fair", false}, {"poor", false}} {
		shape := ""
		for _, m := range misses {
			if m.Past == kind.past && m.Strike == kind.strike {
				shape += strikeMark(m.Strike, x(m.Across), y(m.Along))
			}
		}
		if shape == "" {
			continue
		}
		class := "miss " + strikeClass(kind.strike)
		if kind.past {
			class, past = class+" past", true
		}
		d.Paths = append(d.Paths, drawnPath{class, shape, ""})
		if kind.strike == "fair" { // its middle
			d.Paths = append(d.Paths, drawnPath{"miss middle", shape, ""})
		}
		if !seen[kind.strike] {
			seen[kind.strike] = true
			words = append(words, kind.strike)
		}
	}
	for _, strike := range words {
		if len(words) > 1 || strike != "" {
			mark := strikeMark(strike, 8, 8)
			if strike == "fair" {
				mark = disc(8, 8, 3.2)
			}
			d.key("miss "+strikeClass(strike), strikeWords(strike), "%v", mark)
		}
	}
	if past {
		d.key("miss good past", "faint: earlier rounds", "%v", strikeMark("", 8, 8))
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

// strikeMark differs in shape by how a stroke was struck. A dot is a line without a
// length whose ends are round: a season of dots stays light.
func strikeMark(strike string, x, y float64) string {
	if strike == "poor" {
		return cross(x, y, 4)
	}
	return pathText("M%v %vh0", x, y)
}

// sides draws how many strokes went left, stayed on line and went right as one strip.
func (d *drawing) sides(left, online, right int) {
	names := [3]string{"left", "on line", "right"}
	const from, to = 4, 356
	d.Width, d.Height = 360, 62
	n := float64(max(1, left+online+right))
	at := float64(from)
	for i, c := range []int{left, online, right} {
		if c == 0 {
			continue
		}
		w := float64(to-from) * float64(c) / n
		class := []string{"part", "part between", "part"}[i]
		if i != 1 && c > left+right-c {
			class += " more"
		}
		d.Paths = append(d.Paths, drawnPath{class, box(at+1, 22, math.Max(1, w-2), 30), names[i] + ": " + strconv.Itoa(c)})
		d.label(at+w/2, 43, middle, "count", strconv.Itoa(c))
		at += w
	}
	d.label(from, 14, start, "name", names[0])
	d.label(180, 14, middle, "name", names[1])
	d.label(to, 14, end, "name", names[2])
}
