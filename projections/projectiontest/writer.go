package projectiontest

import (
	"fmt"
	"time"

	"marram.example/events"
)

// Club is the club of the histories.
const Club = "dunes"

// Writer gives events their envelope and place, as the log would.
type Writer struct {
	All []events.Recorded

	codec     *events.Codec
	sequences map[string]events.Sequence
}

// NewWriter returns a writer of an empty log.
func NewWriter() *Writer {
	return &Writer{codec: events.NewCodec(), sequences: map[string]events.Sequence{}}
}

// start is when the histories begin, in a zone that is not UTC on purpose.
var start = time.Date(2026, 5, 2, 7, 30, 0, 123456789, time.FixedZone("", 2*60*60))

// Add writes an event on a stream and returns it as read: through JSON and back.
func (w *Writer) Add(stream events.StreamID, e events.Event) events.Recorded {
	body, err := w.codec.Encode(e)
	if err != nil {
		panic(err) // an event that the codec does not know has no place in a test's history
	}
	read, err := w.codec.Decode(e.EventType(), body)
	if err != nil {
		panic(err)
	}
	w.sequences[stream.Subject()]++
	n := len(w.All) + 1
	r := events.Recorded{
		Envelope: events.Envelope{
			ID: fmt.Sprintf("event-%06d", n), Type: e.EventType(), Source: Club, Subject: stream.ID,
			Time: start.Add(time.Duration(n) * time.Second), Actor: events.Actor{Role: events.RoleService, ID: "history"},
			Sequence: w.sequences[stream.Subject()], Last: true,
		},
		Stream: stream, Position: events.Position(n), Event: read,
	}
	w.All = append(w.All, r)
	return r
}
