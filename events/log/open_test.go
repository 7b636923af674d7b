package log_test

import (
	"context"
	"testing"
	"time"

	"github.com/nats-io/nats.go"
	"github.com/nats-io/nats.go/jetstream"
	"github.com/stretchr/testify/require"

	"marram.example/events"
	"marram.example/events/log"
	"marram.example/events/log/logtest"
)

func TestFolderInUse(t *testing.T) {
	dir := t.TempDir()
	in := func(o *log.Options) { o.Dir = dir }
	l := logtest.MustOpen(t, in)
	_, err := log.Open(context.Background(), log.Options{Dir: dir, Club: logtest.Club})
	require.ErrorIs(t, err, log.ErrLocked)
	require.ErrorContains(t, err, dir)
	logtest.MustExecute(t, l, logtest.Meta("still"), logtest.Score(logtest.Stream("c", 1), 1, 4))
	require.NoError(t, l.Close())
	l = logtest.MustOpen(t, in)
	last, id, err := l.Last(context.Background())
	require.NoError(t, err)
	require.Equal(t, events.Position(1), last)
	at, err := l.At(context.Background(), last)
	require.NoError(t, err)
	require.Equal(t, at.ID, id)
}

func TestClosed(t *testing.T) {
	l := logtest.MustOpen(t)
	ctx := context.Background()
	last, id, err := l.Last(ctx)
	require.NoError(t, err)
	require.Zero(t, last)
	require.Empty(t, id)
	waiting := make(chan error, 1)
	began := make(chan struct{})
	logtest.MustExecute(t, l, logtest.Meta("one"), logtest.Score(logtest.Stream("c", 1), 1, 4))
	go func() {
		waiting <- l.Follow(ctx, 0, func([]events.Recorded) error { close(began); return nil })
	}()
	<-began
	require.NoError(t, l.Close())
	require.NoError(t, l.Close(), "twice")
	require.ErrorIs(t, <-waiting, log.ErrClosed)
	_, err = l.Execute(ctx, logtest.Meta("x"), logtest.Score(logtest.Stream("c", 1), 1, 4))
	require.ErrorIs(t, err, log.ErrClosed)
	_, _, err = log.Load(ctx, l, logtest.Card(), logtest.Stream("c", 1))
	require.ErrorIs(t, err, log.ErrClosed)
	_, err = l.Bucket(ctx, "b", 0)
	require.ErrorIs(t, err, log.ErrClosed)
}

func TestBadOptions(t *testing.T) {
	for name, o := range map[string]log.Options{
		"no folder":         {Club: logtest.Club},
		"no club":           {Dir: "x"},
		"club with a dot":   {Dir: "x", Club: "a.b"},
		"too many replicas": {NATSURL: "nats://127.0.0.1:1", Club: logtest.Club, Replicas: 9},
	} {
		_, err := log.Open(context.Background(), o)
		require.NotNil(t, events.AsError(err), name)
	}
}

// A stream that could lose events, or that something else made, is refused.
func TestForeignStream(t *testing.T) {
	url, _ := logtest.MustServe(t)
	nc, err := nats.Connect(url)
	require.NoError(t, err)
	defer nc.Close()
	js, err := jetstream.New(nc)
	require.NoError(t, err)
	ctx, cancel := context.WithTimeout(context.Background(), 30*time.Second)
	defer cancel()
	for name, change := range map[string]func(*jetstream.StreamConfig){
		"another format":    func(c *jetstream.StreamConfig) { c.Metadata = map[string]string{"marram-format": "0"} },
		"no format":         func(c *jetstream.StreamConfig) { c.Metadata = nil },
		"memory":            func(c *jetstream.StreamConfig) { c.Storage = jetstream.MemoryStorage },
		"other subjects":    func(c *jetstream.StreamConfig) { c.Subjects = append(c.Subjects, "x.>") },
		"limit by age":      func(c *jetstream.StreamConfig) { c.MaxAge = time.Hour },
		"limit by number":   func(c *jetstream.StreamConfig) { c.MaxMsgs = 10 },
		"limit a subject":   func(c *jetstream.StreamConfig) { c.MaxMsgsPerSubject = 1 },
		"deletes":           func(c *jetstream.StreamConfig) { c.DenyDelete = false },
		"purges":            func(c *jetstream.StreamConfig) { c.DenyPurge = false },
		"no batches":        func(c *jetstream.StreamConfig) { c.AllowAtomicPublish = false },
		"no direct reads":   func(c *jetstream.StreamConfig) { c.AllowDirect = false },
		"no acknowledgment": func(c *jetstream.StreamConfig) { c.NoAck = true },
	} {
		c := log.StreamConfig(log.Options{Club: logtest.Club, Replicas: 1})
		change(&c)
		require.Eventually(t, func() bool { // the folder of the one before may be going still
			_, err := js.CreateStream(ctx, c)
			return err == nil
		}, 10*time.Second, 20*time.Millisecond, name)
		_, err := log.Open(ctx, log.Options{NATSURL: url, Club: logtest.Club})
		require.ErrorIs(t, err, log.ErrForeign, name)
		require.NoError(t, js.DeleteStream(ctx, c.Name))
	}
}

// A crash can in principle leave the first part of a batch. Half a command at
// the end is refused; half a group of whole commands is not.
func TestIncompleteEnd(t *testing.T) {
	ctx := context.Background()
	for _, half := range []bool{true, false} {
		dir := t.TempDir()
		in := func(o *log.Options) { o.Dir = dir }
		l := logtest.MustOpen(t, in)
		s := logtest.Stream("c", 1)
		logtest.MustExecute(t, l, logtest.Meta("one"), logtest.Score(s, 1, 4))
		all, err := l.Stream(ctx, s)
		require.NoError(t, err)
		m := forge(t, all[0], 2, "cut")
		// The server itself writes batch headers only; these are what a reader sees.
		if half {
			m.Header.Set(log.HeaderRemaining, "3")
			m.Header.Del("ce-last")
		}
		require.NoError(t, l.Publish(ctx, []*nats.Msg{m}))
		report, err := l.Verify(ctx, nil)
		require.NoError(t, err)
		require.Equal(t, !half, report.Sound())
		require.NoError(t, l.Close())

		o := log.Options{Dir: dir, Club: logtest.Club}
		if !half {
			again := logtest.MustOpen(t, in)
			require.NoError(t, again.Close())
			continue
		}
		_, err = log.Open(ctx, o)
		require.ErrorIs(t, err, log.ErrIncomplete)
		require.ErrorContains(t, err, "position 2")
		o.AcceptIncomplete = true
		accepted, err := log.Open(ctx, o)
		require.NoError(t, err)
		require.NoError(t, accepted.Close())
	}
}
