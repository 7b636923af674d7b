package projections_test

import (
	"fmt"
	"os"
	"testing"

	"github.com/stretchr/testify/require"

	"marram.example/events"
	"marram.example/events/log"
	"marram.example/events/log/logtest"
	"marram.example/projections"
	"marram.example/projections/projectiontest"
	"marram.example/projections/store"
	"marram.example/projections/store/storetest"
)

// recorder stores the events that it is given.
var recorder = log.Decider[*struct{}, []events.Event]{
	New:    func() *struct{} { return &struct{}{} },
	Clone:  func(s *struct{}) *struct{} { return s },
	Evolve: func(*struct{}, events.Event) {},
	Decide: func(_ *struct{}, e []events.Event) ([]events.Event, error) { return e, nil },
}

// feed appends a history to a real log, each event as a command of its own, and
// returns the position of the last one.
func feed(t testing.TB, l *log.Log, all []events.Recorded) events.Position {
	t.Helper()
	var last events.Position
	for _, e := range all {
		done, err := l.Execute(t.Context(), log.Meta{CommandID: e.ID, Time: e.Time, Actor: e.Actor}, log.Do(recorder, e.Stream, []events.Event{e.Event}))
		require.NoError(t, err)
		last = done[0].Position
	}
	return last
}

// The real log under both databases at once: live, through a lost store, through
// a restart of the log, and against another log.
func TestOnTheRealLog(t *testing.T) {
	ctx := bounded(t)
	all := projectiontest.History(21, 1, 4)
	folder := t.TempDir()
	inFolder := func(o *log.Options) { o.Dir = folder }
	l, err := log.Open(ctx, log.Options{Club: logtest.Club, Dir: folder})
	require.NoError(t, err)

	file := storetest.Options(t, store.SQLite)
	stores := []*store.Store{storetest.MustOpen(t, file), storetest.Open(t, store.Postgres)}
	runner := func(l projections.Log, s *store.Store) *projections.Runner {
		return mustRunner(t, projections.Options{Log: l, Store: s, Projections: projectiontest.ReadModels(s, &projectiontest.Keys{})})
	}
	runners := []*projections.Runner{runner(l, stores[0]), runner(l, stores[1])}
	var stops []func() error
	for _, r := range runners {
		stops = append(stops, mustRun(t, r))
	}
	half := len(all) / 2
	middle := feed(t, l, all[:half])
	for _, r := range runners {
		require.NoError(t, r.WaitFor(ctx, middle))
	}
	require.NoError(t, os.Remove(file.SQLitePath))
	last := feed(t, l, all[half:])
	require.EqualValues(t, len(all), last)
	var dumps []string
	for i, r := range runners {
		require.NoError(t, r.WaitFor(ctx, last), stores[i].Dialect())
		dumps = append(dumps, dump(t, r))
	}
	require.Equal(t, dumps[0], dumps[1], "SQLite and PostgreSQL")
	for _, stop := range stops {
		require.NoError(t, stop())
	}
	require.NoError(t, l.Close())

	again := logtest.MustOpen(t, inFolder)
	other := logtest.MustOpen(t)
	feed(t, other, all)
	for _, s := range stores {
		r := runner(again, s)
		require.NoError(t, r.CatchUp(ctx, nil))
		require.Equal(t, last, r.Position())
		diffs, err := r.Verify(ctx, nil)
		require.NoError(t, err)
		require.Empty(t, diffs)
		require.NoError(t, r.Rebuild(ctx, nil))
		require.Equal(t, dumps[0], dump(t, r))

		err = runner(other, s).Run(ctx)
		require.ErrorIs(t, err, projections.ErrLogMismatch)
		require.ErrorContains(t, err, fmt.Sprintf("at position %d", last))
	}
}

func TestAClosedLogStopsTheRunner(t *testing.T) {
	ctx := bounded(t)
	l, err := log.Open(ctx, log.Options{Club: logtest.Club, Dir: t.TempDir()})
	require.NoError(t, err)
	s := storetest.Open(t, store.SQLite)
	r := mustRunner(t, projections.Options{Log: l, Store: s, Projections: projectiontest.ReadModels(s, &projectiontest.Keys{})})
	ended := make(chan error, 1)
	go func() { ended <- r.Run(ctx) }()
	last := feed(t, l, projectiontest.History(21, 1, 2)[:5])
	require.NoError(t, r.WaitFor(ctx, last))
	require.NoError(t, l.Close())
	require.ErrorIs(t, <-ended, log.ErrClosed)
	require.ErrorIs(t, r.WaitFor(ctx, last+1), log.ErrClosed)
}
