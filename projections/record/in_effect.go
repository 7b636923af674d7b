package record

import (
	"fmt"

	"marram.example/events"
	"marram.example/projections/handicap"
)

// inEffect is the index that a round is measured with: the official one of the day
// wins, then the unofficial estimate after the rounds before; else there is none.
type inEffect struct {
	index    *handicap.Index
	official bool
	line     handicap.Line
}

const ruleInEffect = "Rules of Handicapping 3.1, 5.9"

// inEffect finds the index for a round. An index that the committee set is not
// asked: only the association's establishes one.
func (in Input) inEffect(c Card, before []handicap.Round) (inEffect, error) {
	if x, ok := in.official(c.Date); ok {
		return inEffect{&x.Index, true, handicap.Line{
			Label: "Index in effect", Arithmetic: fmt.Sprintf("%s, official, counting from %s", x.Index, x.Date), Rule: ruleInEffect,
		}}, nil
	}
	if f := c.State.Figures; f.IndexOrigin == events.OriginOfficial {
		x := handicap.Index(f.IndexTenths)
		return inEffect{&x, true, handicap.Line{
			Label: "Index in effect", Arithmetic: fmt.Sprintf("%s, official, as the card has it", x), Rule: ruleInEffect,
		}}, nil
	}
	worked, err := handicap.WorkOutRecord(before, handicap.RecordTerms{Expected: in.Expected})
	if err != nil {
		return inEffect{}, err
	}
	if e := worked.Estimate; e != nil {
		return inEffect{&e.Index, false, handicap.Line{
			Label:      "Index in effect",
			Arithmetic: fmt.Sprintf("%s, the %s before the round: no official index is known for the day", e.Index, handicap.UnofficialEstimate),
			Rule:       ruleInEffect,
		}}, nil
	}
	return inEffect{line: handicap.Line{
		Label: "Index in effect", Arithmetic: "none: no official index is known for the day, and too few rounds came before", Rule: "Rules of Handicapping 3.1a, 4.5",
	}}, nil
}

// official is the official index in effect on a day: the latest one, and among
// those of one day the one recorded last.
func (in Input) official(day string) (handicap.DatedIndex, bool) {
	var best handicap.DatedIndex
	found := false
	for _, x := range in.Official {
		if x.Date <= day && (!found || x.Date >= best.Date) {
			best, found = x, true
		}
	}
	return best, found
}
