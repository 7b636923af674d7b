package projections

import (
	"context"
	"errors"
	"fmt"
	"maps"
	"slices"

	"github.com/jmoiron/sqlx"

	"marram.example/events"
)

// load reads the checkpoints, makes those that are missing, and resets what an
// older version of a projection has filled.
func (r *Runner) load(ctx context.Context) error {
	places := make(map[string]Checkpoint, len(r.opts.Projections))
	err := r.opts.Store.Tx(ctx, func(tx *sqlx.Tx) error {
		found, err := readCheckpoints(ctx, tx)
		if err != nil {
			return err
		}
		stale := false
		for _, p := range r.opts.Projections {
			c, ok := found[p.Name()]
			switch {
			case !ok:
				stale = true
				err = enrol(ctx, tx, p)
			case c.Version < p.Version():
				stale = true
				r.opts.Logger.InfoContext(ctx, "projection has a new version, replaying it", "projection", p.Name(), "from", c.Version, "to", p.Version())
				err = reset(ctx, tx, p, true)
			}
			if err != nil {
				return err
			}
		}
		if stale {
			if found, err = readCheckpoints(ctx, tx); err != nil {
				return err
			}
		}
		for _, p := range r.opts.Projections {
			c := found[p.Name()]
			if c.Version > p.Version() {
				return fmt.Errorf("%w: projection %s is at version %d, this program at %d; start the newer program, or run marram rebuild with this one",
					ErrNewerProjection, p.Name(), c.Version, p.Version())
			}
			places[p.Name()] = c
		}
		return nil
	})
	if err != nil {
		return err
	}
	r.place(places)
	return nil
}

// compareWithLog refuses a log that is shorter than a checkpoint or holds
// another event there.
func (r *Runner) compareWithLog(ctx context.Context) error {
	last, lastID, err := r.opts.Log.Last(ctx)
	if err != nil {
		return fmt.Errorf("read the end of the event log: %w", err)
	}
	for _, p := range r.opts.Projections {
		c := r.checkpoint(p.Name())
		at := events.Position(c.Position)
		switch {
		case at == 0:
			continue
		case at > last:
			return fmt.Errorf("%w: projection %s has seen event %s at position %d, but the log ends at %d. %s",
				ErrLogMismatch, c.Name, c.EventID, at, last, mismatchAdvice)
		}
		id := lastID
		if at < last {
			e, err := r.opts.Log.At(ctx, at)
			if err != nil {
				return fmt.Errorf("read position %d of the event log: %w", at, err)
			}
			id = e.ID
		}
		if id != c.EventID {
			return fmt.Errorf("%w: projection %s has seen event %s at position %d, but the log holds event %s there. %s",
				ErrLogMismatch, c.Name, c.EventID, at, id, mismatchAdvice)
		}
	}
	return nil
}

const mismatchAdvice = "Either the log was restored or lost its end: check it with marram verify and, if events are missing, restore a newer backup. " +
	"Or the read models belong to another club: name the right ones. Once the log is known to be right, marram rebuild makes the read models anew."

// limits are positions beyond which a projection is not to be written.
type limits map[string]events.Position

// write applies a batch in transactions of at most so many events.
func (r *Runner) write(ctx context.Context, batch []events.Recorded, most int, upTo limits) error {
	for chunk := range slices.Chunk(batch, most) {
		if err := r.writeChunk(ctx, chunk, upTo); err != nil {
			return err
		}
	}
	return nil
}

func (r *Runner) writeChunk(ctx context.Context, chunk []events.Recorded, upTo limits) error {
	for {
		if r.opts.Store.Lost() {
			return errLost
		}
		before := r.Position()
		places, err := r.try(ctx, chunk, upTo)
		if err == nil {
			r.place(places)
			r.forget(ctx, chunk)
			return nil
		}
		if !errors.Is(err, errMoved) {
			return err
		}
		if err := r.load(ctx); err != nil {
			return err
		}
		if now := r.Position(); now < before {
			return fmt.Errorf("the read models were set back from position %d to %d", before, now)
		}
	}
}

