package boardtest

import (
	"context"
	"sync"

	"marram.example/events"
)

// Log is an event log in memory.
type Log struct {
	mu    sync.Mutex
	all   []events.Recorded
	grown chan struct{}
}

// NewLog returns a log without events.
func NewLog() *Log { return &Log{grown: make(chan struct{})} }

// Append adds events; they are numbered already.
func (l *Log) Append(es ...events.Recorded) {
	l.mu.Lock()
	defer l.mu.Unlock()
	l.all = append(l.all, es...)
	close(l.grown)
	l.grown = make(chan struct{})
}

// After lists the events after a position.
func (l *Log) After(from events.Position) []events.Recorded {
	out, _ := l.after(from)
	return out
}

func (l *Log) after(from events.Position) ([]events.Recorded, <-chan struct{}) {
	l.mu.Lock()
	defer l.mu.Unlock()
	return append([]events.Recorded(nil), l.all[min(int(from), len(l.all)):]...), l.grown
}

// Last is the position of the last event.
func (l *Log) Last() events.Position {
	l.mu.Lock()
	defer l.mu.Unlock()
	return events.Position(len(l.all))
}

// Follow implements board.Follower.
func (l *Log) Follow(ctx context.Context, from events.Position, fn func([]events.Recorded) error) error {
	for {
		batch, grown := l.after(from)
		if len(batch) > 0 {
			if err := fn(batch); err != nil {
				return err
			}
			from = batch[len(batch)-1].Position
			continue
		}
		select {
		case <-grown:
		case <-ctx.Done():
			return context.Cause(ctx)
		}
	}
}

// Competition is a board.History.
func (l *Log) Competition(_ context.Context, competition string, upTo events.Position) ([]events.Recorded, error) {
	var out []events.Recorded
	for _, r := range l.After(0) {
		if r.Stream.Competition == competition && (upTo == 0 || r.Position <= upTo) {
			out = append(out, r)
		}
	}
	return out, nil
}
