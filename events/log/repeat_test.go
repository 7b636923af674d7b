package log_test

import (
	"context"
	"fmt"
	"sync"
	"sync/atomic"
	"testing"
	"time"

	"github.com/nats-io/nats.go/jetstream"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"marram.example/events"
	"marram.example/events/log"
	"marram.example/events/log/logtest"
)

// An answer that is lost after the event was stored must neither double the
// event nor fail the command, alone, in a group and in a batch of several.
func TestLostAnswer(t *testing.T) {
	kinds(t, func(t *testing.T, open func(...func(*log.Options)) *log.Log) {
		l := open()
		ctx := context.Background()
		var losing atomic.Bool
		var lost atomic.Int64
		l.LoseAnswers(func() bool {
			if losing.CompareAndSwap(true, false) {
				lost.Add(1)
				return true
			}
			return false
		})
		s := logtest.Stream("lost", 1)
		for i, holes := range [][]int{{1}, {2, 3, 4}, {5}} {
			losing.Store(true)
			m := logtest.Meta(fmt.Sprint("lost", i))
			step := log.Do(logtest.Card(), s, logtest.Enter{Holes: holes, Strokes: 4})
			first, err := l.Execute(ctx, m, step)
			require.NoError(t, err)
			require.Equal(t, int64(i+1), lost.Load(), "no answer was lost")
			require.False(t, first[0].Known)
			require.Len(t, first[0].Events, len(holes))
			again, err := l.Execute(ctx, m, step)
			require.NoError(t, err)
			require.True(t, again[0].Known)
			require.Equal(t, first[0].Position, again[0].Position)
		}
		got, err := l.Stream(ctx, s)
		require.NoError(t, err)
		require.Len(t, got, 5)

		const writers = 64
		var books ledger
		var all sync.WaitGroup
		for w := range writers {
			all.Go(func() {
				for i := range 3 {
					if w == 0 {
						losing.Store(true)
					}
					id := fmt.Sprintf("crowd-%d-%d", w, i)
					r, err := l.Execute(ctx, logtest.Meta(id), logtest.Score(logtest.Stream("crowd", w), i+1, 4))
					if assert.NoError(t, err) {
						books.ack(id, r[0].Position)
					}
				}
			})
		}
		all.Wait()
		require.Greater(t, lost.Load(), int64(3))
		require.Len(t, books.acked, writers*3)
		books.requireKept(t, l)
		report, err := l.Verify(ctx, nil)
		require.NoError(t, err)
		require.Empty(t, report.Problems)
		require.Equal(t, 5+writers*3, report.Events)
	})
}

// A repeat is known after a restart, and after the server has long forgotten
// the ids that it keeps for its own window.
func TestRepeatAfterRestart(t *testing.T) {
	kinds(t, func(t *testing.T, open func(...func(*log.Options)) *log.Log) {
		ctx := context.Background()
		window := 200 * time.Millisecond
		l := open(log.Ungrouped)
		narrow(t, l, window)
		a, b := logtest.Stream("restart", 1), logtest.Stream("restart", 2)
		steps := []log.Step{
			log.Do(logtest.Card(), a, logtest.Enter{Holes: []int{1, 2}, Strokes: 4}),
			logtest.Score(b, 1, 3),
		}
		m := logtest.Meta("restarted")
		first, err := l.Execute(ctx, m, steps...)
		require.NoError(t, err)
		logtest.MustExecute(t, l, logtest.Meta("later"), logtest.Score(a, 1, 9))
		require.NoError(t, l.Close())

		l = open()
		time.Sleep(2 * window) // the window is a time of the server's clock; nothing else tells its end
		again, err := l.Execute(ctx, m, steps...)
		require.NoError(t, err)
		for i := range first {
			first[i].Known = true
		}
		require.Equal(t, first, again)
		n := 0
		end, err := l.Replay(ctx, 0, func(batch []events.Recorded) error { n += len(batch); return nil })
		require.NoError(t, err)
		require.Equal(t, 4, n)
		require.Equal(t, events.Position(4), end)
		m.CommandHash = "another"
		_, err = l.Execute(ctx, m, steps...)
		require.Equal(t, "command_id_reused", events.AsError(err).Code)
	})
}

// narrow makes the server forget message ids after a short time.
func narrow(t *testing.T, l *log.Log, window time.Duration) {
	t.Helper()
	ctx, cancel := context.WithTimeout(context.Background(), 20*time.Second)
	defer cancel()
	js, err := jetstream.New(l.Conn())
	require.NoError(t, err)
	s, err := js.Stream(ctx, "MARRAM_"+logtest.Club)
	require.NoError(t, err)
	c := s.CachedInfo().Config
	c.Duplicates = window
	_, err = js.UpdateStream(ctx, c)
	require.NoError(t, err)
}

// Two processes share a remote log: what one writes makes the memory of the
// other stale, which must cost a retry and nothing else.
func TestTwoProcessesOnOneRemoteLog(t *testing.T) {
	remoteKinds(t, func(t *testing.T, open func(...func(*log.Options)) *log.Log) {
		ctx := context.Background()
		logs := []*log.Log{open(), open()}
		s := logtest.Stream("shared", 1)
		const writers, each = 4, 10
		var all sync.WaitGroup
		var known atomic.Int64
		for w := range writers {
			for p, l := range logs {
				all.Go(func() {
					for i := range each {
						// Every command comes to both processes.
						r, err := l.Execute(ctx, logtest.Meta(fmt.Sprintf("both-%d-%d", w, i)), logtest.Score(s, w*each+i, p+1))
						if assert.NoError(t, err) && r[0].Known {
							known.Add(1)
						}
					}
				})
			}
		}
		all.Wait()
		require.Equal(t, int64(writers*each), known.Load())
		for _, l := range logs {
			state, v, err := log.Load(ctx, l, logtest.Card(), s)
			require.NoError(t, err)
			require.Equal(t, writers*each, state.Count)
			require.Equal(t, events.Sequence(writers*each), v.Sequence)
		}

		// A refusal must rest on what is stored, not on an old memory.
		logtest.MustExecute(t, logs[0], logtest.Meta("seen"), logtest.Score(s, 1, 7))
		r := logtest.MustExecute(t, logs[1], logtest.Meta("expects"), logtest.Score(s, 1, 8, log.Expect(writers*each+1)))
		require.Equal(t, events.Sequence(writers*each+2), r.Sequence)
	})
}
