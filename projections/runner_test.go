package projections_test

import (
	"context"
	"errors"
	"fmt"
	"strconv"
	"sync/atomic"
	"testing"

	"github.com/jmoiron/sqlx"
	"github.com/stretchr/testify/require"

	"marram.example/events"
	"marram.example/projections"
	"marram.example/projections/projectiontest"
	"marram.example/projections/store"
	"marram.example/projections/store/storetest"
)

func itoa(n int) string { return strconv.Itoa(n) }

// wrapped is a real projection with a hand in what happens around it.
type wrapped struct {
	projections.Projection
	version int
	before  func(name string, events int)
	after   func(batch []events.Recorded) error
}

func (w *wrapped) Version() int {
	if w.version > 0 {
		return w.version
	}
	return w.Projection.Version()
}

func (w *wrapped) Apply(ctx context.Context, tx *sqlx.Tx, batch []events.Recorded) error {
	if w.before != nil {
		w.before(w.Name(), len(batch))
	}
	if err := w.Projection.Apply(ctx, tx, batch); err != nil || w.after == nil {
		return err
	}
	return w.after(batch)
}

// tally counts events without any guard of its own: only the checkpoint keeps it
// from counting one twice.
type tally struct{}

func (tally) Name() string { return "tally" }
func (tally) Version() int { return 1 }
func (tally) Tables() []projections.Table {
	return []projections.Table{{Name: "courses", Key: []string{"id"}}}
}
func (tally) Apply(ctx context.Context, tx *sqlx.Tx, batch []events.Recorded) error {
	_, err := tx.ExecContext(ctx, tx.Rebind(`INSERT INTO courses (id, position, doc) VALUES ('tally', ?, '0')
		ON CONFLICT (id) DO UPDATE SET position = courses.position + excluded.position`), len(batch))
	return err
}

func tallied(t *testing.T, s *store.Store) int {
	t.Helper()
	var n int
	require.NoError(t, s.DB().Get(&n, "SELECT position FROM courses WHERE id = 'tally'"))
	return n
}

func TestRunFollowsTheLog(t *testing.T) {
	all := projectiontest.History(5, 2, 4)
	want := reference(t, all)
	storetest.Each(t, func(t *testing.T, s *store.Store) {
		ctx := bounded(t)
		l := projectiontest.NewLog(all[:100], 30)
		r := mustRunner(t, projections.Options{Log: l, Store: s, Projections: projectiontest.ReadModels(s, &projectiontest.Keys{})})
		lag, err := r.Lag(ctx)
		require.NoError(t, err)
		require.EqualValues(t, 100, lag)
		stop := mustRun(t, r)
		require.NoError(t, r.WaitFor(ctx, 100))
		require.ErrorContains(t, r.Rebuild(ctx, nil), "at work already")

		for _, e := range all[100:] {
			l.Append(e)
			if e.Position%25 == 0 {
				require.NoError(t, r.WaitFor(ctx, e.Position))
				require.Equal(t, e.Position, r.Position())
			}
		}
		require.NoError(t, r.WaitFor(ctx, events.Position(len(all))))
		lag, err = r.Lag(ctx)
		require.NoError(t, err)
		require.Zero(t, lag)
		trouble, _ := r.Trouble()
		require.NoError(t, trouble)
		require.NoError(t, stop())
		require.Equal(t, want, dump(t, r))

		short, cancel := context.WithCancel(ctx)
		cancel()
		require.ErrorIs(t, r.WaitFor(short, events.Position(len(all)+1)), context.Canceled)
	})
}

