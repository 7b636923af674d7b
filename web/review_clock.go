package web

import "math"

// clocked is one stroke whose time is known.
type clocked struct {
	At      float64 // place in the round, from 0 to 1
	Seconds float64
	Putt    bool
	Words   string
}

// clock draws seconds over a round, with the 40 of the Rules' recommendation.
func (d *drawing) clock(strokes []clocked, from, to string) {
	const left, right, top, foot = 40, 350, 22, 170
	d.Width, d.Height = 360, 196
	most := 45.0
	for _, s := range strokes {
		most = math.Max(most, s.Seconds)
	}
	most = math.Min(most, 120) // slower strokes stand at the upper edge
	step := roundStep(most, 4)
	y := scale{0, most, foot, top}
	for v := 0.0; v <= most; v += step {
		d.shape("grid", "", "M%v %vH%v", float64(left), y.at(v), float64(right))
		d.label(left-5, y.at(v)+4, end, "soft", plainFloat(v))
	}
	d.label(4, 13, start, "soft", "seconds")
	d.shape("limit", "", "M%v %vH%v", float64(left), y.at(40), float64(right))
	d.label(right, y.at(40)-5, end, "name", "40 s")
	x := scale{0, 1, left + 8, right - 8}
	for _, s := range strokes {
		if s.Putt {
			d.Paths = append(d.Paths, drawnPath{"timed putt", diamond(x.at(s.At), y.at(s.Seconds), 4.5), s.Words})
		} else {
			d.Paths = append(d.Paths, drawnPath{"timed", disc(x.at(s.At), y.at(s.Seconds), 3.8), s.Words})
		}
	}
	d.label(left, foot+18, start, "soft", from)
	d.label(right, foot+18, end, "soft", to)
	d.key("timed", "stroke", "%v", disc(8, 8, 5))
	d.key("timed putt", "putt", "%v", diamond(8, 8, 6))
	d.key("limit", "40 s: the Rules recommend no more", "M1 8h14")
}
