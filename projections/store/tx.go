package store

import (
	"context"
	"database/sql"
	"errors"
	"fmt"

	"github.com/jmoiron/sqlx"
)

// Tx runs fn in a transaction that may write. It commits where fn returns nil
// and rolls back otherwise; fn's error comes back wrapped.
func (s *Store) Tx(ctx context.Context, fn func(*sqlx.Tx) error) error {
	return s.transact(ctx, nil, fn)
}

// Snapshot runs fn in a transaction that only reads and sees one moment of the
// database throughout.
func (s *Store) Snapshot(ctx context.Context, fn func(*sqlx.Tx) error) error {
	return s.transact(ctx, &sql.TxOptions{Isolation: sql.LevelRepeatableRead, ReadOnly: true}, fn)
}

func (s *Store) transact(ctx context.Context, o *sql.TxOptions, fn func(*sqlx.Tx) error) (err error) {
	tx, err := s.DB().BeginTxx(ctx, o)
	if err != nil {
		return fmt.Errorf("begin: %w", err)
	}
	done := false
	defer func() {
		if done {
			return
		}
		// Also on a panic in fn, so that the connection goes back clean.
		if rb := tx.Rollback(); rb != nil && !errors.Is(rb, sql.ErrTxDone) {
			err = errors.Join(err, fmt.Errorf("roll back: %w", rb))
		}
	}()
	if err := fn(tx); err != nil {
		return err
	}
	done = true
	if err := tx.Commit(); err != nil {
		return fmt.Errorf("commit: %w", err)
	}
	return nil
}

// Bytewise is an ORDER BY term that sorts a text column by its bytes, as Go does,
// whatever collation the database was created with.
func (s *Store) Bytewise(column string) string {
	if s.dialect == Postgres {
		return column + ` COLLATE "C"`
	}
	return column
}
