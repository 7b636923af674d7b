package log

import (
	"context"
	"errors"
	"fmt"
	"math/rand/v2"
	"slices"
	"strings"
	"time"

	"github.com/google/uuid"
	"github.com/nats-io/nats.go"

	"marram.example/events"
)

// Meta is what a command brings besides its content.
type Meta struct {
	CommandID     string       // required: the idempotency key; counts once per stream, for ever
	CommandHash   string       // fingerprint of the client's input, to tell a repeat from a reused id
	Time          time.Time    // required: when the service accepted it
	RecordedAt    time.Time    // the device's clock when it was entered; zero where unknown
	Actor         events.Actor // required: who acts, in which role
	CorrelationID string       // the request or larger piece of work it belongs to
}

// Result is what a command did on one stream.
type Result struct {
	Stream   events.StreamID
	Position events.Position // of its last event in the log; of the stream's last one where it stored none
	Sequence events.Sequence // of its last event in the stream; the stream's present one where it stored none
	Events   []events.Event  // what it stored on this stream
	Known    bool            // an earlier call with this command id did it
}

// maxRaces is how often a command decides again because others wrote first.
const maxRaces = 30

// Execute carries out a command: it loads the streams of the steps, decides
// every step, and appends all events or none. Results come in the order of the
// steps; steps on one stream see one another's events and share their result.
//
// A command id that one of the streams knows already is a repeat: nothing is
// decided, and the first result is returned with Known set. With another
// fingerprint it is the conflict command_id_reused. An error of a decider is
// returned as it is and nothing is stored. ErrUnavailable says that the outcome
// is unknown; sending the same command again is safe. Once the events are handed
// over, the end of ctx no longer stops the call, so that its outcome is known.
func (l *Log) Execute(ctx context.Context, m Meta, steps ...Step) ([]Result, error) {
	if err := l.checkCommand(m, steps); err != nil {
		return nil, err
	}
	ctx, end, err := l.begin(ctx)
	if err != nil {
		return nil, err
	}
	defer end()
	x := newExecution(l, m, steps)
	unlock, err := l.locks.acquire(ctx, x.subjects)
	if err != nil {
		return nil, fmt.Errorf("command %s: %w", m.CommandID, err)
	}
	defer unlock()
	results, err := x.run(ctx)
	if err != nil && events.AsError(err) == nil {
		return nil, fmt.Errorf("command %s: %w", m.CommandID, err)
	}
	return results, err
}

func (l *Log) checkCommand(m Meta, steps []Step) error {
	switch {
	case m.CommandID == "":
		return events.Invalid("Idempotency-Key", "required", "every command needs an id of its own")
	case len(m.CommandID) > 256:
		return events.Invalid("Idempotency-Key", "too_long", "a command's id has at most 256 bytes")
	case m.Time.IsZero() || m.Actor.Role == "":
		return errors.New("command without time or actor")
	case strings.ContainsFunc(string(m.Actor.Role), func(r rune) bool { return r < 'a' || r > 'z' }):
		return fmt.Errorf("role %q of the actor is not a lower-case word", m.Actor.Role)
	case len(steps) == 0:
		return errors.New("command without a step")
	}
	for _, s := range steps {
		if err := l.check(s.target()); err != nil {
			return err
		}
	}
	return nil
}

// execution is one call of Execute.
type execution struct {
	log      *Log
	meta     Meta
	steps    []Step
	subjects []string            // sorted, each once
	work     map[string]*pending // by subject
	ours     map[string]bool     // ids of last events that this call tried to append
}

// pending is what the command is about to do to one stream.
type pending struct {
	step   Step // the first on this stream, for its decider
	base   *aggregate
	state  any // base and the new events
	events []events.Event
	envs   []events.Envelope
}

func newExecution(l *Log, m Meta, steps []Step) *execution {
	x := &execution{log: l, meta: m, steps: steps, work: make(map[string]*pending, len(steps)), ours: make(map[string]bool)}
	for _, s := range steps {
		subject := s.target().Subject()
		if x.work[subject] == nil {
			x.work[subject] = &pending{step: s}
			x.subjects = append(x.subjects, subject)
		}
	}
	slices.Sort(x.subjects)
	return x
}

func (x *execution) run(ctx context.Context) ([]Result, error) {
	// Where only this process writes, the memory is the truth.
	catchUp := false
	for races := 0; ; races++ {
		results, err := x.try(ctx, catchUp)
		switch {
		case errors.Is(err, errRead):
			catchUp = true
			continue
		case !errors.Is(err, errStale):
			return results, err
		case races == maxRaces:
			return nil, events.Conflict("", "too_busy", "others kept changing this at the same moment; try again")
		}
		catchUp = true
		x.log.opts.Metrics.retried("stale")
		if races > 0 {
			// Others may still be in flight; let them land.
			limit := min(time.Duration(races)*5*time.Millisecond, 100*time.Millisecond)
			if err := pause(ctx, limit/2+rand.N(limit)); err != nil {
				return nil, err
			}
		}
	}
}

// errRead asks for another try on states that are read again: memory may be
// behind what other processes wrote, so a refusal must not rest on it.
var errRead = errors.New("read again")

