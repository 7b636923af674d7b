package shots

// curve is the values of one lie: straight lines between rows.
type curve struct {
	unit  float64   // metres in one unit of x
	x, y  []float64 // distances, ascending; strokes
	slope []float64 // of the line after each row but the last
	first []uint16  // for each whole unit of x: the last row that is not beyond it (0 before the first)
}

// newCurve needs two rows or more, in ascending order.
func newCurve(unit float64, x, y []float64) *curve {
	c := &curve{unit: unit, x: x, y: y, slope: make([]float64, len(x)-1)}
	for i := range c.slope {
		c.slope[i] = (y[i+1] - y[i]) / (x[i+1] - x[i])
	}
	c.first = make([]uint16, int(x[len(x)-1])+1)
	row := 0
	for cell := range c.first {
		for row < len(c.slope)-1 && x[row+1] <= float64(cell) {
			row++
		}
		c.first[cell] = uint16(row)
	}
	return c
}

// at needs x between the first and the last row.
func (c *curve) at(x float64) float64 {
	row := int(c.first[int(x)])
	for row < len(c.slope)-1 && c.x[row+1] <= x {
		row++
	}
	return c.y[row] + (x-c.x[row])*c.slope[row]
}
