package log

import (
	"errors"
	"fmt"
	"net/url"
	"strconv"
	"strings"
	"time"

	"github.com/nats-io/nats.go"

	"marram.example/events"
)

// Headers of a stored event: CloudEvents 1.0 in binary mode (CloudEvents, NATS
// Protocol Binding), where an attribute is the header ce-<name> with the value
// percent-encoded. Names after the core attributes are extensions of our own.
const (
	headerSpecVersion = "ce-specversion"
	headerID          = "ce-id"
	headerType        = "ce-type"
	headerSource      = "ce-source"  // the club
	headerSubject     = "ce-subject" // id of the aggregate
	headerTime        = "ce-time"
	headerContentType = "content-type"
	headerRecordedAt  = "ce-recordedat"
	headerActor       = "ce-actor" // <role>:<id>
	headerCorrelation = "ce-correlationid"
	headerCausation   = "ce-causationid" // the command id
	headerHash        = "ce-commandhash"
	headerSequence    = "ce-sequence"  // decimal, from 1
	headerLast        = "ce-last"      // "true" on the last event of the command on its stream
	headerRemaining   = "ce-remaining" // events of the command that follow this one in the log; absent on the last

	specVersion = "1.0"
	contentJSON = "application/json"
)

// Headers of JetStream.
const (
	headerMsgID         = nats.MsgIdHdr
	headerExpectSubject = nats.ExpectedLastSubjSeqHdr
	headerBatchID       = "Nats-Batch-Id"
	headerBatchSequence = "Nats-Batch-Sequence"
	headerBatchCommit   = "Nats-Batch-Commit"
)

// encode makes the message of an event.
func encode(c *events.Codec, stream events.StreamID, env events.Envelope, e events.Event) (*nats.Msg, error) {
	body, err := c.Encode(e)
	if err != nil {
		return nil, err
	}
	m := &nats.Msg{Subject: stream.Subject(), Data: body, Header: make(nats.Header, 18)}
	h := m.Header
	h.Set(headerSpecVersion, specVersion)
	h.Set(headerID, env.ID)
	h.Set(headerMsgID, env.ID)
	h.Set(headerType, env.Type)
	h.Set(headerSource, env.Source)
	h.Set(headerSubject, env.Subject)
	h.Set(headerTime, env.Time.UTC().Format(time.RFC3339Nano))
	h.Set(headerContentType, contentJSON)
	if !env.RecordedAt.IsZero() {
		h.Set(headerRecordedAt, env.RecordedAt.UTC().Format(time.RFC3339Nano))
	}
	h.Set(headerActor, string(env.Actor.Role)+":"+url.PathEscape(env.Actor.ID))
	setText(h, headerCorrelation, env.CorrelationID)
	setText(h, headerCausation, env.CommandID)
	setText(h, headerHash, env.CommandHash)
	h.Set(headerSequence, strconv.FormatUint(uint64(env.Sequence), 10))
	if env.Last {
		h.Set(headerLast, "true")
	}
	return m, nil
}

func setText(h nats.Header, name, value string) {
	if value != "" {
		h.Set(name, url.PathEscape(value))
	}
}

// decode is the inverse of encode for a message as stored at a position.
func decode(c *events.Codec, m *nats.Msg, at events.Position) (events.Recorded, error) {
	stream, err := events.ParseSubject(m.Subject)
	if err != nil {
		return events.Recorded{}, fmt.Errorf("position %d: %w", at, err)
	}
	env, err := decodeEnvelope(m.Header)
	if err != nil {
		return events.Recorded{}, fmt.Errorf("position %d: %w", at, err)
	}
	if env.Source != stream.Club || env.Subject != stream.ID {
		return events.Recorded{}, fmt.Errorf("position %d: headers say %s of %s, the subject is %s", at, env.Subject, env.Source, m.Subject)
	}
	e, err := c.Decode(env.Type, m.Data)
	if err != nil {
		return events.Recorded{}, fmt.Errorf("position %d: %w", at, err)
	}
	return events.Recorded{Envelope: env, Stream: stream, Position: at, Event: e}, nil
}

func decodeEnvelope(h nats.Header) (events.Envelope, error) {
	r := headerReader{h: h}
	if v := r.need(headerSpecVersion); v != "" && v != specVersion {
		r.fail(headerSpecVersion, errors.New("not "+specVersion))
	}
	if v := r.need(headerContentType); v != "" && v != contentJSON {
		r.fail(headerContentType, errors.New("not "+contentJSON))
	}
	env := events.Envelope{
		ID:            r.need(headerID),
		Type:          r.need(headerType),
		Source:        r.need(headerSource),
		Subject:       r.need(headerSubject),
		Time:          r.time(headerTime, r.need(headerTime)),
		RecordedAt:    r.time(headerRecordedAt, h.Get(headerRecordedAt)),
		Actor:         r.actor(),
		CorrelationID: r.text(headerCorrelation, h.Get(headerCorrelation)),
		CommandID:     r.text(headerCausation, r.need(headerCausation)),
		CommandHash:   r.text(headerHash, h.Get(headerHash)),
		Sequence:      r.sequence(),
	}
	switch v := h.Get(headerLast); v {
	case "", "true":
		env.Last = v == "true"
	default:
		r.fail(headerLast, errors.New("neither absent nor true"))
	}
	return env, r.err
}

// headerReader reads typed headers and keeps the first error.
type headerReader struct {
	h   nats.Header
	err error
}

func (r *headerReader) fail(name string, err error) {
	if r.err == nil {
		r.err = fmt.Errorf("header %s: %w", name, err)
	}
}

func (r *headerReader) need(name string) string {
	v := r.h.Get(name)
	if v == "" {
		r.fail(name, errors.New("missing"))
	}
	return v
}

func (r *headerReader) time(name, v string) time.Time {
	if v == "" {
		return time.Time{}
	}
	t, err := time.Parse(time.RFC3339Nano, v)
	if err != nil {
		r.fail(name, err)
		return time.Time{}
	}
	return t.UTC()
}

func (r *headerReader) text(name, v string) string {
	s, err := url.PathUnescape(v)
	if err != nil {
		r.fail(name, err)
	}
	return s
}

func (r *headerReader) actor() events.Actor {
	role, id, ok := strings.Cut(r.need(headerActor), ":")
	if !ok || role == "" {
		r.fail(headerActor, errors.New("not <role>:<id>"))
	}
	return events.Actor{Role: events.Role(role), ID: r.text(headerActor, id)}
}

func (r *headerReader) sequence() events.Sequence {
	n, err := strconv.ParseUint(r.need(headerSequence), 10, 64)
	if err != nil || n == 0 {
		r.fail(headerSequence, errors.New("not a number from 1"))
	}
	return events.Sequence(n)
}
