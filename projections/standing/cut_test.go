package standing_test

import (
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
