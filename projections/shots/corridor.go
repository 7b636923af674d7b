package shots

// Corridor is where the next stroke is expected to finish across the line of play; the three chances add up to 1.
type Corridor struct {
	Inside float64 `json:"inside"`
	Left   float64 `json:"left"`  // beyond the left edge
	Right  float64 `json:"right"` // beyond the right edge
}

// CorridorOf is how often a pattern hits a corridor. Its edges lie left metres to the left and right metres to the right of the
// target line; one of them may be negative, which puts the corridor wholly on the other side. Bias includes a deliberate aim
// beside the line. Any one unit serves for all four.
//
// It returns an *InputError for values that are not finite, a spread that is not above 0, or edges that leave no corridor.
func CorridorOf(bias, spread, left, right float64) (Corridor, error) {
	if err := checkCorridor(bias, spread, left, right); err != nil {
		return Corridor{}, err
	}
	return corridorAt(bias, spread, left, right), nil
}

func corridorAt(mean, spread, left, right float64) Corridor {
	c := Corridor{Left: below((-left - mean) / spread), Right: below((mean - right) / spread)}
	c.Inside = max(0, 1-c.Left-c.Right)
	return c
}

func checkCorridor(bias, spread, left, right float64) error {
	for _, v := range []struct {
		field string
		value float64
	}{{"bias", bias}, {"spread", spread}, {"left", left}, {"right", right}} {
		if !finite(v.value) {
			return refuse(v.field, "", "is not a finite number")
		}
	}
	if spread <= 0 {
		return refuse("spread", "above 0", "%g is not above 0", spread)
	}
	if width := left + right; !(width > 0) || !finite(width) {
		return refuse("right", "left + right above 0", "the edges leave no corridor between them")
	}
	return nil
}
