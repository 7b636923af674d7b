package log

import (
	"context"
	"time"

	"github.com/nats-io/nats.go"
)

// Ungrouped turns group commit off.
func Ungrouped(o *Options) { o.ungrouped = true }

// LoseAnswers makes the log lose the answer to a stored message or batch
// whenever lose says so. The server has it by then.
func (l *Log) LoseAnswers(lose func() bool) {
	send := l.send
	l.send = func(ctx context.Context, m *nats.Msg) (*nats.Msg, error) {
		reply, err := send(ctx, m)
		if err == nil && len(reply.Data) > 0 && lose() {
			return nil, nats.ErrTimeout
		}
		return reply, err
	}
}

// Forget empties the memory, as a restart does.
func (l *Log) Forget() { l.cache = newCache(l.opts.CacheSize) }

// Publish stores raw messages past every check of Execute, for tests of what
// reads them.
func (l *Log) Publish(ctx context.Context, msgs []*nats.Msg) error {
	_, err := l.publish(ctx, msgs)
	return err
}

// Conn is the connection to the server.
func (l *Log) Conn() *nats.Conn { return l.nc }

// HeaderRemaining is a header that tests forge.
const HeaderRemaining = headerRemaining

// StreamConfig is that of the stream of a log with these options.
var StreamConfig = streamConfig

// Impatient shortens how long a log waits for a server that is gone.
func Impatient(l *Log) {
	l.patient = patience{attempt: 100 * time.Millisecond, total: 300 * time.Millisecond}
}
