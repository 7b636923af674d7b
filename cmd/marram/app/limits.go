package app

import (
	"net/http"
	"time"
)

// Limits are how long a connection may take over what, so that somebody who
// sends or reads a byte at a time cannot hold connections for ever. Live boards
// are not bound by them: they set a deadline for every write themselves.
type Limits struct {
	Header  time.Duration // to send the header of a request
	Request time.Duration // to send all of a request
	Answer  time.Duration // from the header of a request to the end of its answer
	Idle    time.Duration // between two requests
}

// DefaultLimits leave room for a large file on a bad line (common practice, no
// source).
func DefaultLimits() Limits {
	return Limits{Header: 10 * time.Second, Request: time.Minute, Answer: 2 * time.Minute, Idle: 2 * time.Minute}
}

func (l Limits) server(h http.Handler) *http.Server {
	return &http.Server{Handler: h, ReadHeaderTimeout: l.Header, ReadTimeout: l.Request, WriteTimeout: l.Answer, IdleTimeout: l.Idle}
}
