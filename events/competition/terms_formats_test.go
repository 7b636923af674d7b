package competition_test

import (
	"testing"

	"github.com/stretchr/testify/require"

	"marram.example/events"
	"marram.example/events/competition"
)

// pairs are terms of a four-ball.
func pairs(t *events.Terms) { t.Side, t.SideSize, t.Start.GroupSize = events.SideFourBall, 2, 4 }

// knockout are terms of singles matches.
func knockout(t *events.Terms) {
	t.Format, t.Rounds, t.Divisions, t.Prizes = events.MatchPlay, 0, nil, nil
	t.Match = &events.MatchTerms{Bracket: competition.Knockout, Length: 18, ExtraHoles: true}
}

// rounds are terms over so many rounds.
func rounds(n int) func(*events.Terms) { return func(t *events.Terms) { t.Rounds = n } }

func both(changes ...func(*events.Terms)) func(*events.Terms) {
	return func(t *events.Terms) {
		for _, c := range changes {
			c(t)
		}
	}
}

func teams(n int, count ...int) func(*events.Terms) {
	return func(t *events.Terms) {
		t.Side, t.SideSize, t.Count, t.Start.GroupSize = events.SideBestOf, n, count, 4
	}
}

func oneBall(side string, percents ...int) func(*events.Terms) {
	return func(t *events.Terms) {
		t.Side, t.SideSize, t.SideAllowances, t.AllowancePercent, t.Start.GroupSize = side, len(percents), percents, 100, 4
	}
}

func TestEveryFormatCanBeStated(t *testing.T) {
	t.Parallel()
	within := 10
	for name, change := range map[string]func(*events.Terms){
		"par/bogey": func(t *events.Terms) { t.Format = events.ParBogey },
		"maximum score of net double bogey": func(t *events.Terms) {
			t.Format, t.Maximum = events.MaximumScore, events.Maximum{Kind: events.NetDoubleBogey}
		},
		"maximum score of twice par": func(t *events.Terms) {
			t.Format, t.Maximum = events.MaximumScore, events.Maximum{Kind: events.DoublePar}
		},
		"maximum score of ten": func(t *events.Terms) {
			t.Format, t.Maximum = events.MaximumScore, events.Maximum{Kind: events.FixedStrokes, Strokes: 10}
		},
		"four-ball":                        pairs,
		"foursomes":                        oneBall(events.SideFoursomes, 50, 50),
		"greensomes":                       oneBall(events.SideGreensomes, 60, 40),
		"Chapman":                          oneBall(events.SideChapman, 60, 40),
		"a scramble of two":                oneBall(events.SideScramble, 35, 15),
		"a scramble of four":               oneBall(events.SideScramble, 25, 20, 15, 10),
		"the best two of four":             teams(4, 2),
		"one, two, three by turns":         teams(4, 1, 2, 3, 1, 2, 3, 1, 2, 3, 1, 2, 3, 1, 2, 3, 1, 2, 4),
		"the best three rounds of four":    both(teams(4, 3), func(t *events.Terms) { t.CountBy = "round" }),
		"all balls of three":               func(t *events.Terms) { t.Side, t.SideSize = events.SideAggregate, 3 },
		"72 holes with a cut by places":    both(rounds(4), func(t *events.Terms) { t.Cut = &events.Cut{AfterRound: 2, Places: 20, TiesIn: true} }),
		"a cut by distance from the lead":  both(rounds(3), func(t *events.Terms) { t.Cut = &events.Cut{AfterRound: 2, Within: &within} }),
		"a knockout":                       knockout,
		"36 holes of foursomes match play": both(knockout, oneBall(events.SideFoursomes, 50, 50), func(t *events.Terms) { t.Match.Length = 36 }),
		"a round robin that knows ties":    both(knockout, func(t *events.Terms) { t.Match.Bracket, t.Match.ExtraHoles = competition.RoundRobin, false }),
		"single matches":                   both(knockout, rounds(1), func(t *events.Terms) { t.Match.Bracket = competition.Single }),
		"cards matched hole by hole, by lot": func(t *events.Terms) {
			t.TieWindows, t.TieHoles, t.TieHandicap, t.TieThen = "hole_by_hole", "by_play", "course", "lot"
		},
		"strokes in two ways over two rounds": both(rounds(2), pairs, func(t *events.Terms) {
			all := 100
			t.PerRound = []events.RoundTerms{{}, {Side: events.SideFoursomes, SideAllowances: []int{50, 50}, AllowancePercent: &all, Date: "2026-05-03"}}
		}),
	} {
		require.NoError(t, competition.CheckTerms(with(change), courses()), name)
	}
}

