package log

import (
	"context"
	"errors"
	"fmt"

	"github.com/google/uuid"

	"marram.example/events"
)

// Report is what Verify found.
type Report struct {
	Last     events.Position // of the log, as the server counts
	Events   int             // read
	Streams  int             // aggregates with events
	Problems []Problem       // in the order of the log, at most maxProblems
	More     int             // problems beyond those listed
}

// Problem is one thing that is not as it should be.
type Problem struct {
	Position events.Position
	Detail   string
}

// Sound says whether the log is as it should be.
func (r Report) Sound() bool { return len(r.Problems) == 0 }

// maxProblems bounds the list: behind one lost block every stream has a gap.
const maxProblems = 100

// Verify reads the whole log and checks what every reader relies on: positions
// run from 1 to the last without a gap, ids are unique, every event decodes, the
// sequence of every stream runs from 1 without a gap, and every command is whole.
// Progress, which may be nil, is called after every batch with the position
// reached and the last one. An error says that the log could not be read; what
// is wrong in it stands in the report. On a remote NATS each part is read from
// one replica.
func (l *Log) Verify(ctx context.Context, progress func(done, total events.Position)) (Report, error) {
	ctx, end, err := l.begin(ctx)
	if err != nil {
		return Report{}, err
	}
	defer end()
	var total events.Position
	err = l.insist(ctx, l.patient, func(ctx context.Context) error {
		info, err := l.stream.Info(ctx)
		if err == nil {
			total = events.Position(info.State.LastSeq)
		}
		return err
	})
	if err != nil {
		return Report{}, fmt.Errorf("verify: %w", err)
	}
	v := verifier{
		log: l, report: Report{Last: total}, progress: progress,
		ids: make(map[uuid.UUID]events.Position, total), streams: make(map[events.StreamID]place),
	}
	err = v.run(ctx)
	v.report.Streams = len(v.streams)
	return v.report, err
}

type verifier struct {
	log       *Log
	report    Report
	progress  func(done, total events.Position)
	ids       map[uuid.UUID]events.Position
	streams   map[events.StreamID]place
	command   string // that must go on at the next position
	remaining string // what its next event must say; empty on the last
	open      bool   // whether there is one
}

// place is how far a stream has come.
type place struct {
	sequence events.Sequence
	command  string // of its last event
	whole    bool   // whether that event closed the command on the stream
}

func (v *verifier) run(ctx context.Context) error {
	subject := "marram." + v.log.opts.Club + ".>"
	next := events.Position(1)
	for next <= v.report.Last {
		batch, _, err := v.log.fetchSome(ctx, subject, next)
		if err != nil {
			return fmt.Errorf("verify from position %d: %w", next, err)
		}
		if len(batch) == 0 {
			// The server counts it but cannot give it; look behind it.
			v.problem(next, "missing or unreadable")
			v.open = false
			next++
			continue
		}
		for _, s := range batch {
			if s.position > v.report.Last {
				break // appended meanwhile
			}
			if s.position != next {
				v.problem(next, fmt.Sprintf("missing or unreadable up to position %d", s.position-1))
				v.open = false
			}
			v.event(s)
			next = s.position + 1
		}
		if v.progress != nil {
			v.progress(next-1, v.report.Last)
		}
	}
	if v.open {
		v.problem(v.report.Last, "the log ends in the middle of command "+v.command)
	}
	return nil
}

func (v *verifier) problem(at events.Position, detail string) {
	if len(v.report.Problems) == maxProblems {
		v.report.More++
		return
	}
	v.report.Problems = append(v.report.Problems, Problem{Position: at, Detail: detail})
}

func (v *verifier) event(s stored) {
	v.report.Events++
	r, err := decode(v.log.codec, s.msg, s.position)
	if err != nil {
		v.problem(s.position, err.Error())
		v.open = false
		return
	}
	if err := v.id(r); err != nil {
		v.problem(s.position, err.Error())
	}
	if err := v.sequence(r); err != nil {
		v.problem(s.position, err.Error())
	}
	v.whole(r, s.msg.Header.Get(headerRemaining))
}

func (v *verifier) id(r events.Recorded) error {
	id, err := uuid.Parse(r.ID)
	if err != nil {
		return fmt.Errorf("id %q is not a UUID: %w", r.ID, err)
	}
	if at, ok := v.ids[id]; ok {
		return fmt.Errorf("id %s is that of position %d too", r.ID, at)
	}
	v.ids[id] = r.Position
	return nil
}

func (v *verifier) sequence(r events.Recorded) error {
	was := v.streams[r.Stream]
	v.streams[r.Stream] = place{sequence: r.Sequence, command: r.CommandID, whole: r.Last}
	switch {
	case r.Sequence != was.sequence+1:
		return fmt.Errorf("%s: sequence %d follows %d", r.Stream.Subject(), r.Sequence, was.sequence)
	case was.sequence > 0 && !was.whole && was.command != r.CommandID:
		return fmt.Errorf("%s: command %s stopped before its last event", r.Stream.Subject(), was.command)
	case was.whole && was.command == r.CommandID:
		return errors.New("command " + r.CommandID + " goes on after its last event")
	}
	return nil
}

// whole checks that the events of a command follow one another in the log.
func (v *verifier) whole(r events.Recorded, remaining string) {
	if v.open && (v.command != r.CommandID || v.remaining != remaining) {
		v.problem(r.Position, "command "+v.command+" was cut off before this position")
	}
	v.open = remaining != ""
	if !v.open {
		return
	}
	v.command = r.CommandID
	var n int
	if _, err := fmt.Sscan(remaining, &n); err != nil || n < 1 {
		v.problem(r.Position, "header "+headerRemaining+" is not a number from 1")
		v.open = false
		return
	}
	v.remaining = ""
	if n > 1 {
		v.remaining = fmt.Sprint(n - 1)
	}
}
