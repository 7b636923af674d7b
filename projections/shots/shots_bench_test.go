package shots

import (
	"fmt"
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/require"

	"marram.example/events"
)

const tenMillion = 10_000_000

// benchRounds are invented rounds, about four strokes a hole.
func benchRounds(n int) []Round {
	random := rand.New(rand.NewPCG(10, 10)) // any seed
	rounds := make([]Round, n)
	for i := range rounds {
		rounds[i] = Round{ID: fmt.Sprint(i)}
		for hole := range 18 {
			h := Hole{Number: hole + 1, Par: 3 + hole%3, Holed: true}
			positions := []Position{
				{events.LieTee, 110 + 360*random.Float64()},
				{lieNames[1+random.IntN(4)], 5 + 180*random.Float64()},
				{events.LieGreen, 0.3 + 15*random.Float64()},
				{events.LieGreen, 0.3 + random.Float64()},
			}
			for _, p := range positions {
				h.Strokes = append(h.Strokes, Stroke{From: p, Club: "iron-7"})
			}
			rounds[i].Holes = append(rounds[i].Holes, h)
		}
	}
	return rounds
}

// BenchmarkGainedTenMillionStrokes: one operation works out strokes gained of ten million strokes, round by round, with a slice for
// each round and with one for all.
func BenchmarkGainedTenMillionStrokes(b *testing.B) {
	baseline := broadie(b)
	rounds := benchRounds(500)
	measure := func(gained func(Round) ([]Gain, error)) func(*testing.B) {
		return func(b *testing.B) {
			b.ReportAllocs()
			for b.Loop() {
				for done, i := 0, 0; done < tenMillion; i++ {
					gains, err := gained(rounds[i%len(rounds)])
					if err != nil {
						b.Fatal(err)
					}
					done += len(gains)
				}
			}
			b.ReportMetric(float64(b.N)*tenMillion/b.Elapsed().Seconds(), "strokes/s")
		}
	}
	b.Run("a slice a round", measure(func(r Round) ([]Gain, error) { return GainedRound(r, baseline) }))
	var room []Gain
	b.Run("one slice", measure(func(r Round) ([]Gain, error) {
		var err error
		room, err = AppendGained(room[:0], r, baseline)
		return room, err
	}))
}

// BenchmarkExpected looks up one position.
func BenchmarkExpected(b *testing.B) {
	baseline := broadie(b)
	random := rand.New(rand.NewPCG(3, 3)) // any seed
	positions := make([]Position, 4096)
	for i := range positions {
		positions[i] = Position{lieNames[random.IntN(int(lies))], 0.5 + 500*random.Float64()}
	}
	b.ReportAllocs()
	sum, i := 0.0, 0
	for b.Loop() {
		e, _, _ := baseline.Expected(positions[i&4095])
		sum += e
		i++
	}
	require.Positive(b, sum)
}

// BenchmarkFitMillion fits a club's baseline from a million strokes of a thousand players.
func BenchmarkFitMillion(b *testing.B) {
	baseline := broadie(b)
	obs := clubStrokes(rand.New(rand.NewPCG(7, 7)), baseline, 1000, 1000, 0.1, lieNames[:]...)
	b.ReportAllocs()
	for b.Loop() {
		if _, err := FitClub(baseline, obs, 0); err != nil {
			b.Fatal(err)
		}
	}
	b.ReportMetric(float64(b.N)*float64(len(obs))/b.Elapsed().Seconds(), "strokes/s")
}

// BenchmarkAgainstField compares one player of a field of 300.
func BenchmarkAgainstField(b *testing.B) {
	random := rand.New(rand.NewPCG(9, 9)) // any seed
	field := make([]Round, 300)
	for i := range field {
		field[i].CourseHandicap = 36 * random.Float64()
		for n := range 18 {
			field[i].Holes = append(field[i].Holes, Hole{Number: n + 1, Par: 4, Score: 3 + random.IntN(5)})
		}
	}
	b.ReportAllocs()
	for b.Loop() {
		AgainstField(field[0], field)
	}
}
