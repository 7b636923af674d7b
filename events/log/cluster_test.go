package log_test

import (
	"context"
	"errors"
	"fmt"
	"sync"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"marram.example/events"
	"marram.example/events/log"
	"marram.example/events/log/logtest"
)

// The node that leads the stream stops while writers write and a follower
// follows. Nothing acknowledged is lost, nothing is there twice, and both go on.
func TestLeaderStops(t *testing.T) {
	c := logtest.MustServeCluster(t, 3)
	l := logtest.MustOpen(t, func(o *log.Options) { o.NATSURL, o.Replicas = c.URL(), 3 })
	ctx, cancel := context.WithTimeout(context.Background(), time.Minute)
	defer cancel()

	const writers = 16
	var books ledger
	stopped := make(chan struct{})
	var started, all sync.WaitGroup
	started.Add(writers)
	for w := range writers {
		all.Go(func() {
			s := logtest.Stream("cluster", w)
			after := 0
			for i := 0; after < 5; i++ { // five more once the leader is gone
				select {
				case <-stopped:
					after++
				default:
				}
				holes := []int{i%18 + 1}
				if w%4 == 0 {
					holes = append(holes, 19, 20)
				}
				id := fmt.Sprintf("leader-%d-%d", w, i)
				step := log.Do(logtest.Card(), s, logtest.Enter{Holes: holes, Strokes: 4})
				r, err := l.Execute(ctx, logtest.Meta(id), step)
				for errors.Is(err, log.ErrUnavailable) { // what a client does after 503
					r, err = l.Execute(ctx, logtest.Meta(id), step)
				}
				if !assert.NoError(t, err) {
					return
				}
				books.ack(id, r[0].Position)
				if i == 3 {
					started.Done()
				}
			}
		})
	}
	var followed []events.Position
	var done = make(chan events.Position, 1)
	all.Go(func() {
		end := events.Position(0)
		err := l.Follow(ctx, 0, func(batch []events.Recorded) error {
			for _, e := range batch {
				followed = append(followed, e.Position)
			}
			select {
			case end = <-done:
			default:
			}
			if end > 0 && followed[len(followed)-1] >= end {
				return errEnough
			}
			return nil
		})
		assert.ErrorIs(t, err, errEnough)
	})

	started.Wait()
	c.StopLeader(t)
	close(stopped)
	// The last command tells the follower where to end.
	all.Go(func() {
		assert.Eventually(t, func() bool {
			books.mu.Lock()
			defer books.mu.Unlock()
			return len(books.acked) >= writers*9
		}, 50*time.Second, 20*time.Millisecond)
		last, _, err := l.Last(ctx)
		assert.NoError(t, err)
		done <- last
		_, err = l.Execute(ctx, logtest.Meta("end"), logtest.Score(logtest.Stream("cluster", writers), 1, 4))
		assert.NoError(t, err)
	})
	all.Wait()

	for i, p := range followed {
		require.Equal(t, events.Position(i+1), p)
	}
	books.requireKept(t, l)
	report, err := l.Verify(ctx, nil)
	require.NoError(t, err)
	require.Empty(t, report.Problems)
	for w := range writers {
		state, v, err := log.Load(ctx, l, logtest.Card(), logtest.Stream("cluster", w))
		require.NoError(t, err)
		require.Equal(t, int(v.Sequence), state.Count)
	}
}

var errEnough = errors.New("enough")

// With no server left the error is the one that says that the outcome is unknown.
func TestUnavailable(t *testing.T) {
	url, end := logtest.MustServe(t)
	l := logtest.MustOpen(t, func(o *log.Options) { o.NATSURL = url })
	log.Impatient(l)
	logtest.MustExecute(t, l, logtest.Meta("before"), logtest.Score(logtest.Stream("gone", 1), 1, 4))
	end()
	ctx := context.Background()
	_, err := l.Execute(ctx, logtest.Meta("after"), logtest.Score(logtest.Stream("gone", 1), 2, 4))
	require.ErrorIs(t, err, log.ErrUnavailable)
	_, _, err = log.Load(ctx, l, logtest.Card(), logtest.Stream("gone", 1))
	require.ErrorIs(t, err, log.ErrUnavailable)
	_, _, err = l.Last(ctx)
	require.ErrorIs(t, err, log.ErrUnavailable)
	_, err = log.Open(ctx, log.Options{NATSURL: url, Club: logtest.Club})
	require.ErrorIs(t, err, log.ErrUnavailable)
}
