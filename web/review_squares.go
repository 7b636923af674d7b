package web

import (
	"math"
	"strconv"
)

// quarter is one of four counts.
type quarter struct {
	N     int
	Words string // under the count
}

// squares draws four counts as squares about the middle whose areas are as the counts:
// good strikes above, poor ones below; good enough on the left, not on the right.
func (d *drawing) squares(q [4]quarter) {
	const cx, cy, side = 192, 166, 112
	d.Width, d.Height = 360, 306
	most := 1
	for _, c := range q {
		most = max(most, c.N)
	}
	d.label(cx-6, 20, end, "name", "good enough")
	d.label(cx+6, 20, start, "name", "not")
	d.label(4, cy-60, start, "name", "good")
	d.label(4, cy-43, start, "name", "strike")
	d.label(4, cy+60, start, "name", "poor")
	d.label(4, cy+77, start, "name", "strike")
	classes := [4]string{"square kept", "square plan", "square kept forgiven", "square strike"}
	for i, c := range q {
		dx, dy := -1.0, -1.0
		if i%2 == 1 {
			dx = 1
		}
		if i >= 2 {
			dy = 1
		}
		s := side * math.Sqrt(float64(c.N)/float64(most))
		if c.N > 0 {
			d.shape(classes[i], strconv.Itoa(c.N)+" "+c.Words, "M%v %vh%vv%vh%vZ", cx+dx*1.5, cy+dy*1.5, dx*s, dy*s, -dx*s)
		}
		// The count stands beside its square where it has no room in it.
		x, y := cx+dx*(s/2+1.5), cy+dy*(s/2+1.5)
		if s < 70 {
			x, y = cx+dx*(s+40), cy+dy*math.Max(s/2, 24)
		}
		d.label(x, y+2, middle, "count big", strconv.Itoa(c.N))
		d.label(x, y+18, middle, "count", c.Words)
	}
	d.shape("zero", "", "M%v 28V%vM60 %vH%v", float64(cx), float64(cy+side+14), float64(cy), float64(cx+side+14))
}