func TestAFailureAmidABatchIsTriedAgainAndLosesNothing(t *testing.T) {
	all := projectiontest.History(5, 2, 4)
	want := reference(t, all)
	storetest.Each(t, func(t *testing.T, s *store.Store) {
		ctx := bounded(t)
		var turn atomic.Int32
		models := projectiontest.ReadModels(s, &projectiontest.Keys{})
		for i := range models {
			// After this projection's rows are written, and before the next one's.
			models[i] = &wrapped{Projection: models[i], after: func([]events.Recorded) error {
				if turn.Add(1)%3 == 0 {
					return errors.New("the disk is full")
				}
				return nil
			}}
		}
		// With every third call failing, no batch of five projections could pass in
		// one go: the wrapping stops after a while.
		for i := range models {
			inner := models[i].(*wrapped)
			fail := inner.after
			inner.after = func(b []events.Recorded) error {
				if turn.Load() > 60 {
					return nil
				}
				return fail(b)
			}
		}
		r := mustRunner(t, projections.Options{Log: projectiontest.NewLog(all, 40), Store: s, Projections: models})
		stop := mustRun(t, r)
		require.NoError(t, r.WaitFor(ctx, events.Position(len(all))))
		require.NoError(t, stop())
		require.Greater(t, turn.Load(), int32(60))
		require.Equal(t, want, dump(t, r))
	})
}

func TestARestartAmidABatchGoesOnWhereTheCheckpointIs(t *testing.T) {
	all := projectiontest.History(6, 2, 4)
	want := reference(t, all)
	storetest.Each(t, func(t *testing.T, s *store.Store) {
		ctx := bounded(t)
		for _, at := range []events.Position{1, 40, 41, 97} {
			run, cancel := context.WithCancel(ctx)
			models := projectiontest.ReadModels(s, &projectiontest.Keys{})
			models[3] = &wrapped{Projection: models[3], after: func(batch []events.Recorded) error {
				if batch[len(batch)-1].Position >= at {
					cancel() // the transaction with these rows must not survive
				}
				return nil
			}}
			r := mustRunner(t, projections.Options{Log: projectiontest.NewLog(all, 20), Store: s, Projections: models})
			require.NoError(t, r.Run(run))
			require.Less(t, r.Position(), at)
		}
		r := projectiontest.MustCatchUp(t, s, projectiontest.NewLog(all, 20), projectiontest.ReadModels(s, &projectiontest.Keys{})...)
		require.Equal(t, want, dump(t, r))
	})
}

func TestManyProcessesOnOneStoreCountEveryEventOnce(t *testing.T) {
	all := projectiontest.History(9, 2, 6)
	storetest.Each(t, func(t *testing.T, first *store.Store) {
		ctx := bounded(t)
		l := projectiontest.NewLog(nil, 1, 3, 10)
		var runners []*projections.Runner
		for range 3 {
			models := append(projectiontest.ReadModels(first, &projectiontest.Keys{})[1:], tally{})
			r := mustRunner(t, projections.Options{Log: l, Store: first, Projections: models, Batch: 5})
			runners = append(runners, r)
			mustRun(t, r)
		}
		for _, e := range all {
			l.Append(e)
		}
		for _, r := range runners {
			require.NoError(t, r.WaitFor(ctx, events.Position(len(all))))
		}
		require.Equal(t, len(all), tallied(t, first))
		diffs, err := runners[0].Verify(ctx, nil)
		require.NoError(t, err)
		require.Empty(t, diffs)
	})
}

func TestAnotherLogIsRefused(t *testing.T) {
	all := projectiontest.History(5, 1, 3)
	other := append([]events.Recorded(nil), all...)
	for i := range other {
		other[i].ID = fmt.Sprintf("other-%d", i)
	}
	storetest.Each(t, func(t *testing.T, s *store.Store) {
		ctx := bounded(t)
		models := projectiontest.ReadModels(s, &projectiontest.Keys{})
		projectiontest.MustCatchUp(t, s, projectiontest.NewLog(all[:80], 20), models...)
		for name, l := range map[string]struct {
			log  *projectiontest.Log
			says string
		}{
			"empty":           {projectiontest.NewLog(nil), "but the log ends at 0"},
			"shorter":         {projectiontest.NewLog(all[:79]), "but the log ends at 79"},
			"other at end":    {projectiontest.NewLog(other[:80]), "but the log holds event other-79 there"},
			"other, longer":   {projectiontest.NewLog(other), "but the log holds event other-79 there"},
			"end was rewound": {projectiontest.NewLog(append(append([]events.Recorded(nil), all[:79]...), other[79:]...)), "but the log holds event other-79 there"},
		} {
			r := mustRunner(t, projections.Options{Log: l.log, Store: s, Projections: models})
			for _, err := range []error{r.Run(ctx), r.CatchUp(ctx, nil)} {
				require.ErrorIs(t, err, projections.ErrLogMismatch, name)
				require.ErrorContains(t, err, l.says, name)
				require.ErrorContains(t, err, "marram rebuild", name)
			}
			require.ErrorIs(t, mustStopped(t, r), projections.ErrLogMismatch)
		}
		r := mustRunner(t, projections.Options{Log: projectiontest.NewLog(other, 20), Store: s, Projections: models})
		require.NoError(t, r.Rebuild(ctx, nil), "a rebuild is the way on")
		require.Equal(t, reference(t, other), dump(t, r))
	})
}

