package storetest

import (
	"context"
	"os"
	"path/filepath"
	"testing"

	"github.com/stretchr/testify/require"

	"marram.example/projections/store"
)

// Dialects are the databases that every test of the store runs on.
func Dialects() []store.Dialect { return []store.Dialect{store.SQLite, store.Postgres} }

// Main runs the tests of a package and stops the PostgreSQL server that they
// started, if any. Call it as the last thing of TestMain.
func Main(m *testing.M) { os.Exit(Run(m)) }

// Run is Main without the exit, for a TestMain that checks something afterwards.
func Run(m *testing.M) int {
	defer stopShared()
	return m.Run()
}

// Each runs a test once on each database, on an empty store with its schema.
func Each(t *testing.T, test func(t *testing.T, s *store.Store)) {
	t.Helper()
	for _, d := range Dialects() {
		t.Run(string(d), func(t *testing.T) { test(t, Open(t, d)) })
	}
}

// Options are for an empty database of the test's own.
func Options(t testing.TB, d store.Dialect) store.Options {
	t.Helper()
	if d == store.SQLite {
		return store.Options{SQLitePath: filepath.Join(t.TempDir(), "read-models.db")}
	}
	return store.Options{DatabaseURL: PostgresURL(t)}
}

// Open opens an empty store, closed when the test ends.
func Open(t testing.TB, d store.Dialect) *store.Store {
	t.Helper()
	return MustOpen(t, Options(t, d))
}

// MustOpen opens a store as told, closed when the test ends.
func MustOpen(t testing.TB, o store.Options) *store.Store {
	t.Helper()
	s, err := store.Open(context.Background(), o)
	require.NoError(t, err)
	t.Cleanup(func() { require.NoError(t, s.Close()) })
	return s
}
