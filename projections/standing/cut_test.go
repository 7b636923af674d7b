package standing_test

import (
	"fmt"
	"testing"

	"github.com/stretchr/testify/require"

	"marram.example/events"
	"marram.example/events/card"
	"marram.example/events/competition"
	"marram.example/projections/standing"
)

// Who misses the cut keeps a total without a position below everybody who is
// through, and a cut that is made again does not go by itself.
func TestCut(t *testing.T) {
	t.Parallel()
	c := medal(t, 4, func(t *events.Terms) { t.Rounds, t.Cut = 2, &events.Cut{AfterRound: 1, Places: 2} })
	enter(t, c, "e0", nil)
	enter(t, c, "e1", map[int]int{1: 5})
	enter(t, c, "e2", map[int]int{1: 7})
	enter(t, c, "e3", map[int]int{1: 6})
	made := func() events.CutMade {
		cards, err := c.Scored()
		require.NoError(t, err)
		cut, err := standing.Cut(c.State, cards)
		require.NoError(t, err)
		return cut
	}
	cut := made()
	require.Equal(t, []string{"e0", "e1"}, cut.Through)
	require.Equal(t, []string{"e3", "e2"}, cut.Missed)
	require.Equal(t, 73, *cut.Line)
	var cards []events.CardStanding
	for _, e := range c.State.Field() {
		cards = append(cards, events.CardStanding{CardID: e.ID + "-card", EntryID: e.ID, Status: events.StatusReturned, Sequence: 1})
	}
	require.NoError(t, c.Do(competition.CloseRound{Cards: cards, Cut: &cut}))

	order, positions := places(work(t, c, standing.Final), "net")
	require.Equal(t, []string{"e0", "e1", "e3", "e2"}, order)
	require.Equal(t, []string{"1", "2", "", ""}, positions)
	table := work(t, c, standing.Final)
	require.Equal(t, events.StatusMissedCut, table.Rows[2].Status)
	require.Equal(t, 74, *table.Rows[2].Rounds.Totals(true).Gross)

	require.NoError(t, c.DoCard("e3", card.EnterScore{Hole: 1, Score: events.Score{Strokes: 3}, By: events.RoleCommittee, Reason: "misread"}))
	again := made()
	require.Equal(t, []string{"e3", "e0"}, again.Through)
	require.Equal(t, []string{"e1", "e2"}, again.Missed)
}

// Before the second round opens its cards are still those of the first, in another
// format: ties are broken as that one was played.
func TestFormatsMayDifferByRound(t *testing.T) {
	t.Parallel()
	c := begin(t, plain(func(t *events.Terms) {
		t.Rounds = 2
		t.PerRound = []events.RoundTerms{{}, {Format: events.MaximumScore, Maximum: &events.Maximum{Kind: events.DoublePar}}}
	}), []int{0}, []int{0})
	c.returns("e0", 1)
	c.returns("e1", 1, map[int]int{1: 5, 18: 4})
	for e := range c.cards {
		c.cards[e] = c.cards[e][:1]
	}
	c.state.Phase, c.state.Past = competition.Drawn, firstRound(events.StatusReturned, events.StatusReturned)
	table, err := standing.Work(c.state, c.scored(), standing.Live)
	require.NoError(t, err)
	_, positions := places(table, "net")
	require.Equal(t, []string{"1", "2"}, positions)
	require.Equal(t, "e1", table.Rows[0].Entry.ID)
}

// Who does not play the present round has one round fewer than the others and is
// not ranked with it, live or final.
func TestWhoDoesNotPlayOnIsNotRanked(t *testing.T) {
	t.Parallel()
	c := begin(t, plain(func(t *events.Terms) { t.Rounds = 2 }), []int{0}, []int{0})
	c.returns("e0", 1)
	c.returns("e1", 1, map[int]int{1: 5})
	c.cards["e0"] = c.cards["e0"][:1] // a no return when the round was closed, corrected later
	c.state.Past = firstRound(events.StatusNoReturn, events.StatusReturned)
	table, err := standing.Work(c.state, c.scored(), standing.Live)
	require.NoError(t, err)
	order, positions := places(table, "net")
	require.Equal(t, []string{"e1", "e0"}, order)
	require.Equal(t, []string{"1", ""}, positions)
}

// firstRound is a first round that was closed with these statuses.
func firstRound(statuses ...string) []competition.PastRound {
	out := competition.PastRound{Round: 1}
	for i, status := range statuses {
		out.Standing = append(out.Standing, events.CardStanding{EntryID: fmt.Sprintf("e%d", i), Status: status})
	}
	return []competition.PastRound{out}
}
