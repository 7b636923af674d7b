package projections

import (
	"context"
	"fmt"

	"marram.example/events"
)

// Position is the place in the log up to which every projection has been
// written, as last seen by this process.
func (r *Runner) Position() events.Position {
	r.mu.Lock()
	defer r.mu.Unlock()
	return r.position()
}

// position is the lowest checkpoint; the caller holds the lock.
func (r *Runner) position() events.Position {
	lowest := events.Position(0)
	for i, p := range r.opts.Projections {
		at := events.Position(r.places[p.Name()].Position)
		if i == 0 || at < lowest {
			lowest = at
		}
	}
	return lowest
}

// WaitFor returns once every projection has been written up to a position, so
// that a query sees what a command has just stored. It ends early when ctx does,
// and at once where the runner has stopped for good.
func (r *Runner) WaitFor(ctx context.Context, at events.Position) error {
	for {
		r.mu.Lock()
		here, changed, stopped, trouble := r.position(), r.changed, r.stopped, r.trouble
		r.mu.Unlock()
		switch {
		case here >= at:
			return nil
		case stopped:
			return fmt.Errorf("read models are at position %d of %d and stopped: %w", here, at, trouble)
		}
		select {
		case <-changed:
		case <-ctx.Done():
			if trouble != nil {
				return fmt.Errorf("read models are at position %d of %d: %w (%w)", here, at, ctx.Err(), trouble)
			}
			return fmt.Errorf("read models are at position %d of %d: %w", here, at, ctx.Err())
		}
	}
}

// Lag is how many events of the log the read models have not seen yet.
func (r *Runner) Lag(ctx context.Context) (uint64, error) {
	last, _, err := r.opts.Log.Last(ctx)
	if err != nil {
		return 0, fmt.Errorf("read the end of the event log: %w", err)
	}
	if here := r.Position(); here < last {
		return uint64(last - here), nil
	}
	return 0, nil
}

// Trouble is why nothing is written at present, or nil. Stopped says that it is
// for good.
func (r *Runner) Trouble() (err error, stopped bool) {
	r.mu.Lock()
	defer r.mu.Unlock()
	return r.trouble, r.stopped
}

func (r *Runner) checkpoint(name string) Checkpoint {
	r.mu.Lock()
	defer r.mu.Unlock()
	return r.places[name]
}

// place takes over what the store holds now and wakes those who wait.
func (r *Runner) place(places map[string]Checkpoint) {
	r.mu.Lock()
	defer r.mu.Unlock()
	r.places = places
	r.wake()
}

func (r *Runner) report(trouble error, stopped bool) {
	r.mu.Lock()
	defer r.mu.Unlock()
	r.trouble, r.stopped = trouble, stopped
	r.wake()
}

// wake tells all who wait; the caller holds the lock.
func (r *Runner) wake() {
	close(r.changed)
	r.changed = make(chan struct{})
}
