package standing_test

import (
	"testing"

	"github.com/stretchr/testify/require"

	"marram.example/events"
	"marram.example/events/card"
	"marram.example/events/competition"
	"marram.example/projections/board/boardtest"
)

// awarded lists prizes as "name place entry".
func awarded(r events.Result) []string {
	out := []string{}
	for _, p := range r.Prizes {
		out = append(out, p.Prize+" "+string(rune('0'+p.Place))+" "+p.EntryID)
	}
	return out
}

func TestPrizes(t *testing.T) {
	t.Parallel()
	prizes := []events.Prize{{Name: "gross", Ranking: "gross", Places: 1}, {Name: "net", Ranking: "net", Places: 2}, {Name: "low", Ranking: "net", Division: "low", Places: 1}}
	cases := []struct {
		name    string
		one     bool
		worse   map[string]int // strokes more on the first hole
		ties    string
		passing []string
		passed  map[string]int
	}{
		{"several a player", false, map[string]int{"e1": 1, "e2": 2, "e3": 3}, "countback", []string{"gross 1 e0", "net 1 e0", "net 2 e1", "low 1 e0"}, nil},
		{"one a player", true, map[string]int{"e1": 1, "e2": 2, "e3": 3}, "countback",
			[]string{"gross 1 e0", "net 1 e1", "net 2 e2"}, map[string]int{"e1": 1, "e2": 1}},
		{"a tie that stands shares the last place", true, map[string]int{"e1": 1, "e2": 2, "e3": 2}, "shared",
			[]string{"gross 1 e0", "net 1 e1", "net 2 e2", "net 2 e3"}, map[string]int{"e1": 1, "e2": 1, "e3": 1}},
		{"a tie that stands uses up the next place", true, map[string]int{"e1": 1, "e2": 1, "e3": 2}, "shared",
			[]string{"gross 1 e0", "net 1 e1", "net 1 e2"}, map[string]int{"e1": 1, "e2": 1}},
		{"passed over inside of a tie", true, map[string]int{"e0": 0, "e1": 0, "e2": 1, "e3": 2}, "shared",
			[]string{"gross 1 e0", "gross 1 e1", "net 1 e2", "net 2 e3"}, map[string]int{"e2": 2, "e3": 2}},
	}
	for _, k := range cases {
		t.Run(k.name, func(t *testing.T) {
			t.Parallel()
			c := medal(t, 4, func(t *events.Terms) {
				t.Prizes, t.OnePrizeAPlayer, t.TieMethod = prizes, k.one, k.ties
				t.Divisions = []events.Division{{Name: "low", FromTenths: 0, ToTenths: 10}} // e0 and e1
			})
			for i := range 4 {
				enter(t, c, boardtest.EntryID(i), map[int]int{1: 4 + k.worse[boardtest.EntryID(i)]})
			}
			closed(t, c)
			r := result(t, c)
			require.Equal(t, k.passing, awarded(r))
			for _, p := range r.Prizes {
				if p.Prize == "net" && k.passed != nil {
					require.Equal(t, k.passed[p.EntryID], p.PassedBy, p.EntryID)
				}
			}
		})
	}
}

func TestPrizeNeedsATotal(t *testing.T) {
	t.Parallel()
	c := medal(t, 2, func(t *events.Terms) { t.Prizes = []events.Prize{{Name: "net", Ranking: "net", Places: 3}} })
	enter(t, c, "e0", nil)
	require.NoError(t, c.DoCard("e1", card.RuleStatus{Status: "WD", Reason: "ill"}))
	closed(t, c)
	require.Equal(t, []string{"net 1 e0"}, awarded(result(t, c)))
}

func TestLotDecidesAPrize(t *testing.T) {
	t.Parallel()
	c := medal(t, 2, func(t *events.Terms) { t.Prizes = []events.Prize{{Name: "net", Ranking: "net", Places: 1}} })
	enter(t, c, "e0", nil)
	enter(t, c, "e1", nil)
	closed(t, c)
	require.Equal(t, []string{"net 1 e0", "net 1 e1"}, awarded(result(t, c)))
	require.NoError(t, c.Do(competition.DecideTie{Ranking: "net", EntryIDs: []string{"e1", "e0"}, Method: "lot", Reason: "drawn"}))
	require.Equal(t, []string{"net 1 e1"}, awarded(result(t, c)))
}

func TestResultRows(t *testing.T) {
	t.Parallel()
	c := medal(t, 3, nil)
	enter(t, c, "e0", nil)
	enter(t, c, "e1", map[int]int{1: 5})
	require.NoError(t, c.DoCard("e1", card.RuleStatus{Status: "DQ", Reason: "card not certified"}))
	require.NoError(t, c.DoCard("e2", card.RuleStatus{Status: "NS", Reason: "did not come"}))
	closed(t, c)
	r := result(t, c)
	require.Len(t, r.Rows, 3)
	first, ruled := r.Rows[0], r.Rows[2]
	require.Equal(t, []int{72, 72}, []int{*first.Gross, *first.Net})
	require.Nil(t, first.Points, "stroke play has none")
	require.Equal(t, map[string]string{"net": "1", "gross": "1", "net/Division 1": "1", "gross/Division 1": "1"}, first.Positions)
	require.Equal(t, "DQ", ruled.Status)
	require.Nil(t, ruled.Gross)
	require.Nil(t, ruled.Net)
	require.Empty(t, ruled.Positions)
	require.NoError(t, c.Do(competition.PublishResult{Result: r}), "the decider takes it")
}

func TestStablefordResultRows(t *testing.T) {
	t.Parallel()
	c := medal(t, 1, func(t *events.Terms) { t.Format = "stableford" })
	scores := make([]events.Score, 18)
	for i := range scores {
		scores[i].Strokes = 4
	}
	scores[0] = events.Score{None: events.PickedUp}
	require.NoError(t, c.DoCard("e0", card.EnterCard{Scores: scores, By: events.RoleCommittee, Confirmed: true, Signed: true, Receipt: "R"}))
	closed(t, c)
	row := result(t, c).Rows[0]
	require.Nil(t, row.Gross, "a hole without strokes leaves no total of strokes")
	require.Equal(t, []int{34, 34}, []int{*row.Points, *row.GrossPoints}) // 36 less two
}