// forget leaves no copy of a name that was erased by a chunk. The tables are right
// already, so a failure stops nothing.
func (r *Runner) forget(ctx context.Context, chunk []events.Recorded) {
	if !slices.ContainsFunc(chunk, func(e events.Recorded) bool { _, erased := e.Event.(events.PlayerErased); return erased }) {
		return
	}
	if err := r.opts.Store.Forget(ctx); err != nil {
		r.opts.Logger.WarnContext(ctx, "an erased name may linger in the read models' file until the next start", "error", err)
	}
}

// try applies a chunk to every projection that has not seen it, in one
// transaction, and returns the checkpoints as they then are.
func (r *Runner) try(ctx context.Context, chunk []events.Recorded, upTo limits) (map[string]Checkpoint, error) {
	ctx, cancel := context.WithTimeout(ctx, writeTimeout)
	defer cancel()
	places := r.checkpoints()
	err := r.opts.Store.Tx(ctx, func(tx *sqlx.Tx) error {
		for _, g := range r.group(places, chunk, upTo) {
			last := g.fresh[len(g.fresh)-1]
			if err := advance(ctx, tx, g.from, last); err != nil {
				return err
			}
			for i, p := range g.projections {
				if err := apply(ctx, tx, p, g.fresh); err != nil {
					return err
				}
				c := g.from[i]
				c.Position, c.EventID = int64(last.Position), last.ID
				places[c.Name] = c
			}
		}
		return nil
	})
	return places, err
}

// group is the projections that need the same part of a chunk and stand at the
// same place: all of them, unless one is catching up.
type group struct {
	projections []Projection
	from        []Checkpoint
	fresh       []events.Recorded
}

func (r *Runner) group(places map[string]Checkpoint, chunk []events.Recorded, upTo limits) []*group {
	var groups []*group
	for _, p := range r.opts.Projections {
		c := places[p.Name()]
		fresh := unseen(chunk, events.Position(c.Position), upTo, p.Name())
		if len(fresh) == 0 {
			continue
		}
		i := slices.IndexFunc(groups, func(g *group) bool {
			return g.from[0].Position == c.Position && len(g.fresh) == len(fresh)
		})
		if i < 0 {
			groups = append(groups, &group{fresh: fresh})
			i = len(groups) - 1
		}
		groups[i].projections = append(groups[i].projections, p)
		groups[i].from = append(groups[i].from, c)
	}
	return groups
}

// unseen is the part of a chunk that lies after a position and not beyond the limit.
func unseen(chunk []events.Recorded, after events.Position, upTo limits, name string) []events.Recorded {
	from, _ := slices.BinarySearchFunc(chunk, after+1, byPosition)
	to := len(chunk)
	if upTo != nil {
		to, _ = slices.BinarySearchFunc(chunk, upTo[name]+1, byPosition)
	}
	return chunk[min(from, to):to]
}

func byPosition(e events.Recorded, p events.Position) int {
	switch {
	case e.Position < p:
		return -1
	case e.Position > p:
		return 1
	}
	return 0
}

// apply calls a projection. A panic in a fold stops the read models, not the
// program: scores must still be accepted.
func apply(ctx context.Context, tx *sqlx.Tx, p Projection, batch []events.Recorded) (err error) {
	defer func() {
		if cause := recover(); cause != nil {
			err = fmt.Errorf("%w: %s, between positions %d and %d: %v", ErrFold, p.Name(), batch[0].Position, batch[len(batch)-1].Position, cause)
		}
	}()
	if err := p.Apply(ctx, tx, batch); err != nil {
		return fmt.Errorf("projection %s, positions %d to %d: %w", p.Name(), batch[0].Position, batch[len(batch)-1].Position, err)
	}
	return nil
}

// checkpoints is a copy of what was last seen in the store.
func (r *Runner) checkpoints() map[string]Checkpoint {
	r.mu.Lock()
	defer r.mu.Unlock()
	return maps.Clone(r.places)
}
