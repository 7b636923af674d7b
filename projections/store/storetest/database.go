package storetest

import (
	"context"
	"crypto/sha256"
	"database/sql"
	"encoding/hex"
	"fmt"
	"io/fs"
	"net/url"
	"os"
	"sync"
	"testing"

	"github.com/peterldowns/pgtestdb"
	"github.com/stretchr/testify/require"

	"marram.example/migrations"
	"marram.example/projections/store"
)

// databaseURL names the environment variable with a server to use.
const databaseURL = "MARRAM_TEST_DATABASE_URL"

// shared is the server of this test binary, started by the first test that needs it.
var shared struct {
	once   sync.Once
	server *server
	err    error
}

func stopShared() {
	shared.once.Do(func() {}) // nobody starts one from now on
	if shared.server != nil {
		shared.server.remove()
	}
}

// PostgresURL makes an empty database with the schema, dropped when the test
// ends well and kept for a look when it fails on a server of one's own.
func PostgresURL(t testing.TB) string {
	t.Helper()
	return pgtestdb.Custom(t, serverConfig(t), migrator{}).URL()
}

func serverConfig(t testing.TB) pgtestdb.Config {
	t.Helper()
	if given := os.Getenv(databaseURL); given != "" {
		u, err := url.Parse(given)
		require.NoError(t, err, databaseURL)
		password, _ := u.User.Password()
		return pgtestdb.Config{
			DriverName: "postgres", Host: u.Hostname(), Port: u.Port(), User: u.User.Username(), Password: password,
			Database: u.Path[min(1, len(u.Path)):], Options: u.RawQuery, ForceTerminateConnections: true,
		}
	}
	shared.once.Do(func() { shared.server, shared.err = startServer() })
	require.NoError(t, shared.err)
	require.NotNil(t, shared.server, "PostgreSQL was stopped already")
	return shared.server.config()
}

// migrator prepares the template that test databases are copied from, with the
// store's own migrations.
type migrator struct{}

func (migrator) Hash() (string, error) {
	h := sha256.New()
	err := fs.WalkDir(migrations.FS, ".", func(path string, d fs.DirEntry, err error) error {
		if err != nil || d.IsDir() {
			return err
		}
		b, err := fs.ReadFile(migrations.FS, path)
		_, _ = fmt.Fprintf(h, "%s %d\n%s", path, len(b), b) // a hash takes everything
		return err
	})
	return hex.EncodeToString(h.Sum(nil)[:8]), err
}

func (migrator) Migrate(ctx context.Context, _ *sql.DB, c pgtestdb.Config) error {
	s, err := store.Open(ctx, store.Options{DatabaseURL: c.URL()})
	if err != nil {
		return err
	}
	return s.Close()
}
