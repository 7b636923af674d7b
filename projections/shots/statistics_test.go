package shots_test

import (
	"encoding/json"
	"math"
	"math/big"
	"math/rand/v2"
	"slices"
	"testing"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"marram.example/projections/shots"
)

func TestWilson(t *testing.T) {
	t.Parallel()
	got := shots.Wilson(11, 20)
	require.InDelta(t, 0.342085, got.Low, 1e-6)
	require.InDelta(t, 0.741802, got.High, 1e-6)
	for _, c := range []struct{ done, n int }{{0, 0}, {3, 2}, {-1, 4}, {1, -1}} {
		require.Equal(t, shots.Interval{Low: 0, High: 1}, shots.Wilson(c.done, c.n), "%d of %d", c.done, c.n)
	}
	// Nothing or everything done puts one end exactly on the border: z²/(n+z²) is the other.
	require.Zero(t, shots.Wilson(0, 10).Low)
	require.InDelta(t, 1, shots.Wilson(10, 10).High, 1e-15)
	require.InDelta(t, 3.841458820694124/13.841458820694124, shots.Wilson(0, 10).High, 1e-12)
}

func TestNewcombe(t *testing.T) {
	t.Parallel()
	difference, interval := shots.Newcombe(18, 22, 9, 20)
	require.InDelta(t, 0.368182, difference, 1e-6)
	require.InDelta(t, 0.077357, interval.Low, 1e-6)
	require.InDelta(t, 0.588669, interval.High, 1e-6)
	difference, interval = shots.Newcombe(0, 0, 3, 4)
	require.Zero(t, difference)
	require.Equal(t, shots.Interval{Low: -1, High: 1}, interval)
}

func TestFisher(t *testing.T) {
	t.Parallel()
	require.InDelta(t, 0.023103, shots.Fisher(18, 4, 9, 11), 1e-6)
	require.InDelta(t, 1, shots.Fisher(0, 0, 0, 0), 1e-12)
	require.InDelta(t, 1, shots.Fisher(3, 0, 5, 0), 1e-12)
	require.InDelta(t, 1, shots.Fisher(-1, 2, 3, 4), 0)
	// 2 of the 6 ways to place two marks on four leave a table as far out as this one.
	require.InDelta(t, 1.0/3, shots.Fisher(2, 0, 0, 2), 1e-12)
}

// TestFisherAgainstExactFractions works the same tables out with whole numbers of any size.
func TestFisherAgainstExactFractions(t *testing.T) {
	t.Parallel()
	rapid.Check(t, func(t *rapid.T) {
		cell := rapid.IntRange(0, 25)
		a, b, c, d := cell.Draw(t, "a"), cell.Draw(t, "b"), cell.Draw(t, "c"), cell.Draw(t, "d")
		ways := func(x int) *big.Int {
			return new(big.Int).Mul(new(big.Int).Binomial(int64(a+b), int64(x)), new(big.Int).Binomial(int64(c+d), int64(a+c-x)))
		}
		sum := new(big.Int)
		for x := max(0, a-d); x <= min(a+b, a+c); x++ {
			if ways(x).Cmp(ways(a)) <= 0 {
				sum.Add(sum, ways(x))
			}
		}
		want, _ := new(big.Rat).SetFrac(sum, new(big.Int).Binomial(int64(a+b+c+d), int64(a+c))).Float64()
		if got := shots.Fisher(a, b, c, d); math.Abs(got-want) > 1e-9 {
			t.Fatalf("%d %d / %d %d: %v, want %v", a, b, c, d, got, want)
		}
	})
}

func TestMiddleAndSpread(t *testing.T) {
	t.Parallel()
	times := []float64{22, 25, 19, 24, 30}
	require.InDelta(t, 24, shots.Mean(times), 1e-12)
	require.InDelta(t, 4.062019, shots.SD(times), 1e-6)
	require.InDelta(t, 0.169251, shots.Variation(times), 1e-6)
	require.InDelta(t, 24, shots.Median(times), 0)
	require.InDelta(t, 2, shots.MAD(times), 0) // 2 1 5 0 6
	require.Equal(t, []float64{22, 25, 19, 24, 30}, times, "the values stay in their order")
	require.InDelta(t, 2.5, shots.Median([]float64{4, 1, 3, 2}), 0)
	for _, none := range [][]float64{nil, {7}} {
		require.Zero(t, shots.SD(none))
		require.Zero(t, shots.Spread(none))
		require.Zero(t, shots.MAD(none))
	}
	require.Zero(t, shots.Median(nil))
	require.Zero(t, shots.Mean(nil))
	require.Zero(t, shots.Variation([]float64{-1, 1}))
}

