package command

import (
	"context"

	"marram.example/events"
	eventlog "marram.example/events/log"
)

// draft is what an import would do: the streams as they would be, and the steps
// that lead there. Nothing of it is stored.
type draft struct {
	service *Service
	streams map[string]*trial // by subject
	steps   []func(context.Context) (eventlog.Step, error)
	names   map[string]string // names that the draft gives to players, by id
}

// trial is one stream in a draft.
type trial struct {
	state    any
	sequence events.Sequence // as read; the steps expect it
	own      bool            // the state is a copy and may be evolved
}

func newDraft(s *Service) *draft {
	return &draft{service: s, streams: map[string]*trial{}, names: map[string]string{}}
}

// look gives a stream as the draft would leave it. Read the state, never change it.
func look[S, C any](ctx context.Context, d *draft, on eventlog.Decider[S, C], stream events.StreamID) (S, error) {
	t, err := d.at(stream, func() (any, events.Sequence, error) {
		s, v, err := eventlog.Load(ctx, d.service.log, on, stream)
		return s, v.Sequence, err
	})
	if err != nil {
		var none S
		return none, err
	}
	return t.state.(S), nil
}

func (d *draft) at(stream events.StreamID, load func() (any, events.Sequence, error)) (*trial, error) {
	subject := stream.Subject()
	if t := d.streams[subject]; t != nil {
		return t, nil
	}
	s, seq, err := load()
	if err != nil {
		return nil, err
	}
	t := &trial{state: s, sequence: seq}
	d.streams[subject] = t
	return t, nil
}

// decide adds a decision to the draft and returns what it would store. A refusal
// leaves the draft as it was.
func decide[S, C any](ctx context.Context, d *draft, on eventlog.Decider[S, C], stream events.StreamID, c C) ([]events.Event, error) {
	return decideAs(ctx, d, on, stream, c, func(context.Context) (C, error) { return c, nil })
}

// decideAs is decide for a command of which the trial stands in for the final one,
// which is made only when the draft is carried out.
func decideAs[S, C any](
	ctx context.Context, d *draft, on eventlog.Decider[S, C], stream events.StreamID, c C, final func(context.Context) (C, error),
) ([]events.Event, error) {
	s, err := look(ctx, d, on, stream)
	if err != nil {
		return nil, err
	}
	decided, err := on.Decide(s, c)
	if err != nil {
		return nil, err
	}
	t := d.streams[stream.Subject()]
	if len(decided) > 0 {
		if !t.own {
			t.state, t.own = on.Clone(s), true
		}
		for _, e := range decided {
			on.Evolve(t.state.(S), e)
		}
	}
	d.steps = append(d.steps, func(ctx context.Context) (eventlog.Step, error) {
		c, err := final(ctx)
		if err != nil {
			return nil, err
		}
		return eventlog.Do(on, stream, c, eventlog.Expect(t.sequence)), nil
	})
	return decided, nil
}
