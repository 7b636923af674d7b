package projections

import (
	"context"
	"errors"
	"fmt"
	"log/slog"
	"slices"
	"strings"
	"sync"
	"time"

	"marram.example/events"
	eventlog "marram.example/events/log"
	"marram.example/projections/store"
)

// Defaults of the runner.
const (
	defaultBatch      = 1000
	defaultReplay     = 10_000
	defaultRetryFirst = 100 * time.Millisecond
	defaultRetryMost  = 5 * time.Second
	defaultLookEvery  = time.Second
	writeTimeout      = time.Minute // for one batch on a database that stopped answering
)

// Options are what a runner works on.
type Options struct {
	Log         Log
	Store       *store.Store
	Projections []Projection // each name once
	Logger      *slog.Logger // none where nil

	Batch      int           // most events in one transaction of Run; default 1000
	Replay     int           // events in one transaction of CatchUp, Rebuild and Verify: each document is then written about once; default 10,000
	RetryFirst time.Duration // pause after the first failure, doubled up to RetryMost; default 100 ms
	RetryMost  time.Duration // default 5 s
	LookEvery  time.Duration // how often an idle runner looks whether its file is still there; default 1 s
}

// Runner keeps the projections of a store up to date with the log. Its methods
// may be called from many goroutines.
type Runner struct {
	opts Options

	mu      sync.Mutex
	places  map[string]Checkpoint // by projection, as last seen in the store
	changed chan struct{}         // closed and replaced when any of the rest changes
	busy    bool                  // Run, CatchUp or Rebuild is at work
	trouble error                 // why nothing is written at present; nil where all is well
	stopped bool                  // trouble is for good
}

// NewRunner checks the options. Nothing is read or written before Run.
func NewRunner(o Options) (*Runner, error) {
	if o.Log == nil || o.Store == nil || len(o.Projections) == 0 {
		return nil, errors.New("a runner needs a log, a store and at least one projection")
	}
	if o.Logger == nil {
		o.Logger = slog.New(slog.DiscardHandler)
	}
	o.Batch = orDefault(o.Batch, defaultBatch)
	o.Replay = orDefault(o.Replay, defaultReplay)
	o.RetryFirst = orDefault(o.RetryFirst, defaultRetryFirst)
	o.RetryMost = orDefault(o.RetryMost, defaultRetryMost)
	o.LookEvery = orDefault(o.LookEvery, defaultLookEvery)
	// One order in all processes, so that they never wait for each other in a circle.
	o.Projections = slices.SortedFunc(slices.Values(o.Projections), func(a, b Projection) int { return strings.Compare(a.Name(), b.Name()) })
	for i, p := range o.Projections[1:] {
		if p.Name() == o.Projections[i].Name() {
			return nil, fmt.Errorf("projection %s stands twice", p.Name())
		}
	}
	return &Runner{opts: o, places: map[string]Checkpoint{}, changed: make(chan struct{})}, nil
}

func orDefault[T int | time.Duration](v, otherwise T) T {
	if v <= 0 {
		return otherwise
	}
	return v
}

// Run follows the log until ctx ends, which it answers with nil. Whatever goes
// wrong with store or log it tries again, from the place that the store holds;
// only what no second try can mend ends it with an error: ErrLogMismatch,
// ErrNewerProjection, ErrGap, ErrFold, store.ErrNewerSchema,
// events.ErrUnknownType, or a log that is damaged or closed.
func (r *Runner) Run(ctx context.Context) error {
	if err := r.begin(); err != nil {
		return err
	}
	defer r.end()
	pause := r.opts.RetryFirst
	for {
		before := r.Position()
		err := r.follow(ctx)
		switch {
		case ctx.Err() != nil:
			return nil
		case forGood(err):
			r.report(err, true)
			r.opts.Logger.ErrorContext(ctx, "read models stopped", "sequence", uint64(r.Position()), "error", err)
			return err
		case r.Position() > before:
			pause = r.opts.RetryFirst
		}
		r.report(err, false)
		r.opts.Logger.WarnContext(ctx, "read models wait, commands go on", "sequence", uint64(r.Position()), "retry_in", pause, "error", err)
		select {
		case <-time.After(pause):
		case <-ctx.Done():
			return nil
		}
		pause = min(2*pause, r.opts.RetryMost)
	}
}

// forGood reports whether trying again could not help.
func forGood(err error) bool {
	for _, target := range []error{
		ErrLogMismatch, ErrNewerProjection, ErrGap, ErrFold, store.ErrNewerSchema, events.ErrUnknownType,
		eventlog.ErrDamaged, eventlog.ErrClosed, store.ErrClosed,
	} {
		if errors.Is(err, target) {
			return true
		}
	}
	return false
}

// errLost ends following when the store's file has gone.
var errLost = errors.New("the read models' file was deleted or replaced")

// follow opens what needs opening, finds its place, and writes what comes until
// something fails or ctx ends.
func (r *Runner) follow(ctx context.Context) error {
	if err := r.prepare(ctx); err != nil {
		return err
	}
	r.report(nil, false)
	ctx, cancel := context.WithCancelCause(ctx)
	var watching sync.WaitGroup
	watching.Go(func() { r.watch(ctx, cancel) })
	defer watching.Wait()
	defer cancel(nil)

	var failed error
	err := r.opts.Log.Follow(ctx, r.Position(), func(batch []events.Recorded) error {
		failed = r.write(ctx, batch, r.opts.Batch, nil)
		return failed
	})
	switch {
	case failed != nil:
		return failed
	case context.Cause(ctx) != nil:
		return context.Cause(ctx)
	case err == nil:
		return errors.New("the event log ended")
	default:
		return fmt.Errorf("follow the event log: %w", err)
	}
}

// watch ends following when the file goes while nothing is written to it.
func (r *Runner) watch(ctx context.Context, cancel context.CancelCauseFunc) {
	tick := time.NewTicker(r.opts.LookEvery)
	defer tick.Stop()
	for {
		select {
		case <-ctx.Done():
			return
		case <-tick.C:
			if r.opts.Store.Lost() {
				cancel(errLost)
				return
			}
		}
	}
}

// prepare makes the store usable and checks its place against the log.
func (r *Runner) prepare(ctx context.Context) error {
	if err := r.opts.Store.Recover(ctx); err != nil {
		return err
	}
	if err := r.load(ctx); err != nil {
		return err
	}
	return r.compareWithLog(ctx)
}

func (r *Runner) begin() error {
	r.mu.Lock()
	defer r.mu.Unlock()
	if r.busy {
		return errors.New("the runner is at work already")
	}
	r.busy, r.trouble, r.stopped = true, nil, false
	return nil
}

func (r *Runner) end() {
	r.mu.Lock()
	defer r.mu.Unlock()
	r.busy = false
}
