package shots

import (
	"math"
	"slices"

	"gonum.org/v1/gonum/mathext"
)

// Interval is a closed range of values. Unless something else is said it is a 95 %
// interval.
type Interval struct {
	Low  float64 `json:"low"`
	High float64 `json:"high"`
}

// How sure an effect is, in words for players.
const (
	SureClear  = "clear"                  // the 95 % interval leaves out 0
	SureLikely = "likely"                 // the 80 % interval does
	SureHint   = "a hint only"            // neither does
	SureTooFew = "too few strokes to say" // below the least number of strokes
	noEffect95 = 0.05                     // two-sided
	noEffect80 = 0.20                     // two-sided
	z95        = 1.959963984540054        // 97.5th percentile of the standard normal
	z80        = 1.2815515655446004       // its 90th
	madToSD    = 1.482602218505602        // 1/Φ⁻¹(3/4): a median absolute deviation as a standard deviation
	pairToSD   = madToSD / math.Sqrt2     // the same for the median difference of pairs
	exactUpTo  = 10_000                   // arrangements that are enumerated rather than drawn
	drawn      = 9_999                    // arrangements drawn otherwise
	resampled  = 1_999                    // resamples of a bootstrap
	Seed       = uint64(0x6d617272616d)   // of every draw; stored with each result that drew
	tolerance  = 1e-12                    // relative, for "at least as far out"
	manyValues = 300                      // from here on a permutation's normal limit is used
	largeGroup = 200                      // from here on a mean's own normal limit is used
)

// HowSure puts a two-sided p-value into words: below 0.05 SureClear, below 0.20
// SureLikely, otherwise SureHint. A large p is never "no effect".
func HowSure(p float64) string {
	switch {
	case p < noEffect95:
		return SureClear
	case p < noEffect80:
		return SureLikely
	default:
		return SureHint
	}
}

// Effect is a difference between two groups with what is known about it.
type Effect struct {
	Value    float64  `json:"value"`
	Interval Interval `json:"interval"` // 95 %
	Likely   Interval `json:"likely"`   // 80 %
	First    int      `json:"first"`    // values in the group that counts positive
	Second   int      `json:"second"`   // values in the other
	HowSure  string   `json:"how_sure"`
	Method   string   `json:"method,omitempty"`
	Draws    int      `json:"draws,omitempty"`
	Seed     uint64   `json:"seed,omitempty"`    // of the draws
	TooFew   string   `json:"too_few,omitempty"` // why nothing is said; all figures but the counts are then 0
}

// Mean is the arithmetic mean, 0 of nothing.
func Mean(xs []float64) float64 {
	if len(xs) == 0 {
		return 0
	}
	return total(xs) / float64(len(xs))
}

// SD is the sample standard deviation (divisor n-1), 0 below two values.
func SD(xs []float64) float64 {
	if len(xs) < 2 {
		return 0
	}
	mean := Mean(xs)
	sum := 0.0
	for _, x := range xs {
		sum += (x - mean) * (x - mean)
	}
	return math.Sqrt(sum / float64(len(xs)-1))
}

// Variation is the coefficient of variation, standard deviation over mean, 0 where
// the mean is not above 0 or below two values.
func Variation(xs []float64) float64 {
	mean := Mean(xs)
	if mean <= 0 {
		return 0
	}
	return SD(xs) / mean
}

// MeanInterval is Student's 95 % interval of the mean, n-1 degrees of freedom. Below
// two values nothing is known of the spread, and both ends are the mean.
func MeanInterval(xs []float64) Interval {
	mean := Mean(xs)
	if len(xs) < 2 {
		return Interval{mean, mean}
	}
	half := studentQuantile(0.975, float64(len(xs)-1)) * SD(xs) / math.Sqrt(float64(len(xs)))
	return Interval{mean - half, mean + half}
}

// Holm adjusts p-values for having looked at all of them (Holm 1979, from memory): the k-th
// smallest of m is multiplied by m-k+1, none falls below a smaller one's, none
// exceeds 1. The order of the values is kept.
func Holm(ps []float64) []float64 {
	order := make([]int, len(ps))
	for i := range order {
		order[i] = i
	}
	slices.SortStableFunc(order, func(a, b int) int { return cmpFloat(ps[a], ps[b]) })
	adjusted := make([]float64, len(ps))
	least := 0.0
	for k, i := range order {
		least = max(least, min(1, ps[i]*float64(len(ps)-k)))
		adjusted[i] = least
	}
	return adjusted
}

func cmpFloat(a, b float64) int {
	switch {
	case a < b:
		return -1
	case a > b:
		return 1
	default:
		return 0
	}
}

func total(xs []float64) float64 {
	sum := 0.0
	for _, x := range xs {
		sum += x
	}
	return sum
}

// below is the standard normal distribution function.
func below(z float64) float64 { return math.Erfc(-z/math.Sqrt2) / 2 }

// twoSided is the chance that a standard normal value lies at least |z| from 0.
func twoSided(z float64) float64 { return math.Erfc(math.Abs(z) / math.Sqrt2) }

// studentQuantile is the quantile of Student's t at p from 1/2 on.
func studentQuantile(p, degrees float64) float64 {
	x := mathext.InvRegIncBeta(degrees/2, 0.5, 2*(1-p))
	return math.Sqrt(degrees * (1 - x) / x)
}

func finite(xs ...float64) bool {
	for _, x := range xs {
		if math.IsNaN(x) || math.IsInf(x, 0) {
			return false
		}
	}
	return true
}
