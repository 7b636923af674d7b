package api_test

import (
	"net/http"
	"testing"

	"github.com/stretchr/testify/require"

	"marram.example/api/apitest"
	"marram.example/events"
	"marram.example/projections/store"
	"marram.example/projections/store/storetest"
)

// A card that was reopened is out of the club's baseline at once, also where another
// one was returned meanwhile.
func TestClubBaselineLeavesReopenedCardsOut(t *testing.T) {
	t.Parallel()
	storetest.Each(t, func(t *testing.T, st *store.Store) {
		s := apitest.MustServe(t, apitest.On(st.Dialect()))
		c := s.Committee(t)
		m := apitest.MustOpenRound(t, c)
		handIn := func(card string) {
			in := apitest.Scores(apitest.Par)
			in["signed"] = true
			c.Put(t, "/cards/"+card+"/scores", in).Must(t, http.StatusOK)
		}
		first := s.Bearer(apitest.MustLink(t, c, m.Cards[0], events.RolePlayer))
		second := s.Bearer(apitest.MustLink(t, c, m.Cards[1], events.RolePlayer))
		played(t, first, m.Cards[0], 0)
		played(t, second, m.Cards[1], 0)
		for _, hole := range []string{"10", "11", "12"} {
			second.Put(t, "/cards/"+m.Cards[1]+"/strokes/holes/"+hole, map[string]any{"strokes": []any{}}).Must(t, http.StatusOK)
		}
		handIn(m.Cards[0])
		require.Contains(t, reviewOf(t, first, "/cards/"+m.Cards[0]+"/review?baseline=club").Baseline.Source, "72 strokes of 1 player")
		c.Post(t, "/cards/"+m.Cards[0]+"/reopening", map[string]any{"reason": "a hole was left out"}).Must(t, http.StatusOK)
		handIn(m.Cards[1])
		require.Contains(t, reviewOf(t, second, "/cards/"+m.Cards[1]+"/review?baseline=club").Baseline.Source, "60 strokes of 1 player")
	})
}
