package shots

import (
	"testing"

	"github.com/stretchr/testify/require"
)

// TestOnePuttShare: the published shares, and with at most three putts E = 2 - p1 + p3 agrees with the published table at 30 ft
// (p3 5 %, from memory).
func TestOnePuttShare(t *testing.T) {
	t.Parallel()
	for _, p := range onePutts[1:] {
		require.InDelta(t, p.share, OnePuttShare(p.feet*Foot), 1e-12, "%v ft", p.feet)
	}
	require.InDelta(t, 0.315, OnePuttShare(12.5*Foot), 1e-12)
	require.InDelta(t, 0.995, OnePuttShare(1*Foot), 1e-12)
	require.InDelta(t, 0.02, OnePuttShare(90*Foot), 1e-12)
	previous := 1.0
	for d := 0.01; d < 40; d += 0.01 {
		share := OnePuttShare(d)
		require.LessOrEqual(t, share, previous)
		require.Positive(t, share)
		previous = share
	}
	require.InDelta(t, strokesFrom(t, broadie(t), feet(30)), 2-OnePuttShare(30*Foot)+0.05, 1e-9)
}

func TestPuttsByDistance(t *testing.T) {
	t.Parallel()
	broken := Hole{Par: 4, Strokes: []Stroke{{From: feet(9)}, {From: feet(2)}}} // nothing is said of the second
	picked := invented(4, feet(12), feet(1))                                    // picked up: a miss
	bands := PuttsByDistance([]Round{
		{Holes: []Hole{invented(3, yards("tee", 150), feet(20), feet(3), holed), broken}},
		{Holes: []Hole{picked, invented(3, yards("fairway", 10), holed), invented(4, feet(2), holed), invented(4, feet(2), holed)}},
	})
	require.Len(t, bands, 6)
	counts := make([][2]int, len(bands))
	for i, b := range bands {
		counts[i] = [2]int{b.Tries, b.Holed}
		require.LessOrEqual(t, b.Low, b.High)
		if i > 0 {
			require.InDelta(t, bands[i-1].To, b.From, 0)
		}
	}
	require.Equal(t, [][2]int{{3, 3}, {0, 0}, {1, 0}, {2, 0}, {0, 0}, {0, 0}}, counts)
	share := func(band int) float64 { return bands[band].Expected }
	require.InDelta(t, (0.96+0.99+0.99)/3, share(0), 1e-12)
	require.InDelta(t, (OnePuttShare(12*Foot)+0.15)/2, share(3), 1e-12)
	require.InDelta(t, OnePuttShare(4.5*Foot), share(1), 1e-12, "without tries the middle of the band")
	require.InDelta(t, 0.04, share(5), 1e-12)
	require.Zero(t, bands[1].Low)
	require.InDelta(t, 1.0, bands[1].High, 0)
	interval := Wilson(0, 2)
	require.InDelta(t, interval.High, bands[3].High, 0)
}