// TestSpreadOfManyOnLine: six of ten on line make the median absolute deviation 0, and yet the pattern has a width.
func TestSpreadOfManyOnLine(t *testing.T) {
	t.Parallel()
	xs := []float64{0, 0, 0, 0, 0, 0, 10, -10, 12, -8}
	require.Zero(t, shots.MAD(xs))
	require.Greater(t, shots.Spread(xs), 5.0)
	require.Less(t, shots.Spread(xs), 12.0)
}

func TestMeanInterval(t *testing.T) {
	t.Parallel()
	// t₀.₉₇₅ with 4 degrees of freedom is 2.776445 in any printed table.
	got := shots.MeanInterval([]float64{22, 25, 19, 24, 30})
	half := 2.776445105 * 4.062019202 / math.Sqrt(5)
	require.InDelta(t, 24-half, got.Low, 1e-6)
	require.InDelta(t, 24+half, got.High, 1e-6)
	require.Equal(t, shots.Interval{Low: 3, High: 3}, shots.MeanInterval([]float64{3}))
}

func TestMedianInterval(t *testing.T) {
	t.Parallel()
	require.Nil(t, shots.MedianInterval([]float64{1, 2, 3, 4, 5}))
	// Of six values the outermost cover 1 - 2/64 = 96.875 %, the next 1 - 14/64 = 78.125 %: a tenth of the way in by coverage,
	// (6-1)·0.1/(1 + 4·0.1) = 0.357143 of a step by Hettmansperger and Sheather.
	got := shots.MedianInterval([]float64{6, 1, 5, 2, 4, 3})
	require.InDelta(t, 1.357143, got.Low, 1e-6)
	require.InDelta(t, 5.642857, got.High, 1e-6)
}

func TestHolm(t *testing.T) {
	t.Parallel()
	// 4·0.005, 3·0.01, 2·0.03, and 0.04 that must not fall below 0.06.
	got := shots.Holm([]float64{0.01, 0.04, 0.03, 0.005})
	require.InDeltaSlice(t, []float64{0.03, 0.06, 0.06, 0.02}, got, 1e-12)
	require.Empty(t, shots.Holm(nil))
	rapid.Check(t, func(t *rapid.T) {
		ps := rapid.SliceOfN(rapid.Float64Range(0, 1), 1, 20).Draw(t, "ps")
		adjusted := shots.Holm(ps)
		for i, p := range ps {
			if adjusted[i] < p || adjusted[i] > 1 || adjusted[i] > min(1, p*float64(len(ps)))+1e-15 {
				t.Fatalf("%v became %v", p, adjusted[i])
			}
			for j, q := range ps {
				if p < q && adjusted[i] > adjusted[j] {
					t.Fatalf("%v < %v, but %v > %v", p, q, adjusted[i], adjusted[j])
				}
			}
		}
	})
}

func TestSpearman(t *testing.T) {
	t.Parallel()
	require.InDelta(t, 1, shots.Spearman([]float64{1, 2, 3}, []float64{10, 100, 1000}), 1e-12)
	require.InDelta(t, -1, shots.Spearman([]float64{1, 2, 3}, []float64{3, 2, 1}), 1e-12)
	// Ranks 1 2 3 4 5 against 2 1 4 3 5: 1 - 6·4/(5·24) = 0.8.
	require.InDelta(t, 0.8, shots.Spearman([]float64{1, 2, 3, 4, 5}, []float64{7, 5, 10, 8, 20}), 1e-12)
	require.Equal(t, []float64{1, 2.5, 2.5, 4}, shots.Ranks([]float64{1, 5, 5, 9}))
	require.Zero(t, shots.Spearman([]float64{1, 1}, []float64{1, 2}))
	require.Zero(t, shots.Spearman([]float64{1}, []float64{1, 2}))
}

func TestTheilSen(t *testing.T) {
	t.Parallel()
	// One stray among ten points on a line of slope 2 changes nothing.
	var points [][2]float64
	for i := range 10 {
		points = append(points, [2]float64{float64(i), 5 + 2*float64(i)})
	}
	points[7][1] = 900
	got := shots.TheilSen(points)
	require.InDelta(t, 2, got.Slope, 1e-12)
	require.Equal(t, shots.SureClear, got.HowSure)
	require.GreaterOrEqual(t, got.Slope, got.Interval.Low)
	require.LessOrEqual(t, got.Slope, got.Interval.High)
	// Two rounds at different levels, each rising by 1: pairs across rounds would say otherwise.
	got = shots.TheilSen([][2]float64{{1, 0}, {2, 1}, {3, 2}}, [][2]float64{{1, 50}, {2, 51}, {3, 52}})
	require.InDelta(t, 1, got.Slope, 1e-12)
	require.Equal(t, 6, got.N)
	require.Nil(t, shots.TheilSen([][2]float64{{3, 1}, {3, 2}}))
	require.Nil(t, shots.TheilSen())
}

