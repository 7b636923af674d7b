package shots

import (
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"
)

func cardOf(handicap float64, scores ...int) Round {
	r := Round{CourseHandicap: handicap}
	for i, score := range scores {
		r.Holes = append(r.Holes, Hole{Number: i + 1, Par: 4, Score: score})
	}
	return r
}

func TestAgainstTheField(t *testing.T) {
	t.Parallel()
	field := []Round{cardOf(0, 4, 3, 5), cardOf(0, 5, 4, 5), cardOf(0, 4, 2, 6), cardOf(0, 6, 4, 4)}
	for player, want := range []float64{1, -1, 1, -1} {
		total := 0.0
		for _, h := range AgainstField(field[player], field) {
			total += *h.Gained
			require.Equal(t, 4, h.N)
			require.Nil(t, h.ForHandicap, "a field of four says nothing about handicaps")
		}
		require.InDelta(t, want, total, 1e-9)
	}
	first := AgainstField(field[0], field)
	for i, want := range []struct{ mean, gained float64 }{{4.75, 0.75}, {3.25, 0.25}, {5, 0}} {
		require.InDelta(t, want.mean, first[i].Mean, 1e-9)
		require.InDelta(t, want.gained, *first[i].Gained, 1e-9)
	}

	// Who did not finish a hole does not count on it, and has no figure there.
	field = append(field, cardOf(0, 0, 3, 5))
	last := AgainstField(field[4], field)
	require.Equal(t, 4, last[0].N)
	require.InDelta(t, 4.75, last[0].Mean, 1e-9)
	require.Nil(t, last[0].Gained)
	require.Equal(t, 5, last[1].N)
	require.NotNil(t, last[1].Gained)
	alone := AgainstField(field[0], nil)
	require.Zero(t, alone[0].N)
	require.Nil(t, alone[0].Gained)

	// A shotgun start changes the order, not the holes that are compared.
	turned := cardOf(0, 4, 3, 5)
	turned.Holes[0], turned.Holes[2] = turned.Holes[2], turned.Holes[0]
	require.InDelta(t, 0.75, *AgainstField(turned, field[:4])[2].Gained, 1e-9)
}

// TestTheFieldAddsUpToNothing: on every hole, and the total is the mean total less the own; with and without the handicap.
func TestTheFieldAddsUpToNothing(t *testing.T) {
	t.Parallel()
	rapid.Check(t, func(t *rapid.T) {
		holes := rapid.IntRange(1, 18).Draw(t, "holes")
		field := make([]Round, rapid.IntRange(2, 20).Draw(t, "players"))
		totals, all := make([]float64, len(field)), 0.0
		for i := range field {
			field[i].CourseHandicap = float64(rapid.IntRange(-3, 40).Draw(t, "handicap"))
			for n := range holes {
				score := rapid.IntRange(1, 12).Draw(t, "score")
				field[i].Holes = append(field[i].Holes, Hole{Number: n + 1, Par: 4, Score: score})
				totals[i] += float64(score)
				all += float64(score)
			}
		}
		gained, residual := make([]float64, holes), make([]float64, holes)
		for i, r := range field {
			own := 0.0
			for n, h := range AgainstField(r, field) {
				own += *h.Gained
				gained[n] += *h.Gained
				require.Equal(t, len(field) >= FieldForHandicap, h.ForHandicap != nil)
				if h.ForHandicap != nil {
					residual[n] += *h.ForHandicap
				}
			}
			require.InDelta(t, all/float64(len(field))-totals[i], own, 1e-9)
		}
		for n := range holes {
			require.InDelta(t, 0, gained[n], 1e-9)
			require.InDelta(t, 0, residual[n], 1e-9)
		}
	})
}

// TestForHandicapTakesTheHandicapOut: scores that follow the handicap exactly leave nothing, and in a large field noise does not hide
// how a hole treats handicaps.
func TestForHandicapTakesTheHandicapOut(t *testing.T) {
	t.Parallel()
	var field []Round
	for i := range 24 {
		field = append(field, cardOf(float64(18*(i%3)), 4+i%3))
	}
	h := AgainstField(field[2], field)[0]
	require.InDelta(t, -1.0, *h.Gained, 1e-9)
	require.InDelta(t, 0, *h.ForHandicap, 1e-9, "without noise the slope of the field counts whole, whatever its share would be")

	random := rand.New(rand.NewPCG(1, 2)) // any seed
	field = nil
	for range 3000 {
		handicap := random.Float64() * 36
		r := Round{CourseHandicap: handicap}
		for n := range 18 {
			slope := float64(n%3) / 18 // a hole easy, even and hard on high handicaps
			r.Holes = append(r.Holes, Hole{Number: n + 1, Par: 4, Score: max(1, int(4+slope*handicap+random.NormFloat64()+0.5))})
		}
		field = append(field, r)
	}
	high := Round{CourseHandicap: 36, Holes: append([]Hole(nil), field[0].Holes...)}
	for i := range high.Holes {
		high.Holes[i].Score = 4 + 2*(i%3) // what 36 would score
	}
	for _, h := range AgainstField(high, field) {
		require.InDelta(t, 0, *h.ForHandicap, 0.15, "hole %d", h.Number)
	}
}
