package results_test

import (
	"testing"

	"github.com/stretchr/testify/require"

	"marram.example/events"
	"marram.example/projections/projectiontest"
	"marram.example/projections/results"
	"marram.example/projections/store"
	"marram.example/projections/store/storetest"
)

func TestResults(t *testing.T) {
	w := projectiontest.NewWriter()
	gross := 78
	medal := events.CompetitionStream(projectiontest.Club, "medal")
	result := func(entry string) events.Result {
		return events.Result{Rows: []events.ResultRow{{EntryID: entry, Gross: &gross, Status: events.StatusReturned, Positions: map[string]string{"gross": "1"}}}}
	}
	w.Add(medal, events.CompetitionPlanned{Name: "Medal", Date: "2026-05-02"})
	first := w.Add(medal, events.ResultPublished{Result: result("a")})
	for i := 1; i <= 11; i++ {
		w.Add(medal, events.ResultRevised{Result: result("b"), Revision: i, Reason: "corrected"})
	}
	last := w.All[len(w.All)-1]
	w.Add(events.CompetitionStream(projectiontest.Club, "cup"), events.ResultPublished{Result: result("c")})

	storetest.Each(t, func(t *testing.T, s *store.Store) {
		ctx := t.Context()
		r := results.New(s)
		projectiontest.MustCatchUp(t, s, projectiontest.NewLog(w.All, 5), r)

		latest, err := r.Latest(ctx, "medal")
		require.NoError(t, err)
		require.Equal(t, &results.Published{
			CompetitionID: "medal", Revision: 11, Reason: "corrected", Time: last.Time.UTC(), Sequence: last.Sequence,
			Position: last.Position, EventID: last.ID, Result: result("b"),
		}, latest)

		history, err := r.History(ctx, "medal")
		require.NoError(t, err)
		require.Len(t, history, 12)
		require.Equal(t, results.Published{
			CompetitionID: "medal", Time: first.Time.UTC(), Sequence: 2, Position: first.Position, EventID: first.ID, Result: result("a"),
		}, history[0])
		for i, p := range history {
			require.Equal(t, i, p.Revision, "in order of the number, not of its text")
		}

		for _, id := range []string{"none", "", "\x00"} {
			_, err = r.Latest(ctx, id)
			require.Equal(t, events.KindNotFound, events.AsError(err).Kind)
			require.Equal(t, "competition_id", events.AsError(err).Field)
			history, err = r.History(ctx, id)
			require.NoError(t, err)
			require.Empty(t, history)
		}
	})
}
