package projections

import (
	"context"
	"errors"

	"github.com/jmoiron/sqlx"

	"marram.example/events"
)

// Projection is one read model. Its tables are written by Apply alone.
type Projection interface {
	// Name is stored with the checkpoint; it never changes.
	Name() string
	// Version is raised by hand when the fold or the tables change; the runner
	// then empties the tables and replays the log for this projection.
	Version() int
	// Tables lists what Apply writes, for rebuild, dump and comparison.
	Tables() []Table
	// Apply folds events, in the order of the log, into the tables. It runs in a
	// transaction, looks at nothing but the tables and the events (no clock, no
	// random number), and ignores events that it has no use for. How the log is
	// cut into batches must not show in the tables.
	Apply(ctx context.Context, tx *sqlx.Tx, batch []events.Recorded) error
}

// Table is a table of a projection. A column named doc holds JSON.
type Table struct {
	Name string
	Key  []string // columns of the primary key
}

// Log is the event log as the runner reads it; events/log provides it. From is
// exclusive: reading begins after it.
type Log interface {
	Replay(ctx context.Context, from events.Position, fn func([]events.Recorded) error) (events.Position, error)
	Follow(ctx context.Context, from events.Position, fn func([]events.Recorded) error) error
	Last(ctx context.Context) (events.Position, string, error)
	At(ctx context.Context, at events.Position) (events.Recorded, error)
}

// What stops a runner for good: trying again could not help, and going on would
// make the read models wrong. Commands are not affected.
var (
	// ErrLogMismatch says that the read models were built from another log than
	// the one given, or from one that has since lost its end.
	ErrLogMismatch = errors.New("read models and event log do not belong together")
	// ErrNewerProjection says that a newer program has rebuilt a projection.
	ErrNewerProjection = errors.New("a newer program has built the read models")
	// ErrGap says that an event of a stream is missing between two others.
	ErrGap = errors.New("event missing from a stream")
	// ErrFold says that a fold broke down on an event.
	ErrFold = errors.New("projection broke down")
)
