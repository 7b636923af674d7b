package live

import (
	"context"
	"errors"
	"fmt"
	"net/http"
	"time"

	"github.com/labstack/echo/v4"

	"marram.example/projections/board"
)

// EventBeat is the server-sent event that says that the line is alive. A page
// that has seen nothing for twice Options.Beat shows its board as stale; it
// cannot tell from comment lines, which browsers keep to themselves.
const EventBeat = "beat"

// writer writes to one listener, each time with a deadline of its own: the
// server's write timeout would end every stream.
type writer struct {
	response http.ResponseWriter
	control  *http.ResponseController
	timeout  time.Duration
	leaving  context.Context // once it ends, whoever cannot be written to at once is left behind
}

// leavingTimeout is the longest that one write may take after Stop.
const leavingTimeout = time.Second

func (w *writer) write(parts ...[]byte) error {
	timeout := w.timeout
	if w.leaving.Err() != nil {
		timeout = min(timeout, leavingTimeout)
	}
	if err := w.control.SetWriteDeadline(time.Now().Add(timeout)); err != nil && !errors.Is(err, http.ErrNotSupported) {
		return err
	}
	for _, p := range parts {
		if _, err := w.response.Write(p); err != nil {
			return err
		}
	}
	return w.control.Flush()
}

// begin sends the headers and when to come back after a break.
func (l *Listeners) begin(c echo.Context) (*writer, error) {
	w := &writer{
		response: c.Response(),
		// The writer below echo's, whose Flush keeps errors to itself.
		control: http.NewResponseController(c.Response().Writer),
		timeout: l.opts.WriteTimeout, leaving: l.life,
	}
	// A read timeout of the server would end the stream too.
	if err := w.control.SetReadDeadline(time.Time{}); err != nil && !errors.Is(err, http.ErrNotSupported) {
		return w, err
	}
	h := c.Response().Header()
	h.Set(echo.HeaderContentType, "text/event-stream")
	h.Set(echo.HeaderCacheControl, "no-store")
	h.Set("X-Accel-Buffering", "no")
	c.Response().WriteHeader(http.StatusOK)
	return w, w.write(retryField(l.retry()))
}

func retryField(d time.Duration) []byte {
	return fmt.Appendf(nil, "retry: %d\n\n", d.Milliseconds())
}

func beat(now time.Time) []byte {
	return fmt.Appendf(nil, ":\nevent: %s\ndata: {\"time\":%q}\n\n", EventBeat, now.UTC().Format(time.RFC3339))
}

// stream writes what the subscription brings until the listener goes, cannot
// be written to, or Stop is called. Nothing can be answered any more by then:
// its end is no error.
func (l *Listeners) stream(ctx context.Context, c echo.Context, sub *board.Subscription) error {
	w, err := l.begin(c)
	defer context.AfterFunc(l.life, func() {
		_ = w.control.SetWriteDeadline(time.Now().Add(leavingTimeout)) // for a write that is stuck
	})()
	for err == nil {
		err = l.next(ctx, w, sub)
	}
	if l.over() && c.Request().Context().Err() == nil {
		_ = w.write(retryField(l.retry())) // a courtesy: the first one holds otherwise
	}
	return nil
}

// next writes what comes next, or a sign of life when nothing does.
func (l *Listeners) next(ctx context.Context, w *writer, sub *board.Subscription) error {
	wait, cancel := context.WithTimeout(ctx, l.opts.Beat)
	defer cancel()
	messages, err := sub.Next(wait)
	if err != nil {
		if ctx.Err() == nil && errors.Is(err, context.DeadlineExceeded) {
			return w.write(beat(time.Now()))
		}
		return err
	}
	parts := make([][]byte, len(messages))
	for i, m := range messages {
		parts[i] = m.Data
	}
	return w.write(parts...)
}
