package log

import (
	"context"
	"errors"
	"fmt"
	"time"

	"github.com/nats-io/nats.go"
	"github.com/nats-io/nats.go/jetstream"

	"marram.example/events"
)

const (
	followAhead = 5000 // messages asked for ahead of the reader
	followBatch = 1000 // most events handed over at once
)

// Replay hands every event after a position to fn, in order and in batches, up
// to the end that the log had when it was called. It returns the position of
// the last event that fn accepted.
func (l *Log) Replay(ctx context.Context, from events.Position, fn func([]events.Recorded) error) (events.Position, error) {
	end, _, err := l.Last(ctx)
	if err != nil {
		return from, err
	}
	return l.tell(ctx, from, end, fn)
}

// Follow hands every event after a position to fn, in order and in batches,
// those to come included, until ctx ends or fn fails; it returns that error. An
// event is handed over once. While fn runs, later events wait.
func (l *Log) Follow(ctx context.Context, from events.Position, fn func([]events.Recorded) error) error {
	_, err := l.tell(ctx, from, forever, fn)
	return err
}

const forever = ^events.Position(0)

// tell decodes what read delivers and stops at a gap: positions of the log have
// none unless it is damaged.
func (l *Log) tell(ctx context.Context, from, end events.Position, fn func([]events.Recorded) error) (events.Position, error) {
	last := from
	err := l.read(ctx, from, end, func(raw []stored) error {
		batch := make([]events.Recorded, 0, len(raw))
		for _, s := range raw {
			if want := last + events.Position(len(batch)) + 1; s.position != want {
				return fmt.Errorf("%w: position %d follows %d", ErrDamaged, s.position, want-1)
			}
			r, err := l.decode(s)
			if err != nil {
				return err
			}
			batch = append(batch, r)
		}
		if err := fn(batch); err != nil {
			return err
		}
		last += events.Position(len(batch))
		return nil
	})
	return last, err
}

// read hands the messages after from, up to end inclusive, to fn.
func (l *Log) read(ctx context.Context, from, end events.Position, fn func([]stored) error) error {
	ctx, done, err := l.begin(ctx)
	if err != nil {
		return err
	}
	defer done()
	for from < end {
		to, err := l.readOnce(ctx, from, end, fn)
		from = to
		switch {
		case err == nil:
		case ctx.Err() != nil:
			return context.Cause(ctx)
		case !transient(err) && !errors.Is(err, errConsumerEnded):
			return err
		default:
			l.opts.Logger.Warn("reading the event log was interrupted; going on", "position", uint64(from), "error", err)
			if err := pause(ctx, 100*time.Millisecond); err != nil {
				return err
			}
		}
	}
	return nil
}

var errConsumerEnded = errors.New("consumer ended")

// readOnce reads with one ordered consumer, which mends itself after lost
// messages and lost servers. It returns how far fn got.
func (l *Log) readOnce(ctx context.Context, from, end events.Position, fn func([]stored) error) (events.Position, error) {
	cons, err := l.js.OrderedConsumer(ctx, l.name, jetstream.OrderedConsumerConfig{
		DeliverPolicy: jetstream.DeliverByStartSequencePolicy,
		OptStartSeq:   uint64(from) + 1,
	})
	if err != nil {
		return from, fmt.Errorf("follow the event log: %w", err)
	}
	incoming := make(chan stored, followBatch)
	stop := make(chan struct{})
	cc, err := cons.Consume(func(m jetstream.Msg) {
		meta, err := m.Metadata()
		if err != nil {
			return // not a delivery; tell stops at the gap
		}
		s := stored{position: events.Position(meta.Sequence.Stream), msg: &nats.Msg{Subject: m.Subject(), Header: m.Headers(), Data: m.Data()}}
		select {
		case incoming <- s:
		case <-stop:
		}
	}, jetstream.PullMaxMessages(followAhead))
	if err != nil {
		return from, fmt.Errorf("follow the event log: %w", err)
	}
	defer func() {
		close(stop)
		cc.Stop()
		<-cc.Closed()
	}()
	for from < end {
		select {
		case s := <-incoming:
			batch := gather(s, incoming, from, end)
			if len(batch) == 0 {
				continue
			}
			if err := fn(batch); err != nil {
				return from, err
			}
			from = batch[len(batch)-1].position
		case <-cc.Closed():
			return from, errConsumerEnded
		case <-ctx.Done():
			return from, context.Cause(ctx)
		}
	}
	return from, nil
}

// gather takes what has arrived, without waiting, and leaves out what lies
// outside of (from, end].
func gather(first stored, incoming <-chan stored, from, end events.Position) []stored {
	var batch []stored
	for s := first; ; {
		if s.position > from && s.position <= end {
			batch = append(batch, s)
			from = s.position
		}
		if len(batch) == followBatch || from >= end {
			return batch
		}
		select {
		case s = <-incoming:
		default:
			return batch
		}
	}
}
