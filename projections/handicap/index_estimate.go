package handicap

import "fmt"

// UnofficialEstimate is the label of every index that is worked out here: only a national association issues one.
const UnofficialEstimate = "unofficial estimate"

const (
	tableRule = "Rules of Handicapping 5.2a"
	// recordLength is how many of the most recent differentials make up a record.
	recordLength = 20
	// fewestDifferentials are needed for a first index: 54 holes in scores of 18 (Rules of Handicapping 4.5).
	fewestDifferentials = 3
)

// CountingDifferentials returns how many of the lowest differentials count among n on record, 3 to 20, and the adjustment
// to their average in tenths (Rules of Handicapping 5.2a, 5.2b). Other numbers are refused with an [InputError] of field
// "differentials".
func CountingDifferentials(n int) (lowest int, adjustment Differential, err error) {
	if n < fewestDifferentials || n > recordLength {
		return 0, 0, refuse("differentials", tableRule, "%d differentials are outside %d to %d", n, fewestDifferentials, recordLength)
	}
	lowest, adjustment = countingOf(n)
	return lowest, adjustment, nil
}

func countingOf(n int) (lowest int, adjustment Differential) {
	switch {
	case n == 3:
		return 1, -20
	case n == 4:
		return 1, -10
	case n == 5:
		return 1, 0
	case n == 6:
		return 2, -10
	case n <= 8:
		return 2, 0
	case n <= 11:
		return 3, 0
	case n <= 14:
		return 4, 0
	case n <= 16:
		return 5, 0
	case n <= 18:
		return 6, 0
	case n == 19:
		return 7, 0
	default:
		return 8, 0
	}
}

// Estimate is an unofficial estimate of a handicap index.
type Estimate struct {
	OnRecord int   `json:"on_record"` // differentials, 3 to 20
	Lowest   int   `json:"lowest"`    // how many of them count
	Uncapped Index `json:"uncapped"`  // average after the adjustment, to a tenth, before caps and maximum; may exceed 54.0
	Index    Index `json:"index"`     // the estimate
	Cap      Cap   `json:"cap"`
}

// EstimateIndex works out the unofficial estimate of a handicap index (Rules of Handicapping 5.2, 5.3, 5.8). differentials
// are oldest first and already carry their adjustments; only the last 20 count. The lowest of them are averaged by the
// table of rule 5.2a, the adjustment is added, the result rounded once to a tenth, capped against the low index, and held
// to 54.0. low is nil where there is none; it plays no part before 20 differentials are on record. Fewer than three
// differentials, and impossible values, are refused with an [InputError].
//
// It allocates nothing unless it refuses. [ExplainIndex] gives the same sum in words.
func EstimateIndex(differentials []Differential, low *Index) (Estimate, error) {
	recent, err := recentDifferentials(differentials)
	if err != nil {
		return Estimate{}, err
	}
	if low != nil {
		if err := validateLow(*low); err != nil {
			return Estimate{}, err
		}
	}
	return estimate(recent, low), nil
}

// estimate is EstimateIndex for 3 to 20 differentials that were checked.
func estimate(recent []Differential, low *Index) Estimate {
	result := Estimate{OnRecord: len(recent)}
	lowest, adjustment := countingOf(len(recent))
	result.Lowest = lowest
	sum := int64(lowest) * int64(adjustment)
	var kept [recordLength]Differential
	for _, d := range keepLowest(recent, lowest, &kept) {
		sum += int64(d)
	}
	result.Uncapped = Index(roundHalfUp(sum, int64(lowest)))
	if len(recent) < recordLength {
		low = nil
	}
	result.Index, result.Cap = capped(result.Uncapped, low)
	return result
}

// keepLowest returns the lowest values in rising order, in the room that is given.
func keepLowest(values []Differential, lowest int, room *[recordLength]Differential) []Differential {
	kept := room[:0]
	for _, value := range values {
		if len(kept) == lowest {
			if value >= kept[lowest-1] {
				continue
			}
			kept = kept[:lowest-1]
		}
		at := len(kept)
		kept = append(kept, value)
		for ; at > 0 && kept[at-1] > value; at-- {
			kept[at] = kept[at-1]
		}
		kept[at] = value
	}
	return kept
}

func recentDifferentials(differentials []Differential) ([]Differential, error) {
	const field = "differentials"
	if n := len(differentials); n < fewestDifferentials {
		return nil, refuse(field, "Rules of Handicapping 4.5, 5.2a", "there are %d; an index needs at least %d", n, fewestDifferentials)
	}
	for i, d := range differentials {
		if d < LowestDifferential || d > HighestDifferential {
			return nil, refuse(field, "plausible range, common practice, no source", "%s at place %d is outside %s to %s", d, i+1, LowestDifferential, HighestDifferential)
		}
	}
	return lastTwenty(differentials), nil
}

func lastTwenty(differentials []Differential) []Differential {
	return differentials[max(0, len(differentials)-recordLength):]
}

// ExplainIndex gives the sum of [EstimateIndex] in words; it refuses the same inputs.
func ExplainIndex(differentials []Differential, low *Index) (Explanation, error) {
	result, err := EstimateIndex(differentials, low)
	if err != nil {
		return nil, err
	}
	recent := lastTwenty(differentials)
	_, adjustment := countingOf(len(recent))
	var room [recordLength]Differential
	kept := keepLowest(recent, result.Lowest, &room)
	sum, text := Differential(0), ""
	for i, d := range kept {
		sum += d
		if i > 0 {
			text += " + "
		}
		text += d.bracketed()
	}
	count := int64(len(kept))
	average := fmt.Sprintf("%s / %d = %s", sum, count, signedDecimal(int64(sum), 10*count))
	if count > 1 {
		average = fmt.Sprintf("(%s) / %d = %s", text, count, signedDecimal(int64(sum), 10*count))
	}
	lines := Explanation{{
		Label:      fmt.Sprintf("Average of the lowest %d of %d differentials", count, len(recent)),
		Arithmetic: average,
		Rule:       tableRule,
	}}
	total := int64(sum) + count*int64(adjustment)
	if adjustment != 0 {
		lines = append(lines, Line{
			Label:      fmt.Sprintf("Adjustment for %d differentials", len(recent)),
			Arithmetic: fmt.Sprintf("%s - %s = %s", signedDecimal(int64(sum), 10*count), -adjustment, signedDecimal(total, 10*count)),
			Rule:       tableRule,
		})
	}
	lines = append(lines, Line{
		Label:      "Rounded to a tenth",
		Arithmetic: fmt.Sprintf("%s, a half goes up: %s%s", signedDecimal(total, 10*count), signedTenths(int(result.Uncapped)), plusNote(result.Uncapped.String(), result.Uncapped < 0)),
		Rule:       tableRule,
	})
	if len(recent) < recordLength {
		low = nil
	}
	lines = append(lines, capLines(result.Uncapped, low)...)
	return append(lines, Line{
		Label:      "Handicap index, " + UnofficialEstimate,
		Arithmetic: result.Index.String(),
		Rule:       "official indexes are issued by the national association",
	}), nil
}

// bracketed writes a differential inside a sum: -1.5 becomes (-1.5).
func (d Differential) bracketed() string {
	if d < 0 {
		return "(" + d.String() + ")"
	}
	return d.String()
}
