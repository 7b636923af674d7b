package projections_test

import (
	"errors"
	"os"
	"testing"

	"github.com/stretchr/testify/require"

	"marram.example/events"
	"marram.example/projections"
	"marram.example/projections/projectiontest"
	"marram.example/projections/store"
	"marram.example/projections/store/storetest"
)

// A read store that goes away never keeps the log from growing, and the read
// models catch up by themselves (promise 7).
func TestTheStoreGoesAwayAndComesBack(t *testing.T) {
	all := projectiontest.History(11, 2, 4)
	want := reference(t, all)
	half := len(all) / 2

	t.Run("postgres stopped and started", func(t *testing.T) {
		ctx := bounded(t)
		server := storetest.StartServer(t)
		s := storetest.MustOpen(t, store.Options{DatabaseURL: server.URL()})
		l := projectiontest.NewLog(all[:half], 17)
		r := mustRunner(t, projections.Options{Log: l, Store: s, Projections: projectiontest.ReadModels(s, &projectiontest.Keys{})})
		mustRun(t, r)
		require.NoError(t, r.WaitFor(ctx, events.Position(half)))
		server.Stop()
		l.Append(all[half:]...)
		require.Eventually(t, func() bool { err, stopped := r.Trouble(); return err != nil && !stopped }, patience, 1e6)
		require.Error(t, s.Ping(ctx))
		lag, err := r.Lag(ctx)
		require.NoError(t, err)
		require.EqualValues(t, len(all)-half, lag)
		server.Start(t)
		require.NoError(t, r.WaitFor(ctx, events.Position(len(all))))
		require.NoError(t, s.Ping(ctx))
		require.Equal(t, want, dump(t, r))
	})

	t.Run("postgres down at the start", func(t *testing.T) {
		ctx := bounded(t)
		server := storetest.StartServer(t)
		server.Stop()
		s := storetest.MustOpen(t, store.Options{DatabaseURL: server.URL(), Patient: true})
		r := mustRunner(t, projections.Options{Log: projectiontest.NewLog(all, 50), Store: s, Projections: projectiontest.ReadModels(s, &projectiontest.Keys{})})
		mustRun(t, r)
		require.Eventually(t, func() bool { err, stopped := r.Trouble(); return err != nil && !stopped }, patience, 1e6)
		server.Start(t)
		require.NoError(t, r.WaitFor(ctx, events.Position(len(all))))
		require.Equal(t, want, dump(t, r))
	})

	t.Run("postgres schema dropped", func(t *testing.T) {
		ctx := bounded(t)
		s := storetest.Open(t, store.Postgres)
		l := projectiontest.NewLog(all[:half], 17)
		r := mustRunner(t, projections.Options{Log: l, Store: s, Projections: projectiontest.ReadModels(s, &projectiontest.Keys{})})
		mustRun(t, r)
		require.NoError(t, r.WaitFor(ctx, events.Position(half)))
		_, err := s.DB().Exec("DROP OWNED BY CURRENT_USER")
		require.NoError(t, err)
		_, err = s.DB().Exec("CREATE SCHEMA IF NOT EXISTS public")
		require.NoError(t, err)
		l.Append(all[half:]...)
		require.NoError(t, r.WaitFor(ctx, events.Position(len(all))))
		require.Equal(t, want, dump(t, r))
	})

	for name, lose := range map[string]func(path string) error{
		"deleted":       os.Remove,
		"renamed":       func(p string) error { return os.Rename(p, p+".aside") },
		"all deleted":   func(p string) error { return errors.Join(os.Remove(p), os.Remove(p+"-wal"), os.Remove(p+"-shm")) },
		"made a folder": func(p string) error { return errors.Join(os.Remove(p), os.Mkdir(p, 0o700)) },
	} {
		for _, idle := range []bool{true, false} {
			t.Run("sqlite file "+name+map[bool]string{true: ", idle", false: ", busy"}[idle], func(t *testing.T) {
				ctx := bounded(t)
				o := storetest.Options(t, store.SQLite)
				s := storetest.MustOpen(t, o)
				l := projectiontest.NewLog(all[:half], 17)
				r := mustRunner(t, projections.Options{Log: l, Store: s, Projections: projectiontest.ReadModels(s, &projectiontest.Keys{})})
				stop := mustRun(t, r)
				require.NoError(t, r.WaitFor(ctx, events.Position(half)))
				require.NoError(t, lose(o.SQLitePath))
				if !idle {
					l.Append(all[half:]...)
				}
				if name == "made a folder" {
					require.Eventually(t, func() bool { err, stopped := r.Trouble(); return err != nil && !stopped }, patience, 1e6)
					require.NoError(t, os.Remove(o.SQLitePath))
				}
				require.Eventually(t, func() bool { return !s.Lost() && s.Ping(ctx) == nil }, patience, 1e6)
				if idle {
					require.NoError(t, r.WaitFor(ctx, events.Position(half)))
					l.Append(all[half:]...)
				}
				require.NoError(t, r.WaitFor(ctx, events.Position(len(all))))
				require.Equal(t, want, dump(t, r))
				require.NoError(t, stop())
				require.NoError(t, s.Close())

				again := storetest.MustOpen(t, o)
				r = mustRunner(t, projections.Options{Log: l, Store: again, Projections: projectiontest.ReadModels(again, &projectiontest.Keys{})})
				require.Equal(t, want, dump(t, r), "it is the file at the path that was filled")
			})
		}
	}
}

func TestKeysThatAreAwayAreWaitedFor(t *testing.T) {
	all := projectiontest.History(11, 1, 3)
	ctx := bounded(t)
	s := storetest.Open(t, store.SQLite)
	keys := &projectiontest.Keys{}
	keys.Break(errors.New("the key store is away"))
	r := mustRunner(t, projections.Options{Log: projectiontest.NewLog(all, 50), Store: s, Projections: projectiontest.ReadModels(s, keys)})
	mustRun(t, r)
	require.Eventually(t, func() bool { err, stopped := r.Trouble(); return err != nil && !stopped }, patience, 1e6)
	keys.Break(nil)
	require.NoError(t, r.WaitFor(ctx, events.Position(len(all))))
	require.Equal(t, reference(t, all), dump(t, r))
}
