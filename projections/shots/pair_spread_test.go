package shots

import (
	"math"
	"math/rand/v2"
	"slices"
	"testing"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"
)

// TestPairSpreadIsThatOfAllPairs: to the last bit what all pairs, written down and sorted, say.
func TestPairSpreadIsThatOfAllPairs(t *testing.T) {
	t.Parallel()
	rapid.Check(t, func(t *rapid.T) {
		value := rapid.OneOf(rapid.Float64Range(-60, 60), rapid.Map(rapid.IntRange(-4, 4), func(n int) float64 { return float64(n) / 2 }))
		groups := rapid.SliceOfN(rapid.SliceOfN(value, 0, 12), 0, 4).Draw(t, "groups")
		var all []float64
		for _, group := range groups {
			for i, x := range group {
				for _, y := range group[:i] {
					all = append(all, math.Abs(x-y))
				}
			}
		}
		want := 0.0
		if len(all) > 0 {
			slices.Sort(all)
			want = pairToSD * middle(all)
		}
		require.InDelta(t, want, pairSpread(groups), 0)
	})
}

// BenchmarkSpread is of as many values as are paired.
func BenchmarkSpread(b *testing.B) {
	random := rand.New(rand.NewPCG(4, 300))
	xs := make([]float64, mostValues)
	for i := range xs {
		xs[i] = 9 * random.NormFloat64()
	}
	for b.Loop() {
		Spread(xs)
	}
}
