package standing_test

import (
	"encoding/json"
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"marram.example/events"
	"marram.example/events/card"
	"marram.example/events/competition"
	"marram.example/projections/board/boardtest"
	"marram.example/projections/standing"
)

func TestRankingsNameTheOwnOneFirst(t *testing.T) {
	t.Parallel()
	terms := events.Terms{Ranking: "net", Divisions: []events.Division{{Name: "A"}, {Name: "B"}}}
	require.Equal(t, []string{"net", "gross", "net/A", "gross/A", "net/B", "gross/B"}, standing.Rankings(&terms))
	terms.Ranking = "gross"
	require.Equal(t, []string{"gross", "net", "gross/A", "net/A", "gross/B", "net/B"}, standing.Rankings(&terms))
	require.Equal(t, "net", standing.RankingOf("net", ""))
}

func TestLiveRanksCardsInProgress(t *testing.T) {
	t.Parallel()
	c := medal(t, 5, nil)
	require.NoError(t, c.Score("e1", 1, 3)) // -1 after one
	require.NoError(t, c.Score("e2", 1, 4))
	require.NoError(t, c.Score("e2", 2, 6)) // +2 after two
	require.NoError(t, c.Score("e3", 1, 3)) // -1 after one
	require.NoError(t, c.DoCard("e4", card.EnterScore{Hole: 1, Score: events.Score{None: events.PickedUp}, By: events.RoleMarker}))
	order, positions := places(work(t, c, standing.Live), "net")
	require.Equal(t, []string{"e1", "e3", "e2", "e0", "e4"}, order)
	require.Equal(t, []string{"T1", "T1", "3", "", ""}, positions)
	_, positions = places(work(t, c, standing.Final), "net")
	require.Equal(t, []string{"", "", "", "", ""}, positions, "no card is complete")
}

// 70 from a tee of par 73 is no better than 70 from a tee of par 72, before the
// end as after it.
func TestTeesOfDifferentPar(t *testing.T) {
	t.Parallel()
	c := boardtest.Play(t, boardtest.NewClub(), boardtest.Options{
		Players: 2, Playing: func(int) (int, int) { return 0, 0 }, Change: func(t *events.Terms) { t.ParDifference, t.TieMethod = false, "shared" },
	})
	require.NotEqual(t, c.Cards["e0-card"].Figures.Par, c.Cards["e1-card"].Figures.Par)
	enter(t, c, "e0", nil)
	enter(t, c, "e1", nil)
	for _, mode := range []standing.Mode{standing.Live, standing.Final} {
		_, positions := places(work(t, c, mode), "gross")
		require.Equal(t, []string{"T1", "T1"}, positions)
	}
}

func TestRulingsStandBelowInTheirOrder(t *testing.T) {
	t.Parallel()
	c := medal(t, 7, nil)
	enter(t, c, "e6", nil)
	for entry, ruling := range map[string]string{"e0": "DQ", "e1": "NS", "e2": "WD", "e3": "RTD", "e4": "NR"} {
		require.NoError(t, c.DoCard(entry, card.RuleStatus{Status: ruling, Reason: "ruled"}))
	}
	for _, mode := range []standing.Mode{standing.Live, standing.Final} {
		order, positions := places(work(t, c, mode), "net")
		require.Equal(t, []string{"e6", "e5", "e4", "e3", "e2", "e1", "e0"}, order)
		require.Equal(t, []string{"1", "", "", "", "", "", ""}, positions)
	}
}

func TestEntryWithoutACardHasARow(t *testing.T) {
	t.Parallel()
	c := boardtest.Play(t, boardtest.NewClub(), boardtest.Options{Players: 2, Unopened: true})
	table := work(t, c, standing.Live)
	require.Len(t, table.Rows, 2)
	require.Nil(t, table.Rows[0].Rounds.Last())
	require.Empty(t, table.Rows[0].Status)
	require.NotEmpty(t, table.Rows[0].Division, "by the index entered")
}

func TestDivisionsAreRankedAmongTheirOwn(t *testing.T) {
	t.Parallel()
	c := medal(t, 4, func(t *events.Terms) { // indexes 0, 1.0, 2.0, 3.0
		t.Divisions = []events.Division{{Name: "low", FromTenths: 0, ToTenths: 19}, {Name: "high", FromTenths: 20, ToTenths: 20}}
	})
	enter(t, c, "e0", map[int]int{1: 6})
	enter(t, c, "e1", map[int]int{1: 5})
	enter(t, c, "e2", map[int]int{1: 7})
	enter(t, c, "e3", nil)
	table := work(t, c, standing.Final)
	byEntry := map[string]standing.Row{}
	for _, r := range table.Rows {
		byEntry[r.Entry.ID] = r
	}
	cases := []struct {
		entry, division, net, own string
	}{
		{"e0", "low", "3", "2"}, {"e1", "low", "2", "1"}, {"e2", "high", "4", "1"}, {"e3", "", "1", ""},
	}
	for _, k := range cases {
		r := byEntry[k.entry]
		require.Equal(t, k.division, r.Division, k.entry)
		require.Equal(t, k.net, r.Places["net"].Position, k.entry)
		require.Equal(t, k.own, r.Places["net/"+k.division].Position, k.entry+" in its division")
	}
}

