package log_test

import (
	"context"
	"fmt"
	"sync"
	"sync/atomic"
	"testing"

	"github.com/stretchr/testify/require"

	"marram.example/events"
	"marram.example/events/log"
	"marram.example/events/log/logtest"
)

// BenchmarkAppend measures acknowledged commands of one event, each writer on a
// card of its own: with group commit, without it, and without fsync, side by
// side. ns/op is the time per command over all writers.
func BenchmarkAppend(b *testing.B) {
	kinds := []struct {
		name   string
		change func(*log.Options)
	}{
		{"grouped", func(*log.Options) {}},
		{"alone", log.Ungrouped},
		{"lazy", func(o *log.Options) { o.LazySync = true }},
	}
	for _, writers := range []int{1, 64, 256} {
		for _, kind := range kinds {
			b.Run(fmt.Sprintf("writers=%d/%s", writers, kind.name), func(b *testing.B) {
				l := logtest.MustOpen(b, kind.change)
				appendWith(b, l, writers, 1)
			})
		}
	}
}

// BenchmarkAppendSeveral measures commands of three events, which are always one
// atomic batch.
func BenchmarkAppendSeveral(b *testing.B) {
	for _, writers := range []int{1, 64} {
		b.Run(fmt.Sprintf("writers=%d", writers), func(b *testing.B) {
			appendWith(b, logtest.MustOpen(b), writers, 3)
		})
	}
}

// appendWith spreads b.N commands over the writers.
func appendWith(b *testing.B, l *log.Log, writers, size int) {
	ctx := context.Background()
	var next atomic.Int64
	var all sync.WaitGroup
	b.ReportAllocs()
	b.ResetTimer()
	for w := range writers {
		all.Go(func() {
			s := logtest.Stream("bench", w)
			for {
				n := int(next.Add(1))
				if n > b.N {
					return
				}
				holes := make([]int, size)
				for i := range holes {
					holes[i] = (n+i)%18 + 1
				}
				step := log.Do(logtest.Card(), s, logtest.Enter{Holes: holes, Strokes: 4})
				if _, err := l.Execute(ctx, logtest.Meta(fmt.Sprint(n)), step); err != nil {
					b.Error(err)
					return
				}
			}
		})
	}
	all.Wait()
	b.StopTimer()
	b.ReportMetric(float64(b.N*size)/b.Elapsed().Seconds(), "events/s")
}

// BenchmarkReplay reads a log of 100,000 events from the start.
func BenchmarkReplay(b *testing.B) {
	const total = 100_000
	l := logtest.MustOpen(b, func(o *log.Options) { o.LazySync = true })
	fill(b, l, total)
	b.ResetTimer()
	for range b.N {
		n := 0
		_, err := l.Replay(context.Background(), 0, func(batch []events.Recorded) error {
			n += len(batch)
			return nil
		})
		require.NoError(b, err)
		require.Equal(b, total, n)
	}
	b.ReportMetric(float64(b.N*total)/b.Elapsed().Seconds(), "events/s")
}

// BenchmarkVerify checks the same log.
func BenchmarkVerify(b *testing.B) {
	const total = 100_000
	l := logtest.MustOpen(b, func(o *log.Options) { o.LazySync = true })
	fill(b, l, total)
	b.ResetTimer()
	for range b.N {
		r, err := l.Verify(context.Background(), nil)
		require.NoError(b, err)
		require.True(b, r.Sound())
	}
	b.ReportMetric(float64(b.N*total)/b.Elapsed().Seconds(), "events/s")
}

// BenchmarkLoad reads one card of 40 events in a log of 100,000: from memory, and
// from the store.
func BenchmarkLoad(b *testing.B) {
	l := logtest.MustOpen(b, func(o *log.Options) { o.LazySync = true })
	fill(b, l, 100_000)
	for _, cold := range []bool{false, true} {
		b.Run(fmt.Sprintf("cold=%v", cold), func(b *testing.B) {
			for n := range b.N {
				if cold {
					l.Forget()
				}
				state, _, err := log.Load(context.Background(), l, logtest.Card(), logtest.Stream("bench", n%2500))
				require.NoError(b, err)
				require.Equal(b, 40, state.Count)
			}
		})
	}
}

// fill stores 40 events on every card, round by round, as a day does. Cards come
// in groups of 50 a command, because what is measured is reading.
func fill(b *testing.B, l *log.Log, total int) {
	b.Helper()
	const holes, rounds, group = 10, 4, 50
	enter := logtest.Enter{Holes: []int{1, 2, 3, 4, 5, 6, 7, 8, 9, 10}, Strokes: 4}
	for r := range rounds {
		for c := 0; c < total/holes/rounds; c += group {
			steps := make([]log.Step, 0, group)
			for i := range group {
				steps = append(steps, log.Do(logtest.Card(), logtest.Stream("bench", c+i), enter))
			}
			_, err := l.Execute(context.Background(), logtest.Meta(fmt.Sprintf("%d-%d", c, r)), steps...)
			require.NoError(b, err)
		}
	}
}
