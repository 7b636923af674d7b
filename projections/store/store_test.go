package store_test

import (
	"context"
	"errors"
	"os"
	"path/filepath"
	"sync"
	"testing"

	"github.com/jmoiron/sqlx"
	"github.com/stretchr/testify/require"

	"marram.example/projections/store"
	"marram.example/projections/store/storetest"
)

func TestMain(m *testing.M) { storetest.Main(m) }

func countCourses(t *testing.T, s *store.Store) int {
	t.Helper()
	var n int
	require.NoError(t, s.DB().Get(&n, "SELECT count(*) FROM courses"))
	return n
}

func putCourse(ctx context.Context, tx *sqlx.Tx, id string, position int, doc string) error {
	return store.Upsert(ctx, tx, "courses", []string{"id"}, []string{"id", "position", "doc"}, [][]any{{id, position, doc}})
}

func TestTxCommitsOrLeavesNothing(t *testing.T) {
	storetest.Each(t, func(t *testing.T, s *store.Store) {
		ctx := t.Context()
		require.NoError(t, s.Ping(ctx))
		require.NoError(t, s.Tx(ctx, func(tx *sqlx.Tx) error { return putCourse(ctx, tx, "a", 1, "{}") }))
		require.Equal(t, 1, countCourses(t, s))

		refused := errors.New("refused")
		require.ErrorIs(t, s.Tx(ctx, func(tx *sqlx.Tx) error {
			return errors.Join(putCourse(ctx, tx, "b", 2, "{}"), refused)
		}), refused)
		require.Equal(t, 1, countCourses(t, s))

		require.Panics(t, func() {
			_ = s.Tx(ctx, func(tx *sqlx.Tx) error {
				require.NoError(t, putCourse(ctx, tx, "c", 3, "{}"))
				panic("fold")
			})
		})
		require.Equal(t, 1, countCourses(t, s), "the transaction of a panic is rolled back and its connection released")
		require.NoError(t, s.Tx(ctx, func(tx *sqlx.Tx) error { return putCourse(ctx, tx, "d", 4, "{}") }))
	})
}

func TestUpsertKeepsTheHigherPosition(t *testing.T) {
	storetest.Each(t, func(t *testing.T, s *store.Store) {
		ctx := t.Context()
		for _, step := range []struct {
			position int
			doc      string
			want     string
		}{{5, "five", "five"}, {4, "four", "five"}, {5, "five again", "five"}, {6, "six\x00\xff", "six\uFFFD\uFFFD"}} {
			require.NoError(t, s.Tx(ctx, func(tx *sqlx.Tx) error { return putCourse(ctx, tx, "a", step.position, step.doc) }))
			var got string
			require.NoError(t, s.DB().Get(&got, "SELECT doc FROM courses"))
			require.Equal(t, step.want, got)
		}
		require.ErrorContains(t, s.Tx(ctx, func(tx *sqlx.Tx) error {
			return store.Upsert(ctx, tx, "courses", []string{"id"}, []string{"id", "position", "doc"}, [][]any{{"b", 1}})
		}), "2 values for 3 columns")
	})
}

func TestUpsertManyRows(t *testing.T) {
	storetest.Each(t, func(t *testing.T, s *store.Store) {
		ctx := t.Context()
		rows := make([][]any, 0, 1234)
		for i := range 1234 {
			rows = append(rows, []any{filepath.Base(t.Name()) + string(rune('A'+i%26)) + string(rune('0'+i/26)), i + 1, "{}"})
		}
		require.NoError(t, s.Tx(ctx, func(tx *sqlx.Tx) error {
			return store.Upsert(ctx, tx, "courses", []string{"id"}, []string{"id", "position", "doc"}, rows)
		}))
		require.Equal(t, 1234, countCourses(t, s))
	})
}

func TestSnapshotSeesOneMoment(t *testing.T) {
	storetest.Each(t, func(t *testing.T, s *store.Store) {
		ctx := t.Context()
		require.NoError(t, s.Snapshot(ctx, func(tx *sqlx.Tx) error {
			var before, after int
			require.NoError(t, tx.Get(&before, "SELECT count(*) FROM courses"))
			require.NoError(t, s.Tx(ctx, func(other *sqlx.Tx) error { return putCourse(ctx, other, "a", 1, "{}") }))
			require.NoError(t, tx.Get(&after, "SELECT count(*) FROM courses"))
			require.Equal(t, []int{0, 0}, []int{before, after})
			return nil
		}))
		require.Equal(t, 1, countCourses(t, s))
	})
}

func TestBytewiseOrder(t *testing.T) {
	storetest.Each(t, func(t *testing.T, s *store.Store) {
		ctx := t.Context()
		require.NoError(t, s.Tx(ctx, func(tx *sqlx.Tx) error {
			for i, id := range []string{"a", "B", "_", "0", "Z", "-", "b"} {
				if err := putCourse(ctx, tx, id, i+1, "{}"); err != nil {
					return err
				}
			}
			return nil
		}))
		var got []string
		require.NoError(t, s.DB().Select(&got, "SELECT id FROM courses ORDER BY "+s.Bytewise("id")))
		require.Equal(t, []string{"-", "0", "B", "Z", "_", "a", "b"}, got)
	})
}

