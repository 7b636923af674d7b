package log

import (
	"context"
	"fmt"

	"marram.example/events"
)

// repeat returns the first result of the command where one of its streams knows
// its id, or nothing. All or nothing was stored then, so a stream that does not
// know it got no event.
func (x *execution) repeat(ctx context.Context) ([]Result, error) {
	known := false
	for _, subject := range x.subjects {
		d, ok := x.work[subject].base.commands[x.meta.CommandID]
		if !ok {
			continue
		}
		known = true
		if d.hash != x.meta.CommandHash {
			return nil, events.Conflict("Idempotency-Key", "command_id_reused",
				"this id was already used for another request; a new request needs a new id")
		}
	}
	if !known {
		return nil, nil
	}
	bySubject := make(map[string]Result, len(x.subjects))
	for _, subject := range x.subjects {
		r, err := x.first(ctx, subject)
		if err != nil {
			return nil, err
		}
		bySubject[subject] = r
	}
	out := make([]Result, 0, len(x.steps))
	for _, s := range x.steps {
		out = append(out, bySubject[s.target().Subject()])
	}
	return out, nil
}

// first reads what the command did on one stream when it came first.
func (x *execution) first(ctx context.Context, subject string) (Result, error) {
	p := x.work[subject]
	r := Result{Stream: p.step.target(), Position: p.base.position, Sequence: p.base.sequence, Known: true}
	d, ok := p.base.commands[x.meta.CommandID]
	if !ok {
		return r, nil
	}
	r.Position, r.Sequence = d.position, d.sequence
	r.Known = !x.ours[d.eventID] // an answer that was lost on the way to this very call
	raw, err := x.log.fetch(ctx, subject, d.first)
	if err != nil {
		return r, fmt.Errorf("first result of the command: %w", err)
	}
	for _, s := range raw {
		if s.position > d.position {
			break
		}
		rec, err := x.log.decode(s)
		if err != nil {
			return r, err
		}
		if rec.CommandID == x.meta.CommandID {
			r.Events = append(r.Events, rec.Event)
		}
	}
	return r, nil
}
