package cards_test

import (
	"testing"

	"github.com/stretchr/testify/require"

	"marram.example/events"
	"marram.example/events/card"
	"marram.example/projections/cards"
	"marram.example/projections/projectiontest"
	"marram.example/projections/store"
	"marram.example/projections/store/storetest"
)

func TestCards(t *testing.T) {
	all := projectiontest.History(4, 2, 4)
	want := card.New()
	for _, e := range all {
		if e.Stream.Aggregate == events.Card && e.Stream.ID == projectiontest.CardID(1, 2) {
			card.Evolve(want, e.Event)
		}
	}
	require.NotEmpty(t, want.Strokes)
	want.Strokes = nil // this read model leaves them out
	storetest.Each(t, func(t *testing.T, s *store.Store) {
		c := cards.New(s)
		projectiontest.MustCatchUp(t, s, projectiontest.NewLog(all, 3), c)

		got, err := c.Get(t.Context(), projectiontest.CardID(1, 2))
		require.NoError(t, err)
		require.Equal(t, want, got.State)
		require.Equal(t, events.StatusReturned, got.State.Status())

		var columns []struct{ ID, Competition, Entry, Player, Status string }
		require.NoError(t, s.DB().Select(&columns, "SELECT id, competition, entry, player, status FROM cards WHERE id = 'card-001-003'"))
		require.Equal(t, []struct{ ID, Competition, Entry, Player, Status string }{
			{"card-001-003", "comp-001", "entry-001-003", "player-003", events.StatusDisqualified},
		}, columns)

		byCompetition, err := c.ByCompetition(t.Context(), projectiontest.CompetitionID(1))
		require.NoError(t, err)
		require.Equal(t, []string{"card-001-000", "card-001-001", "card-001-002", "card-001-003"}, ids(byCompetition))
		byPlayer, err := c.ByPlayer(t.Context(), projectiontest.PlayerID(2))
		require.NoError(t, err)
		require.Equal(t, []string{"card-000-002", "card-001-002"}, ids(byPlayer))

		for _, id := range []string{"none", "", "\x00", "\xff"} {
			none, err := c.ByCompetition(t.Context(), id)
			require.NoError(t, err)
			require.Empty(t, none)
			none, err = c.ByPlayer(t.Context(), id)
			require.NoError(t, err)
			require.Empty(t, none)
			_, err = c.Get(t.Context(), id)
			require.Equal(t, events.KindNotFound, events.AsError(err).Kind)
			require.Equal(t, "card_id", events.AsError(err).Field)
		}
	})
}

// A side's card is found by each of its players, whether they play one ball or
// each their own.
func TestCardsOfSides(t *testing.T) {
	w := projectiontest.NewWriter()
	issue := func(id string, change func(*events.CardIssued)) {
		k := events.CardIssued{CompetitionID: "c", Round: 1, EntryID: id, PlayerID: "first-" + id, Format: "stroke_play"}
		change(&k)
		w.Add(events.CardStream(projectiontest.Club, "c", id), k)
	}
	issue("own", func(k *events.CardIssued) {
		k.Partners = []events.Ball{{PlayerID: "x"}, {PlayerID: "y"}, {PlayerID: "z"}}
	})
	issue("one", func(k *events.CardIssued) {
		k.Figures.Shares = []events.Share{{PlayerID: "x"}, {PlayerID: "first-one"}}
	})
	issue("alone", func(*events.CardIssued) {})
	storetest.Each(t, func(t *testing.T, s *store.Store) {
		c := cards.New(s)
		projectiontest.MustCatchUp(t, s, projectiontest.NewLog(w.All, 3), c)
		for player, want := range map[string][]string{"x": {"one", "own"}, "y": {"own"}, "z": {"own"}, "first-one": {"one"}, "first-alone": {"alone"}} {
			found, err := c.ByPlayer(t.Context(), player)
			require.NoError(t, err)
			require.Equal(t, want, ids(found), player)
		}
	})
}

func ids(all []cards.Card) []string {
	var out []string
	for _, c := range all {
		out = append(out, c.ID)
	}
	return out
}
