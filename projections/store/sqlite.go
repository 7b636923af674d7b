package store

import (
	"context"
	"errors"
	"fmt"
	"strings"

	"github.com/jmoiron/sqlx"
	_ "modernc.org/sqlite" // the driver "sqlite"
)

// sqlitePragmas: a write-ahead log so that readers never wait for the writer;
// NORMAL is enough because a lost tail is read again from the event log;
// secure_delete overwrites what is removed, so that an erased name does not
// linger in free pages; writers queue up instead of failing.
const sqlitePragmas = "_pragma=busy_timeout(5000)&_pragma=journal_mode(WAL)&_pragma=synchronous(NORMAL)" +
	"&_pragma=secure_delete(ON)&_txlock=immediate"

// sqliteConnections bounds open connections; one of them writes at a time.
const sqliteConnections = 8

func connectSQLite(path string) (*sqlx.DB, error) {
	// sqlx does not know modernc's driver name. The call is idempotent.
	sqlx.BindDriver("sqlite", sqlx.QUESTION)
	escaped := strings.NewReplacer("%", "%25", "?", "%3f", "#", "%23").Replace(path)
	db, err := sqlx.Open("sqlite", "file:"+escaped+"?"+sqlitePragmas)
	if err != nil {
		return nil, fmt.Errorf("sqlite %s: %w", path, err)
	}
	db.SetMaxOpenConns(sqliteConnections)
	db.SetMaxIdleConns(sqliteConnections)
	return db, nil
}

// Forget makes the database keep no copy of rows that were removed or replaced: a
// SQLite write-ahead log holds them long after the commit. PostgreSQL overwrites
// such rows when it vacuums, which is its operator's to time. It fails where
// somebody reads for so long that the log cannot be emptied.
func (s *Store) Forget(ctx context.Context) error {
	if s.dialect != SQLite {
		return nil
	}
	var busy, pages, moved int
	if err := s.DB().QueryRowxContext(ctx, "PRAGMA wal_checkpoint(TRUNCATE)").Scan(&busy, &pages, &moved); err != nil {
		return fmt.Errorf("empty the write-ahead log: %w", err)
	}
	if busy != 0 {
		return errors.New("empty the write-ahead log: somebody reads")
	}
	return nil
}