func TestTermsThatDoNotFitTogether(t *testing.T) {
	t.Parallel()
	below := -1
	for _, c := range []struct {
		rule, code, field string
		change            func(*events.Terms)
	}{
		{"a format is known", "unknown", "format", func(t *events.Terms) { t.Format = "croquet" }},
		{"a side is known", "unknown", "side", func(t *events.Terms) { t.Side, t.SideSize = "trio", 3 }},
		{"one player has no side", "out_of_range", "side_size", func(t *events.Terms) { t.SideSize = 2 }},
		{"two players a side in a singles match", "out_of_range", "side_size", both(knockout, func(t *events.Terms) { t.SideSize = 2 })},
		{"a side of one is none", "out_of_range", "side_size", func(t *events.Terms) { t.SideSize = 1 }},
		{"a four-ball has two players", "out_of_range", "side_size", both(pairs, func(t *events.Terms) { t.SideSize = 3 })},
		{"a scramble has at most four", "out_of_range", "side_size", oneBall(events.SideScramble, 20, 15, 10, 5, 5)},
		{"an allowance beyond twice the handicap", "out_of_range", "allowance_percent", func(t *events.Terms) { t.AllowancePercent = 201 }},
		{"a negative allowance", "out_of_range", "allowance_percent", func(t *events.Terms) { t.AllowancePercent = -5 }},
		{"a share for each player", "side_size", "side_allowances", both(oneBall(events.SideFoursomes, 50, 50), func(t *events.Terms) { t.SideAllowances = []int{50} })},
		{"no impossible share", "out_of_range", "side_allowances[1]", oneBall(events.SideFoursomes, 50, -50)},
		{"own balls have one allowance", "not_applicable", "side_allowances", both(pairs, func(t *events.Terms) { t.SideAllowances = []int{50, 50} })},
		{"shares stand alone", "not_applicable", "allowance_percent", both(oneBall(events.SideFoursomes, 50, 50), func(t *events.Terms) { t.AllowancePercent = 90 })},
		{"maximum score has a maximum", "unknown", "maximum.kind", func(t *events.Terms) { t.Format = events.MaximumScore }},
		{"a fixed maximum has a number", "required", "maximum.strokes", func(t *events.Terms) {
			t.Format, t.Maximum = events.MaximumScore, events.Maximum{Kind: events.FixedStrokes}
		}},
		{"a fixed maximum can be played to", "out_of_range", "maximum.strokes", func(t *events.Terms) {
			t.Format, t.Maximum = events.MaximumScore, events.Maximum{Kind: events.FixedStrokes, Strokes: 3}
		}},
		{"net double bogey has no number", "not_applicable", "maximum.strokes", func(t *events.Terms) {
			t.Format, t.Maximum = events.MaximumScore, events.Maximum{Kind: events.NetDoubleBogey, Strokes: 9}
		}},
		{"stroke play has no maximum", "not_applicable", "maximum", func(t *events.Terms) { t.Maximum.Kind = events.DoublePar }},
		{"best of states how many", "hole_count", "count", teams(4)},
		{"best of four is not five", "out_of_range", "count[0]", teams(4, 5)},
		{"all four is an aggregate", "out_of_range", "count[0]", teams(4, 4)},
		{"one number a hole", "hole_count", "count", teams(4, 1, 2, 3)},
		{"rounds count by one number", "hole_count", "count", both(teams(4, 1, 2, 3, 1, 2, 3, 1, 2, 3, 1, 2, 3, 1, 2, 3, 1, 2, 3), func(t *events.Terms) { t.CountBy = "round" })},
		{"only teams count", "not_applicable", "count", both(pairs, func(t *events.Terms) { t.Count = []int{1} })},
		{"a four-ball counts by hole", "not_applicable", "count_by", both(pairs, func(t *events.Terms) { t.CountBy = "round" })},
		{"counting is by hole or round", "unknown", "count_by", both(teams(4, 2), func(t *events.Terms) { t.CountBy = "nine" })},
		{"a group has room for a side", "out_of_range", "start.group_size", both(teams(4, 2), func(t *events.Terms) { t.Start.GroupSize = 3 })},
		{"a cut in an event of one round", "out_of_range", "cut.after_round", func(t *events.Terms) { t.Cut = &events.Cut{AfterRound: 1, Places: 10} }},
		{"a cut after the last round", "out_of_range", "cut.after_round", both(rounds(2), func(t *events.Terms) { t.Cut = &events.Cut{AfterRound: 2, Places: 10} })},
		{"a cut that cuts nobody", "required", "cut.places", both(rounds(2), func(t *events.Terms) { t.Cut = &events.Cut{AfterRound: 1} })},
		{"a cut of fewer than none", "out_of_range", "cut.places", both(rounds(2), func(t *events.Terms) { t.Cut = &events.Cut{AfterRound: 1, Places: -1} })},
		{"a cut ahead of the lead", "out_of_range", "cut.within", both(rounds(2), func(t *events.Terms) { t.Cut = &events.Cut{AfterRound: 1, Within: &below} })},
		{"terms for every round or none", "round_count", "per_round", both(rounds(3), func(t *events.Terms) { t.PerRound = make([]events.RoundTerms, 2) })},
		{"points and strokes do not add up", "other_unit", "per_round[1].format", both(rounds(2), func(t *events.Terms) {
			t.PerRound = []events.RoundTerms{{}, {Format: events.Stableford}}
		})},
		{"a round has holes of the course", "hole_list", "per_round[1].holes", both(rounds(2), func(t *events.Terms) {
			t.PerRound = []events.RoundTerms{{}, {Holes: []int{1, 2, 3}}}
		})},
		{"a round is on a course with these tees", "unknown", "per_round[1].course_id", both(rounds(2), func(t *events.Terms) {
			t.PerRound = []events.RoundTerms{{}, {CourseID: "elsewhere"}}
		})},
		{"a round is on a day", "malformed", "per_round[0].date", both(rounds(2), func(t *events.Terms) {
			t.PerRound = []events.RoundTerms{{Date: "Sunday"}, {}}
		})},
		{"a round keeps the size of a side", "out_of_range", "side_size", both(rounds(2), teams(4, 2), func(t *events.Terms) {
			t.PerRound = []events.RoundTerms{{}, {Side: events.SideFourBall}}
		})},
		{"windows are known", "unknown", "tie_windows", func(t *events.Terms) { t.TieWindows = "front" }},
		{"holes are counted one way", "unknown", "tie_holes", func(t *events.Terms) { t.TieHoles = "by_luck" }},
		{"shares are of one handicap", "unknown", "tie_handicap", func(t *events.Terms) { t.TieHandicap = "index" }},
		{"what then is known", "unknown", "tie_then", func(t *events.Terms) { t.TieThen = "coin" }},
		{"matches have match terms", "required", "match", func(t *events.Terms) { t.Format = events.MatchPlay; t.Rounds = 0 }},
		{"cards have none", "not_applicable", "match", func(t *events.Terms) { t.Match = &events.MatchTerms{} }},
		{"a knockout has its own rounds", "not_applicable", "rounds", both(knockout, rounds(2))},
		{"a knockout goes on till somebody wins", "no_winner", "match.extra_holes", both(knockout, func(t *events.Terms) { t.Match.ExtraHoles = false })},
		{"a match is as long as its holes", "hole_count", "match.length", both(knockout, func(t *events.Terms) { t.Match.Length = 9 })},
		{"a bracket is known", "unknown", "match.bracket", both(knockout, func(t *events.Terms) { t.Match.Bracket = "ladder" })},
		{"no match of scrambles", "not_applicable", "side", both(oneBall(events.SideScramble, 35, 15), knockout)},
		{"matches have no divisions", "not_applicable", "divisions", both(knockout, func(t *events.Terms) { t.Divisions = medalTerms().Divisions })},
		{"matches have no prizes by card", "not_applicable", "prizes", both(knockout, func(t *events.Terms) { t.Prizes = medalTerms().Prizes[:1] })},
		{"a match competition has no cut", "not_applicable", "cut", both(knockout, func(t *events.Terms) { t.Cut = &events.Cut{AfterRound: 1, Places: 2} })},
	} {
		err := competition.CheckTerms(with(c.change), courses())
		e := events.AsError(err)
		require.NotNil(t, e, c.rule)
		require.Equal(t, events.KindInvalid, e.Kind, c.rule)
		require.Equal(t, c.field, e.Field, "%s: %v", c.rule, err)
		require.Equal(t, c.code, e.Code, c.rule)
	}
}
