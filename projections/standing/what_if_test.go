package standing_test

import (
	"encoding/json"
	"fmt"
	"slices"
	"testing"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"marram.example/events"
	"marram.example/events/card"
	"marram.example/events/competition"
	"marram.example/projections/standing"
)

// lines are the rows as "entry played>what-if moved", in the order of what-if.
func lines(c standing.Comparison) []string {
	text := func(s standing.Stood) string {
		if s.Total == nil {
			return fmt.Sprintf("%q none", s.Position)
		}
		return fmt.Sprintf("%s (%d)", s.Position, *s.Total)
	}
	var out []string
	for _, r := range c.Rows {
		moved := "-"
		if r.Moved != nil {
			moved = fmt.Sprintf("%+d", *r.Moved)
		}
		out = append(out, fmt.Sprintf("%s %s > %s %s", r.EntryID, text(r.Played), text(r.WhatIf), moved))
	}
	return out
}

func number(n int) *int { return &n }

// Two players: 10.4 plays off 10 at 100 % and 9 at 85 % (8.84), 20.5 off 21 (a
// half goes up) and 17 (17.425). Both are round in 80 and 91: net 70 and 70 tie at
// 100 % (countback), at 85 % it is 71 against 74.
func TestAnotherAllowance(t *testing.T) {
	t.Parallel()
	c := begin(t, plain(func(t *events.Terms) { t.TieMethod = "shared" }), []int{104}, []int{205})
	c.returns("e0", 1, map[int]int{1: 12})
	c.returns("e1", 1, map[int]int{1: 23})
	got := c.over().compare(standing.OtherTerms{AllowancePercent: number(85)})
	require.Equal(t, []string{"e0 T1 (70) > 1 (71) +0", "e1 T1 (70) > 2 (74) -1"}, lines(got))
	require.Equal(t, []int{21}, got.Rows[1].Played.PlayingHandicaps)
	require.Equal(t, []int{17}, got.Rows[1].WhatIf.PlayingHandicaps)
	require.Equal(t, 2, got.Changed)
	require.True(t, got.Final)
}

// A scratch player takes ten on one hole: 78 and last in stroke play, 34 points
// and first in Stableford against three over par spread out (33), and 72+2 with a
// maximum of net double bogey.
func TestAnotherFormat(t *testing.T) {
	t.Parallel()
	c := begin(t, plain(nil), []int{0}, []int{0})
	c.returns("e0", 1, map[int]int{1: 10})
	c.returns("e1", 1, map[int]int{1: 5, 2: 5, 3: 4})
	c.over()
	require.Equal(t, []string{"e0 2 (78) > 1 (34) +1", "e1 1 (75) > 2 (33) -1"}, lines(c.compare(standing.OtherTerms{Format: "stableford"})))
	require.Equal(t, []string{"e0 2 (78) > 1 (-1) +1", "e1 1 (75) > 2 (-3) -1"}, lines(c.compare(standing.OtherTerms{Format: "par_bogey"})))
	require.Equal(t, []string{"e0 2 (78) > 1 (74) +1", "e1 1 (75) > 2 (75) -1"},
		lines(c.compare(standing.OtherTerms{Format: "maximum_score", Maximum: &events.Maximum{Kind: "net_double_bogey"}})))
	require.Equal(t, []string{"e1 1 (75) > 1 (75) +0", "e0 2 (78) > 2 (76) +0"},
		lines(c.compare(standing.OtherTerms{Format: "maximum_score", Maximum: &events.Maximum{Kind: "strokes", Strokes: 8}})))
}

// Who picked up is no return in stroke play and in Stableford has points, and the
// other way round. A ruling of the committee's own stays.
func TestANoReturnFallsWithTheFormat(t *testing.T) {
	t.Parallel()
	c := begin(t, plain(nil), []int{0}, []int{0}, []int{0})
	c.returns("e0", 1, map[int]int{9: 0})
	c.returns("e1", 1, nil)
	c.returns("e2", 1, nil)
	c.must(c.cards["e2"][0], card.RuleStatus{Status: "DQ", Reason: "wrong ball"})
	require.Equal(t, "NR", c.cards["e0"][0].Status())
	got := c.over().compare(standing.OtherTerms{Format: "stableford"})
	require.Equal(t, []string{`e1 1 (72) > 1 (36) +0`, `e0 "" none > 2 (34) -`, `e2 "" none > "" none -`}, lines(got))
	require.Equal(t, "hole 9 has no score", got.Rows[1].Played.Why)
	require.Equal(t, "DQ", got.Rows[2].WhatIf.Status)

	s := begin(t, plain(func(t *events.Terms) { t.Format, t.ParDifference = "stableford", false }), []int{0})
	s.returns("e0", 1, map[int]int{9: 0})
	got = s.over().compare(standing.OtherTerms{Format: "stroke_play"})
	require.Equal(t, []string{`e0 1 (34) > "" none -`}, lines(got))
	require.Equal(t, "NR", got.Rows[0].WhatIf.Status)
	require.Len(t, got.Notes, 2)
	require.Equal(t, "returned", s.cards["e0"][0].Status(), "the record is untouched")
}

