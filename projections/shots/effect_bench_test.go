package shots_test

import (
	"fmt"
	"math/rand/v2"
	"testing"

	"marram.example/projections/shots"
)

// invented are rounds in which everything was said of 72 strokes each, 14 of them drives.
func invented(n int) (rounds []shots.Round, gains []shots.Gain) {
	random := rand.New(rand.NewPCG(1, 1))
	strikes, clubs := []string{"poor", "fair", "good"}, []string{"iron-7", "iron-9", "sand-wedge", "putter"}
	for i := range n {
		r := shots.Round{ID: fmt.Sprint(i), Date: fmt.Sprintf("2031-%02d-%02d", 1+i/28%12, 1+i%28)}
		for hole := range 18 {
			h := shots.Hole{Number: hole + 1, Par: 4, Holed: true}
			for stroke := range 4 {
				seconds, enough, across := 15+20*random.Float64(), random.Float64() < 0.6, 8*random.NormFloat64()
				s := shots.Stroke{
					Club: clubs[(hole+stroke)%4], From: shots.Position{Lie: "fairway", Distance: []float64{380, 150, 12, 2}[stroke]},
					Commitment: 1 + random.IntN(5), Strike: strikes[random.IntN(3)], GoodEnough: &enough, Seconds: &seconds, Intent: true,
					At: int64(i)*86_400_000 + int64(hole*4+stroke+1)*180_000, Miss: shots.Miss{Side: side(across), Across: across, Length: "level"},
				}
				if stroke == 0 && hole < 14 {
					s.Club, s.From.Lie = "driver", "tee"
				}
				if stroke > 1 {
					s.From.Lie = "green"
				}
				h.Strokes = append(h.Strokes, s)
				gains = append(gains, shots.Gain{Round: r.ID, Hole: hole + 1, From: s.From, Phase: shots.PhaseOf(4, s.From), Gained: random.NormFloat64() / 2, Stroke: s})
			}
			r.Holes = append(r.Holes, h)
		}
		rounds = append(rounds, r)
	}
	return rounds, gains
}

// BenchmarkInterpreted works out everything that a player's page asks of intent and outcome, for one round and for many.
func BenchmarkInterpreted(b *testing.B) {
	for _, n := range []int{1, 20, 500} {
		rounds, gains := invented(n)
		b.Run(fmt.Sprintf("patterns/%d", n), func(b *testing.B) {
			for b.Loop() {
				shots.Patterns(rounds, "0")
			}
		})
		b.Run(fmt.Sprintf("strike/%d", n), func(b *testing.B) {
			for b.Loop() {
				shots.StrikeAndOutcome(gains)
			}
		})
		b.Run(fmt.Sprintf("commitment/%d", n), func(b *testing.B) {
			for b.Loop() {
				shots.CommitmentAgainstResult(gains)
			}
		})
		b.Run(fmt.Sprintf("routine/%d", n), func(b *testing.B) {
			for b.Loop() {
				shots.RoutineOf(rounds, gains)
			}
		})
	}
}