func TestPermuteDifferenceExact(t *testing.T) {
	t.Parallel()
	values := []float64{25, 24, 30, 18, 20, 19, 21}
	poor := []bool{true, true, true, false, false, false, false}
	got := shots.PermuteDifference(values, poor, nil, 1)
	require.InDelta(t, 6.8333333, got.Statistic, 1e-6)
	require.InDelta(t, 1.0/35, got.P, 1e-12)
	require.True(t, got.Exact)
	require.Equal(t, 35, got.Arrangements)
	require.Zero(t, got.Seed)

	// Within classes only: two classes of two have four arrangements, of which this one and its mirror are the farthest.
	got = shots.PermuteDifference([]float64{1, 2, 101, 102}, []bool{false, true, false, true}, []int{0, 0, 1, 1}, 1)
	require.InDelta(t, 1, got.Statistic, 1e-12)
	require.InDelta(t, 0.5, got.P, 1e-12)
	require.Equal(t, 4, got.Arrangements)

	// Classes of different means and shares do not make a difference by themselves.
	got = shots.PermuteDifference([]float64{0, 0, 0, 0, 9, 9, 9, 9}, []bool{true, true, true, false, true, false, false, false}, []int{0, 0, 0, 0, 1, 1, 1, 1}, 1)
	require.InDelta(t, 0, got.Statistic, 1e-12)
	require.InDelta(t, 1, got.P, 1e-12)

	for _, labels := range [][]bool{{true, true}, {false, false}} {
		require.InDelta(t, 1, shots.PermuteDifference([]float64{1, 2}, labels, nil, 1).P, 0)
	}
}

// TestPermuteDifferenceAgrees: drawn arrangements and the normal limit come near the exact answer, and a seed repeats itself.
func TestPermuteDifferenceAgrees(t *testing.T) {
	t.Parallel()
	random := rand.New(rand.NewPCG(1, 2))
	series := func(n int, shift float64) (values []float64, labels []bool) {
		for i := range n {
			x := random.NormFloat64()
			if i%2 == 0 {
				x += shift
			}
			values, labels = append(values, x), append(labels, i%2 == 0)
		}
		return values, labels
	}
	values, labels := series(40, 0.6)
	got := shots.PermuteDifference(values, labels, nil, 7)
	require.False(t, got.Exact)
	require.Equal(t, 9_999, got.Arrangements)
	require.Equal(t, uint64(7), got.Seed)
	require.Equal(t, got, shots.PermuteDifference(values, labels, nil, 7))
	// The normal limit with the exact spread, ± 5 standard errors of 9,999 draws and the limit's own error.
	limit := math.Erfc(math.Abs(got.Statistic) / got.SD / math.Sqrt2)
	require.InDelta(t, limit, got.P, 5*math.Sqrt(limit*(1-limit)/9_999)+0.005)

	values, labels = series(3_000, 0.05)
	many := shots.PermuteDifference(values, labels, nil, 7)
	require.Zero(t, many.Arrangements)
	require.InDelta(t, math.Erfc(math.Abs(many.Statistic)/many.SD/math.Sqrt2), many.P, 1e-12)
}

// TestPermutationSpread: the standard deviation that is given is that of all arrangements.
func TestPermutationSpread(t *testing.T) {
	t.Parallel()
	values := []float64{3, 1, 4, 1, 5, 9}
	var all []float64
	for mask := range 1 << len(values) {
		var in, out []float64
		for i, x := range values {
			if mask>>i&1 == 1 {
				in = append(in, x)
			} else {
				out = append(out, x)
			}
		}
		if len(in) == 2 {
			all = append(all, shots.Mean(in)-shots.Mean(out))
		}
	}
	require.Len(t, all, 15)
	got := shots.PermuteDifference(values, []bool{true, true, false, false, false, false}, nil, 1)
	require.InDelta(t, shots.SD(all)*math.Sqrt(14.0/15), got.SD, 1e-12)
}

func TestPermuteSpearman(t *testing.T) {
	t.Parallel()
	// Of the 24 orders of four only this one and its mirror are as far out.
	got := shots.PermuteSpearman([]float64{1, 2, 3, 4}, []float64{2, 4, 6, 8}, 1)
	require.InDelta(t, 1, got.Statistic, 1e-12)
	require.InDelta(t, 2.0/24, got.P, 1e-12)
	require.True(t, got.Exact)
	require.Equal(t, 24, got.Arrangements)
	seven := shots.PermuteSpearman([]float64{1, 2, 3, 4, 5, 6, 7}, []float64{1, 3, 2, 5, 4, 7, 6}, 1)
	require.Equal(t, 5_040, seven.Arrangements)
	require.InDelta(t, 1, shots.PermuteSpearman([]float64{1, 1, 1}, []float64{1, 2, 3}, 1).P, 0)
	require.InDelta(t, 1, shots.PermuteSpearman([]float64{1}, []float64{1}, 1).P, 0)
	require.InDelta(t, 1, shots.PermuteSpearman(nil, []float64{1}, 1).P, 0)
	var xs, ys []float64
	for i := range 30 {
		xs, ys = append(xs, float64(i%5)), append(ys, float64(i%5)+float64(i%7))
	}
	drawn := shots.PermuteSpearman(xs, ys, 9)
	require.Equal(t, uint64(9), drawn.Seed)
	require.Equal(t, drawn, shots.PermuteSpearman(xs, ys, 9))
	require.Less(t, drawn.P, 0.05)
}

