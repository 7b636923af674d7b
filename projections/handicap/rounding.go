package handicap

// RoundTenth rounds num/den to tenths and returns the number of tenths; a half goes up, toward plus infinity, so that
// -1.55 becomes -1.5 (Rules of Handicapping 5.1c). The denominator must be positive; values so large that the
// arithmetic would overflow are refused.
func RoundTenth(num, den int64) (int64, error) {
	if den <= 0 {
		return 0, refuse("value", "", "the denominator must be positive, not %d", den)
	}
	const limit = 1 << 58 // 2*(10*num) + den and 2*den stay inside an int64
	if num <= -limit || num >= limit || den >= limit {
		return 0, refuse("value", "", "%d/%d is too large to be rounded exactly", num, den)
	}
	return roundHalfUp(10*num, den), nil
}

// roundHalfUp is floor(num/den + 1/2) for a positive den. The caller keeps 2*num + den inside an int64.
func roundHalfUp(num, den int64) int64 {
	return floorDiv(2*num+den, 2*den)
}

// floorDiv is the quotient rounded toward minus infinity, for a positive den; Go's own division goes toward zero.
func floorDiv(num, den int64) int64 {
	q := num / den
	if num%den < 0 {
		q--
	}
	return q
}
