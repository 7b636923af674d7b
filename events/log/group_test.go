package log_test

import (
	"context"
	"fmt"
	"sync"
	"sync/atomic"
	"testing"
	"time"

	"github.com/nats-io/nats.go"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"marram.example/events"
	"marram.example/events/log"
	"marram.example/events/log/logtest"
)

// ledger keeps what was acknowledged, to compare with what is stored.
type ledger struct {
	mu    sync.Mutex
	acked map[string]events.Position // by command id
}

func (a *ledger) ack(id string, at events.Position) {
	a.mu.Lock()
	defer a.mu.Unlock()
	if a.acked == nil {
		a.acked = make(map[string]events.Position)
	}
	a.acked[id] = at
}

// requireKept checks that every acknowledged command is stored where it was
// said to be, and that no command is stored twice.
func (a *ledger) requireKept(t *testing.T, l *log.Log) {
	t.Helper()
	stored := make(map[string]events.Position)
	_, err := l.Replay(context.Background(), 0, func(batch []events.Recorded) error {
		for _, e := range batch {
			if !e.Last {
				continue
			}
			if at, ok := stored[e.CommandID]; ok {
				return fmt.Errorf("command %s is at %d and at %d", e.CommandID, at, e.Position)
			}
			stored[e.CommandID] = e.Position
		}
		return nil
	})
	require.NoError(t, err)
	a.mu.Lock()
	defer a.mu.Unlock()
	for id, at := range a.acked {
		if stored[id] != at {
			require.Failf(t, "acknowledged but not there", "command %s at %d, found at %d", id, at, stored[id])
		}
	}
}

// write lets writers, each on a card of its own, carry out commands of one event.
func write(t *testing.T, l *log.Log, name string, writers, each int, books *ledger) {
	t.Helper()
	var all sync.WaitGroup
	for w := range writers {
		all.Go(func() {
			for i := range each {
				id := fmt.Sprintf("%s-%d-%d", name, w, i)
				r, err := l.Execute(context.Background(), logtest.Meta(id), logtest.Score(logtest.Stream(name, w), i%18+1, 4))
				if assert.NoError(t, err) {
					books.ack(id, r[0].Position)
				}
			}
		})
	}
	all.Wait()
}

func TestGroupCommit(t *testing.T) {
	for _, writers := range []int{64, 256} {
		t.Run(fmt.Sprint(writers), func(t *testing.T) {
			var groups, biggest, grouped atomic.Int64
			var appended atomic.Int64
			l := logtest.MustOpen(t, func(o *log.Options) {
				o.Metrics.Grouped = func(commands, n int) {
					grouped.Add(int64(n))
					if commands > 1 {
						groups.Add(1)
						biggest.Store(max(biggest.Load(), int64(commands)))
					}
				}
				o.Metrics.Appended = func(n int, _ time.Duration) { appended.Add(int64(n)) }
			})
			const each = 8
			var books ledger
			write(t, l, "group", writers, each, &books)
			require.Len(t, books.acked, writers*each)
			books.requireKept(t, l)
			require.Positive(t, groups.Load(), "no group was ever made")
			require.GreaterOrEqual(t, biggest.Load(), int64(12))
			require.Equal(t, int64(writers*each), grouped.Load())
			require.Equal(t, int64(writers*each), appended.Load())
			report, err := l.Verify(context.Background(), nil)
			require.NoError(t, err)
			require.Empty(t, report.Problems)
		})
	}
}

// One stale command in a group must refuse nobody else. The log is made stale on
// purpose by events that are written past it.
func TestGroupWithStaleMember(t *testing.T) {
	ctx := context.Background()
	var staled atomic.Int64
	l := logtest.MustOpen(t, func(o *log.Options) {
		o.Metrics.Retried = func(reason string) {
			if reason == "stale" {
				staled.Add(1)
			}
		}
	})
	const writers = 40
	var books ledger
	write(t, l, "stale", writers, 1, &books)
	for w := range 5 { // the memory of these five streams is now behind
		all, err := l.Stream(ctx, logtest.Stream("stale", w))
		require.NoError(t, err)
		require.NoError(t, l.Publish(ctx, []*nats.Msg{forge(t, all[0], uint64(len(all))+1, fmt.Sprint("behind", w))}))
	}
	for round := range 3 {
		write(t, l, "stale", writers, 2+round, &ledger{})
	}
	require.GreaterOrEqual(t, staled.Load(), int64(5))
	for w := range writers {
		state, v, err := log.Load(ctx, l, logtest.Card(), logtest.Stream("stale", w))
		require.NoError(t, err)
		want := 4 // each command id counts once, whatever round repeats it
		if w < 5 {
			want = 5
		}
		require.Equal(t, want, state.Count)
		require.Equal(t, events.Sequence(want), v.Sequence)
	}
	report, err := l.Verify(ctx, nil)
	require.NoError(t, err)
	require.Empty(t, report.Problems)
}
