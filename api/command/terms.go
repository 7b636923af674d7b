package command

import (
	"marram.example/events"
	"marram.example/events/competition"
)

// PresetTerms are terms to start from for one player a card: net play over 18 holes
// with the published allowance, countback as the Committee Procedures state it, and
// one tee. A caller writes what differs over them. [PresetFor] knows sides, and
// says what it does not know.
func PresetTerms(format string) events.Terms {
	t, err := PresetFor(Preset{Format: format})
	if err != nil {
		t = plainTerms(format)
	}
	return t
}

// plainTerms are terms without an allowance from the table.
func plainTerms(format string) events.Terms {
	return events.Terms{
		Format: format, Ranking: "net", Rounds: 1, Holes: HoleRange(1, 18),
		AllowancePercent: 100, AllowanceSource: "committee",
		ParDifference: comparesStrokes(format),
		TieMethod:     "countback", TieShare: "exact_fraction",
		Start: events.StartTerms{Kind: "one_tee", FirstTime: "08:00", IntervalMinutes: 10, GroupSize: 3},
		Tees:  []string{}, Divisions: []events.Division{}, Prizes: []events.Prize{},
		OnePrizeAPlayer: true, BoardPublic: true, NamesAs: "name",
	}
}

// comparesStrokes says whether a format compares strokes, so that tees of different
// par are evened out (Rules of Handicapping 6.2b). Points and holes are against the
// own tee's par already, and so is a maximum.
func comparesStrokes(format string) bool {
	unit := competition.Unit(format)
	return format != events.MaximumScore && (unit == "strokes" || format == events.MatchPlay)
}

// HoleRange lists hole numbers.
func HoleRange(first, last int) []int {
	out := make([]int, 0, last-first+1)
	for h := first; h <= last; h++ {
		out = append(out, h)
	}
	return out
}
