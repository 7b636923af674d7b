package competition_test

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"marram.example/events"
	"marram.example/events/competition"
)

func TestPlan(t *testing.T) {
	t.Parallel()
	plan := competition.Plan{Name: "Saturday medal", Date: "2026-05-02"}
	sunday := competition.Plan{Name: "Saturday medal", Date: "2026-05-03"}
	moved := given(events.CompetitionPlanned{Name: "Saturday medal", Date: "2026-05-03"})
	decider.Check(t, []rule{
		{Rule: "a competition has a name and a day", Source: marram, When: plan, Then: planned},
		{Rule: "a name of 120 characters fits, whatever bytes they take", Source: marram, When: competition.Plan{Name: strings.Repeat("ø", 120), Date: "2026-05-02"},
			Then: given(events.CompetitionPlanned{Name: strings.Repeat("ø", 120), Date: "2026-05-02"})},
		{Rule: "a name of 121 characters does not", Source: marram, When: competition.Plan{Name: strings.Repeat("o", 121), Date: "2026-05-02"}, Refused: invalid("required", "name")},
		{Rule: "a name is not only spaces", Source: marram, When: competition.Plan{Name: "  ", Date: "2026-05-02"}, Refused: invalid("required", "name")},
		{Rule: "31 April is no day", Source: marram, When: competition.Plan{Name: "Medal", Date: "2026-04-31"}, Refused: invalid("malformed", "date")},
		{Rule: "the same again changes nothing", Source: "promise 2", Given: planned, When: plan},
		{Rule: "the same again changes nothing during play", Source: "promise 2", Given: open, When: plan},
		{Rule: "the day may move before play", Source: marram, Given: onSheet, When: sunday, Then: moved},
		{Rule: "the day is fixed once cards are out", Source: stated, Given: open, When: sunday, Refused: notNow("round_open", "name")},
		{Rule: "nothing but a plan begins a competition", Source: marram, When: competition.OpenRound{}, Refused: refused(events.KindNotFound, "not_found", "competition_id")},
	})
}

func TestSetTerms(t *testing.T) {
	t.Parallel()
	gross := with(func(t *events.Terms) { t.Ranking = "gross" })
	decider.Check(t, []rule{
		{Rule: "the committee states the terms", Source: stated, Given: planned, When: set(medalTerms()), Then: given(events.TermsSet{Terms: medalTerms()})},
		{Rule: "the same terms again change nothing", Source: "promise 2", Given: stating, When: set(medalTerms())},
		{Rule: "terms may change while a start sheet stands", Source: stated, Given: onSheet, When: set(gross), Then: given(events.TermsSet{Terms: gross})},
		{Rule: "terms are fixed once cards are out", Source: stated, Given: open, When: set(gross), Refused: notNow("round_open", "terms")},
		{Rule: "terms stay fixed while play is stopped", Source: stated, Given: stopped, When: set(gross), Refused: notNow("round_open", "terms")},
		{Rule: "terms stay fixed after play", Source: stated, Given: published, When: set(gross), Refused: notNow("round_open", "terms")},
		{Rule: "a tee that an entry plays stays in the terms", Source: marram, Given: entered, When: set(with(func(t *events.Terms) { t.Tees = []string{"Red"} })), Refused: conflict("tee_in_use", "tees")},
		{Rule: "the field limit is not below the field", Source: marram, Given: entered, When: set(with(func(t *events.Terms) { t.FieldLimit = 2 })), Refused: conflict("field_full", "field_limit")},
		{Rule: "a competition that was never planned has no terms", Source: marram, When: set(gross), Refused: refused(events.KindNotFound, "not_found", "competition_id")},
	})
}

