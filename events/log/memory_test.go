package log

import (
	"context"
	"fmt"
	"sync"
	"testing"
	"time"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"marram.example/events"
)

func TestCacheForgetsTheOneUnusedLongest(t *testing.T) {
	c := newCache(2)
	a, b := &aggregate{sequence: 1}, &aggregate{sequence: 2}
	c.put("a", a)
	c.put("b", b)
	require.Same(t, a, c.get("a"))
	c.put("c", &aggregate{sequence: 3})
	require.Nil(t, c.get("b"))
	require.Same(t, a, c.get("a"))
	c.put("a", b)
	require.Same(t, b, c.get("a"))
	c.drop("a")
	c.drop("a")
	require.Nil(t, c.get("a"))
	require.Len(t, c.items, 1)
	require.Equal(t, 1, c.order.Len())
}

func TestStreamLocks(t *testing.T) {
	locks := newStreamLocks()
	ctx := context.Background()
	free, err := locks.acquire(ctx, []string{"a", "b"})
	require.NoError(t, err)
	short, cancel := context.WithTimeout(ctx, time.Millisecond)
	defer cancel()
	_, err = locks.acquire(short, []string{"b"})
	require.ErrorIs(t, err, context.DeadlineExceeded)
	_, err = locks.acquire(short, []string{"0", "a"})
	require.ErrorIs(t, err, context.DeadlineExceeded)
	other, err := locks.acquire(ctx, []string{"c"})
	require.NoError(t, err, "another stream is free")
	other()
	free()
	require.Empty(t, locks.held, "nobody holds or waits")
}

// Any mix of overlapping sets, each sorted, ends, excludes each other on every
// subject, and leaves nothing behind.
func TestStreamLocksExclude(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		sets := rapid.SliceOfN(rapid.SliceOfNDistinct(rapid.IntRange(0, 4), 1, 3, rapid.ID[int]), 2, 12).Draw(t, "sets")
		locks := newStreamLocks()
		inside := make([]int, 5) // the race detector watches these
		var all sync.WaitGroup
		for _, set := range sets {
			subjects := make([]string, 0, len(set))
			for i := range 5 {
				for _, s := range set {
					if s == i {
						subjects = append(subjects, fmt.Sprint(i))
					}
				}
			}
			all.Go(func() {
				free, err := locks.acquire(context.Background(), subjects)
				if err != nil {
					return
				}
				for _, s := range set {
					inside[s]++
				}
				free()
			})
		}
		all.Wait()
		want := make([]int, 5)
		for _, set := range sets {
			for _, s := range set {
				want[s]++
			}
		}
		require.Equal(t, want, inside)
		require.Empty(t, locks.held)
	})
}

func TestGatherTakesEachPositionOnce(t *testing.T) {
	in := make(chan stored, 10)
	for _, p := range []events.Position{4, 5, 3, 6, 7, 8} {
		in <- stored{position: p}
	}
	got := gather(stored{position: 3}, in, 3, 7)
	var positions []events.Position
	for _, s := range got {
		positions = append(positions, s.position)
	}
	require.Equal(t, []events.Position{4, 5, 6, 7}, positions)
}