func (x *execution) try(ctx context.Context, catchUp bool) ([]Result, error) {
	if err := x.load(ctx, catchUp); err != nil {
		return nil, err
	}
	if results, err := x.repeat(ctx); results != nil || err != nil {
		return results, err
	}
	unsure := x.log.remote() && !catchUp
	count, err := x.decide()
	if (err != nil || count < len(x.subjects)) && unsure {
		return nil, errRead
	}
	if err != nil {
		return nil, err
	}
	if count > 0 {
		if err := x.append(ctx); err != nil {
			return nil, err
		}
	}
	return x.results(), nil
}

func (x *execution) load(ctx context.Context, catchUp bool) error {
	for _, subject := range x.subjects {
		p := x.work[subject]
		base, err := x.log.current(ctx, p.step, subject, catchUp)
		if err != nil {
			return fmt.Errorf("load %s: %w", subject, err)
		}
		*p = pending{step: p.step, base: base, state: base.state}
	}
	return nil
}

// decide runs the steps and returns how many streams get events.
func (x *execution) decide() (int, error) {
	changed := 0
	for _, s := range x.steps {
		p := x.work[s.target().Subject()]
		if want, strict := s.expectation(); strict && want != p.base.sequence {
			return changed, events.Conflict("If-Match", "stale_sequence",
				fmt.Sprintf("it is at sequence %d, the request expects %d; read it again", p.base.sequence, want))
		}
		if !s.owns(p.state) {
			return changed, fmt.Errorf("two kinds of decider on the stream of %s %s", s.target().Aggregate, s.target().ID)
		}
		decided, err := s.decide(p.state)
		if err != nil {
			return changed, err
		}
		if len(decided) == 0 {
			continue
		}
		if len(p.events) == 0 {
			changed++
			p.state = s.clone(p.base.state)
		}
		for _, e := range decided {
			s.evolve(p.state, e)
		}
		p.events = append(p.events, decided...)
	}
	return changed, nil
}

// append stores what was decided and makes it the present state.
func (x *execution) append(ctx context.Context) error {
	msgs, err := x.messages()
	if err != nil {
		return err
	}
	start := time.Now()
	at, err := x.log.store(ctx, msgs)
	if err != nil {
		if !errors.Is(err, errStale) {
			// Whether the events are there is unknown: forget, and read next time.
			for _, subject := range x.subjects {
				x.log.cache.drop(subject)
			}
		}
		return err
	}
	x.log.opts.Metrics.appended(len(msgs), time.Since(start))
	for _, subject := range x.subjects {
		p := x.work[subject]
		if len(p.envs) == 0 {
			continue
		}
		next := *p.base
		next.state = p.state
		for _, env := range p.envs {
			next.record(env, at)
			at++
		}
		p.base = &next
		x.log.cache.put(subject, p.base)
	}
	return nil
}

// messages encodes the events, stream after stream in the order of the subjects.
func (x *execution) messages() ([]*nats.Msg, error) {
	total := 0
	for _, subject := range x.subjects {
		total += len(x.work[subject].events)
	}
	if !x.log.remote() && total > embeddedBatchLimit {
		return nil, tooMany()
	}
	msgs := make([]*nats.Msg, 0, total)
	for _, subject := range x.subjects {
		p := x.work[subject]
		for i, e := range p.events {
			env, err := x.envelope(p, i)
			if err != nil {
				return nil, err
			}
			m, err := encode(x.log.codec, p.step.target(), env, e)
			if err != nil {
				return nil, err
			}
			if i == 0 {
				m.Header.Set(headerExpectSubject, fmt.Sprint(uint64(p.base.position)))
			}
			if rest := total - len(msgs) - 1; rest > 0 {
				m.Header.Set(headerRemaining, fmt.Sprint(rest))
			}
			if size, limit := int64(m.Size()), x.log.nc.MaxPayload(); size+512 > limit {
				return nil, events.Invalid("", "too_large", fmt.Sprintf("the command would store %d bytes in one event, more than the log takes (%d)", size, limit))
			}
			p.envs = append(p.envs, env)
			msgs = append(msgs, m)
		}
		if n := len(p.envs); n > 0 {
			x.ours[p.envs[n-1].ID] = true
		}
	}
	return msgs, nil
}

func (x *execution) envelope(p *pending, i int) (events.Envelope, error) {
	id, err := uuid.NewV7()
	if err != nil {
		return events.Envelope{}, fmt.Errorf("event id: %w", err)
	}
	stream := p.step.target()
	kind := p.events[i].EventType()
	if !strings.HasPrefix(kind, "marram."+string(stream.Aggregate)+".") {
		return events.Envelope{}, fmt.Errorf("event %s on the stream of a %s", kind, stream.Aggregate)
	}
	return events.Envelope{
		ID: id.String(), Type: kind, Source: stream.Club, Subject: stream.ID,
		Time: x.meta.Time, RecordedAt: x.meta.RecordedAt, Actor: x.meta.Actor,
		CommandID: x.meta.CommandID, CommandHash: x.meta.CommandHash, CorrelationID: x.meta.CorrelationID,
		Sequence: p.base.sequence + events.Sequence(i) + 1,
		Last:     i == len(p.events)-1,
	}, nil
}

func (x *execution) results() []Result {
	out := make([]Result, 0, len(x.steps))
	for _, s := range x.steps {
		p := x.work[s.target().Subject()]
		out = append(out, Result{
			Stream: s.target(), Position: p.base.position, Sequence: p.base.sequence, Events: p.events,
		})
	}
	return out
}