func TestTermsThatCanBePlayed(t *testing.T) {
	t.Parallel()
	limit := func(n int) *int { return &n }
	for name, change := range map[string]func(*events.Terms){
		"Stableford":                                 func(t *events.Terms) { t.Format = "stableford" },
		"gross first":                                func(t *events.Terms) { t.Ranking = "gross" },
		"a scratch competition":                      func(t *events.Terms) { t.AllowancePercent = 0 },
		"no limit, no divisions, no prizes":          func(t *events.Terms) { t.FieldLimit, t.Divisions, t.Prizes = 0, nil, nil },
		"the front nine of a tee rated for it":       func(t *events.Terms) { t.Holes, t.Tees = holes(1, 9), []string{"White"} },
		"the back nine of a tee rated for it":        func(t *events.Terms) { t.Holes, t.Tees = holes(10, 18), []string{"White"} },
		"nine holes of a course of nine":             func(t *events.Terms) { t.Holes, t.Tees = holes(1, 9), []string{"Short"} },
		"a maximum index":                            func(t *events.Terms) { t.MaximumIndexTenths = limit(360) },
		"names in full, on a board that is public":   func(t *events.Terms) { t.NamesAs, t.BoardPublic = "name", true },
		"a two-tee start":                            func(t *events.Terms) { t.Start.Kind = "two_tee" },
		"a shotgun without an interval":              func(t *events.Terms) { t.Start.Kind, t.Start.IntervalMinutes = "shotgun", 0 },
		"a division with one index":                  func(t *events.Terms) { t.Divisions[0].FromTenths = 124 },
		"a tie that stands":                          func(t *events.Terms) { t.TieMethod = "shared" },
		"shares of the handicap rounded half up":     func(t *events.Terms) { t.TieShare = "rounded_half_up" },
		"handicap strokes as allocated, on the hole": func(t *events.Terms) { t.TieShare = "as_allocated" },
	} {
		require.NoError(t, competition.CheckTerms(with(change), courses()), name)
	}
}