// A longer tee has a par of 73: its stroke more is of stroke play alone (6.2b).
func TestTheParDifferenceFollowsTheUnit(t *testing.T) {
	t.Parallel()
	c := begin(t, plain(func(t *events.Terms) { t.Side, t.SideSize = "four_ball", 2 }), []int{50, 50})
	c.returns("e0", 1)
	require.Equal(t, []int{5, 6}, c.over().compare(standing.OtherTerms{}).Rows[0].WhatIf.PlayingHandicaps)
	got := c.compare(standing.OtherTerms{Format: "stableford"})
	require.Equal(t, []int{5, 5}, got.Rows[0].WhatIf.PlayingHandicaps)
	require.Contains(t, got.Notes[0], "6.2b")
	s := begin(t, plain(func(t *events.Terms) {
		t.Format, t.ParDifference, t.Side, t.SideSize = "stableford", false, "four_ball", 2
	}), []int{50, 50})
	s.returns("e0", 1)
	require.Equal(t, []int{5, 6}, s.over().compare(standing.OtherTerms{Format: "stroke_play"}).Rows[0].WhatIf.PlayingHandicaps)
}

// Partners in 72 and 90, and in 78 and 78: better ball 72 against 78, together 162
// against 156.
func TestPairsMaySwitchSides(t *testing.T) {
	t.Parallel()
	c := begin(t, plain(func(t *events.Terms) { t.Side, t.SideSize, t.Tees = "four_ball", 2, []string{"White"} }), []int{0, 0}, []int{0, 0})
	every := func(more int) map[int]int {
		out := map[int]int{}
		for i, h := range eighteen(0) {
			if i < more {
				out[h.Number] = h.Par + 1
			}
		}
		return out
	}
	c.returns("e0", 1, nil, every(18))
	c.returns("e1", 1, every(6), every(6))
	c.over()
	require.Equal(t, []string{"e1 2 (78) > 1 (156) +1", "e0 1 (72) > 2 (162) -1"}, lines(c.compare(standing.OtherTerms{Side: "aggregate"})))
	require.Equal(t, []string{"e0 1 (72) > 1 (72) +0", "e1 2 (78) > 2 (78) +0"}, lines(c.compare(standing.OtherTerms{Side: "best_of", Count: []int{1}})))
	require.Equal(t, []string{"e0 1 (72) > 1 (72) +0", "e1 2 (78) > 2 (78) +0"},
		lines(c.compare(standing.OtherTerms{Side: "best_of", Count: []int{1}, CountBy: "round"})), "one whole round of two")
}

// 10 and 20 in foursomes: half of 30 is 15; at 60 and 40 % it is 14.
func TestAllowancesOfOneBall(t *testing.T) {
	t.Parallel()
	c := begin(t, plain(func(t *events.Terms) {
		t.Side, t.SideSize, t.SideAllowances, t.Tees = "foursomes", 2, []int{50, 50}, []string{"White"}
	}), []int{200, 100})
	c.returns("e0", 1)
	got := c.over().compare(standing.OtherTerms{SideAllowances: []int{60, 40}})
	require.Equal(t, []string{"e0 1 (57) > 1 (58) +0"}, lines(got))
	require.Equal(t, []int{15}, []int{c.cards["e0"][0].Figures.PlayingHandicap}, "the record is untouched")
	require.Equal(t, 50, c.cards["e0"][0].Figures.Shares[0].Percent)
}

