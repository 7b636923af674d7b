package store

import (
	"context"
	"database/sql"
	"fmt"

	"github.com/pressly/goose/v3"
	"github.com/pressly/goose/v3/lock"

	"marram.example/migrations"
)

// migrate brings the schema up to date. Processes that start together on one
// PostgreSQL take turns by an advisory lock.
func migrate(ctx context.Context, db *sql.DB, d Dialect) error {
	dialect := goose.DialectSQLite3
	options := []goose.ProviderOption{goose.WithDisableGlobalRegistry(true)}
	if d == Postgres {
		dialect = goose.DialectPostgres
		// Once a second, for at most ten seconds: recoverTimeout ends it anyway.
		locker, err := lock.NewPostgresSessionLocker(lock.WithLockTimeout(1, 10))
		if err != nil {
			return fmt.Errorf("migrate: %w", err)
		}
		options = append(options, goose.WithSessionLocker(locker))
	}
	p, err := goose.NewProvider(dialect, db, migrations.FS, options...)
	if err != nil {
		return fmt.Errorf("migrate: %w", err)
	}
	if _, err := p.Up(ctx); err != nil {
		return fmt.Errorf("migrate: %w", err)
	}
	current, target, err := p.GetVersions(ctx)
	if err != nil {
		return fmt.Errorf("migrate: %w", err)
	}
	if current > target {
		return fmt.Errorf("%w: it is at version %d, this program at %d; start the newer program, or give this one an empty database, which it fills from the event log",
			ErrNewerSchema, current, target)
	}
	return nil
}