func TestOpenAgainKeepsTheRows(t *testing.T) {
	for _, d := range storetest.Dialects() {
		t.Run(string(d), func(t *testing.T) {
			ctx := t.Context()
			o := storetest.Options(t, d)
			first := storetest.MustOpen(t, o)
			require.Equal(t, d, first.Dialect())
			require.NoError(t, first.Tx(ctx, func(tx *sqlx.Tx) error { return putCourse(ctx, tx, "a", 1, "{}") }))
			require.NoError(t, first.Close())
			require.NoError(t, first.Close(), "close may be called twice")
			require.Error(t, first.Ping(ctx))
			require.Equal(t, 1, countCourses(t, storetest.MustOpen(t, o)))
		})
	}
}

func TestRefusesANewerSchema(t *testing.T) {
	for _, d := range storetest.Dialects() {
		t.Run(string(d), func(t *testing.T) {
			o := storetest.Options(t, d)
			s := storetest.MustOpen(t, o)
			_, err := s.DB().Exec(s.DB().Rebind("INSERT INTO goose_db_version (version_id, is_applied) VALUES (?, ?)"), 9000, true)
			require.NoError(t, err)
			for _, patient := range []bool{false, true} {
				o.Patient = patient
				_, err = store.Open(t.Context(), o)
				require.ErrorIs(t, err, store.ErrNewerSchema)
				require.ErrorContains(t, err, "it is at version 9000")
			}
		})
	}
}

func TestManyProcessesOpenAnEmptyDatabaseAtOnce(t *testing.T) {
	server := storetest.StartServer(t)
	var wg sync.WaitGroup
	errs := make([]error, 6)
	for i := range errs {
		wg.Go(func() {
			s, err := store.Open(context.Background(), store.Options{DatabaseURL: server.URL()})
			if err == nil {
				err = s.Close()
			}
			errs[i] = err
		})
	}
	wg.Wait()
	require.NoError(t, errors.Join(errs...))
}

func TestOptionsAreRefused(t *testing.T) {
	for name, o := range map[string]store.Options{
		"none":      {},
		"both":      {SQLitePath: "x", DatabaseURL: "postgres://localhost/x"},
		"malformed": {DatabaseURL: "postgres://user:hush@[::1/x"},
		"no folder": {SQLitePath: filepath.Join(t.TempDir(), "missing", "x.db")},
		"no server": {DatabaseURL: "postgres://user:hush@/x?sslmode=disable&host=" + t.TempDir()},
	} {
		t.Run(name, func(t *testing.T) {
			_, err := store.Open(t.Context(), o)
			require.Error(t, err)
			require.NotContains(t, err.Error(), "hush", "a password never stands in an error")
		})
	}
}

func TestPatientOpenWaitsForTheDatabase(t *testing.T) {
	dir := filepath.Join(t.TempDir(), "later")
	s := storetest.MustOpen(t, store.Options{SQLitePath: filepath.Join(dir, "x.db"), Patient: true})
	require.Error(t, s.Ping(t.Context()))
	require.NoError(t, os.Mkdir(dir, 0o700))
	require.NoError(t, s.Recover(t.Context()))
	require.NoError(t, s.Ping(t.Context()))
	require.Zero(t, countCourses(t, s))
}

func TestAPathMayHoldAnything(t *testing.T) {
	dir := filepath.Join(t.TempDir(), "50% of a ? club # 1")
	require.NoError(t, os.Mkdir(dir, 0o700))
	path := filepath.Join(dir, "read models.db")
	s := storetest.MustOpen(t, store.Options{SQLitePath: path})
	require.NoError(t, s.Ping(t.Context()))
	_, err := os.Stat(path)
	require.NoError(t, err)
}

func TestADeletedFileIsNoticedAndMadeAnew(t *testing.T) {
	for name, lose := range map[string]func(path string) error{
		"deleted":          os.Remove,
		"renamed":          func(p string) error { return os.Rename(p, p+".old") },
		"deleted with log": func(p string) error { return errors.Join(os.Remove(p), os.Remove(p+"-wal"), os.Remove(p+"-shm")) },
	} {
		t.Run(name, func(t *testing.T) {
			ctx := t.Context()
			o := storetest.Options(t, store.SQLite)
			s := storetest.MustOpen(t, o)
			require.NoError(t, s.Tx(ctx, func(tx *sqlx.Tx) error { return putCourse(ctx, tx, "a", 1, "{}") }))
			require.False(t, s.Lost())
			require.NoError(t, lose(o.SQLitePath))
			require.True(t, s.Lost())
			require.Error(t, s.Ping(ctx))
			require.NoError(t, s.Recover(ctx))
			require.NoError(t, s.Ping(ctx))
			require.Zero(t, countCourses(t, s))
			require.NoError(t, s.Tx(ctx, func(tx *sqlx.Tx) error { return putCourse(ctx, tx, "b", 1, "{}") }))
			require.Equal(t, 1, countCourses(t, storetest.MustOpen(t, o)), "what is written reaches the new file")
		})
	}
}