func TestSeveralRoundsAndTheRanking(t *testing.T) {
	t.Parallel()
	c := begin(t, plain(func(t *events.Terms) { t.Rounds, t.Tees = 2, []string{"White"} }), []int{0}, []int{100})
	for round := 1; round <= 2; round++ {
		c.returns("e0", round)
		c.returns("e1", round, map[int]int{1: 9})
	}
	c.over()
	require.Equal(t, []string{"e0 2 (144) > 1 (144) +1", "e1 1 (134) > 2 (154) -1"}, lines(c.compare(standing.OtherTerms{Ranking: "gross"})))
	require.Equal(t, []string{"e1 1 (134) > 1 (86) +0", "e0 2 (144) > 2 (72) +0"}, lines(c.compare(standing.OtherTerms{Format: "stableford"})))
}

func TestAnOpenRoundStandsAsInPlay(t *testing.T) {
	t.Parallel()
	c := begin(t, plain(func(t *events.Terms) { t.Tees = []string{"White"} }), []int{0}, []int{0})
	c.must(c.cards["e0"][0], card.EnterScore{Hole: 1, Score: events.Score{Strokes: 9}, By: events.RoleMarker, Confirmed: true})
	c.must(c.cards["e1"][0], card.EnterScore{Hole: 1, Score: events.Score{Strokes: 5}, By: events.RoleMarker})
	c.must(c.cards["e1"][0], card.EnterScore{Hole: 2, Score: events.Score{Strokes: 6}, By: events.RoleMarker})
	got := c.compare(standing.OtherTerms{Format: "stableford"})
	require.False(t, got.Final)
	require.Equal(t, []string{"e0 2 (9) > 1 (0) +1", "e1 1 (11) > 2 (1) -1"}, lines(got))
	require.Equal(t, []int{-2, -3}, []int{*got.Rows[0].WhatIf.ToLevel, *got.Rows[1].WhatIf.ToLevel})
}

// A lot was drawn for the tie that was played; under other terms nobody drew one.
func TestLotsAreOfThePlayedTerms(t *testing.T) {
	t.Parallel()
	c := begin(t, plain(func(t *events.Terms) { t.Tees, t.TieMethod = []string{"White"}, "lot" }), []int{0}, []int{0})
	c.returns("e0", 1)
	c.returns("e1", 1)
	c.state.Ties = []competition.Tie{{Ranking: "net", EntryIDs: []string{"e1", "e0"}, Method: "lot"}}
	c.over()
	require.Equal(t, []string{"e1 1 (72) > 1 (72) +0", "e0 2 (72) > 2 (72) +0"}, lines(c.compare(standing.OtherTerms{})))
	require.Equal(t, []string{"e0 2 (72) > T1 (36) +1", "e1 1 (72) > T1 (36) +0"}, lines(c.compare(standing.OtherTerms{Format: "stableford"})))
}

func TestOtherTermsAreRefusedByField(t *testing.T) {
	t.Parallel()
	one := plain(nil)
	pair := plain(func(t *events.Terms) { t.Side, t.SideSize = "four_ball", 2 })
	team := plain(func(t *events.Terms) { t.Side, t.SideSize, t.Count = "best_of", 4, []int{2} })
	together := plain(func(t *events.Terms) { t.Side, t.SideSize, t.SideAllowances = "greensomes", 2, []int{60, 40} })
	match := plain(func(t *events.Terms) { t.Match = &events.MatchTerms{} })
	for _, k := range []struct {
		name   string
		played events.Terms
		other  standing.OtherTerms
		field  string
	}{
		{"an unknown format", one, standing.OtherTerms{Format: "skins"}, "format"},
		{"match play", one, standing.OtherTerms{Format: "match"}, "format"},
		{"matches", match, standing.OtherTerms{}, "competition_id"},
		{"one player is no pair", one, standing.OtherTerms{Side: "four_ball"}, "side"},
		{"one ball is not two", together, standing.OtherTerms{Side: "four_ball"}, "side"},
		{"two balls are not one", pair, standing.OtherTerms{Side: "foursomes"}, "side"},
		{"four are no four-ball", team, standing.OtherTerms{Side: "four_ball"}, "side"},
		{"a maximum of nothing", one, standing.OtherTerms{Maximum: &events.Maximum{Kind: "double_par"}}, "maximum"},
		{"maximum score without one", one, standing.OtherTerms{Format: "maximum_score"}, "maximum"},
		{"a maximum of 30", one, standing.OtherTerms{Format: "maximum_score", Maximum: &events.Maximum{Kind: "strokes", Strokes: 30}}, "maximum"},
		{"an allowance beyond measure", one, standing.OtherTerms{AllowancePercent: number(201)}, "allowance_percent"},
		{"one allowance for one ball", together, standing.OtherTerms{AllowancePercent: number(50)}, "allowance_percent"},
		{"three allowances for two", together, standing.OtherTerms{SideAllowances: []int{1, 2, 3}}, "side_allowances"},
		{"side allowances for own balls", pair, standing.OtherTerms{SideAllowances: []int{50, 50}}, "side_allowances"},
		{"balls that count of a pair", pair, standing.OtherTerms{Count: []int{1}}, "count"},
		{"best of without a number", pair, standing.OtherTerms{Side: "best_of"}, "count"},
		{"five of four", team, standing.OtherTerms{Count: []int{5}}, "count"},
		{"rounds of one player", one, standing.OtherTerms{CountBy: "round"}, "count_by"},
		{"an unknown ranking", one, standing.OtherTerms{Ranking: "best"}, "ranking"},
		{"an unknown way with ties", one, standing.OtherTerms{TieMethod: "coin"}, "tie_method"},
	} {
		_, err := k.other.On(k.played)
		e := events.AsError(err)
		require.NotNil(t, e, k.name)
		require.Equal(t, k.field, e.Field, "%s: %s", k.name, e.Detail)
	}
	state := competition.New()
	_, err := standing.Compare(state, nil, standing.OtherTerms{})
	require.Equal(t, "terms", events.AsError(err).Field)
	state.Terms = &one
	_, err = standing.Compare(state, nil, standing.OtherTerms{})
	require.Equal(t, "no_cards", events.AsError(err).Code)
}

