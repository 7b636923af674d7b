package competitions_test

import (
	"fmt"
	"testing"

	"github.com/stretchr/testify/require"

	"marram.example/events"
	"marram.example/events/competition"
	"marram.example/projections/competitions"
	"marram.example/projections/projectiontest"
	"marram.example/projections/store"
	"marram.example/projections/store/storetest"
)

func TestGetFoldsAsTheDeciderDoes(t *testing.T) {
	all := projectiontest.History(4, 2, 4)
	want := competition.New()
	for _, e := range all {
		if e.Stream.Aggregate == events.Competition && e.Stream.ID == projectiontest.CompetitionID(1) {
			competition.Evolve(want, e.Event)
		}
	}
	storetest.Each(t, func(t *testing.T, s *store.Store) {
		c := competitions.New(s)
		projectiontest.MustCatchUp(t, s, projectiontest.NewLog(all, 3), c)
		got, err := c.Get(t.Context(), projectiontest.CompetitionID(1))
		require.NoError(t, err)
		require.Equal(t, want, got.State)
		require.Equal(t, competition.Published, got.State.Phase)

		_, err = c.Get(t.Context(), "none")
		require.Equal(t, events.KindNotFound, events.AsError(err).Kind)
		require.Equal(t, "competition_id", events.AsError(err).Field)
	})
}

func TestListPagesFromTheNewestDate(t *testing.T) {
	w := projectiontest.NewWriter()
	for i, date := range []string{"2026-05-02", "2026-06-01", "2025-12-31", "2026-05-02", "2026-05-02"} {
		id := string("bAaBc"[i])
		w.Add(events.CompetitionStream(projectiontest.Club, id), events.CompetitionPlanned{Name: "Medal", Date: date})
	}
	storetest.Each(t, func(t *testing.T, s *store.Store) {
		c := competitions.New(s)
		projectiontest.MustCatchUp(t, s, projectiontest.NewLog(w.All), c)
		for limit := 1; limit <= 6; limit++ {
			var got []string
			cursor, pages := "", 0
			for {
				page, next, err := c.List(t.Context(), limit, cursor)
				require.NoError(t, err)
				require.LessOrEqual(t, len(page), limit)
				for _, d := range page {
					got = append(got, d.State.Date+" "+d.ID)
				}
				pages++
				if cursor = next; cursor == "" {
					break
				}
			}
			require.Equal(t, []string{"2026-06-01 A", "2026-05-02 c", "2026-05-02 b", "2026-05-02 B", "2025-12-31 a"}, got, "pages of %d", limit)
			require.Equal(t, (5+limit-1)/limit, pages)
		}
		for _, cursor := range []string{"x", "AAAA", "WyJhIl0", "bnVsbA"} {
			_, _, err := c.List(t.Context(), 2, cursor)
			require.Equal(t, events.KindInvalid, events.AsError(err).Kind, cursor)
			require.Equal(t, "cursor", events.AsError(err).Field)
		}
	})
}

func TestAPageHasABound(t *testing.T) {
	w := projectiontest.NewWriter()
	for i := range 250 {
		w.Add(events.CompetitionStream(projectiontest.Club, fmt.Sprint(i)), events.CompetitionPlanned{Name: "Medal", Date: "2026-05-02"})
	}
	s := storetest.Open(t, store.SQLite)
	c := competitions.New(s)
	projectiontest.MustCatchUp(t, s, projectiontest.NewLog(w.All, 250), c)
	for _, limit := range []int{0, -1, 201, 1 << 40} {
		page, next, err := c.List(t.Context(), limit, "")
		require.NoError(t, err)
		require.Len(t, page, 200)
		require.NotEmpty(t, next)
	}
}
