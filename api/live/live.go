// Package live keeps the listeners of the live board: server-sent events over
// HTTP (WHATWG HTML, server-sent events), resumed by position.
package live

import (
	"context"
	"fmt"
	"math/rand/v2"
	"net/http"
	"strconv"
	"sync"
	"time"

	"github.com/labstack/echo/v4"

	"marram.example/events"
	"marram.example/projections/board"
)

// Route is where Handler belongs: its parameter names the competition.
const Route = "/api/v1/competitions/:competition/board/stream"

// MayWatch says whether whoever asks may see the board of a competition; its
// error is the answer.
type MayWatch func(c echo.Context, competition string) error

// Options say how listeners are kept. The zero value works.
type Options struct {
	Beat         time.Duration // silence after which a sign of life is sent, default 15 s
	WriteTimeout time.Duration // longest that one write may take, default 10 s
	Retry        time.Duration // when a listener comes back after a break: between this and twice this, default 1 s
	Longest      time.Duration // when a stream ends and its listener comes back, to be asked again whether it may watch; default 15 min
	Most         int           // listeners at once, default 10,000
}

func (o Options) withDefaults() Options {
	if o.Beat <= 0 {
		o.Beat = 15 * time.Second
	}
	if o.WriteTimeout <= 0 {
		o.WriteTimeout = 10 * time.Second
	}
	if o.Retry <= 0 {
		o.Retry = time.Second
	}
	if o.Longest <= 0 {
		o.Longest = 15 * time.Minute
	}
	if o.Most <= 0 {
		o.Most = 10_000
	}
	return o
}

// Listeners are everybody who watches a board of this process.
type Listeners struct {
	boards   *board.Boards
	mayWatch MayWatch
	opts     Options

	mu   sync.Mutex // orders open.Add before the Wait of Stop
	life context.Context
	end  context.CancelFunc // called by Stop
	open sync.WaitGroup
	here int // listeners at present
}

// New keeps listeners of boards.
func New(boards *board.Boards, mayWatch MayWatch, o Options) *Listeners {
	l := &Listeners{boards: boards, mayWatch: mayWatch, opts: o.withDefaults()}
	l.life, l.end = context.WithCancel(context.Background())
	return l
}

// Stop sends every listener away, to come back in a moment, and waits until
// they have gone or ctx ends. A server that drains must call it first: it would
// wait for the listeners. It may be called twice.
func (l *Listeners) Stop(ctx context.Context) error {
	l.mu.Lock()
	l.end()
	l.mu.Unlock()
	gone := make(chan struct{})
	go func() {
		defer close(gone)
		l.open.Wait()
	}()
	select {
	case <-gone:
		return nil
	case <-ctx.Done():
		return fmt.Errorf("stop the live board: %w", context.Cause(ctx))
	}
}

func (l *Listeners) over() bool { return l.life.Err() != nil }

// enter counts a listener in. It reports false once Stop was called, or while as
// many watch as may.
func (l *Listeners) enter() bool {
	l.mu.Lock()
	defer l.mu.Unlock()
	if l.over() || l.here >= l.opts.Most {
		return false
	}
	l.here++
	l.open.Add(1)
	return true
}

func (l *Listeners) leave() {
	l.mu.Lock()
	l.here--
	l.mu.Unlock()
	l.open.Done()
}

// retry spreads the return of many listeners over a while.
func (l *Listeners) retry() time.Duration {
	return l.opts.Retry + rand.N(l.opts.Retry)
}

// catchUpWait is how long a listener with a newer board than ours waits for us
// to get there before it is given ours.
const catchUpWait = time.Second

// Handler streams the board of a competition. A listener that comes back says
// which board it has with the header Last-Event-ID, as browsers do, or the
// query parameter after; the header counts where both are there. Before the
// stream begins, an error is returned as it is: a domain error, or what MayWatch
// says.
func (l *Listeners) Handler() echo.HandlerFunc {
	return func(c echo.Context) error {
		competition := c.Param("competition")
		if _, ok := l.boards.Terms(competition); !ok {
			return events.NotFound("competition", "no such competition")
		}
		if err := l.mayWatch(c, competition); err != nil {
			return err
		}
		after, err := resumeFrom(c.Request())
		if err != nil {
			return err
		}
		if !l.enter() {
			c.Response().Header().Set("Retry-After", "1")
			return echo.NewHTTPError(http.StatusServiceUnavailable, "no more listeners at present; come back in a moment")
		}
		defer l.leave()
		ctx, cancel := context.WithTimeout(c.Request().Context(), l.opts.Longest)
		defer cancel()
		defer context.AfterFunc(l.life, cancel)()
		sub, err := l.subscribe(ctx, competition, after)
		if err != nil {
			return err
		}
		defer sub.Close()
		return l.stream(ctx, c, sub)
	}
}

func (l *Listeners) subscribe(ctx context.Context, competition string, after events.Position) (*board.Subscription, error) {
	wait, cancel := context.WithTimeout(ctx, catchUpWait)
	defer cancel()
	// Where it does not get there, the whole board is the answer.
	_ = l.boards.WaitFor(wait, after)
	return l.boards.Subscribe(ctx, competition, after)
}

// resumeFrom reads which board a listener has; 0 for none.
func resumeFrom(r *http.Request) (events.Position, error) {
	if last := r.Header.Get("Last-Event-ID"); last != "" {
		at, err := strconv.ParseUint(last, 10, 64)
		if err != nil {
			return 0, nil //nolint:nilerr // not an id of ours: begin with the whole board
		}
		return events.Position(at), nil
	}
	text := r.URL.Query().Get("after")
	if text == "" {
		return 0, nil
	}
	at, err := strconv.ParseUint(text, 10, 64)
	if err != nil {
		return 0, events.Invalid("after", "malformed", "after is the position of a board: a whole number from 0")
	}
	return events.Position(at), nil
}