func TestTermsThatCannotBePlayed(t *testing.T) {
	t.Parallel()
	limit := func(n int) *int { return &n }
	var cases []rule
	for _, c := range []struct {
		rule, source, code, field string
		change                    func(*events.Terms)
	}{
		{"the format is one that is known here", stated, "unknown", "format", func(t *events.Terms) { t.Format = "" }},
		{"a competition says net or gross first", stated, "unknown", "ranking", func(t *events.Terms) { t.Ranking = "points" }},
		{"a competition has at most four rounds", marram, "out_of_range", "rounds", func(t *events.Terms) { t.Rounds = 5 }},
		{"a competition has a round", marram, "out_of_range", "rounds", func(t *events.Terms) { t.Rounds = 0 }},
		{"an allowance is not negative", "Rules of Handicapping, Appendix C", "out_of_range", "allowance_percent", func(t *events.Terms) { t.AllowancePercent = -1 }},
		{"an allowance of 201 % is a slip", unsourced, "out_of_range", "allowance_percent", func(t *events.Terms) { t.AllowancePercent = 201 }},
		{"the terms say how ties are decided", ties, "unknown", "tie_method", func(t *events.Terms) { t.TieMethod = "" }},
		{"the terms say what share of the handicap counts", ties, "unknown", "tie_share", func(t *events.Terms) { t.TieShare = "half" }},
		{"a field limit is not negative", marram, "out_of_range", "field_limit", func(t *events.Terms) { t.FieldLimit = -1 }},
		{"names are shown in one of two ways", marram, "unknown", "names_as", func(t *events.Terms) { t.NamesAs = "nickname" }},
		{"a maximum index is at most 54.0", "Rules of Handicapping 5.3", "out_of_range", "maximum_index_tenths", func(t *events.Terms) { t.MaximumIndexTenths = limit(541) }},
		{"seventeen holes are no round", "Rules of Golf 5.1", "hole_list", "holes", func(t *events.Terms) { t.Holes = holes(1, 17) }},
		{"the middle nine is no round here", marram, "hole_list", "holes", func(t *events.Terms) { t.Holes = holes(5, 13) }},
		{"holes stand in order", marram, "hole_list", "holes", func(t *events.Terms) { t.Holes[3], t.Holes[4] = 5, 4 }},
		{"eighteen holes start at 1", marram, "hole_list", "holes", func(t *events.Terms) { t.Holes = holes(10, 27) }},
		{"terms name a tee", stated, "required", "tees", func(t *events.Terms) { t.Tees = nil }},
		{"a tee stands once", marram, "duplicate", "tees[1]", func(t *events.Terms) { t.Tees = []string{"White", "White"} }},
		{"a tee is one of the course", marram, "unknown", "tees[1]", func(t *events.Terms) { t.Tees[1] = "Purple" }},
		{"a tee has the holes that are played", marram, "hole_count", "tees[0]", func(t *events.Terms) { t.Tees[0] = "Short" }},
		{"the front nine needs its own rating", nineRated, "no_nine_rating", "tees[1]", func(t *events.Terms) { t.Holes = holes(1, 9) }},
		{"the back nine needs its own rating", nineRated, "no_nine_rating", "tees[1]", func(t *events.Terms) { t.Holes = holes(10, 18) }},
		{"the terms say how groups start", starting, "unknown", "start.kind", func(t *events.Terms) { t.Start.Kind = "" }},
		{"a first time is a time", starting, "malformed", "start.first_time", func(t *events.Terms) { t.Start.FirstTime = "7:30" }},
		{"nobody goes out alone by design", markers, "out_of_range", "start.group_size", func(t *events.Terms) { t.Start.GroupSize = 1 }},
		{"five are no group", starting, "out_of_range", "start.group_size", func(t *events.Terms) { t.Start.GroupSize = 5 }},
		{"a starter's gap is not negative", starting, "out_of_range", "start.empty_interval_after", func(t *events.Terms) { t.Start.EmptyIntervalAfter = -1 }},
		{"groups do not start at once from one tee", starting, "out_of_range", "start.interval_minutes", func(t *events.Terms) { t.Start.IntervalMinutes = 0 }},
		{"two tees need eighteen holes", starting, "not_applicable", "start.kind", func(t *events.Terms) { t.Holes, t.Tees, t.Start.Kind = holes(1, 9), []string{"White"}, "two_tee" }},
		{"a division has a name", marram, "required", "divisions[0].name", func(t *events.Terms) { t.Divisions[0].Name = " " }},
		{"a division's name has no slash, which parts ranking and division", marram, "required", "divisions[1].name", func(t *events.Terms) { t.Divisions[1].Name = "A/B" }},
		{"a division's name has at most 60 characters", marram, "required", "divisions[1].name", func(t *events.Terms) { t.Divisions[1].Name = strings.Repeat("x", 61) }},
		{"a division does not end below where it begins", marram, "out_of_range", "divisions[0].to_tenths", func(t *events.Terms) { t.Divisions[0].ToTenths = -101 }},
		{"a division stands once", marram, "duplicate", "divisions[1].name", func(t *events.Terms) { t.Divisions[1].Name = "Division 1" }},
		{"nobody is in two divisions", marram, "overlap", "divisions[1]", func(t *events.Terms) { t.Divisions[1].FromTenths = 124 }},
		{"a prize has a name", marram, "required", "prizes[0].name", func(t *events.Terms) { t.Prizes[0].Name = "" }},
		{"a prize's name has at most 80 characters", marram, "required", "prizes[0].name", func(t *events.Terms) { t.Prizes[0].Name = strings.Repeat("x", 81) }},
		{"a prize is for net or gross", marram, "unknown", "prizes[0].ranking", func(t *events.Terms) { t.Prizes[0].Ranking = "longest drive" }},
		{"a prize goes to somebody", marram, "out_of_range", "prizes[0].places", func(t *events.Terms) { t.Prizes[0].Places = 0 }},
		{"a prize is for a division that exists", marram, "unknown", "prizes[1].division", func(t *events.Terms) { t.Prizes[1].Division = "Division 3" }},
	} {
		cases = append(cases, rule{Rule: c.rule, Source: c.source, Given: planned, When: set(with(c.change)), Refused: invalid(c.code, c.field)})
	}
	decider.Check(t, cases)
}

func TestDivisionOf(t *testing.T) {
	t.Parallel()
	terms := with(func(t *events.Terms) { t.Divisions[1].ToTenths = 360 })
	for index, want := range map[int]string{-100: "Division 1", 124: "Division 1", 125: "Division 2", 360: "Division 2", 361: ""} {
		require.Equal(t, want, competition.DivisionOf(&terms, index), index)
	}
	require.Empty(t, competition.DivisionOf(nil, 100), "before there are terms")
}

func TestParseClock(t *testing.T) {
	t.Parallel()
	for text, want := range map[string]int{"00:00": 0, "07:30": 450, "23:59": 1439} {
		got, err := competition.ParseClock(text)
		require.NoError(t, err)
		require.Equal(t, want, got)
	}
	for _, text := range []string{"", "7:30", "24:00", "12:60", "12.30", "12:30:00", "noon!", "-1:30", "07:3 "} {
		_, err := competition.ParseClock(text)
		require.Error(t, err, text)
	}
}
