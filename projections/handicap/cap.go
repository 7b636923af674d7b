package handicap

import "fmt"

const capRule = "Rules of Handicapping 5.8"

// Cap says which limit on upward movement shaped an index.
type Cap string

// A soft cap halves what exceeds the low index by more than 3.0. A hard cap holds the index at 5.0 above the low index.
const (
	NoCap   Cap = "none"
	SoftCap Cap = "soft"
	HardCap Cap = "hard"
)

const (
	softCapFrom = 30 // tenths above the low index
	hardCapAt   = 50 // tenths above the low index
)

// CapIndex limits the upward movement of an index against the low index of the preceding 365 days, then holds it to 54.0
// (Rules of Handicapping 5.3, 5.8). average is the index before caps, already rounded to a tenth. With d = average - low:
// up to 3.0 nothing happens; beyond, the soft cap gives low + 3.0 + (d - 3.0)/2, and the hard cap never lets it go above
// low + 5.0, which it reaches at d = 7.0; the result is rounded to a tenth, a half going up. At d = 7.0 exactly both give
// low + 5.0, and the hard cap, which starts there, is named. low is nil where there is none. Impossible values are refused
// with an [InputError].
func CapIndex(average Index, low *Index) (Index, Cap, Explanation, error) {
	if d := Differential(average); d < LowestDifferential || d > HighestDifferential {
		return 0, NoCap, nil, refuse("average", "plausible range, common practice, no source", "%s is outside %s to %s", d, LowestDifferential, HighestDifferential)
	}
	if low != nil {
		if err := validateLow(*low); err != nil {
			return 0, NoCap, nil, err
		}
	}
	index, limit := capped(average, low)
	return index, limit, capLines(average, low), nil
}

func validateLow(low Index) error {
	if low < LowestIndex || low > HighestIndex {
		return refuse("low_index", indexRule, "%s is outside %s to %s", low, LowestIndex, HighestIndex)
	}
	return nil
}

func capped(average Index, low *Index) (Index, Cap) {
	limit := NoCap
	if low != nil {
		average, limit = cappedOnly(average, *low)
	}
	return min(average, HighestIndex), limit
}

// capLines explains capped: caps where there is a low index, and the maximum where it bites.
func capLines(average Index, low *Index) Explanation {
	var lines Explanation
	index := average
	if low != nil {
		var limit Cap
		above := average - *low
		index, limit = cappedOnly(average, *low)
		line := Line{
			Label:      "Movement above the low index",
			Arithmetic: fmt.Sprintf("%s - %s = %s: no cap up to 3.0", signedTenths(int(average)), Differential(*low).bracketed(), signedTenths(int(above))),
			Rule:       capRule,
		}
		switch limit {
		case SoftCap:
			line.Label = "Soft cap"
			line.Arithmetic = fmt.Sprintf("%s + 3.0 + (%s - 3.0) / 2 = %s, to a tenth %s",
				signedTenths(int(*low)), signedTenths(int(above)), signedDecimal(int64(2**low+softCapFrom+above), 20), signedTenths(int(index)))
		case HardCap:
			line.Label = "Hard cap"
			line.Arithmetic = fmt.Sprintf("%s + 3.0 + (%s - 3.0) / 2 = %s, never above %s + 5.0 = %s",
				signedTenths(int(*low)), signedTenths(int(above)), signedDecimal(int64(2**low+softCapFrom+above), 20), signedTenths(int(*low)), signedTenths(int(index)))
		case NoCap:
		}
		lines = append(lines, line)
	}
	if index > HighestIndex {
		lines = append(lines, Line{
			Label:      "Maximum",
			Arithmetic: fmt.Sprintf("%s becomes %s", signedTenths(int(index)), HighestIndex),
			Rule:       "Rules of Handicapping 5.3",
		})
	}
	return lines
}

// cappedOnly is capped without the maximum of 54.0.
func cappedOnly(average, low Index) (Index, Cap) {
	above := average - low
	if above <= softCapFrom {
		return average, NoCap
	}
	rise := softCapFrom + above // twice the permitted rise keeps the half whole: 2 x 3.0 + (d - 3.0)
	if rise >= 2*hardCapAt {
		return low + hardCapAt, HardCap
	}
	return Index(roundHalfUp(int64(2*low+rise), 2)), SoftCap
}
