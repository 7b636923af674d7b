package projections

import (
	"context"
	"errors"
	"fmt"

	"github.com/jmoiron/sqlx"

	"marram.example/events"
)

// Progress is told how far a long piece of work has come: positions done out of
// total. It is called from the working goroutine, at least at the end.
type Progress func(done, total events.Position)

// Rebuild empties every projection and replays the log up to the end that it
// has now. What fails is returned, not tried again; Run or Rebuild then goes on.
// Other processes may run meanwhile and help.
func (r *Runner) Rebuild(ctx context.Context, progress Progress) error {
	if err := r.begin(); err != nil {
		return err
	}
	defer r.end()
	if err := r.opts.Store.Recover(ctx); err != nil {
		return fmt.Errorf("rebuild: %w", err)
	}
	err := r.opts.Store.Tx(ctx, func(tx *sqlx.Tx) error {
		for _, p := range r.opts.Projections {
			if err := enrol(ctx, tx, p); err != nil {
				return err
			}
			if err := reset(ctx, tx, p, false); err != nil {
				return err
			}
		}
		return nil
	})
	if err != nil {
		return fmt.Errorf("rebuild: %w", err)
	}
	if err := r.load(ctx); err != nil {
		return fmt.Errorf("rebuild: %w", err)
	}
	if err := r.replay(ctx, progress); err != nil {
		return fmt.Errorf("rebuild: %w", err)
	}
	return nil
}

// CatchUp applies what the projections have not seen, up to the end that the log
// has now, and returns. What fails is returned, not tried again.
func (r *Runner) CatchUp(ctx context.Context, progress Progress) error {
	if err := r.begin(); err != nil {
		return err
	}
	defer r.end()
	if err := r.prepare(ctx); err != nil {
		return fmt.Errorf("catch up: %w", err)
	}
	if err := r.replay(ctx, progress); err != nil {
		return fmt.Errorf("catch up: %w", err)
	}
	return nil
}

// replay applies the log from where the projections are up to its present end.
func (r *Runner) replay(ctx context.Context, progress Progress) error {
	total, _, err := r.opts.Log.Last(ctx)
	if err != nil {
		return fmt.Errorf("read the end of the event log: %w", err)
	}
	return r.replayTo(ctx, total, nil, progress)
}

// replayTo applies the log up to a position, gathering events into large
// transactions: a document that many events touch is then loaded and written
// about once.
func (r *Runner) replayTo(ctx context.Context, end events.Position, upTo limits, progress Progress) error {
	reached := r.Position()
	var waiting []events.Recorded
	flush := func() error {
		if err := r.write(ctx, waiting, r.opts.Replay, upTo); err != nil {
			return err
		}
		if n := len(waiting); n > 0 {
			reached = waiting[n-1].Position
		}
		waiting = waiting[:0]
		if progress != nil {
			progress(min(reached, end), end)
		}
		return nil
	}
	if reached < end {
		_, err := r.opts.Log.Replay(ctx, reached, func(batch []events.Recorded) error {
			waiting = append(waiting, batch...)
			if waiting[len(waiting)-1].Position >= end {
				return errEnough
			}
			if len(waiting) < r.opts.Replay {
				return nil
			}
			return flush()
		})
		if err != nil && !errors.Is(err, errEnough) {
			return err
		}
	}
	return flush()
}
