package log

import (
	"context"
	"errors"
	"fmt"
	"sync"
	"time"

	"github.com/nats-io/nats.go"
	"github.com/nats-io/nats.go/jetstream"

	"marram.example/events"
)

// Log is the event log of one club. All methods may be called concurrently.
type Log struct {
	opts    Options
	codec   *events.Codec
	server  *embedded // nil with a remote NATS
	nc      *nats.Conn
	js      jetstream.JetStream
	stream  jetstream.Stream
	name    string // of the JetStream stream
	patient patience
	send    transport
	writer  *writer // nil where commands are not grouped
	cache   *cache
	locks   *streamLocks

	life      context.Context // ends when Close begins
	end       context.CancelFunc
	running   sync.WaitGroup // calls that must end before the connection goes
	gate      sync.Mutex     // orders running.Add before the Wait of Close
	closeOnce sync.Once
	closeErr  error
}

// transport sends a request and waits for the answer. Tests wrap it to lose one.
type transport func(ctx context.Context, msg *nats.Msg) (*nats.Msg, error)

// Open starts or reaches the log, makes its stream where missing, and checks
// that it can serve: ErrLocked, ErrForeign and ErrIncomplete say why not.
func Open(ctx context.Context, o Options) (*Log, error) {
	o, err := o.withDefaults()
	if err != nil {
		return nil, err
	}
	l := &Log{
		opts: o, codec: events.NewCodec(), name: streamName(o.Club),
		patient: embeddedPatience, cache: newCache(o.CacheSize), locks: newStreamLocks(),
	}
	l.life, l.end = context.WithCancel(context.Background())
	if err := l.connect(ctx); err != nil {
		return nil, errors.Join(err, l.Close())
	}
	if err := l.checkEnd(ctx); err != nil {
		return nil, errors.Join(err, l.Close())
	}
	if l.server != nil && !o.LazySync && !o.ungrouped {
		// Without an fsync per append a batch costs more than it saves, and a
		// replicated stream groups by itself.
		l.writer = startWriter(l)
	}
	return l, nil
}

func (l *Log) connect(ctx context.Context) error {
	url := l.opts.NATSURL
	opts := []nats.Option{
		nats.Name("marram " + l.opts.Club),
		nats.MaxReconnects(-1),
		nats.ReconnectWait(100 * time.Millisecond),
		nats.ReconnectJitter(50*time.Millisecond, 50*time.Millisecond),
		nats.ReconnectBufSize(-1), // a write that waits in the client would outlive the answer about it
		nats.RetryOnFailedConnect(false),
		nats.ErrorHandler(func(_ *nats.Conn, _ *nats.Subscription, err error) {
			l.opts.Logger.Warn("event log connection", "error", err)
		}),
	}
	if url == "" {
		s, err := startEmbedded(ctx, l.opts)
		if err != nil {
			return err
		}
		l.server = s
		opts = append(opts, nats.InProcessServer(s.server))
	} else {
		l.patient = remotePatience
	}
	nc, err := nats.Connect(url, opts...)
	if err != nil {
		return fmt.Errorf("reach the event log: %w: %w", ErrUnavailable, err)
	}
	l.nc, l.send = nc, nc.RequestMsgWithContext
	if l.js, err = jetstream.New(nc); err != nil {
		return fmt.Errorf("reach the event log: %w", err)
	}
	return l.insist(ctx, l.patient, func(ctx context.Context) error {
		l.stream, err = ensureStream(ctx, l.js, l.opts)
		return err
	})
}

// remote reports whether other processes may write to the same stream.
func (l *Log) remote() bool { return l.server == nil }

// begin registers a call that Close must wait for. The context it returns also
// ends when Close begins.
func (l *Log) begin(ctx context.Context) (context.Context, func(), error) {
	l.gate.Lock()
	defer l.gate.Unlock()
	if l.life.Err() != nil {
		return nil, nil, ErrClosed
	}
	l.running.Add(1)
	ctx, cancel := context.WithCancelCause(ctx)
	stop := context.AfterFunc(l.life, func() { cancel(ErrClosed) })
	return ctx, func() {
		stop()
		cancel(nil)
		l.running.Done()
	}, nil
}

// Close ends running calls and gives the folder free. It takes at most about
// half a minute and may be called twice.
func (l *Log) Close() error {
	l.closeOnce.Do(func() {
		l.gate.Lock()
		l.end()
		l.gate.Unlock()
		var late error
		done := make(chan struct{})
		go func() {
			defer close(done)
			l.running.Wait()
			if l.writer != nil {
				l.writer.stop()
			}
		}()
		select {
		case <-done:
		case <-time.After(15 * time.Second):
			late = errors.New("event log closed with calls still running")
		}
		if l.nc != nil {
			l.nc.Close()
		}
		var served error
		if l.server != nil {
			served = l.server.close()
		}
		l.closeErr = errors.Join(late, served)
	})
	return l.closeErr
}
