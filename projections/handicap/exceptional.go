package handicap

import "fmt"

const exceptionalRule = "Rules of Handicapping 5.9"

// ExceptionalBasis says which differential the exceptional score test reads.
type ExceptionalBasis int

// The zero value reads the unrounded differential, as the current published text does; RoundedDifferential serves
// associations that read the one rounded to a tenth.
const (
	UnroundedDifferential ExceptionalBasis = iota
	RoundedDifferential
)

// ExceptionalReduction returns the reduction for a score far better than the index in effect when the round was played:
// -2 strokes where the differential is 10.0 or more below the index, -1 where it is 7.0 or more below, else 0 (Rules of
// Handicapping 5.9). The reduction goes on each of the most recent 20 differentials, the exceptional one included.
// differential is the raw one, without adjustments. Impossible values are refused with an [InputError].
func ExceptionalReduction(inEffect Index, differential ExactDifferential, basis ExceptionalBasis) (int, Explanation, error) {
	if err := inEffect.Validate(); err != nil {
		return 0, nil, err
	}
	checked, err := NewExactDifferential(differential.Num, differential.denominator())
	if err != nil {
		return 0, nil, err
	}
	if basis != UnroundedDifferential && basis != RoundedDifferential {
		return 0, nil, refuse("exceptional_basis", exceptionalRule, "%d is unknown", int(basis))
	}
	reduction := exceptional(inEffect, checked, basis)
	return reduction, Explanation{exceptionalLine(inEffect, checked, basis, reduction)}, nil
}

func exceptional(inEffect Index, differential ExactDifferential, basis ExceptionalBasis) int {
	if basis == RoundedDifferential {
		differential = differential.Rounded().Exact()
	}
	den := differential.denominator()
	tenths := int64(inEffect)*den - 10*differential.Num // index - differential, in tenths, over den
	switch {
	case tenths >= 100*den:
		return -2
	case tenths >= 70*den:
		return -1
	default:
		return 0
	}
}

func exceptionalLine(inEffect Index, differential ExactDifferential, basis ExceptionalBasis, reduction int) Line {
	if basis == RoundedDifferential {
		differential = differential.Rounded().Exact()
	}
	den := differential.denominator()
	verdict := "less than 7.0: no reduction"
	switch reduction {
	case -1:
		verdict = "7.0 or more: -1 on each of the most recent 20"
	case -2:
		verdict = "10.0 or more: -2 on each of the most recent 20"
	}
	shown := differential.String()
	if differential.Num < 0 {
		shown = "(" + shown + ")"
	}
	return Line{
		Label:      "Exceptional score",
		Arithmetic: fmt.Sprintf("%s - %s = %s, %s", signedTenths(int(inEffect)), shown, signedDecimal(int64(inEffect)*den-10*differential.Num, 10*den), verdict),
		Rule:       exceptionalRule,
	}
}

// AfterScore is the unofficial estimate after one more score.
type AfterScore struct {
	Reduction    int          `json:"reduction"`    // strokes for an exceptional score: 0, -1 or -2
	Differential Differential `json:"differential"` // of the new score, rounded, with the reduction
	Estimate     Estimate     `json:"estimate"`
}

// IndexAfterScore adds a score to a record and works out the unofficial estimate after it (Rules of Handicapping 5.2, 5.8,
// 5.9). before are the differentials on record, oldest first, as adjusted so far. score is the new one, unrounded.
// inEffect is the index in effect when it was played, nil where there was none: then no score is exceptional. low is the
// low index, nil where there is none. Impossible inputs, and a record that stays below three scores, are refused with an
// [InputError]. before is not changed.
func IndexAfterScore(before []Differential, score ExactDifferential, inEffect, low *Index, basis ExceptionalBasis) (AfterScore, Explanation, error) {
	checked, err := NewExactDifferential(score.Num, score.denominator())
	if err != nil {
		return AfterScore{}, nil, err
	}
	var result AfterScore
	lines := Explanation{roundedDifferentialLine(checked)}
	if inEffect != nil {
		reduction, why, err := ExceptionalReduction(*inEffect, checked, basis)
		if err != nil {
			return AfterScore{}, nil, err
		}
		result.Reduction, lines = reduction, append(lines, why...)
	}
	record := make([]Differential, 0, recordLength)
	record = append(record, before[max(0, len(before)-recordLength+1):]...)
	record = append(record, checked.Rounded())
	for i := range record {
		record[i] += Differential(10 * result.Reduction)
	}
	result.Differential = record[len(record)-1]
	if result.Estimate, err = EstimateIndex(record, low); err != nil {
		return AfterScore{}, nil, err
	}
	why, err := ExplainIndex(record, low)
	return result, append(lines, why...), err
}
