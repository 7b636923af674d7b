package standing

import (
	"marram.example/events"
	"marram.example/events/competition"
	"marram.example/projections/scoring"
)

// Cut works out who plays on after the present round, in the competition's own
// ranking without breaking ties. Who has no total is on neither side.
func Cut(comp *competition.State, cards Cards) (events.CutMade, error) {
	uncut := *comp
	uncut.Cut = nil // made again, it does not go by itself
	comp = &uncut
	format, err := scoring.FormatByName(comp.RoundTerms().Format)
	if err != nil {
		return events.CutMade{}, err
	}
	var entries []scoring.Entry
	for _, e := range comp.Field() {
		entry, err := finalEntry(comp, e.ID, cards[e.ID], comp.Terms.Ranking)
		if err != nil {
			return events.CutMade{}, err
		}
		entries = append(entries, entry)
	}
	places, err := scoring.Rank(entries, scoring.RankTerms{Format: format})
	if err != nil {
		return events.CutMade{}, err
	}
	cut, err := scoring.MakeCut(*comp.Terms.Cut, places, format)
	return events.CutMade{AfterRound: comp.Round, Through: cut.Through, Missed: cut.Missed, Line: cut.Line, Words: cut.Words}, err
}