func TestCountbackIsKeptWithItsArithmetic(t *testing.T) {
	t.Parallel()
	c := medal(t, 3, nil)
	enter(t, c, "e0", map[int]int{18: 5})
	enter(t, c, "e1", map[int]int{1: 5}) // better on the last nine
	enter(t, c, "e2", map[int]int{1: 8})
	for _, mode := range []standing.Mode{standing.Live, standing.Final} {
		table := work(t, c, mode)
		order, positions := places(table, "net")
		require.Equal(t, []string{"e1", "e0", "e2"}, order)
		require.Equal(t, []string{"1", "2", "3"}, positions)
		require.Equal(t, "ahead on 10-18, 36 against 37", standing.InWords(table.Countbacks, "net", "e1"))
		require.Equal(t, "behind on 10-18, 37 against 36", standing.InWords(table.Countbacks, "net", "e0"))
		require.Empty(t, standing.InWords(table.Countbacks, "net", "e2"))
		require.Empty(t, standing.InWords(table.Countbacks, "points", "e1"))
	}
}

func TestLotsAndPlayOffs(t *testing.T) {
	t.Parallel()
	tie := func(ids ...string) competition.DecideTie {
		return competition.DecideTie{Ranking: "net", EntryIDs: ids, Method: "lot", Reason: "drawn"}
	}
	cases := []struct {
		name      string
		decisions []competition.DecideTie
		order     []string
		positions []string
	}{
		{"none", nil, []string{"e0", "e1", "e2", "e3"}, []string{"T1", "T1", "T1", "4"}},
		{"exactly those who are tied", []competition.DecideTie{tie("e2", "e0", "e1")}, []string{"e2", "e0", "e1", "e3"}, []string{"1", "2", "3", "4"}},
		{"some of them only", []competition.DecideTie{tie("e1", "e0")}, []string{"e0", "e1", "e2", "e3"}, []string{"T1", "T1", "T1", "4"}},
		{"somebody who is not tied", []competition.DecideTie{tie("e2", "e0", "e1", "e3")}, []string{"e0", "e1", "e2", "e3"}, []string{"T1", "T1", "T1", "4"}},
		{"another ranking", []competition.DecideTie{{Ranking: "gross", EntryIDs: []string{"e2", "e0", "e1"}, Method: "lot", Reason: "drawn"}},
			[]string{"e0", "e1", "e2", "e3"}, []string{"T1", "T1", "T1", "4"}},
		{"a later decision", []competition.DecideTie{tie("e2", "e0", "e1"), tie("e1", "e2", "e0")}, []string{"e1", "e2", "e0", "e3"}, []string{"1", "2", "3", "4"}},
		{"a later one that no longer fits", []competition.DecideTie{tie("e2", "e0", "e1"), tie("e1", "e3")}, []string{"e2", "e0", "e1", "e3"}, []string{"1", "2", "3", "4"}},
	}
	for _, k := range cases {
		t.Run(k.name, func(t *testing.T) {
			t.Parallel()
			c := medal(t, 4, func(t *events.Terms) { t.Divisions = nil })
			for i := range 3 {
				enter(t, c, boardtest.EntryID(i), nil)
			}
			enter(t, c, "e3", map[int]int{1: 9})
			closed(t, c)
			for _, d := range k.decisions {
				require.NoError(t, c.Do(d))
			}
			order, positions := places(work(t, c, standing.Final), "net")
			require.Equal(t, k.order, order)
			require.Equal(t, k.positions, positions)
			_, positions = places(work(t, c, standing.Live), "net")
			require.Equal(t, []string{"T1", "T1", "T1", "4"}, positions, "live knows no lots")
		})
	}
}

// Once every card is complete or ruled on, the live order is the final one, to
// the last place of every ranking: nothing jumps when the round is closed.
func TestLiveEndsInFinal(t *testing.T) {
	t.Parallel()
	rapid.Check(t, func(rt *rapid.T) {
		r := rand.New(rand.NewPCG(rapid.Uint64().Draw(rt, "seed"), 3))
		format := rapid.SampledFrom([]string{"stroke_play", "stableford"}).Draw(rt, "format")
		ranking := rapid.SampledFrom([]string{"net", "gross"}).Draw(rt, "ranking")
		ties := rapid.SampledFrom([]string{"countback", "shared"}).Draw(rt, "ties")
		share := rapid.SampledFrom([]string{"exact_fraction", "rounded_half_up", "as_allocated"}).Draw(rt, "share")
		difference := rapid.Bool().Draw(rt, "par difference")
		nine := rapid.Bool().Draw(rt, "nine holes")
		c := boardtest.Play(t, boardtest.NewClub(), boardtest.Options{
			Players: rapid.IntRange(1, 25).Draw(rt, "players"),
			Change: func(t *events.Terms) {
				t.Format, t.Ranking, t.TieMethod, t.TieShare, t.ParDifference = format, ranking, ties, share, difference
				if nine {
					t.Holes = t.Holes[:9]
				}
			},
		})
		for range rapid.IntRange(0, 30).Draw(rt, "steps") {
			if c.State.Running() {
				c.Random(r)
			}
		}
		c.Finish(r)
		c.State.Ties = nil
		live, final := work(t, c, standing.Live), work(t, c, standing.Final)
		require.JSONEq(rt, shown(rt, final), shown(rt, live))
	})
}

// shown is a table without what Live and Final may not differ in anyhow.
func shown(t require.TestingT, table standing.Table) string {
	type row struct {
		Entry, Division, Status string
		Places                  map[string]standing.Place
	}
	rows := make([]row, len(table.Rows))
	for i, r := range table.Rows {
		rows[i] = row{r.Entry.ID, r.Division, r.Status, r.Places}
	}
	out, err := json.Marshal(map[string]any{"rows": rows, "countbacks": table.Countbacks})
	require.NoError(t, err)
	return string(out)
}

func TestUnknownFormatIsRefused(t *testing.T) {
	t.Parallel()
	c := medal(t, 2, nil)
	c.State.Terms.Format = "unheard_of"
	_, err := standing.Work(c.State, nil, standing.Live)
	require.ErrorContains(t, err, "unheard_of")
}
