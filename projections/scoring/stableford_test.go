package scoring_test

import (
	"testing"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"marram.example/projections/handicap"
	"marram.example/projections/scoring"
)

func TestStablefordPoints(t *testing.T) {
	t.Parallel()
	for _, c := range []struct{ strokes, par, received, points int }{
		{4, 5, 2, 5}, {6, 4, 1, 1}, {5, 3, 0, 0}, {1, 4, 1, 6}, {4, 4, -1, 1}, {1, 5, 2, 8}, {4, 4, 0, 2}, {99, 4, 3, 0}, {2, 5, 0, 5}, {6, 4, 0, 0},
	} {
		require.Equal(t, c.points, scoring.StablefordPoints(c.strokes, c.par, c.received), "%+v", c)
	}
}

func TestStablefordCard(t *testing.T) {
	t.Parallel()
	const scores = "5 4 3 x 4 3 5 5 5 5 6 6 4 4 6 3 5 5"
	format := scoring.Stableford()
	net := mustScore(t, format, cardOf(20, scores), scoring.Net)
	require.True(t, net.Complete)
	require.Equal(t, 41, net.Value)
	require.Equal(t, 5, net.Live)
	gross := mustScore(t, format, cardOf(20, scores), scoring.Gross)
	require.Equal(t, 23, gross.Value)
	require.Equal(t, -13, gross.Live)
	require.Zero(t, gross.Holes[0].Received)
	require.Equal(t, handicap.Explanation{
		{Label: "Points", Arithmetic: "21 out + 20 in = 41", Rule: "Rules of Golf 21.1b"},
		{Label: "Against two points a hole", Arithmetic: "41 - 2 x 18 = +5", Rule: "common practice, no source"},
	}, format.ExplainTotal(net))
	require.Equal(t, "2 + par 4 + 1 received - 5 = 2", format.ExplainHole(net.Holes[0]).Arithmetic)
	require.Equal(t, "picked up: 0 points", format.ExplainHole(net.Holes[3]).Arithmetic)
	require.Equal(t, "2 + par 4 - 6 = 0", format.ExplainHole(gross.Holes[14]).Arithmetic)
	plus := mustScore(t, format, cardOf(-2, "5 4 7 5 4 3 5 5 5 5 6 6 4 4 6 3 5 5"), scoring.Net)
	require.Equal(t, "2 + par 3 - 1 given back - 7 = -3, not below 0", format.ExplainHole(plus.Holes[2]).Arithmetic)
}

func TestStablefordInProgress(t *testing.T) {
	t.Parallel()
	r := mustScore(t, scoring.Stableford(), cardOf(0, "4 3 x . . . . . ."), scoring.Net)
	require.False(t, r.Complete)
	require.Equal(t, 3, r.HolesPlayed)
	require.Equal(t, 5, r.Value)
	require.True(t, r.HasLive)
	require.Equal(t, -1, r.Live)
}

func TestStablefordInvariants(t *testing.T) {
	t.Parallel()
	rapid.Check(t, func(t *rapid.T) {
		holes := rapid.SampledFrom([]int{9, 18}).Draw(t, "holes")
		card := drawCard(t, holes, true)
		net := mustScore(t, scoring.Stableford(), card, scoring.Net)
		gross := mustScore(t, scoring.Stableford(), card, scoring.Gross)
		require.True(t, net.Complete, "a hole without a score leaves the card valid")
		sum, unbounded := 0, 0
		for i, hole := range net.Holes {
			sum += hole.Points
			require.GreaterOrEqual(t, hole.Points, 0)
			if hole.Score.State != scoring.Holed {
				require.Zero(t, hole.Points)
				continue
			}
			unbounded += 2 - hole.NetToPar
			require.GreaterOrEqual(t, hole.Points, 2-hole.NetToPar)
			// Strokes received never cost points, strokes given back never bring any.
			if difference := hole.Points - gross.Holes[i].Points; hole.Received >= 0 {
				require.GreaterOrEqual(t, difference, 0)
				require.LessOrEqual(t, difference, hole.Received)
			} else {
				require.LessOrEqual(t, difference, 0)
			}
		}
		require.Equal(t, sum, net.Value)
		require.Equal(t, net.Out.Points+net.In.Points, net.Value)
		require.GreaterOrEqual(t, net.Value, unbounded)
		require.Equal(t, net.Value-2*holes, net.Live)
	})
}

// On a card where no hole is worse than a net double bogey, points and net strokes tell the same story.
func TestStablefordAgreesWithNetStrokes(t *testing.T) {
	t.Parallel()
	rapid.Check(t, func(t *rapid.T) {
		card := drawCard(t, 18, false)
		received, err := handicap.StrokesReceived(card.Playing, card.StrokeIndex)
		require.NoError(t, err)
		for i := range card.Scores {
			highest := max(1, card.Par[i]+received[i]+2)
			card.Scores[i] = scoring.Strokes(rapid.IntRange(1, highest).Draw(t, "strokes"))
		}
		points := mustScore(t, scoring.Stableford(), card, scoring.Net)
		strokes := mustScore(t, scoring.StrokePlay(), card, scoring.Net)
		require.Equal(t, 36-strokes.Live, points.Value)
	})
}
