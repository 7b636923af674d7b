package projections

import (
	"context"
	"errors"
	"fmt"
	"strings"

	"github.com/jmoiron/sqlx"

	"marram.example/events"
)

// Checkpoint is how far a projection has come. The event id tells whether the
// log is still the one that was read.
type Checkpoint struct {
	Name     string `db:"name"`
	Version  int    `db:"version"`
	Position int64  `db:"position"` // of the last event applied; 0 before the first
	EventID  string `db:"event_id"` // of that event
}

const checkpointTable = "projection_checkpoints"

// errMoved says that another process has moved a checkpoint first.
var errMoved = errors.New("another process moved the checkpoint")

func readCheckpoints(ctx context.Context, tx *sqlx.Tx) (map[string]Checkpoint, error) {
	var rows []Checkpoint
	if err := tx.SelectContext(ctx, &rows, "SELECT name, version, position, event_id FROM "+checkpointTable); err != nil {
		return nil, fmt.Errorf("read checkpoints: %w", err)
	}
	found := make(map[string]Checkpoint, len(rows))
	for _, c := range rows {
		found[c.Name] = c
	}
	return found, nil
}

// advance moves checkpoints that stand at the same position to an event, from
// where the caller believes them to be. In PostgreSQL this also holds the rows
// until the transaction ends, so that two processes never write the same
// projection at once.
func advance(ctx context.Context, tx *sqlx.Tx, from []Checkpoint, to events.Recorded) error {
	args := []any{int64(to.Position), to.ID, from[0].Position}
	which := make([]string, 0, len(from))
	for _, c := range from {
		which = append(which, "name = ? AND version = ?")
		args = append(args, c.Name, c.Version)
	}
	n, err := affected(tx.ExecContext(ctx, tx.Rebind("UPDATE "+checkpointTable+
		" SET position = ?, event_id = ? WHERE position = ? AND ("+strings.Join(which, " OR ")+")"), args...))
	if err != nil {
		return fmt.Errorf("advance checkpoints: %w", err)
	}
	if n != int64(len(from)) {
		return errMoved
	}
	return nil
}

// enrol makes the checkpoint of a projection that has none.
func enrol(ctx context.Context, tx *sqlx.Tx, p Projection) error {
	_, err := tx.ExecContext(ctx, tx.Rebind("INSERT INTO "+checkpointTable+
		" (name, version, position, event_id) VALUES (?, ?, 0, '') ON CONFLICT (name) DO NOTHING"), p.Name(), p.Version())
	if err != nil {
		return fmt.Errorf("make checkpoint of %s: %w", p.Name(), err)
	}
	return nil
}

// reset empties the tables of a projection and puts its checkpoint before the
// first event; with onlyOlder, only where an older version filled them.
func reset(ctx context.Context, tx *sqlx.Tx, p Projection, onlyOlder bool) error {
	query := "UPDATE " + checkpointTable + " SET version = ?, position = 0, event_id = '' WHERE name = ?"
	args := []any{p.Version(), p.Name()}
	if onlyOlder {
		query += " AND version < ?"
		args = append(args, p.Version())
	}
	n, err := affected(tx.ExecContext(ctx, tx.Rebind(query), args...))
	if err != nil {
		return fmt.Errorf("reset %s: %w", p.Name(), err)
	}
	if n == 0 {
		return nil
	}
	for _, t := range p.Tables() {
		if _, err := tx.ExecContext(ctx, "DELETE FROM "+t.Name); err != nil {
			return fmt.Errorf("empty %s: %w", t.Name, err)
		}
	}
	return nil
}

type result interface{ RowsAffected() (int64, error) }

func affected(r result, err error) (int64, error) {
	if err != nil {
		return 0, err
	}
	return r.RowsAffected()
}
