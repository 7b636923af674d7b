package log

import (
	"context"
	"fmt"

	"marram.example/events"
)

// Version says at which event a state was read.
type Version struct {
	Sequence events.Sequence // in the stream; 0 where it has no event
	Position events.Position // in the log, of that event
}

// Load gives the state of a stream with everything that was acknowledged before
// the call. The state is shared: read it, never change it.
func Load[S, C any](ctx context.Context, l *Log, d Decider[S, C], stream events.StreamID) (S, Version, error) {
	var none S
	s := &step[S, C]{decider: d, stream: stream}
	a, err := l.load(ctx, s, stream)
	if err != nil {
		return none, Version{}, fmt.Errorf("load %s %s: %w", stream.Aggregate, stream.ID, err)
	}
	return a.state.(S), Version{Sequence: a.sequence, Position: a.position}, nil
}

func (l *Log) load(ctx context.Context, f folder, stream events.StreamID) (*aggregate, error) {
	if err := l.check(stream); err != nil {
		return nil, err
	}
	ctx, end, err := l.begin(ctx)
	if err != nil {
		return nil, err
	}
	defer end()
	subject := stream.Subject()
	if a := l.cache.get(subject); a != nil && f.owns(a.state) && !l.remote() {
		return a, nil // only this process writes, and it keeps the cache current
	}
	unlock, err := l.locks.acquire(ctx, []string{subject})
	if err != nil {
		return nil, err
	}
	defer unlock()
	return l.current(ctx, f, subject, l.remote())
}

// current is the aggregate on a subject: from memory, or read where it is not
// there. With catchUp it also reads what others have appended since. The lock of
// the stream must be held.
func (l *Log) current(ctx context.Context, f folder, subject string, catchUp bool) (*aggregate, error) {
	have := l.cache.get(subject)
	if have != nil && !f.owns(have.state) {
		have = nil
	}
	if have != nil && !catchUp {
		return have, nil
	}
	from := events.Position(1)
	if have != nil {
		from = have.position + 1
	}
	var raw []stored
	var err error
	if have != nil && l.remote() {
		raw, err = l.fetchTail(ctx, subject, from, nil)
	} else {
		raw, err = l.fetch(ctx, subject, from)
	}
	if err != nil {
		return nil, err
	}
	next, err := l.fold(f, have, raw)
	if err != nil {
		return nil, err
	}
	l.cache.put(subject, next)
	return next, nil
}

// fold makes the aggregate after the messages. It leaves have as it is.
func (l *Log) fold(f folder, have *aggregate, raw []stored) (*aggregate, error) {
	if have != nil && len(raw) == 0 {
		return have, nil
	}
	next := &aggregate{commands: make(map[string]done)}
	if have == nil {
		next.state = f.fresh()
	} else {
		*next = *have
		next.state = f.clone(have.state)
	}
	for _, s := range raw {
		r, err := l.decode(s)
		if err != nil {
			return nil, err
		}
		if r.Sequence != next.sequence+1 {
			return nil, fmt.Errorf("%w: %s: sequence %d follows %d", ErrDamaged, s.msg.Subject, r.Sequence, next.sequence)
		}
		f.evolve(next.state, r.Event)
		next.record(r.Envelope, r.Position)
	}
	return next, nil
}

// record notes an event that was folded.
func (a *aggregate) record(env events.Envelope, at events.Position) {
	a.sequence, a.position = env.Sequence, at
	d, repeated := a.commands[env.CommandID]
	if !repeated {
		d.first, d.hash = at, env.CommandHash
	}
	d.position, d.sequence, d.eventID = at, env.Sequence, env.ID
	a.commands[env.CommandID] = d
}
