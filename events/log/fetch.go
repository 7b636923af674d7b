package log

import (
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"strconv"
	"time"

	"github.com/nats-io/nats.go"

	"marram.example/events"
)

// stored is a message as it lies in the stream.
type stored struct {
	msg      *nats.Msg
	position events.Position
}

// fetchBatch is how many messages one direct request asks for.
const fetchBatch = 1000

// fetch reads every stored message whose subject matches, from a position on
// (inclusive), in order. It reads in bulk from any replica and then asks the
// leader for what that replica did not have yet, so that it sees everything
// acknowledged before the call.
func (l *Log) fetch(ctx context.Context, subject string, from events.Position) ([]stored, error) {
	var all []stored
	next := max(from, 1)
	for {
		got, more, err := l.fetchSome(ctx, subject, next)
		if err != nil {
			return nil, err
		}
		all = append(all, got...)
		if len(got) > 0 {
			next = got[len(got)-1].position + 1
		}
		if !more {
			break
		}
	}
	if !l.remote() {
		return all, nil
	}
	return l.fetchTail(ctx, subject, next, all)
}

// fetchTail appends to all what the leader has on the subject from next on.
func (l *Log) fetchTail(ctx context.Context, subject string, next events.Position, all []stored) ([]stored, error) {
	for {
		s, err := l.leaderGet(ctx, getRequest{Seq: uint64(next), NextFor: subject})
		if errors.Is(err, ErrNotFound) {
			return all, nil
		}
		if err != nil {
			return nil, err
		}
		all = append(all, s)
		next = s.position + 1
	}
}

// getRequest is the body of both get requests of JetStream (ADR-31).
type getRequest struct {
	Seq     uint64 `json:"seq,omitempty"`
	LastFor string `json:"last_by_subj,omitempty"`
	NextFor string `json:"next_by_subj,omitempty"`
	Batch   int    `json:"batch,omitempty"`
}

// fetchSome is one bulk request. More says that there is more to ask for.
func (l *Log) fetchSome(ctx context.Context, subject string, from events.Position) (got []stored, more bool, err error) {
	body, err := json.Marshal(getRequest{Seq: uint64(from), NextFor: subject, Batch: fetchBatch})
	if err != nil {
		return nil, false, fmt.Errorf("read %s: %w", subject, err)
	}
	// A long answer may take its time as long as it goes on arriving.
	err = l.insist(ctx, patience{attempt: time.Minute, total: l.patient.total}, func(ctx context.Context) error {
		got, more, err = l.directBatch(ctx, body)
		return err
	})
	if err != nil {
		return nil, false, fmt.Errorf("read %s: %w", subject, err)
	}
	return got, more, nil
}

// readIdle is how long a bulk read waits for the next message. The server may
// have to count what lies on a subject before it sends the first.
const readIdle = 2 * time.Second

// directBatch sends one bulk request. An answer that breaks off counts as far as
// it came.
func (l *Log) directBatch(ctx context.Context, body []byte) ([]stored, bool, error) {
	inbox := l.nc.NewInbox()
	sub, err := l.nc.SubscribeSync(inbox)
	if err != nil {
		return nil, false, err
	}
	defer func() { _ = sub.Unsubscribe() }() // fails only on a closed connection
	if err := l.nc.PublishRequest("$JS.API.DIRECT.GET."+l.name, inbox, body); err != nil {
		return nil, false, err
	}
	var got []stored
	for {
		m, err := sub.NextMsg(min(readIdle, l.patient.total))
		switch {
		case ctx.Err() != nil:
			return nil, false, ctx.Err()
		case err != nil && len(got) > 0:
			return got, true, nil
		case err != nil:
			return nil, false, err
		}
		switch status := m.Header.Get("Status"); status {
		case "":
		case "204": // end of batch
			return got, m.Header.Get("Nats-Num-Pending") != "0", nil
		case "404":
			return got, false, nil
		default:
			return nil, false, fmt.Errorf("direct get: status %s %s", status, m.Header.Get("Description"))
		}
		n, err := strconv.ParseUint(m.Header.Get("Nats-Sequence"), 10, 64)
		if err != nil {
			return nil, false, fmt.Errorf("direct get: sequence: %w", err)
		}
		m.Subject = m.Header.Get("Nats-Subject")
		got = append(got, stored{msg: m, position: events.Position(n)})
	}
}

// leaderGet reads one message from the leader of the stream, so that it is as
// new as anything acknowledged. ErrNotFound says there is none.
func (l *Log) leaderGet(ctx context.Context, r getRequest) (stored, error) {
	body, err := json.Marshal(r)
	if err != nil {
		return stored{}, fmt.Errorf("read: %w", err)
	}
	var answer struct {
		Error   *apiError `json:"error"`
		Message struct {
			Subject string `json:"subject"`
			Seq     uint64 `json:"seq"`
			Header  []byte `json:"hdrs"`
			Data    []byte `json:"data"`
		} `json:"message"`
	}
	err = l.insist(ctx, l.patient, func(ctx context.Context) error {
		reply, err := l.nc.RequestWithContext(ctx, "$JS.API.STREAM.MSG.GET."+l.name, body)
		if err != nil {
			return err
		}
		answer.Error = nil
		if err := json.Unmarshal(reply.Data, &answer); err != nil {
			return err
		}
		switch {
		case answer.Error == nil:
			return nil
		case answer.Error.ErrCode == codeNoMessage:
			return ErrNotFound
		}
		return answer.Error
	})
	if err != nil {
		return stored{}, fmt.Errorf("read: %w", err)
	}
	h, err := nats.DecodeHeadersMsg(answer.Message.Header)
	if err != nil && len(answer.Message.Header) > 0 {
		return stored{}, fmt.Errorf("read position %d: %w: %w", answer.Message.Seq, ErrDamaged, err)
	}
	m := &nats.Msg{Subject: answer.Message.Subject, Header: h, Data: answer.Message.Data}
	return stored{msg: m, position: events.Position(answer.Message.Seq)}, nil
}
