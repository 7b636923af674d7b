package standing_test

import (
	"testing"

	"github.com/stretchr/testify/require"

	"marram.example/events"
	"marram.example/events/card"
	"marram.example/events/competition"
	"marram.example/projections/board/boardtest"
	"marram.example/projections/standing"
)

// medal plays a field from scratch, all from one tee unless changed.
func medal(t *testing.T, players int, change func(*events.Terms)) *boardtest.Competition {
	t.Helper()
	return boardtest.Play(t, boardtest.NewClub(), boardtest.Options{
		Players: players, Playing: func(i int) (int, int) { return 10 * i, 0 },
		Change: func(t *events.Terms) {
			t.Tees = []string{"White"}
			if change != nil {
				change(t)
			}
		},
	})
}

// enter types in a whole card in fours, with other strokes on some holes.
func enter(t *testing.T, c *boardtest.Competition, entry string, other map[int]int) {
	t.Helper()
	scores := make([]events.Score, len(c.Terms.Holes))
	for i, hole := range c.Terms.Holes {
		scores[i].Strokes = 4
		if n, ok := other[hole]; ok {
			scores[i].Strokes = n
		}
	}
	require.NoError(t, c.DoCard(entry, card.EnterCard{
		Scores: scores, By: events.RoleCommittee, Confirmed: true, Signed: true, Receipt: "R",
	}))
}

func work(t *testing.T, c *boardtest.Competition, mode standing.Mode) standing.Table {
	t.Helper()
	cards, err := c.Scored()
	require.NoError(t, err)
	table, err := standing.Work(c.State, cards, mode)
	require.NoError(t, err)
	return table
}

// places lists the rows of a table, and each one's position in a ranking.
func places(table standing.Table, ranking string) (order, positions []string) {
	for _, r := range table.Rows {
		order = append(order, r.Entry.ID)
		positions = append(positions, r.Places[ranking].Position)
	}
	return order, positions
}

// closed puts the competition behind the end of its round.
func closed(t *testing.T, c *boardtest.Competition) {
	t.Helper()
	var cards []events.CardStanding
	for _, e := range c.State.Field() {
		s := c.Cards[boardtest.CardID(e.ID)]
		cards = append(cards, events.CardStanding{CardID: boardtest.CardID(e.ID), EntryID: e.ID, Status: s.Status()})
	}
	require.NoError(t, c.Do(competition.CloseRound{Cards: cards}))
}

func result(t *testing.T, c *boardtest.Competition) events.Result {
	t.Helper()
	cards, err := c.Scored()
	require.NoError(t, err)
	r, err := standing.Result(c.State, cards)
	require.NoError(t, err)
	return r
}