func TestBootstrapDifference(t *testing.T) {
	t.Parallel()
	few := shots.BootstrapDifference([]float64{1, 2, 3, 4}, []float64{1, 2, 3, 4, 5, 6}, 1)
	require.NotEmpty(t, few.TooFew)
	require.Equal(t, shots.SureTooFew, few.HowSure)
	require.Zero(t, few.Value)
	first, second := []float64{5, 6, 7, 8, 9}, []float64{1, 2, 2, 3, 1, 2}
	got := shots.BootstrapDifference(first, second, 3)
	require.InDelta(t, 7-11.0/6, got.Value, 1e-12)
	require.Equal(t, shots.SureClear, got.HowSure)
	require.Equal(t, uint64(3), got.Seed)
	require.Equal(t, got, shots.BootstrapDifference(first, second, 3))
	require.Less(t, got.Interval.Low, got.Likely.Low)
	require.Less(t, got.Likely.High, got.Interval.High)
	// Turned round it says the same; only the draws differ.
	turned := shots.BootstrapDifference(second, first, 3)
	require.InDelta(t, -got.Value, turned.Value, 1e-12)
	same := shots.BootstrapDifference([]float64{2, 2, 2, 2, 2}, []float64{2, 2, 2, 2, 2}, 3)
	require.Equal(t, shots.Interval{}, same.Interval)
	require.Equal(t, shots.SureHint, same.HowSure)
}

// TestStatisticsStayFinite: whatever the values, every figure can be written as JSON and every p lies in [0, 1].
func TestStatisticsStayFinite(t *testing.T) {
	t.Parallel()
	rapid.Check(t, func(t *rapid.T) {
		n := rapid.IntRange(0, 14).Draw(t, "n")
		value := rapid.OneOf(rapid.Float64Range(-50, 50), rapid.SampledFrom([]float64{0, 0, 1, -1}))
		xs, ys := rapid.SliceOfN(value, n, n).Draw(t, "xs"), rapid.SliceOfN(value, n, n).Draw(t, "ys")
		labels := rapid.SliceOfN(rapid.Bool(), n, n).Draw(t, "labels")
		classes := rapid.SliceOfN(rapid.IntRange(0, 2), n, n).Draw(t, "classes")
		var points [][2]float64
		for i := range xs {
			points = append(points, [2]float64{xs[i], ys[i]})
		}
		tests := []shots.Test{shots.PermuteDifference(xs, labels, classes, 1), shots.PermuteSpearman(xs, ys, 1)}
		for _, test := range tests {
			if !(test.P >= 0 && test.P <= 1) {
				t.Fatalf("p = %v", test.P)
			}
		}
		slope := shots.TheilSen(points)
		if slope != nil && !(slope.P >= 0 && slope.P <= 1 && slope.Interval.Low <= slope.Slope && slope.Slope <= slope.Interval.High) {
			t.Fatalf("%+v", slope)
		}
		effect := shots.BootstrapDifference(xs, ys, 1)
		if effect.Interval.Low > effect.Interval.High || effect.Likely.Low < effect.Interval.Low || effect.Likely.High > effect.Interval.High {
			t.Fatalf("%+v", effect)
		}
		if in := shots.MedianInterval(xs); in != nil && (in.Low > shots.Median(xs) || in.High < shots.Median(xs)) {
			t.Fatalf("%+v does not hold %v", in, shots.Median(xs))
		}
		if _, err := json.Marshal([]any{tests, slope, effect, shots.Spread(xs), shots.MeanInterval(xs), shots.Variation(ys)}); err != nil {
			t.Fatal(err)
		}
		if n > 0 && !slices.ContainsFunc(xs, func(x float64) bool { return x != xs[0] }) && shots.Spread(xs) != 0 {
			t.Fatal("equal values have no spread")
		}
	})
}

func TestHowSure(t *testing.T) {
	t.Parallel()
	require.Equal(t, shots.SureClear, shots.HowSure(0.049))
	require.Equal(t, shots.SureLikely, shots.HowSure(0.05))
	require.Equal(t, shots.SureHint, shots.HowSure(0.2))
	require.Equal(t, shots.SureHint, shots.HowSure(1))
}
