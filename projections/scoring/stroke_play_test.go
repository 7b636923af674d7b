package scoring_test

import (
	"slices"
	"testing"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"marram.example/projections/handicap"
	"marram.example/projections/scoring"
)

func TestStrokePlay(t *testing.T) {
	t.Parallel()
	for _, c := range []struct {
		name     string
		playing  handicap.Playing
		scores   string
		basis    scoring.Basis
		complete bool
		value    int // where complete
		live     string
		played   int
	}{
		{"net", 13, medalCard, scoring.Net, true, 64, "\u22128", 18},
		{"gross", 13, medalCard, scoring.Gross, true, 77, "+5", 18},
		{"plus", -2, medalCard, scoring.Net, true, 79, "+7", 18},
		// Holes 1, 2, 4, 5 give a stroke: 5 4 5 4 5 = 23, net 19, par 20.
		{"five holes", 13, "5 4 5 4 5 . . . . . . . . . . . . .", scoring.Net, false, 0, "\u22121", 5},
		{"five holes gross", 13, "5 4 5 4 5 . . . . . . . . . . . . .", scoring.Gross, false, 0, "+3", 5},
		{"holes left out between", 0, "4 . 3 . . . . . . . . . . . . . . 5", scoring.Net, false, 0, "+1", 3},
		{"nine holes", 9, "5 5 4 6 5 4 5 5 6", scoring.Net, true, 36, "E", 9},
		{"level", 0, "4 4 3 5 4 3 4 4 5 4 5 4 3 4 4 3 5 4", scoring.Net, true, 72, "E", 18},
	} {
		t.Run(c.name, func(t *testing.T) {
			t.Parallel()
			r := mustScore(t, scoring.StrokePlay(), cardOf(c.playing, c.scores), c.basis)
			require.Equal(t, c.complete, r.Complete)
			if c.complete {
				require.Equal(t, c.value, r.Value)
			}
			require.True(t, r.HasLive)
			require.Equal(t, c.live, scoring.ToPar(r.Live))
			require.Equal(t, c.played, r.HolesPlayed)
			require.Zero(t, r.Lacking)
		})
	}
}

func TestStrokePlayWithoutAScoreHasNoTotal(t *testing.T) {
	t.Parallel()
	for _, gap := range []string{"x", "-"} {
		r := mustScore(t, scoring.StrokePlay(), cardOf(13, "5 4 5 4 5 3 4 4 5 5 5 5 4 4 5 2 "+gap+" 4"), scoring.Net)
		require.False(t, r.Complete)
		require.False(t, r.HasLive)
		require.Equal(t, 17, r.Lacking)
		require.Equal(t, 18, r.HolesPlayed)
		require.Equal(t, 17, r.Total.Scored)
		require.Equal(t, handicap.Explanation{{Label: "No total", Arithmetic: "hole 17 has no score", Rule: "Rules of Golf 3.3c"}}, scoring.StrokePlay().ExplainTotal(r))
	}
	r := mustScore(t, scoring.StrokePlay(), cardOf(13, ". . . . . . . . . . . . . . . . . ."), scoring.Net)
	require.False(t, r.HasLive)
	require.Zero(t, r.HolesPlayed)
}

func TestStrokePlayExplains(t *testing.T) {
	t.Parallel()
	format := scoring.StrokePlay()
	arithmetic := func(playing handicap.Playing, scores string, basis scoring.Basis) []string {
		var texts []string
		for _, line := range format.ExplainTotal(mustScore(t, format, cardOf(playing, scores), basis)) {
			require.NotEmpty(t, line.Label)
			require.NotEmpty(t, line.Rule)
			texts = append(texts, line.Arithmetic)
		}
		return texts
	}
	require.Equal(t, []string{"39 out + 38 in = 77", "77 - 13 = 64", "64 - par 72 on 18 holes = \u22128"}, arithmetic(13, medalCard, scoring.Net))
	require.Equal(t, []string{"39 out + 38 in = 77", "77 + 2 = 79", "79 - par 72 on 18 holes = +7"}, arithmetic(-2, medalCard, scoring.Net))
	require.Equal(t, []string{"39 out + 38 in = 77", "77 - par 72 on 18 holes = +5"}, arithmetic(13, medalCard, scoring.Gross))
	require.Equal(t, []string{"23 out + 0 in = 23", "23 - 4 = 19", "19 - par 20 on 5 holes = \u22121"}, arithmetic(13, "5 4 5 4 5 . . . . . . . . . . . . .", scoring.Net))
	require.Equal(t, []string{"45 on 9 holes", "45 - 9 = 36", "36 - par 36 on 9 holes = E"}, arithmetic(9, "5 5 4 6 5 4 5 5 6", scoring.Net))

	r := mustScore(t, format, cardOf(13, medalCard), scoring.Net)
	require.Equal(t, handicap.Line{Label: "Hole 1", Arithmetic: "5 - 1 = 4, E to par 4", Rule: "Rules of Golf 3.3"}, format.ExplainHole(r.Holes[0]))
	require.Equal(t, "5, +2 to par 3", format.ExplainHole(r.Holes[2]).Arithmetic)
}

func TestNetIsGrossLessPlayingHandicap(t *testing.T) {
	t.Parallel()
	rapid.Check(t, func(t *rapid.T) {
		card := drawCard(t, rapid.SampledFrom([]int{9, 18}).Draw(t, "holes"), false)
		net := mustScore(t, scoring.StrokePlay(), card, scoring.Net)
		gross := mustScore(t, scoring.StrokePlay(), card, scoring.Gross)
		require.True(t, net.Complete)
		require.Equal(t, gross.Value-int(card.Playing), net.Value)
		require.Equal(t, net.Value, net.Total.Net)
		require.Equal(t, net.Total.NetToPar(), net.Live)
		require.Equal(t, gross.Total.GrossToPar(), gross.Live)
		require.Equal(t, net.Total.Gross, net.Out.Gross+net.In.Gross)
		require.Equal(t, net.Total.Figure, net.Out.Figure+net.In.Figure)
	})
}

// A two-tee or shotgun start changes the order of the holes and nothing else.
func TestStartingHoleDoesNotChangeTheResult(t *testing.T) {
	t.Parallel()
	rapid.Check(t, func(t *rapid.T) {
		card := drawCard(t, 18, true)
		start := rapid.IntRange(0, 17).Draw(t, "start")
		moved := scoring.Card{
			Holes: turned(numbers(1, 18), start), Par: turned(card.Par, start), StrokeIndex: turned(card.StrokeIndex, start),
			Scores: turned(card.Scores, start), Playing: card.Playing, Maximum: card.Maximum,
		}
		for _, format := range scoring.Formats() {
			a, b := mustScore(t, format, card, scoring.Net), mustScore(t, format, moved, scoring.Net)
			require.Equal(t, a.Total, b.Total)
			require.Equal(t, a.Out, b.Out)
			require.Equal(t, a.In, b.In)
			require.Equal(t, a.Complete, b.Complete)
			require.Equal(t, a.Live, b.Live)
			require.Equal(t, start+1, b.Holes[0].Hole)
			require.ElementsMatch(t, a.Holes, b.Holes)
		}
	})
}

func turned[T any](values []T, by int) []T {
	return append(slices.Clone(values[by:]), values[:by]...)
}
