// Package projectiontest helps to test what is folded from the event log: a log
// in memory with the promises that the runner relies on, and invented histories
// that hold every type of event.
package projectiontest

import (
	"context"
	"errors"
	"slices"
	"sync"

	"marram.example/events"
)

// Log is an event log in memory. It hands events over in batches of the sizes
// that Sizes lists, over and over; 1 where it lists none.
type Log struct {
	Sizes []int

	mu      sync.Mutex
	all     []events.Recorded
	changed chan struct{}
	broken  error
}

// NewLog returns a log that holds these events.
func NewLog(all []events.Recorded, sizes ...int) *Log {
	return &Log{Sizes: sizes, all: slices.Clone(all), changed: make(chan struct{})}
}

// Append adds events at the end.
func (l *Log) Append(more ...events.Recorded) {
	l.mu.Lock()
	defer l.mu.Unlock()
	l.all = append(l.all, more...)
	close(l.changed)
	l.changed = make(chan struct{})
}

// Break makes every call that reads fail with err, until it is nil again.
func (l *Log) Break(err error) {
	l.mu.Lock()
	defer l.mu.Unlock()
	l.broken = err
	close(l.changed)
	l.changed = make(chan struct{})
}

// Last implements projections.Log.
func (l *Log) Last(context.Context) (events.Position, string, error) {
	l.mu.Lock()
	defer l.mu.Unlock()
	if l.broken != nil || len(l.all) == 0 {
		return 0, "", l.broken
	}
	e := l.all[len(l.all)-1]
	return e.Position, e.ID, nil
}

// At implements projections.Log.
func (l *Log) At(_ context.Context, at events.Position) (events.Recorded, error) {
	l.mu.Lock()
	defer l.mu.Unlock()
	if l.broken != nil {
		return events.Recorded{}, l.broken
	}
	if at == 0 || int(at) > len(l.all) {
		return events.Recorded{}, errors.New("no event there")
	}
	return l.all[at-1], nil
}

// Replay implements projections.Log.
func (l *Log) Replay(ctx context.Context, from events.Position, fn func([]events.Recorded) error) (events.Position, error) {
	end, _, err := l.Last(ctx)
	if err != nil {
		return from, err
	}
	return l.read(ctx, from, end, fn)
}

// Follow implements projections.Log.
func (l *Log) Follow(ctx context.Context, from events.Position, fn func([]events.Recorded) error) error {
	_, err := l.read(ctx, from, ^events.Position(0), fn)
	return err
}

func (l *Log) read(ctx context.Context, from, end events.Position, fn func([]events.Recorded) error) (events.Position, error) {
	for turn := 0; from < end; turn++ {
		l.mu.Lock()
		broken, changed := l.broken, l.changed
		size := 1
		if len(l.Sizes) > 0 {
			size = l.Sizes[turn%len(l.Sizes)]
		}
		to := min(int(from)+size, len(l.all))
		batch := slices.Clone(l.all[min(int(from), to):to])
		l.mu.Unlock()
		if broken != nil {
			return from, broken
		}
		if ctx.Err() != nil {
			return from, context.Cause(ctx)
		}
		if len(batch) == 0 {
			select {
			case <-changed:
			case <-ctx.Done():
			}
			continue
		}
		if err := fn(batch); err != nil {
			return from, err
		}
		from = batch[len(batch)-1].Position
	}
	return from, nil
}