// Terms that rounds state for themselves give way as well.
func TestOtherTermsHoldInEveryRound(t *testing.T) {
	t.Parallel()
	played := plain(func(t *events.Terms) {
		t.Rounds = 2
		t.PerRound = []events.RoundTerms{{AllowancePercent: number(80)}, {Format: "maximum_score", Maximum: &events.Maximum{Kind: "double_par"}}}
	})
	got, err := standing.OtherTerms{Format: "stableford", AllowancePercent: number(50)}.On(played)
	require.NoError(t, err)
	for n := 1; n <= 2; n++ {
		r := got.Round(n)
		require.Equal(t, []any{"stableford", 50, events.Maximum{}}, []any{r.Format, r.AllowancePercent, r.Maximum})
	}
	require.Equal(t, 80, *played.PerRound[0].AllowancePercent, "the terms are untouched")
	got, err = standing.OtherTerms{Maximum: &events.Maximum{Kind: "strokes", Strokes: 9}}.On(played)
	require.NoError(t, err)
	require.Equal(t, []any{"stroke_play", 9}, []any{got.Round(1).Format, got.Round(2).Maximum.Strokes})
}

// drawTerms invents terms of every kind.
func drawTerms(t *rapid.T) events.Terms {
	return plain(func(x *events.Terms) {
		x.Format = rapid.SampledFrom(competition.Formats()).Draw(t, "format")
		x.Ranking = rapid.SampledFrom([]string{"net", "gross"}).Draw(t, "ranking")
		x.TieMethod = rapid.SampledFrom([]string{"countback", "shared"}).Draw(t, "ties")
		x.Rounds = rapid.IntRange(1, 2).Draw(t, "rounds")
		x.ParDifference = rapid.Bool().Draw(t, "par difference")
		x.Side = rapid.SampledFrom([]string{"", "four_ball", "foursomes", "greensomes", "chapman", "scramble", "best_of", "aggregate"}).Draw(t, "side")
		x.AllowancePercent = rapid.IntRange(0, 200).Draw(t, "allowance")
		if x.Side != "" {
			x.SideSize = 2
		}
		if x.Side == "best_of" {
			x.SideSize, x.Count = 3, []int{rapid.IntRange(1, 2).Draw(t, "count")}
		}
		if x.Side == "best_of" || x.Side == "aggregate" {
			x.CountBy = rapid.SampledFrom([]string{"", "hole", "round"}).Draw(t, "count by")
		}
		if events.OneBall(x.Side) {
			x.AllowancePercent = 100
			x.SideAllowances = []int{rapid.IntRange(0, 100).Draw(t, "low"), rapid.IntRange(0, 100).Draw(t, "high")}
		}
		if x.Format == events.MaximumScore {
			x.Maximum = events.Maximum{Kind: rapid.SampledFrom([]string{"net_double_bogey", "double_par"}).Draw(t, "maximum")}
		}
	})
}

