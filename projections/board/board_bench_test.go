package board

import (
	"context"
	"fmt"
	"math/rand/v2"
	"runtime"
	"testing"

	"github.com/stretchr/testify/require"

	"marram.example/projections/board/boardtest"
	"marram.example/projections/standing"
)

// played is a field in three divisions with part of its scores entered.
func played(b *testing.B, players, holes int) *boardtest.Competition {
	b.Helper()
	r := rand.New(rand.NewPCG(1, 1))
	c := boardtest.Play(b, boardtest.NewClub(), boardtest.Options{Players: players})
	for hole := range holes {
		for i := range players {
			require.NoError(b, c.Score(boardtest.EntryID(i), hole+1, 3+r.IntN(4)))
		}
	}
	return c
}

// BenchmarkRank ranks a field eight times over: net and gross, whole and by division.
func BenchmarkRank(b *testing.B) {
	for _, holes := range []int{9, 18} {
		b.Run(fmt.Sprintf("cards=300/holes=%d", holes), func(b *testing.B) {
			c := played(b, 300, holes)
			cards, err := c.Scored()
			require.NoError(b, err)
			b.ReportAllocs()
			for b.Loop() {
				if _, err := standing.Work(c.State, cards, standing.Live); err != nil {
					b.Fatal(err)
				}
			}
		})
	}
}

func BenchmarkScoreCard(b *testing.B) {
	c := played(b, 1, 18)
	s := c.Cards[boardtest.CardID("e0")]
	b.ReportAllocs()
	for b.Loop() {
		if _, err := standing.Score("card", 1, s); err != nil {
			b.Fatal(err)
		}
	}
}

// BenchmarkFold folds whole competitions from the log, as a start does.
func BenchmarkFold(b *testing.B) {
	c := played(b, 300, 18)
	all := c.Club.Log.After(0)
	var before, after runtime.MemStats
	runtime.GC()
	runtime.ReadMemStats(&before)
	kept := New(Options{})
	defer kept.Close()
	require.NoError(b, kept.Apply(all))
	runtime.GC()
	runtime.ReadMemStats(&after)
	b.ResetTimer()
	for b.Loop() {
		boards := New(Options{})
		if err := boards.Apply(all); err != nil {
			b.Fatal(err)
		}
		boards.Close()
	}
	b.ReportMetric(float64(len(all))*float64(b.N)/b.Elapsed().Seconds(), "events/s")
	b.ReportMetric(float64(int64(after.HeapAlloc)-int64(before.HeapAlloc))/300, "heap-B/card")
	runtime.KeepAlive(kept)
}

// BenchmarkPublish is one score in a field of 300: fold, rank, find the
// difference, encode.
func BenchmarkPublish(b *testing.B) {
	c := played(b, 300, 9)
	boards := New(Options{})
	defer boards.Close()
	require.NoError(b, boards.Apply(c.Club.Log.After(0)))
	h, err := boards.hub(context.Background(), c.ID)
	require.NoError(b, err)
	r := rand.New(rand.NewPCG(2, 2))
	bytes := 0
	b.ReportAllocs()
	for b.Loop() {
		b.StopTimer()
		old := h.now().board
		require.NoError(b, c.Score(boardtest.EntryID(r.IntN(300)), 1+r.IntN(18), 3+r.IntN(4)))
		batch := c.Club.Log.After(boards.Position())
		b.StartTimer()
		if err := boards.fold(batch); err != nil {
			b.Fatal(err)
		}
		boards.publishOne(context.Background(), c.ID)
		b.StopTimer()
		if f, ok := boards.Since(c.ID, old.Position); ok && len(f) == 1 {
			data, err := encode(EventPatch, &f[0].Heading, &f[0])
			require.NoError(b, err)
			bytes += len(data)
		}
		b.StartTimer()
	}
	b.ReportMetric(float64(bytes)/float64(b.N), "B/frame")
}

func BenchmarkEncodeWhole(b *testing.B) {
	c := played(b, 300, 9)
	boards := New(Options{})
	defer boards.Close()
	require.NoError(b, boards.Apply(c.Club.Log.After(0)))
	whole, ok := boards.Snapshot(context.Background(), c.ID)
	require.True(b, ok)
	b.ReportAllocs()
	n := 0
	for b.Loop() {
		data, err := encode(EventBoard, &whole.Heading, &whole)
		if err != nil {
			b.Fatal(err)
		}
		n = len(data)
	}
	b.ReportMetric(float64(n), "B/board")
}
