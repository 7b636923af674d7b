package web

// puttRow is one band of distances on the green.
type puttRow struct {
	Name          string
	Holed, Tries  int
	Low, High     float64 // what the share may be, 95 of 100
	Expected      float64 // share of the baseline; 0 where it has none
	ExpectedKnown bool
}

// puttRows draws the share of putts holed by distance, a row a band, with what it may
// be and what the baseline holes.
func (d *drawing) puttRows(rows []puttRow) {
	const left, right, top, row = 100, 290, 34, 36
	d.Width, d.Height = 360, top+row*len(rows)+8
	x := scale{0, 1, left, right}
	foot := float64(d.Height - 8)
	for i, words := range []string{"none", "half", "all"} {
		v := float64(i) / 2
		d.shape("grid", "", "M%v %vV%v", x.at(v), float64(top-6), foot)
		d.label(x.at(v), 20, middle, "soft", words)
	}
	for i, r := range rows {
		y := float64(top+row*i) + row/2
		d.label(4, y+5, start, "name", r.Name)
		d.label(356, y+5, end, "figure", fracText(r.Holed, r.Tries))
		if r.Tries > 0 {
			share := float64(r.Holed) / float64(r.Tries)
			d.shape("range", "", "M%v %vH%v", x.at(r.Low), y, x.at(r.High))
			d.Paths = append(d.Paths, drawnPath{"own", disc(x.at(share), y, 6.5), r.Name + ": " + fracText(r.Holed, r.Tries) + " holed"})
		}
		if r.ExpectedKnown {
			d.shape("expected", "baseline", "M%v %vv22", x.at(r.Expected), y-11)
		}
	}
	d.key("own", "holed", "%v", disc(8, 8, 6))
	d.key("range", "may be anywhere here", "M1 8h14")
	d.key("expected", "baseline", "M8 2v12")
}

func fracText(n, of int) string {
	return decimalText(float64(n), 0, false) + " of " + decimalText(float64(of), 0, false)
}
