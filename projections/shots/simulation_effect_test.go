package shots_test

import (
	"math"
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/require"

	"marram.example/projections/shots"
)

// TestEffectIsRecovered: the 95 % interval of a difference of means holds it 92 to 98 times in 100 whatever the sizes
// and spreads of the groups, and with a long tail to the losing side as strokes gained have it. The worst case kept here, eight
// values of an exponential tail twice as wide as the rest, is held 89 times in 100 when last measured, and bounded by 86.
func TestEffectIsRecovered(t *testing.T) {
	t.Parallel()
	skewed := func(r *rand.Rand) float64 { return 1 - r.ExpFloat64() }
	for _, c := range []struct {
		name          string
		first, second int
		draw          func(r *rand.Rand) float64
		wider, least  float64
	}{
		{"normal, 5 against 5", 5, 5, (*rand.Rand).NormFloat64, 1, coverLow},
		{"normal, 20 against 12", 20, 12, (*rand.Rand).NormFloat64, 1, coverLow},
		{"normal, 25 against 8 twice as wide", 25, 8, (*rand.Rand).NormFloat64, 2, coverLow},
		{"skewed, 20 against 20", 20, 20, skewed, 1, coverLow},
		{"skewed, 25 against 8 twice as wide", 25, 8, skewed, 2, 0.86},
		{"heavy tails, 20 against 12", 20, 12, draws["heavy tails"], 1, coverLow},
		{"skewed, 300 against 30", 300, 30, skewed, 1, coverLow},
	} {
		t.Run(c.name, func(t *testing.T) {
			t.Parallel()
			const seeds, effect = 400, 0.3
			held, likely := 0, 0
			var values []float64
			for seed := range uint64(seeds) {
				random := rand.New(rand.NewPCG(seed, 11))
				first, second := make([]float64, c.first), make([]float64, c.second)
				for i := range first {
					first[i] = effect + c.draw(random)
				}
				for i := range second {
					second[i] = c.wider * c.draw(random)
				}
				got := shots.BootstrapDifference(first, second, seed)
				if got.Interval.Low <= effect && effect <= got.Interval.High {
					held++
				}
				if got.Likely.Low <= effect && effect <= got.Likely.High {
					likely++
				}
				values = append(values, got.Value)
			}
			t.Logf("95 %%: %.3f, 80 %%: %.3f", float64(held)/seeds, float64(likely)/seeds)
			require.GreaterOrEqual(t, float64(held)/seeds, c.least)
			require.LessOrEqual(t, float64(held)/seeds, coverHigh)
			// 80 %: 4 binomial standard errors are 8 %.
			require.InDelta(t, 0.8, float64(likely)/seeds, 0.08+coverLow-c.least)
			require.InDelta(t, effect, shots.Mean(values), 4*shots.SD(values)/math.Sqrt(seeds))
		})
	}
}

// TestPermutationLevel: where the labels mean nothing p falls to 5 % or below at most 5 times in 100 (4 binomial standard errors
// allowed), whatever the classes; where the difference is as large as SeenAbove says, it is found about 4 times in 5.
func TestPermutationLevel(t *testing.T) {
	t.Parallel()
	for name, n := range map[string]int{"exact": 10, "drawn": 40} {
		t.Run(name, func(t *testing.T) {
			t.Parallel()
			seeds := 200
			if n == 10 {
				seeds = 2_000
			}
			false5 := 0
			for seed := range uint64(seeds) {
				random := rand.New(rand.NewPCG(seed, 21))
				values, labels, classes := make([]float64, n), make([]bool, n), make([]int, n)
				for i := range values {
					classes[i] = i % 2
					// One class has more of one label, and a level of its own.
					labels[i] = random.Float64() < 0.3+0.4*float64(classes[i])
					values[i] = 3*float64(classes[i]) + draws["heavy tails"](random)
				}
				if shots.PermuteDifference(values, labels, classes, seed).P <= 0.05 {
					false5++
				}
			}
			share := float64(false5) / float64(seeds)
			t.Logf("%.3f", share)
			require.LessOrEqual(t, share, 0.05+4*math.Sqrt(0.05*0.95/float64(seeds)))
			require.Positive(t, false5)
		})
	}
}

// TestSeenAbove: a difference of the size that commitment's figures call the smallest seen is found about 4 times in 5.
func TestSeenAbove(t *testing.T) {
	t.Parallel()
	const seeds, n = 150, 40
	// With n strokes of spread 1 in two halves the standard deviation is near 2/√n.
	effect := (1.959964 + 0.841621) * 2 / math.Sqrt(n)
	found, said := 0, []float64{}
	for seed := range uint64(seeds) {
		random := rand.New(rand.NewPCG(seed, 31))
		var gains []shots.Gain
		values, high := make([]float64, n), make([]bool, n)
		for i := range n {
			values[i], high[i] = random.NormFloat64(), i%2 == 1
			gains = append(gains, shots.Gain{Phase: shots.PhaseApproach, Gained: values[i], Stroke: shots.Stroke{Commitment: 2 + 3*(i%2)}})
			if high[i] {
				values[i] += effect
			}
		}
		if seed < 10 {
			said = append(said, shots.CommitmentAgainstResult(gains).SeenAbove)
		}
		if shots.PermuteDifference(values, high, nil, seed).P <= 0.05 {
			found++
		}
	}
	t.Logf("found %.3f, said %.3f for %.3f", float64(found)/seeds, shots.Mean(said), effect)
	require.InDelta(t, effect, shots.Mean(said), 0.05*effect)
	// 4 binomial standard errors of 150 are 13 %.
	require.InDelta(t, 0.8, float64(found)/seeds, 0.13)
}

// TestOneSidedLevel: a player without a bias is called one-sided at most 5 times in 100, over all groups looked at; one who
// misses right 3 times in 4 is found from 40 misses on nearly always.
func TestOneSidedLevel(t *testing.T) {
	t.Parallel()
	const seeds = 400
	clubs := []string{"driver", "wood-3", "iron-6", "iron-9", "sand-wedge"}
	called := func(right float64, clubs []string) float64 {
		n := 0
		for seed := range uint64(seeds) {
			random := rand.New(rand.NewPCG(seed, 41))
			r := shots.Round{ID: "r"}
			for _, club := range clubs {
				for range 40 {
					miss := shots.Miss{Side: "left"}
					if random.Float64() < right {
						miss.Side = "right"
					}
					r.Holes = append(r.Holes, shots.Hole{Par: 4, Strokes: []shots.Stroke{{Club: club, From: shots.Position{Lie: "fairway", Distance: 150}, Miss: miss}}})
				}
			}
			for _, p := range shots.Patterns([]shots.Round{r}, "") {
				if p.OneSided.HowSure == shots.SureClear {
					n++
					break
				}
			}
		}
		return float64(n) / seeds
	}
	none, some := called(0.5, clubs), called(0.75, clubs[:1])
	t.Logf("none %.3f, three in four %.3f", none, some)
	require.LessOrEqual(t, none, 0.05+4*math.Sqrt(0.05*0.95/seeds))
	require.Greater(t, some, 0.85)
}