// mustStopped runs a runner that cannot go on and returns what a waiting query is told.
func mustStopped(t *testing.T, r *projections.Runner) error {
	t.Helper()
	ctx := bounded(t)
	err := r.Run(ctx)
	require.Error(t, err)
	trouble, stopped := r.Trouble()
	require.True(t, stopped)
	require.Equal(t, err, trouble)
	return r.WaitFor(ctx, 1_000_000)
}

func TestWhatCannotBeMendedStopsTheRunner(t *testing.T) {
	all := projectiontest.History(5, 1, 3)
	fold := func(p projections.Projection) projections.Projection {
		return &wrapped{Projection: p, after: func([]events.Recorded) error { panic("index out of range") }}
	}
	same := func(p projections.Projection) projections.Projection { return p }
	gap := append(append([]events.Recorded(nil), all...), all[len(all)-1])
	gap[len(all)].Position++
	gap[len(all)].Sequence += 2
	broken := projectiontest.NewLog(all, 20)
	broken.Break(fmt.Errorf("position 7: %w", events.ErrUnknownType))
	for name, c := range map[string]struct {
		log  projections.Log
		make func(projections.Projection) projections.Projection
		want error
		says string
	}{
		"a fold that panics": {projectiontest.NewLog(all, 20), fold, projections.ErrFold, "cards, between positions 1 and 20: index out of range"},
		"a gap in a stream":  {projectiontest.NewLog(gap, 20), same, projections.ErrGap, "sequence"},
		"an unknown event":   {broken, same, events.ErrUnknownType, "position 7"},
	} {
		t.Run(name, func(t *testing.T) {
			storetest.Each(t, func(t *testing.T, s *store.Store) {
				models := projectiontest.ReadModels(s, &projectiontest.Keys{})
				models[3] = c.make(models[3])
				err := mustStopped(t, mustRunner(t, projections.Options{Log: c.log, Store: s, Projections: models}))
				require.ErrorIs(t, err, c.want)
				require.ErrorContains(t, err, c.says)
			})
		})
	}
}

func TestALogThatFailsIsReadAgain(t *testing.T) {
	all := projectiontest.History(5, 1, 3)
	storetest.Each(t, func(t *testing.T, s *store.Store) {
		ctx := bounded(t)
		l := projectiontest.NewLog(all[:50], 20)
		r := mustRunner(t, projections.Options{Log: l, Store: s, Projections: projectiontest.ReadModels(s, &projectiontest.Keys{})})
		mustRun(t, r)
		require.NoError(t, r.WaitFor(ctx, 50))
		away := errors.New("nobody answers")
		l.Break(away)
		require.Eventually(t, func() bool { err, stopped := r.Trouble(); return errors.Is(err, away) && !stopped }, patience, 1e6)
		_, err := r.Lag(ctx)
		require.ErrorIs(t, err, away)
		l.Append(all[50:]...)
		l.Break(nil)
		require.NoError(t, r.WaitFor(ctx, events.Position(len(all))))
	})
}

func TestOptionsOfARunner(t *testing.T) {
	s := storetest.Open(t, store.SQLite)
	models := projectiontest.ReadModels(s, &projectiontest.Keys{})
	for name, o := range map[string]projections.Options{
		"no log":         {Store: s, Projections: models},
		"no store":       {Log: projectiontest.NewLog(nil), Projections: models},
		"no projections": {Log: projectiontest.NewLog(nil), Store: s},
		"one twice":      {Log: projectiontest.NewLog(nil), Store: s, Projections: append(models, models[2])},
	} {
		_, err := projections.NewRunner(o)
		require.Error(t, err, name)
	}
}
