package projections_test

import (
	"context"
	"encoding/json"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"marram.example/events"
	"marram.example/projections"
	"marram.example/projections/projectiontest"
	"marram.example/projections/store"
	"marram.example/projections/store/storetest"
)

func TestRebuildMakesTheSameBytesOnBothDatabases(t *testing.T) {
	all := projectiontest.History(3, 3, 10)
	want := reference(t, all)
	require.Greater(t, strings.Count(want, "\n"), 50)
	storetest.Each(t, func(t *testing.T, s *store.Store) {
		ctx := bounded(t)
		r := projectiontest.MustCatchUp(t, s, projectiontest.NewLog(all, 7, 1, 113), projectiontest.ReadModels(s, &projectiontest.Keys{})...)
		require.Equal(t, want, dump(t, r), "as it came")
		for range 2 {
			var done, total events.Position
			require.NoError(t, r.Rebuild(ctx, func(d, n events.Position) { done, total = d, n }))
			require.Equal(t, [2]events.Position{events.Position(len(all)), events.Position(len(all))}, [2]events.Position{done, total})
			require.Equal(t, want, dump(t, r), "rebuilt")
		}
		require.Equal(t, want, dump(t, r), "a dump changes nothing")
	})
}

func TestDumpIsSortedAndComplete(t *testing.T) {
	all := projectiontest.History(3, 1, 4)
	tables := map[string]int{}
	for _, line := range strings.Split(strings.TrimSpace(reference(t, all)), "\n") {
		var row struct {
			Table string         `json:"table"`
			Row   map[string]any `json:"row"`
		}
		require.NoError(t, json.Unmarshal([]byte(line), &row))
		tables[row.Table]++
		again, err := json.Marshal(map[string]any{"table": row.Table, "row": row.Row})
		require.NoError(t, err)
		if !strings.Contains(line, "9223372036854775815") { // a seed beyond the digits of a float
			require.JSONEq(t, string(again), line)
		}
	}
	require.Equal(t, map[string]int{"projection_checkpoints": 6, "courses": 2, "players": 4, "competitions": 1, "cards": 4, "results": 2, "strokes": 4}, tables)
}

// However the log is cut into batches and transactions, and wherever a run ends,
// the read models are the same.
func TestAnyBatchingGivesTheSameDump(t *testing.T) {
	rapid.Check(t, func(rt *rapid.T) {
		all := projectiontest.History(rapid.Uint64().Draw(rt, "seed"), 1, 2)
		want := reference(t, all)
		s := storetest.Open(t, store.SQLite)
		defer func() { require.NoError(rt, s.Close()) }()
		var r *projections.Runner
		sizes := rapid.SliceOfN(rapid.IntRange(1, 150), 1, 5)
		for from := 0; from < len(all); {
			from = min(len(all), from+rapid.IntRange(10, len(all)).Draw(rt, "run"))
			r = mustRunner(t, projections.Options{
				Log: projectiontest.NewLog(all[:from], sizes.Draw(rt, "sizes")...), Store: s,
				Projections: projectiontest.ReadModels(s, &projectiontest.Keys{}), Replay: rapid.IntRange(1, 80).Draw(rt, "batch"),
			})
			require.NoError(rt, r.CatchUp(context.Background(), nil))
			require.Equal(rt, events.Position(from), r.Position())
		}
		require.Equal(rt, want, dump(t, r))
	})
}

func TestANewVersionReplaysThatProjectionAlone(t *testing.T) {
	all := projectiontest.History(3, 1, 4)
	want := reference(t, all)
	storetest.Each(t, func(t *testing.T, s *store.Store) {
		ctx := bounded(t)
		models := projectiontest.ReadModels(s, &projectiontest.Keys{})
		projectiontest.MustCatchUp(t, s, projectiontest.NewLog(all, 9), models...)

		seen := map[string]int{}
		for i := range models {
			models[i] = &wrapped{Projection: models[i], before: func(name string, n int) { seen[name] += n }}
		}
		models[1].(*wrapped).version = 2
		r := mustRunner(t, projections.Options{Log: projectiontest.NewLog(all, 9), Store: s, Projections: models})
		require.NoError(t, r.CatchUp(ctx, nil))
		require.Equal(t, map[string]int{"players": len(all)}, seen)
		require.Equal(t, strings.Replace(want, `"name":"players","position":`+itoa(len(all))+`,"version":1`, `"name":"players","position":`+itoa(len(all))+`,"version":2`, 1), dump(t, r))

		older := mustRunner(t, projections.Options{Log: projectiontest.NewLog(all, 9), Store: s, Projections: projectiontest.ReadModels(s, &projectiontest.Keys{})})
		require.ErrorIs(t, older.CatchUp(ctx, nil), projections.ErrNewerProjection)
		require.ErrorContains(t, older.Run(ctx), "projection players is at version 2, this program at 1")
		require.NoError(t, older.Rebuild(ctx, nil), "a rebuild is the way back")
		require.Equal(t, want, dump(t, older))
	})
}

func TestVerifyFindsWhatDiffers(t *testing.T) {
	all := projectiontest.History(3, 1, 5)
	storetest.Each(t, func(t *testing.T, s *store.Store) {
		ctx := bounded(t)
		l := projectiontest.NewLog(all[:len(all)-20], 50)
		r := projectiontest.MustCatchUp(t, s, l, projectiontest.ReadModels(s, &projectiontest.Keys{})...)
		l.Append(all[len(all)-20:]...) // the read models are behind: that is no difference
		var done, total events.Position
		diffs, err := r.Verify(ctx, func(d, n events.Position) { done, total = d, n })
		require.NoError(t, err)
		require.Empty(t, diffs)
		require.Equal(t, [2]events.Position{r.Position(), r.Position()}, [2]events.Position{done, total})

		db := s.DB()
		for _, q := range []string{
			"UPDATE players SET name = 'someone else' WHERE id = 'player-001'",
			"DELETE FROM cards WHERE id = 'card-000-002'",
			"INSERT INTO results (competition, revision, position, doc) VALUES ('comp-zzz', 7, 1, '{}')",
		} {
			_, err := db.Exec(q)
			require.NoError(t, err)
		}
		diffs, err = r.Verify(ctx, nil)
		require.NoError(t, err)
		require.Len(t, diffs, 3)
		require.Equal(t, "cards", diffs[0].Table)
		require.Equal(t, []string{"card-000-002"}, diffs[0].Key)
		require.Empty(t, diffs[0].Stored)
		require.NotEmpty(t, diffs[0].Replay)
		require.Equal(t, "players", diffs[1].Table)
		require.Equal(t, []string{"player-001"}, diffs[1].Key)
		require.Contains(t, diffs[1].Stored, "someone else")
		require.Contains(t, diffs[1].Replay, projectiontest.Name(1))
		require.Equal(t, projections.Difference{
			Table: "results", Key: []string{"comp-zzz", "7"},
			Stored: `{"row":{"competition":"comp-zzz","doc":{},"position":1,"revision":7},"table":"results"}`,
		}, diffs[2])

		_, err = db.Exec("DELETE FROM cards")
		require.NoError(t, err)
		_, err = db.Exec("UPDATE projection_checkpoints SET event_id = 'another' WHERE name = 'cards'")
		require.NoError(t, err)
		diffs, err = r.Verify(ctx, nil)
		require.NoError(t, err)
		require.Equal(t, "projection_checkpoints", diffs[0].Table)
	})
}