func drawField(t *rapid.T, terms events.Terms) *invented {
	courses := make([][]int, rapid.IntRange(1, 5).Draw(t, "entries"))
	for i := range courses {
		courses[i] = rapid.SliceOfN(rapid.IntRange(-50, 400), terms.Players(), terms.Players()).Draw(t, "course handicaps")
	}
	c := begin(t, terms, courses...)
	for entry := range courses {
		for round := 1; round <= terms.Rounds; round++ {
			k := c.cards[fmt.Sprintf("e%d", entry)][round-1]
			other := make([]map[int]int, k.Balls())
			for b := range other {
				other[b] = rapid.MapOfN(rapid.IntRange(1, 18), rapid.IntRange(0, 9), 0, 6).Draw(t, "holes")
			}
			c.returns(fmt.Sprintf("e%d", entry), round, other...)
			if rapid.IntRange(0, 9).Draw(t, "penalty") == 0 {
				c.must(k, card.AddPenalty{PenaltyID: "p", Strokes: 2, Reason: "pace"})
			}
		}
	}
	return c.over()
}

// The same terms, stated or not, give the result again; nothing is written to.
func TestThePlayedTermsGiveTheResult(t *testing.T) {
	t.Parallel()
	rapid.Check(t, func(t *rapid.T) {
		terms := drawTerms(t)
		c := drawField(t, terms)
		cards := c.scored()
		result, err := standing.Result(c.state, cards)
		require.NoError(t, err)
		before, err := json.Marshal([]any{c.state, c.cards})
		require.NoError(t, err)
		stated := standing.OtherTerms{
			Format: terms.Format, Ranking: terms.Ranking, TieMethod: terms.TieMethod, Count: terms.Count, CountBy: terms.CountBy, SideAllowances: terms.SideAllowances,
		}
		if !events.OneBall(terms.Side) {
			stated.AllowancePercent = &terms.AllowancePercent
		}
		if terms.Maximum.Kind != "" {
			stated.Maximum = &terms.Maximum
		}
		if slices.Contains(standing.Sides(&terms), terms.Side) {
			stated.Side = terms.Side
		}
		for _, other := range []standing.OtherTerms{{}, stated} {
			got, err := standing.Compare(c.state, cards, other)
			require.NoError(t, err)
			require.Zero(t, got.Changed)
			require.Len(t, got.Rows, len(result.Rows))
			for i, row := range got.Rows {
				require.Equal(t, row.Played, row.WhatIf)
				require.Equal(t, result.Rows[i].EntryID, row.EntryID)
				require.Equal(t, result.Rows[i].Positions[terms.Ranking], row.WhatIf.Position)
				require.Equal(t, result.Rows[i].Status, row.WhatIf.Status)
				if want := total(terms, result.Rows[i]); want != nil {
					require.Equal(t, *want, *row.WhatIf.Total)
				}
			}
		}
		after, err := json.Marshal([]any{c.state, c.cards})
		require.NoError(t, err)
		require.Equal(t, before, after)
	})
}

// total is the figure of a result that the competition ranks by, where it has one.
func total(terms events.Terms, r events.ResultRow) *int {
	gross := terms.Ranking == "gross"
	switch {
	case terms.Format == events.Stableford && gross:
		return r.GrossPoints
	case terms.Format == events.Stableford:
		return r.Points
	case terms.Format == events.ParBogey && gross:
		return nil // a result states the net one
	case terms.Format == events.ParBogey:
		return r.ParBogey
	case gross:
		return r.Gross
	default:
		return r.Net
	}
}

// Any field may be counted in any format: everybody has a row, and positions never
// outnumber the field.
func TestEveryFormatCountsEveryField(t *testing.T) {
	t.Parallel()
	rapid.Check(t, func(t *rapid.T) {
		terms := drawTerms(t)
		c := drawField(t, terms)
		other := standing.OtherTerms{Format: rapid.SampledFrom(competition.Formats()).Draw(t, "other format")}
		if other.Format == events.MaximumScore {
			other.Maximum = &events.Maximum{Kind: "net_double_bogey"}
		}
		got := c.compare(other)
		require.Len(t, got.Rows, len(c.cards))
		for i, row := range got.Rows {
			require.Equal(t, i, row.WhatIf.Order)
			require.Equal(t, row.WhatIf.Position == "", row.WhatIf.Total == nil, "%+v", row)
			if other.Format != events.StrokePlay {
				require.NotNil(t, row.WhatIf.Total, "every other format counts a hole without a score")
			}
		}
	})
}
