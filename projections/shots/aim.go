package shots

import "math"

// Aim is where to aim in a corridor so that the strokes lost beyond its edges are fewest. Right is positive; lengths are in the
// unit of what was given.
type Aim struct {
	Offset  float64  `json:"offset"`   // from the target line, instead of aiming at it
	Mean    float64  `json:"mean"`     // where the middle of the pattern then falls
	Cost    float64  `json:"cost"`     // strokes lost a stroke, with that aim
	CostNow float64  `json:"cost_now"` // with the aim that bias was measured with
	Saved   float64  `json:"saved"`    // CostNow less Cost
	Chances Corridor `json:"chances"`  // with that aim
	Now     Corridor `json:"now"`      // with the aim that bias was measured with

	// Widest is the offset that hits the corridor most often, whatever the two sides cost.
	Widest float64 `json:"widest"`

	// Bailout says that the dear side is so dear, or the corridor so narrow, that the cost would fall on beyond the cheap edge.
	// The advice is capped there: further out the cheap side is no longer cheap.
	Bailout bool `json:"bailout"`
}

// BestAim is the aim with the least expected cost costLeft·P(left) + costRight·P(right), the costs being strokes lost beyond
// either edge. The pattern's mean belongs at
//
//	(right - left)/2 + spread² · ln(costLeft/costRight)/(left + right)
//
// (the only zero of the derivative), but never beyond an edge. Where neither side costs anything the middle is as good as any.
// Give the predictive spread, so that what is not known of the bias widens the pattern (Pattern.At).
//
// It returns an *InputError where CorridorOf does, and for a cost that is negative or not finite.
func BestAim(bias, spread, left, right, costLeft, costRight float64) (Aim, error) {
	if err := checkCorridor(bias, spread, left, right); err != nil {
		return Aim{}, err
	}
	if !finite(costLeft) || costLeft < 0 {
		return Aim{}, refuse("cost_left", "strokes lost, 0 or more", "%g is not", costLeft)
	}
	if !finite(costRight) || costRight < 0 {
		return Aim{}, refuse("cost_right", "strokes lost, 0 or more", "%g is not", costRight)
	}
	centre := (right - left) / 2
	mean := centre
	if costLeft > 0 || costRight > 0 {
		// A side that costs nothing makes the logarithm infinite, and the cap below decides.
		mean += spread * spread * (math.Log(costLeft) - math.Log(costRight)) / (left + right)
	}
	capped := min(max(mean, -left), right)
	at, now := corridorAt(capped, spread, left, right), corridorAt(bias, spread, left, right)
	aim := Aim{
		Offset: capped - bias, Mean: capped, Chances: at, Now: now, Widest: centre - bias, Bailout: capped != mean,
		Cost: costLeft*at.Left + costRight*at.Right, CostNow: costLeft*now.Left + costRight*now.Right,
	}
	aim.Saved = aim.CostNow - aim.Cost
	return aim, nil
}
