package shots

import (
	"math"
	"slices"
)

// Median is the middle value, the mean of the two middle ones where their number is
// even, 0 of nothing. The values are left as they are.
func Median(xs []float64) float64 {
	if len(xs) == 0 {
		return 0
	}
	return middle(slices.Sorted(slices.Values(xs)))
}

func middle(sorted []float64) float64 {
	half := len(sorted) / 2
	if len(sorted)%2 == 1 {
		return sorted[half]
	}
	return sorted[half-1] + (sorted[half]-sorted[half-1])/2
}

// MAD is the median absolute deviation from the median, unscaled.
func MAD(xs []float64) float64 {
	around := Median(xs)
	away := make([]float64, len(xs))
	for i, x := range xs {
		away[i] = math.Abs(x - around)
	}
	return Median(away)
}

// Spread is the standard deviation as far as a stray value cannot move it: the median absolute difference of two values, over
// √2·Φ⁻¹(3/4) (Shamos 1976, from memory). One shank among eight leaves it bounded, as do 29 % of strays.
//
// It stands where 1.4826 times the median absolute deviation would, for three reasons that the simulations measure: of eight
// strokes the latter is a tenth too small on average; it needs more than twice as many strokes to be as precise; and it is 0 as
// soon as half of the strokes are called on line, which players do rather than give a small amount (here 7 in 10). 0 below two
// values.
func Spread(xs []float64) float64 { return pairSpread([][]float64{xs}) }

// pairSpread is Spread within groups, whatever their own centres are.
//
// The pairs are not written down: of sorted values two pointers count the pairs that differ by no more than a bound, and the bound is
// halved in the order of the numbers themselves until it is the difference sought.
func pairSpread(groups [][]float64) float64 {
	sorted := make([][]float64, len(groups))
	pairs, most := 0, 0.0
	for i, group := range groups {
		sorted[i] = slices.Sorted(slices.Values(thinned(group)))
		n := len(sorted[i])
		pairs += n * (n - 1) / 2
		if n > 1 {
			most = max(most, sorted[i][n-1]-sorted[i][0])
		}
	}
	if pairs == 0 {
		return 0
	}
	upper := nthDifference(sorted, pairs/2, most)
	if pairs%2 == 1 {
		return pairToSD * upper
	}
	lower := nthDifference(sorted, pairs/2-1, upper)
	return pairToSD * (lower + (upper-lower)/2)
}

// nthDifference is the k-th smallest difference, from 0, of two values of one group; most is no smaller than it.
func nthDifference(sorted [][]float64, k int, most float64) float64 {
	// Floats from 0 upwards are in the order of their bits.
	low, high := uint64(0), math.Float64bits(most)
	for low < high {
		between := low + (high-low)/2
		if pairsWithin(sorted, math.Float64frombits(between)) > k {
			high = between
		} else {
			low = between + 1
		}
	}
	return math.Float64frombits(low)
}

// pairsWithin counts the pairs that differ by no more than a bound.
func pairsWithin(sorted [][]float64, bound float64) int {
	n := 0
	for _, xs := range sorted {
		first := 0
		for i, x := range xs {
			for x-xs[first] > bound {
				first++
			}
			n += i - first
		}
	}
	return n
}

// medianOf is Median of at least one value without sorting all of them; it reorders them.
func medianOf(xs []float64) float64 {
	half := len(xs) / 2
	upper := nth(xs, half)
	if len(xs)%2 == 1 {
		return upper
	}
	lower := slices.Max(xs[:half])
	return lower + (upper-lower)/2
}

// nth returns the value that sorting would put at place k, and leaves no greater one before it. Pairs are too many to sort.
func nth(xs []float64, k int) float64 {
	low, high := 0, len(xs)-1
	for low < high {
		pivot := xs[low+(high-low)/2]
		i, j := low, high
		for i <= j {
			for xs[i] < pivot {
				i++
			}
			for xs[j] > pivot {
				j--
			}
			if i <= j {
				xs[i], xs[j] = xs[j], xs[i]
				i++
				j--
			}
		}
		switch {
		case k <= j:
			high = j
		case k >= i:
			low = i
		default:
			return xs[k]
		}
	}
	return xs[k]
}

// mostValues of a group are paired: they tell the spread to about 4 %.
const mostValues = 300

// thinned keeps pairs affordable: of more than mostValues values every k-th.
func thinned(xs []float64) []float64 {
	if len(xs) <= mostValues {
		return xs
	}
	step := float64(len(xs)) / mostValues
	kept := make([]float64, mostValues)
	for i := range kept {
		kept[i] = xs[int(float64(i)*step)]
	}
	return kept
}

