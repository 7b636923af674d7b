package handicap

import "fmt"

// Explain gives the arithmetic of one round in words: its differential, the exceptional score test and what it carries.
func (f RoundFigures) Explain() Explanation {
	var lines Explanation
	round := f.Round
	switch {
	case round.Official != nil:
		lines = append(lines, Line{Label: "Score differential", Arithmetic: "given by the association: " + f.Differential.String(), Rule: "Rules of Handicapping 5.1"})
	case f.nine != nil:
		lines = append(lines, explainDifferential(9, round.AdjustedGross, round.Rating, round.Slope, round.PCC, *f.nine)...)
		if f.expected != nil {
			lines = append(lines,
				Line{
					Label:      "Expected differential of the other nine holes",
					Arithmetic: fmt.Sprintf("%s for an index of %s", *f.expected, *f.InEffect),
					Rule:       "Rules of Handicapping 5.1b; figures: " + f.source,
				},
				Line{
					Label:      "Score differential, unrounded",
					Arithmetic: fmt.Sprintf("%s + %s = %s", *f.nine, *f.expected, *f.Unrounded),
					Rule:       "Rules of Handicapping 5.1b",
				},
				roundedDifferentialLine(*f.Unrounded))
		}
	case f.Unrounded != nil:
		lines = append(lines, explainDifferential(18, round.AdjustedGross, round.Rating, round.Slope, round.PCC, *f.Unrounded)...)
	}
	if f.Differential == nil {
		return append(lines, Line{Label: "No score differential", Arithmetic: f.Reason, Rule: "Rules of Handicapping 3.2, 5.1b"})
	}
	return append(lines, f.explainAdjustment()...)
}

func (f RoundFigures) explainAdjustment() Explanation {
	var lines Explanation
	switch {
	case f.InEffect == nil:
	case f.Round.NoReduction:
		lines = append(lines, Line{Label: "Exceptional score", Arithmetic: "the committee set a reduction aside", Rule: exceptionalRule})
	default:
		line := exceptionalLine(*f.InEffect, *f.Unrounded, UnroundedDifferential, f.Reduction)
		if f.roundedTest {
			line = exceptionalLine(*f.InEffect, *f.Unrounded, RoundedDifferential, f.Reduction)
		}
		if f.StandsIn {
			line.Rule += "; no official index is known, so the estimate before the round stands in"
		}
		lines = append(lines, line)
	}
	if f.Adjustment != 0 {
		lines = append(lines, Line{
			Label:      "Adjusted score differential",
			Arithmetic: fmt.Sprintf("%s + %s = %s", *f.Differential, f.Adjustment.bracketed(), *f.Adjusted),
			Rule:       exceptionalRule + " and adjustments by the committee",
		})
	}
	return lines
}

// Explain gives the arithmetic of the estimate in words, from the adjusted differentials to the index. The rounds explain
// themselves, each with [RoundFigures.Explain].
func (r Record) Explain() Explanation {
	var lines Explanation
	if r.Estimate == nil {
		lines = append(lines, Line{
			Label:      "No estimate",
			Arithmetic: fmt.Sprintf("%d differentials on record; an index needs at least %d", r.Differentials, fewestDifferentials),
			Rule:       "Rules of Handicapping 4.5, 5.2a",
		})
	} else {
		lines = r.explainEstimate()
	}
	if r.Official != nil {
		lines = append(lines, Line{
			Label:      "Official handicap index",
			Arithmetic: r.Official.String() + ", as issued; it is the one that counts",
			Rule:       "official indexes are issued by the national association",
		})
	}
	return lines
}

func (r Record) explainEstimate() Explanation {
	var room [recordLength]Differential
	recent := room[:0]
	for i := range r.Rounds {
		if r.Rounds[i].Recent {
			recent = append(recent, *r.Rounds[i].Adjusted)
		}
	}
	var lines Explanation
	var low *Index
	if r.Low != nil {
		low = &r.Low.Index
		lines = append(lines, Line{
			Label:      "Low index",
			Arithmetic: fmt.Sprintf("%s on %s, the lowest of the 365 days before the most recent score", r.Low.Index, r.Low.Date),
			Rule:       "Rules of Handicapping 5.7",
		})
	}
	why, err := ExplainIndex(recent, low)
	if err != nil { // adjustments took a differential beyond what is plausible
		return append(lines, Line{Label: "No explanation", Arithmetic: err.Error()})
	}
	return append(lines, why...)
}
