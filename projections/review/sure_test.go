package review

import (
	"math"
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"marram.example/projections/shots"
)

// Worked by hand: five rounds of 1 to 5, mean 3, sd √2.5; a sixth of 0 is expected
// within √2.5·√1.2 of the mean, t with 4 degrees of freedom (2.7764 and 1.5332).
func TestOneRoundAgainstThePast(t *testing.T) {
	e := against([]float64{0}, []float64{1, 2, 3, 4, 5})
	assert.InDelta(t, -3, e.value, 1e-12)
	assert.InDelta(t, math.Sqrt(3), e.se, 1e-12)
	assert.InDelta(t, -3-2.7764*math.Sqrt(3), e.interval(0.95).Low, 1e-3)
	assert.InDelta(t, -3+1.5332*math.Sqrt(3), e.interval(0.80).High, 1e-3)
	assert.InDelta(t, 0.1583, e.p, 1e-3)
	assert.Equal(t, shots.SureLikely, e.words(e.p))

	assert.True(t, against([]float64{0}, []float64{1, 2, 3, 4}).tooFew)
	assert.True(t, against(nil, []float64{1, 2, 3, 4, 5}).tooFew)
}

// Worked by hand: eight strokes of which four gain 1 and four lose 0.5 have mean 0.25
// and variance 4.5/7; their sum 2 in one round has the standard error √(8·4.5/7). In
// two rounds, 3 and -1, the rounds differ by more than that: √(8/2).
func TestStrokesAndRoundsBothCount(t *testing.T) {
	e := perRound([][]float64{{1, 1, 1, 1, -0.5, -0.5, -0.5, -0.5}})
	assert.InDelta(t, 2, e.value, 1e-12)
	assert.InDelta(t, math.Sqrt(8*4.5/7), e.se, 1e-12)

	e = perRound([][]float64{{1, 1, 1, -0.1}, {-0.5, -0.5, -0.5, 0.4}})
	assert.InDelta(t, 0.9, e.value, 1e-12)
	strokes := 8 * shots.SD([]float64{1, 1, 1, -0.1, -0.5, -0.5, -0.5, 0.4}) * shots.SD([]float64{1, 1, 1, -0.1, -0.5, -0.5, -0.5, 0.4}) / 4
	rounds := (2.9 + 1.1) * (2.9 + 1.1) / 2 / 2
	require.Greater(t, rounds, strokes)
	assert.InDelta(t, math.Sqrt(rounds), e.se, 1e-12)
}

// Strokes drawn from a known mean: the 95 % interval holds it between 93 and 98 times
// in 100 (2,000 draws of a true share of 0.95 stray from it by 0.01 at most in 19
// cases of 20; the rest is allowed to the heavy tail, and to rounds that are wider
// apart than their strokes by chance), and "clear" is said without cause less than 1
// time in 20.
func TestIntervalsHoldTheTruth(t *testing.T) {
	const draws, mean = 2000, -0.1
	for _, rounds := range []int{1, 4, 12} {
		random := rand.New(rand.NewPCG(uint64(rounds), 17))
		held, cried := 0, 0
		for range draws {
			var rows, nothing [][]float64
			for range rounds {
				var row, zero []float64
				for range 20 {
					v := 0.5 * random.NormFloat64()
					if random.Float64() < 0.1 {
						v *= 2.5
					}
					row, zero = append(row, mean+v), append(zero, v)
				}
				rows, nothing = append(rows, row), append(nothing, zero)
			}
			i := perRound(rows).interval(0.95)
			if i.Low <= 20*mean && 20*mean <= i.High {
				held++
			}
			if e := perRound(nothing); e.words(e.p) == shots.SureClear {
				cried++
			}
		}
		assert.InDelta(t, 0.955, float64(held)/draws, 0.025, "%d rounds", rounds)
		assert.Less(t, float64(cried)/draws, 0.07, "%d rounds", rounds)
	}
}

// A list of four lines on which nothing happened says "clear" somewhere less than 1
// time in 20.
func TestLookingAtManyLinesCriesNoLouder(t *testing.T) {
	const draws = 1000
	random := rand.New(rand.NewPCG(3, 17))
	cried := 0
	for range draws {
		lines := make([]estimate, 11)
		for i := range lines {
			row := make([]float64, 12)
			for j := range row {
				row[j] = random.NormFloat64()
			}
			lines[i] = perRound([][]float64{row})
		}
		for i, p := range adjusted(lines) {
			if lines[i].words(p) == shots.SureClear {
				cried++
				break
			}
		}
	}
	assert.Less(t, float64(cried)/draws, 0.07)
}

// So many strokes before and as many after show the change that the plan promises
// about 4 times in 5.
func TestTheStrokesNeededShowTheChange(t *testing.T) {
	const draws, sd, change = 2000, 0.6, 0.12
	n := needed(sd, change)
	assert.Equal(t, 393, n) // 2·(2.80159·0.6/0.12)² = 392.4
	random := rand.New(rand.NewPCG(8, 17))
	shown := 0
	for range draws {
		before, after := 0.0, 0.0
		for range n {
			before += sd * random.NormFloat64()
			after += change + sd*random.NormFloat64()
		}
		if math.Abs(after-before)/float64(n) > 1.959963984540054*sd*math.Sqrt(2/float64(n)) {
			shown++
		}
	}
	assert.InDelta(t, 0.80, float64(shown)/draws, 0.03)
	assert.Equal(t, leastStrokes, needed(0, 0.1))
	assert.Equal(t, mostNeeded, needed(1, 0))
	assert.Equal(t, mostNeeded, needed(1, 1e-9))
}
