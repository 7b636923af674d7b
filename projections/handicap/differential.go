package handicap

import "fmt"

// Differential is a score differential of 18 holes in tenths of a stroke: 149 is 14.9. It is negative where the score
// beats the course rating.
type Differential int

// Limits of a differential, against mistyped figures: beyond what any score on any slope yields for a golfer (common
// practice, no source).
const (
	LowestDifferential  Differential = -600
	HighestDifferential Differential = 2500
)

// String shows one decimal and the mathematical sign: "14.9", "-2.3".
func (d Differential) String() string { return signedTenths(int(d)) }

// Validate refuses a differential outside -60.0 to 250.0 with an [InputError].
func (d Differential) Validate() error {
	if d < LowestDifferential || d > HighestDifferential {
		return refuse("differential", "plausible range, common practice, no source", "%s is outside %s to %s", d, LowestDifferential, HighestDifferential)
	}
	return nil
}

// Exact returns the differential as a fraction.
func (d Differential) Exact() ExactDifferential {
	divisor := gcd(int64(d), 10)
	return ExactDifferential{Num: int64(d) / divisor, Den: 10 / divisor}
}

// ExactDifferential is a score differential before it is rounded, in strokes, as a fraction in lowest terms with a
// positive denominator. Build one with [NewExactDifferential]; the zero value stands for 0.
type ExactDifferential struct {
	Num int64 `json:"num"`
	Den int64 `json:"den"`
}

// NewExactDifferential returns the differential num/den in lowest terms. It refuses a denominator that is not positive or
// needs more than eight decimals, and values outside -60 to 250, with an [InputError] of field "differential".
func NewExactDifferential(num, den int64) (ExactDifferential, error) {
	const field = "differential"
	if den <= 0 {
		return ExactDifferential{}, refuse(field, "", "the denominator must be positive, not %d", den)
	}
	divisor := gcd(num, den)
	n, d := num/divisor, den/divisor
	if d > maxDenominator {
		return ExactDifferential{}, refuse(field, "", "%d/%d is finer than eight decimals", num, den)
	}
	if n < int64(LowestDifferential)/10*d || n > int64(HighestDifferential)/10*d {
		return ExactDifferential{}, refuse(field, "plausible range, common practice, no source",
			"%d/%d is outside %s to %s", num, den, LowestDifferential, HighestDifferential)
	}
	return ExactDifferential{Num: n, Den: d}, nil
}

// Rounded returns the differential to a tenth; a half goes up, so that -1.55 becomes -1.5 (Rules of Handicapping 5.1c).
func (e ExactDifferential) Rounded() Differential {
	return Differential(roundHalfUp(10*e.Num, e.denominator()))
}

// String shows up to three decimals and the mathematical sign.
func (e ExactDifferential) String() string { return signedDecimal(e.Num, e.denominator()) }

func (e ExactDifferential) denominator() int64 {
	if e.Den == 0 {
		return 1
	}
	return e.Den
}

// The range of a playing conditions calculation (Rules of Handicapping 5.6). The association works it out; here it is an
// input, 0 while it is pending.
const (
	LowestConditions  = -1
	HighestConditions = 3
)

// ScoreDifferential returns the unrounded score differential of an adjusted gross score (Rules of Handicapping 5.1):
//
//	18 holes: 113/slope x (score - rating - pcc)
//	 9 holes: 113/slope x (score - rating - pcc/2), with the slope and rating of the nine holes played
//
// An 18-hole differential is then rounded with [ExactDifferential.Rounded]. A nine-hole one stays unrounded until an
// expected differential completes it; see [ExpectedTable]. pcc is the day's playing conditions calculation, -1 to 3.
// Impossible inputs are refused with an [InputError].
func ScoreDifferential(holes, adjustedGross int, rating Rating, slope Slope, pcc int) (ExactDifferential, Explanation, error) {
	exact, err := scoreDifferential(holes, adjustedGross, rating, slope, pcc)
	if err != nil {
		return ExactDifferential{}, nil, err
	}
	return exact, explainDifferential(holes, adjustedGross, rating, slope, pcc, exact), nil
}

func scoreDifferential(holes, adjustedGross int, rating Rating, slope Slope, pcc int) (ExactDifferential, error) {
	if err := validateHoleCount(holes); err != nil {
		return ExactDifferential{}, err
	}
	// Par has no part in a differential; four strokes a hole pass the check that is shared with the course handicap.
	if err := validateTee(holes, slope, rating, 4*holes); err != nil {
		return ExactDifferential{}, err
	}
	if low, high := holes, (6+mostAbovePar)*holes; adjustedGross < low || adjustedGross > high {
		return ExactDifferential{}, refuse("adjusted_gross", "at least one stroke and at most par + 5 a hole",
			"%d is outside %d to %d for %d holes", adjustedGross, low, high, holes)
	}
	if pcc < LowestConditions || pcc > HighestConditions {
		return ExactDifferential{}, refuse("pcc", "Rules of Handicapping 5.6", "%d is outside %d to %d", pcc, LowestConditions, HighestConditions)
	}
	conditions := 20 * pcc // in twentieths of a stroke, so that half a stroke stays whole
	if holes == 9 {
		conditions = 10 * pcc
	}
	above := int64(20*adjustedGross - 2*int(rating) - conditions)
	return NewExactDifferential(int64(StandardSlope)*above, 20*int64(slope))
}

func explainDifferential(holes, adjustedGross int, rating Rating, slope Slope, pcc int, exact ExactDifferential) Explanation {
	rule, conditions := "Rules of Handicapping 5.1a", bracketed(pcc)
	if holes == 9 {
		rule, conditions = "Rules of Handicapping 5.1b", fmt.Sprintf("0.5 x %s", bracketed(pcc))
	}
	lines := Explanation{{
		Label:      "Score differential, unrounded",
		Arithmetic: fmt.Sprintf("%d/%d x (%d - %s - %s) = %s", StandardSlope, slope, adjustedGross, rating, conditions, exact),
		Rule:       rule,
	}}
	if holes == 9 {
		lines[0].Label = "Score differential of nine holes, left unrounded"
		return lines
	}
	return append(lines, roundedDifferentialLine(exact))
}

func roundedDifferentialLine(exact ExactDifferential) Line {
	return Line{
		Label:      "Score differential",
		Arithmetic: fmt.Sprintf("%s to a tenth, a half goes up: %s", exact, exact.Rounded()),
		Rule:       "Rules of Handicapping 5.1c",
	}
}
