package projections

import (
	"bytes"
	"context"
	"errors"
	"fmt"
	"iter"
	"os"
	"path/filepath"
	"slices"

	"github.com/jmoiron/sqlx"

	"marram.example/events"
	"marram.example/projections/store"
)

// Difference is a row that a replay of the log does not make as it is stored.
type Difference struct {
	Table  string   `json:"table"`
	Key    []string `json:"key"`              // values of the primary key
	Stored string   `json:"stored,omitempty"` // canonical line; empty where the row is missing
	Replay string   `json:"replay,omitempty"` // canonical line; empty where the row should not be there
}

// maxDifferences bounds what Verify reports.
const maxDifferences = 100

var errEnough = errors.New("enough")

// Verify replays the log into an empty temporary SQLite store, up to where the
// read models are, and compares the two. It returns the first 100 differences;
// none means that the read models are what the log says. It looks at one moment
// and disturbs nobody: the runner may go on meanwhile.
func (r *Runner) Verify(ctx context.Context, progress Progress) (diffs []Difference, err error) {
	dir, err := os.MkdirTemp("", "marram-verify-")
	if err != nil {
		return nil, fmt.Errorf("verify read models: %w", err)
	}
	defer func() { err = errors.Join(err, os.RemoveAll(dir)) }()
	fresh, err := store.Open(ctx, store.Options{SQLitePath: filepath.Join(dir, "read-models.db"), Logger: r.opts.Logger})
	if err != nil {
		return nil, fmt.Errorf("verify read models: %w", err)
	}
	defer func() { err = errors.Join(err, fresh.Close()) }()
	o := r.opts
	o.Store = fresh
	replay, err := NewRunner(o)
	if err != nil {
		return nil, fmt.Errorf("verify read models: %w", err)
	}
	err = r.opts.Store.Snapshot(ctx, func(stored *sqlx.Tx) error {
		if err := replay.rebuildTo(ctx, stored, progress); err != nil {
			return err
		}
		return fresh.Snapshot(ctx, func(made *sqlx.Tx) error {
			for _, t := range r.tables() {
				err := compare(readTable(ctx, r.opts.Store, stored, t), readTable(ctx, fresh, made, t), func(d Difference) bool {
					diffs = append(diffs, d)
					return len(diffs) < maxDifferences
				})
				if err != nil {
					return err
				}
			}
			return nil
		})
	})
	if err != nil && !errors.Is(err, errEnough) {
		return nil, fmt.Errorf("verify read models: %w", err)
	}
	return diffs, nil
}

// rebuildTo replays the log up to the checkpoints that another store holds.
func (r *Runner) rebuildTo(ctx context.Context, stored *sqlx.Tx, progress Progress) error {
	found, err := readCheckpoints(ctx, stored)
	if err != nil {
		return err
	}
	upTo, end := limits{}, events.Position(0)
	for _, p := range r.opts.Projections {
		upTo[p.Name()] = events.Position(found[p.Name()].Position)
		end = max(end, upTo[p.Name()])
	}
	if err := r.load(ctx); err != nil {
		return err
	}
	return r.replayTo(ctx, end, upTo, progress)
}

// compare walks two tables in the order of their keys.
func compare(stored, replay iter.Seq2[dumped, error], found func(Difference) bool) error {
	nextStored, stopStored := iter.Pull2(stored)
	defer stopStored()
	nextReplay, stopReplay := iter.Pull2(replay)
	defer stopReplay()
	a, errA, moreA := nextStored()
	b, errB, moreB := nextReplay()
	for moreA || moreB {
		if err := errors.Join(errA, errB); err != nil {
			return err
		}
		order := slices.Compare(a.key, b.key)
		switch {
		case !moreB:
			order = -1
		case !moreA:
			order = 1
		}
		if order != 0 || !bytes.Equal(a.line, b.line) {
			d := Difference{}
			if order <= 0 {
				d.Table, d.Key, d.Stored = a.table, a.key, string(a.line)
			}
			if order >= 0 {
				d.Table, d.Key, d.Replay = b.table, b.key, string(b.line)
			}
			if !found(d) {
				return errEnough
			}
		}
		if order <= 0 {
			a, errA, moreA = nextStored()
		}
		if order >= 0 {
			b, errB, moreB = nextReplay()
		}
	}
	return nil
}
