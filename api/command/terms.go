package command

import (
	"marram.example/events"
	"marram.example/projections/handicap"
)

// PresetTerms are terms to start from: individual net stroke play over 18 holes
// with the published allowance, countback as the Committee Procedures state it,
// and one tee. A caller writes what differs over them.
func PresetTerms(format string) events.Terms {
	if format == "" {
		format = "stroke_play"
	}
	t := events.Terms{
		Format: format, Ranking: "net", Rounds: 1, Holes: HoleRange(1, 18),
		AllowancePercent: 100, AllowanceSource: "committee",
		ParDifference: format == "stroke_play", // points are against the own tee's par already (Rules of Handicapping 6.2b)
		TieMethod:     "countback", TieShare: "exact_fraction",
		Start: events.StartTerms{Kind: "one_tee", FirstTime: "08:00", IntervalMinutes: 10, GroupSize: 3},
		Tees:  []string{}, Divisions: []events.Division{}, Prizes: []events.Prize{},
		OnePrizeAPlayer: true, BoardPublic: true, NamesAs: "name",
	}
	if a, err := handicap.AllowanceFor(format, 0, 0); err == nil && len(a.Percents) == 1 {
		t.AllowancePercent = int(a.Percents[0]) / int(handicap.Percent(1))
		t.AllowanceSource = a.Source
	}
	return t
}

// HoleRange lists hole numbers.
func HoleRange(first, last int) []int {
	out := make([]int, 0, last-first+1)
	for h := first; h <= last; h++ {
		out = append(out, h)
	}
	return out
}
