package review

import (
	"math"
	"slices"

	"gonum.org/v1/gonum/stat/distuv"

	"marram.example/projections/shots"
)

// leastStrokes of a kind are asked before anything is inferred from them (common
// practice, no source).
const leastStrokes = 8

// leastRounds are asked before rounds are compared with what is usual, or a trend is
// drawn (common practice, no source).
const leastRounds = 5

// estimate is a mean with what is known of it.
type estimate struct {
	value, se float64
	degrees   float64
	p         float64 // two-sided, of 0; 1 where nothing is known
	tooFew    bool
}

// perRound is the mean of what rounds gained, were such rounds played on and on. Rows
// are the strokes of a round.
//
// Its variance is the larger of two: that of the strokes, taken as independent,
// N·s²/R² for N strokes with variance s² in R rounds; and that of the rounds, S²/R
// with the variance S² of their sums, which is larger where days differ. Student's t
// has N-1 degrees of freedom. One round has only the first, so that what a day was
// like is not in its interval. More of the same strokes never widen it.
func perRound(rows [][]float64) estimate {
	rounds, n, total := float64(len(rows)), 0, 0.0
	for _, row := range rows {
		n += len(row)
		for _, v := range row {
			total += v
		}
	}
	if rounds == 0 {
		return estimate{p: 1, tooFew: true}
	}
	e := estimate{value: total / rounds, p: 1, tooFew: n < leastStrokes, degrees: float64(n - 1)}
	if n < 2 {
		return e
	}
	mean, squares, between := total/float64(n), 0.0, 0.0
	for _, row := range rows {
		sum := 0.0
		for _, v := range row {
			squares += (v - mean) * (v - mean)
			sum += v
		}
		between += (sum - e.value) * (sum - e.value)
	}
	variance := float64(n) * squares / float64(n-1) / (rounds * rounds)
	if rounds > 1 {
		variance = max(variance, between/((rounds-1)*rounds))
	}
	e.se = math.Sqrt(variance)
	e.test()
	return e
}

// against is the mean of sums less that of the others: a single one against where the
// next of the others is expected (s·√(1+1/k), k-1 degrees of freedom), several with
// their own spread too (Welch).
func against(sums, others []float64) estimate {
	n, k := float64(len(sums)), float64(len(others))
	e := estimate{value: shots.Mean(sums) - shots.Mean(others), p: 1, tooFew: len(others) < leastRounds || len(sums) == 0}
	if e.tooFew {
		return e
	}
	b := shots.SD(others) * shots.SD(others)
	if len(sums) == 1 {
		e.se, e.degrees = math.Sqrt(b*(1+1/k)), k-1
	} else {
		x, y := shots.SD(sums)*shots.SD(sums)/n, b/k
		e.se, e.degrees = math.Sqrt(x+y), n+k-2
		if x+y > 0 {
			e.degrees = (x + y) * (x + y) / (x*x/(n-1) + y*y/(k-1))
		}
	}
	e.test()
	return e
}

// same is the smallest spread that is not only the last digits of a sum.
const same = 1e-9

func (e *estimate) test() {
	switch {
	case math.Abs(e.value) < same:
		e.p = 1
	case e.se < same:
		e.p = 0
	default:
		e.p = 2 * student(e.degrees).Survival(math.Abs(e.value)/e.se)
	}
}

func student(degrees float64) distuv.StudentsT {
	return distuv.StudentsT{Mu: 0, Sigma: 1, Nu: degrees}
}

// interval holds the middle share of where the value may be; both ends are the value
// where nothing is known of its spread.
func (e estimate) interval(share float64) shots.Interval {
	if e.se == 0 {
		return shots.Interval{Low: e.value, High: e.value}
	}
	half := e.se * student(e.degrees).Quantile((1+share)/2)
	return shots.Interval{Low: e.value - half, High: e.value + half}
}

// words puts how sure an estimate is into words, after its p-value has been adjusted.
func (e estimate) words(adjusted float64) string {
	if e.tooFew {
		return shots.SureTooFew
	}
	return shots.HowSure(adjusted)
}

// adjusted are the p-values after Holm, for having looked at the whole list. A line
// with too few strokes takes its place in it with a p-value of 1, so that a line that
// comes to its first strokes makes no other one less sure.
func adjusted(estimates []estimate) []float64 {
	ps := make([]float64, len(estimates))
	for i, e := range estimates {
		ps[i] = 1
		if !e.tooFew {
			ps[i] = e.p
		}
	}
	return shots.Holm(ps)
}

// sureness ranks the words, the surest first.
func sureness(word string) int {
	at := slices.Index([]string{shots.SureClear, shots.SureLikely, SureCounted, shots.SureHint}, word)
	if at < 0 {
		return 4
	}
	return at
}
