package log

import (
	"context"
	"errors"
	"fmt"
	"math/rand/v2"
	"time"
)

// patience is how long a request waits for its answer and how long it is sent
// again before the log counts as unavailable. Every further try waits twice as
// long for its answer, so that a log that is only slow is not asked for ever.
type patience struct {
	attempt time.Duration // of the first try
	total   time.Duration
}

var (
	// An election in a cluster takes 4 to 9 s (fixed in the server), an answer a
	// few milliseconds.
	remotePatience = patience{attempt: 500 * time.Millisecond, total: 10 * time.Second}
	// Only a disk that hangs keeps the embedded server from answering.
	embeddedPatience = patience{attempt: 4 * time.Second, total: 10 * time.Second}
)

// insist repeats op while it fails in a way that may pass, until the patience is
// over: then the error is ErrUnavailable.
func (l *Log) insist(ctx context.Context, p patience, op func(context.Context) error) error {
	deadline := time.Now().Add(p.total)
	attempt := p.attempt
	for wait := 20 * time.Millisecond; ; wait = min(2*wait, 250*time.Millisecond) {
		actx, cancel := context.WithTimeout(ctx, attempt)
		err := op(actx)
		late := actx.Err() != nil
		cancel()
		switch {
		case err == nil:
			return nil
		case ctx.Err() != nil:
			return ended(ctx, err)
		case !transient(err):
			return err
		case time.Now().Add(wait).After(deadline):
			return fmt.Errorf("%w: no answer in %v: %w", ErrUnavailable, p.total, err)
		}
		if late {
			attempt = min(2*attempt, p.total)
		}
		l.opts.Metrics.retried("unavailable")
		if err := pause(ctx, wait/2+rand.N(wait/2+1)); err != nil {
			return err
		}
	}
}

// ended explains an error that came with the end of the context.
func ended(ctx context.Context, err error) error {
	if errors.Is(context.Cause(ctx), ErrClosed) {
		return ErrClosed
	}
	return fmt.Errorf("%w: %w", context.Cause(ctx), err)
}

func pause(ctx context.Context, d time.Duration) error {
	t := time.NewTimer(d)
	defer t.Stop()
	select {
	case <-t.C:
		return nil
	case <-ctx.Done():
		return context.Cause(ctx)
	}
}

// slower is for requests that JetStream answers after it agreed with itself,
// such as making a stream.
func (p patience) slower() patience {
	return patience{attempt: 4 * p.attempt, total: max(p.total, 12*p.attempt)}
}
