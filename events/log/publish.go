package log

import (
	"context"
	"encoding/json"
	"fmt"
	"strconv"
	"time"

	"github.com/google/uuid"
	"github.com/nats-io/nats.go"

	"marram.example/events"
)

// batchWindow is how many messages of a batch are sent before the server must
// have taken them, so that a big import never overruns its queue.
const batchWindow = 250

// store appends the messages of one command, all or none, and returns the
// position of the first; the others follow it. errStale says that an expectation
// or an id was refused and nothing was stored by this call, or an earlier,
// unanswered try of it stored everything: read again to tell.
func (l *Log) store(ctx context.Context, msgs []*nats.Msg) (events.Position, error) {
	if err := ctx.Err(); err != nil {
		return 0, context.Cause(ctx)
	}
	ctx = context.WithoutCancel(ctx)
	if l.writer != nil {
		return l.writer.store(msgs)
	}
	return l.publish(ctx, msgs)
}

// publish sends the messages of one command: one alone, several as a batch.
func (l *Log) publish(ctx context.Context, msgs []*nats.Msg) (events.Position, error) {
	if len(msgs) > 1 {
		return l.publishBatch(ctx, msgs)
	}
	var last events.Position
	err := l.insist(ctx, l.patient, func(ctx context.Context) error {
		reply, err := l.send(ctx, msgs[0])
		if err != nil {
			return err
		}
		last, err = acknowledged(reply)
		return err
	})
	if err != nil {
		return 0, fmt.Errorf("append: %w", err)
	}
	return last, nil
}

// publishBatch stores the messages as one atomic batch and returns the position
// of the first.
func (l *Log) publishBatch(ctx context.Context, msgs []*nats.Msg) (events.Position, error) {
	p := l.patient
	p.attempt += time.Duration(len(msgs)) * 2 * time.Millisecond
	p.total = max(p.total, 6*p.attempt)
	var last events.Position
	err := l.insist(ctx, p, func(ctx context.Context) (err error) {
		last, err = l.tryBatch(ctx, msgs)
		return err
	})
	if err != nil {
		return 0, fmt.Errorf("append a batch of %d: %w", len(msgs), err)
	}
	return last - events.Position(len(msgs)) + 1, nil
}

// tryBatch sends the batch once, under an id of its own: the members of a try
// that broke off must not count for the next. It returns the position of the
// last message.
func (l *Log) tryBatch(ctx context.Context, msgs []*nats.Msg) (events.Position, error) {
	id := uuid.NewString()
	for i, m := range msgs {
		m.Header.Set(headerBatchID, id)
		m.Header.Set(headerBatchSequence, strconv.Itoa(i+1))
		if i == len(msgs)-1 {
			m.Header.Set(headerBatchCommit, "1")
			break
		}
		if (i+1)%batchWindow != 0 {
			if err := l.nc.PublishMsg(m); err != nil {
				return 0, err
			}
			continue
		}
		reply, err := l.send(ctx, m)
		if err != nil {
			return 0, err
		}
		if len(reply.Data) > 0 { // taken is an empty answer
			if _, err := acknowledged(reply); err != nil {
				return 0, err
			}
		}
	}
	reply, err := l.send(ctx, msgs[len(msgs)-1])
	if err != nil {
		return 0, err
	}
	return acknowledged(reply)
}

// unbatch takes the batch headers off again.
func unbatch(msgs []*nats.Msg) {
	for _, m := range msgs {
		m.Header.Del(headerBatchID)
		m.Header.Del(headerBatchSequence)
		m.Header.Del(headerBatchCommit)
	}
}

// acknowledged reads the answer to an append: the position of the (last) message.
func acknowledged(reply *nats.Msg) (events.Position, error) {
	var ack struct {
		Error    *apiError `json:"error"`
		Sequence uint64    `json:"seq"`
	}
	if err := json.Unmarshal(reply.Data, &ack); err != nil {
		return 0, fmt.Errorf("acknowledgement %q: %w", reply.Data, err)
	}
	if ack.Error != nil {
		return 0, ack.Error.sort()
	}
	if ack.Sequence == 0 {
		return 0, fmt.Errorf("acknowledgement without a position: %q", reply.Data)
	}
	return events.Position(ack.Sequence), nil
}
