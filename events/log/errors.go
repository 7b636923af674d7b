package log

import (
	"context"
	"errors"
	"fmt"

	"github.com/nats-io/nats.go"
	"github.com/nats-io/nats.go/jetstream"

	"marram.example/events"
)

var (
	// ErrUnavailable says that the log could not be reached or did not answer in
	// time. Whether the command took effect is unknown: sending it again with
	// the same command id is safe and finds out.
	ErrUnavailable = errors.New("event log unavailable")
	// ErrClosed says that the log was closed.
	ErrClosed = errors.New("event log closed")
	// ErrDamaged says that stored events are missing or unreadable. Nothing may
	// be folded beyond that point.
	ErrDamaged = errors.New("event log damaged")
	// ErrIncomplete says that the log ends in the middle of a command.
	ErrIncomplete = errors.New("event log ends in the middle of a command")
	// ErrForeign says that the stream was not made by this program, or by
	// another version of it.
	ErrForeign = errors.New("stream does not fit")
	// ErrLocked says that another process has the folder open.
	ErrLocked = errors.New("folder is in use")
	// ErrNotFound says that the log holds no event at a position.
	ErrNotFound = errors.New("no event there")
	// ErrNoKey says that a bucket does not hold the key.
	ErrNoKey = errors.New("no such key")
	// ErrKeyExists says that a bucket holds the key already.
	ErrKeyExists = errors.New("key exists")
)

// errStale is the one internal name for every way in which JetStream says that
// something else came first: read again and decide again.
var errStale = errors.New("expected position no longer holds")

// Codes of JetStream that nats.go does not name.
const (
	codeWrongLastSequence         = 10071
	codeWrongLastSequenceConstant = 10164 // replicated: another write on the subject is in flight
	codeDuplicateInFlight         = 10158 // replicated: the same id is in flight
	codeBatchIncomplete           = 10176 // members were lost on the way, for example to another leader
	codeBatchDuplicate            = 10201
	codeBatchTooLarge             = 10199
	codeNoMessage                 = 10037
)

// apiError is an error answer of JetStream.
type apiError struct {
	Code        int    `json:"code"`
	ErrCode     int    `json:"err_code"`
	Description string `json:"description"`
}

func (e *apiError) Error() string {
	return fmt.Sprintf("jetstream %d: %s", e.ErrCode, e.Description)
}

// sort returns the error under the name that callers here can act on.
func (e *apiError) sort() error {
	switch e.ErrCode {
	case codeWrongLastSequence, codeWrongLastSequenceConstant, codeDuplicateInFlight, codeBatchDuplicate:
		return fmt.Errorf("%w: %w", errStale, e)
	case codeBatchTooLarge:
		return fmt.Errorf("%w: %w", tooMany(), e)
	}
	return e
}

func tooMany() *events.Error {
	return events.Invalid("", "too_many_events",
		"the command would store more events at once than the log takes; send it in smaller parts")
}

// transient reports whether the same request may succeed when repeated, with
// the outcome of the first unknown until then.
func transient(err error) bool {
	var own *apiError
	if errors.As(err, &own) {
		return own.Code >= 500 || own.Code == 429 || own.ErrCode == codeBatchIncomplete
	}
	var api *jetstream.APIError
	if errors.As(err, &api) {
		return api.Code >= 500 || api.Code == 429
	}
	return errors.Is(err, nats.ErrNoResponders) || errors.Is(err, nats.ErrTimeout) ||
		errors.Is(err, context.DeadlineExceeded) || errors.Is(err, nats.ErrDisconnected) ||
		errors.Is(err, nats.ErrReconnectBufExceeded) || errors.Is(err, nats.ErrConnectionReconnecting) ||
		errors.Is(err, nats.ErrNoServers) || errors.Is(err, jetstream.ErrNoStreamResponse)
}
