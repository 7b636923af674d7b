package scoring_test

import (
	"testing"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"marram.example/projections/scoring"
)

// The card of the reference: 4 holes won, 7 tied, 7 lost.
const parBogeyCard = "4 4 2 6 5 4 6 4 6 5 - 4 4 6 4 4 4 5"

func TestParBogey(t *testing.T) {
	t.Parallel()
	r := mustScore(t, scoring.ParBogey(), cardOf(9, parBogeyCard), scoring.Net)
	var holes []int
	for _, h := range r.Holes {
		holes = append(holes, h.ParBogey)
	}
	require.Equal(t, []int{1, 0, 1, 0, 0, -1, -1, 0, 0, 0, -1, 0, -1, -1, 1, -1, 1, -1}, holes)
	require.True(t, r.Complete)
	require.Equal(t, []int{-3, -3, -3, 0}, []int{r.Value, r.Live, r.Total.ParBogey, r.Level})
	require.Equal(t, scoring.UnitHoles, r.Unit)
	require.False(t, r.Total.AllScored(), "hole 11 leaves no total of strokes")

	r = mustScore(t, scoring.ParBogey(), cardOf(9, "3 . . . . . . . . . . . . . . . . ."), scoring.Net)
	require.False(t, r.Complete)
	require.Equal(t, []any{true, 1, 1}, []any{r.HasLive, r.Live, r.HolesPlayed})
}

func TestParBogeyPenalties(t *testing.T) {
	t.Parallel()
	card := cardOf(0, "4 4 3 5 4 3 4 4 5 4 5 4 3 4 4 3 x 4")
	card.Penalties = with(make([]int, 18), 0, 2)
	card.Penalties[16] = 2
	r := mustScore(t, scoring.ParBogey(), card, scoring.Net)
	require.Equal(t, -1, r.Holes[0].ParBogey, "level with two penalty strokes is lost, and no worse")
	require.Equal(t, -1, r.Holes[16].ParBogey, "a hole cannot be worse than lost")
	require.Equal(t, -2, r.Value)
	card.RoundPenalty = 1
	r = mustScore(t, scoring.ParBogey(), card, scoring.Net)
	require.Equal(t, []int{-3, -3, -3, -2}, []int{r.Value, r.Live, r.Total.ParBogey, r.Out.ParBogey + r.In.ParBogey})
}

func TestParBogeyExplains(t *testing.T) {
	t.Parallel()
	card := cardOf(9, parBogeyCard)
	card.Penalties = with(make([]int, 18), 1, 1)
	card.RoundPenalty = 1
	r := mustScore(t, scoring.ParBogey(), card, scoring.Net)
	require.Equal(t, "4 - 1 = 3 against par 4: won, +1", r.ExplainHole(0).Arithmetic)
	require.Equal(t, "4 + 1 penalty stroke = 5 against par 4: lost, \u22121", r.ExplainHole(1).Arithmetic)
	require.Equal(t, "no score: lost, \u22121", r.ExplainHole(10).Arithmetic)
	require.Equal(t, "Rules of Golf 21.3b", r.ExplainHole(10).Rule)
	total := r.ExplainTotal()
	require.Equal(t, "-1 out + -3 in = -4", total[0].Arithmetic)
	require.Equal(t, "-4 - 1 = -5", total[1].Arithmetic)
	require.Equal(t, -5, r.Value)
}

// A hole is won with more than two points, tied with two, lost with fewer: the same target.
func TestParBogeyAgreesWithPoints(t *testing.T) {
	t.Parallel()
	rapid.Check(t, func(t *rapid.T) {
		r := mustScore(t, scoring.ParBogey(), drawCard(t, 18, true), scoring.Net)
		for _, h := range r.Holes {
			require.Equal(t, max(-1, min(1, h.Points-2)), h.Figure)
		}
	})
}