// pulledIn returns the values with strays pulled in towards their centre, which is the mean of what is returned: beyond 2 spreads
// to 2, from 4 on ever nearer to the centre, and from 8 on, where no stroke of this pattern is, onto it (Hampel's three-part
// function, 2-4-8, with a given spread; Hampel 1974, from memory). A stroke far out thus has no say at all, one at the edge a bounded one, and normal data
// lose about 1 % of precision.
func pulledIn(xs []float64, spread float64) []float64 {
	pulled := slices.Clone(xs)
	if len(xs) < 3 || spread <= 0 {
		return pulled
	}
	centre := Median(xs)
	for range 100 {
		for i, x := range xs {
			pulled[i] = pull(x, centre, spread)
		}
		next := Mean(pulled)
		if math.Abs(next-centre) <= 1e-9*spread {
			break
		}
		centre = next
	}
	return pulled
}

func pull(x, centre, spread float64) float64 {
	far := math.Abs(x-centre) / spread
	return centre + math.Copysign(min(far, 2, max(0, (8-far)/2))*spread, x-centre)
}

// MedianInterval is a 95 % interval of the median that assumes no shape of the
// distribution: order statistics whose exact binomial coverages lie on both sides of
// 95 %, interpolated (Hettmansperger and Sheather 1986, from memory). Below six values no two order
// statistics reach 95 %, and there is none.
func MedianInterval(xs []float64) *Interval {
	n := len(xs)
	if n < 6 {
		return nil
	}
	sorted := slices.Sorted(slices.Values(xs))
	const level = 0.95
	// The d-th smallest and d-th largest enclose the median with the chance 1 - 2·Σ_{i<d} C(n,i)/2ⁿ.
	chance := func(i int) float64 { return math.Exp(logChoose(n, i) - float64(n)*math.Ln2) }
	d, wide := 1, 1-2*chance(0)
	narrow := wide - 2*chance(1)
	for d+1 <= n/2 && narrow >= level {
		d++
		wide, narrow = narrow, narrow-2*chance(d)
	}
	if d+1 > n/2 { // the next one in would be the median itself
		return &Interval{sorted[d-1], sorted[n-d]}
	}
	part := (wide - level) / (wide - narrow)
	inside := float64(n-d) * part / (float64(d) + float64(n-2*d)*part)
	return &Interval{
		sorted[d-1] + inside*(sorted[d]-sorted[d-1]),
		sorted[n-d] + inside*(sorted[n-d-1]-sorted[n-d]),
	}
}

// Slope is a trend: how much y changes with one of x.
type Slope struct {
	N        int      `json:"n"`
	Slope    float64  `json:"slope"`
	Interval Interval `json:"interval"` // 95 %, from Kendall's statistic (Sen 1968, from memory)
	P        float64  `json:"p"`        // two-sided, normal limit of Kendall's statistic
	HowSure  string   `json:"how_sure"`
}

// TheilSen is the median slope over all pairs of points of one series with different
// x, over all series. Up to 29 % of stray values leave it bounded. Nil where no pair
// has different x.
func TheilSen(series ...[][2]float64) *Slope {
	pairs := 0
	for _, points := range series {
		pairs += len(points) * (len(points) - 1) / 2
	}
	slopes := make([]float64, 0, pairs)
	n, kendall, variance := 0, 0, 0.0
	for _, points := range series {
		n += len(points)
		at := map[float64]int{}
		for i, p := range points {
			at[p[0]]++
			for _, q := range points[:i] {
				if p[0] == q[0] {
					continue
				}
				slope := (p[1] - q[1]) / (p[0] - q[0])
				slopes = append(slopes, slope)
				kendall += cmpFloat(slope, 0)
			}
		}
		variance += kendallVariance(len(points))
		for _, tied := range at {
			variance -= kendallVariance(tied)
		}
	}
	if len(slopes) == 0 {
		return nil
	}
	found := &Slope{N: n, Slope: medianOf(slopes), P: 1}
	// The continuity correction of 1 keeps few points honest.
	if variance > 0 {
		found.P = twoSided(max(0, math.Abs(float64(kendall))-1) / math.Sqrt(variance))
	}
	reach := z95 * math.Sqrt(max(0, variance))
	low := int(math.Floor((float64(len(slopes)) - reach) / 2))
	high := int(math.Ceil((float64(len(slopes)) + reach) / 2))
	last := len(slopes) - 1
	found.Interval = Interval{nth(slopes, min(max(low-1, 0), last)), nth(slopes, min(max(high, 0), last))}
	found.HowSure = HowSure(found.P)
	return found
}

func kendallVariance(n int) float64 {
	return float64(n) * float64(n-1) * float64(2*n+5) / 18
}
