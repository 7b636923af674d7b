package handicap_test

import (
	"slices"
	"testing"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"marram.example/projections/handicap"
)

func TestMatchStrokes(t *testing.T) {
	t.Parallel()
	for _, c := range []struct {
		playing, want []handicap.Playing
	}{
		{[]handicap.Playing{4, 10, 16, 21}, []handicap.Playing{0, 6, 12, 17}},
		{[]handicap.Playing{-2, 5}, []handicap.Playing{0, 7}},
		{[]handicap.Playing{5, -2}, []handicap.Playing{7, 0}},
		{[]handicap.Playing{-4, -1}, []handicap.Playing{0, 3}},
		{[]handicap.Playing{12, 12}, []handicap.Playing{0, 0}},
		{[]handicap.Playing{21, 16, -1, 10}, []handicap.Playing{22, 17, 0, 11}},
	} {
		got, lines, err := handicap.MatchStrokes(c.playing, true)
		require.NoError(t, err)
		require.Equal(t, c.want, got)
		require.Len(t, lines, len(c.playing)+1)
		full, lines, err := handicap.MatchStrokes(c.playing, false)
		require.NoError(t, err)
		require.Equal(t, c.playing, full)
		require.Len(t, lines, 1)
	}
	_, lines, err := handicap.MatchStrokes([]handicap.Playing{5, -2}, true)
	require.NoError(t, err)
	require.Equal(t, "-2, a plus handicap: +2; plays off 0", lines[0].Arithmetic)
	require.Equal(t, "5 - (-2) = 7", lines[1].Arithmetic)
}

func TestMatchStrokesRefuse(t *testing.T) {
	t.Parallel()
	for _, playing := range [][]handicap.Playing{nil, {3}, {1, 2, 3, 4, 5}, {1, 163}, {-55, 1}} {
		_, _, err := handicap.MatchStrokes(playing, true)
		requireField(t, err, "playing_handicaps")
	}
}

func TestMatchStrokesKeepTheDifferences(t *testing.T) {
	t.Parallel()
	rapid.Check(t, func(t *rapid.T) {
		playing := rapid.SliceOfN(rapid.Map(rapid.IntRange(-10, 54), func(n int) handicap.Playing { return handicap.Playing(n) }), 2, 4).Draw(t, "playing")
		strokes, _, err := handicap.MatchStrokes(playing, true)
		require.NoError(t, err)
		require.Zero(t, slices.Min(strokes))
		for i := range playing {
			require.Equal(t, playing[i]-playing[0], strokes[i]-strokes[0])
			byHole, err := handicap.StrokesReceived(strokes[i], eighteen)
			require.NoError(t, err)
			require.Equal(t, int(strokes[i]), sum(byHole))
		}
	})
}

func sum(values []int) int {
	total := 0
	for _, value := range values {
		total += value
	}
	return total
}

func TestStrokesOver(t *testing.T) {
	t.Parallel()
	rapid.Check(t, func(t *rapid.T) {
		indexes := drawIndexes(t)
		playing := handicap.Playing(rapid.IntRange(-10, 54).Draw(t, "playing handicap"))
		want, err := handicap.StrokesReceived(playing, indexes)
		require.NoError(t, err)
		got, err := handicap.StrokesOver(len(indexes), playing, indexes)
		require.NoError(t, err)
		require.Equal(t, want, got)
		both, err := handicap.StrokesOver(36, playing, indexes)
		if len(indexes) == 9 {
			requireField(t, err, "stroke_index")
			return
		}
		require.NoError(t, err)
		require.Equal(t, want, both[:18], "each eighteen is one round")
		require.Equal(t, want, both[18:])
		require.Equal(t, 2*int(playing), sum(both))
	})
}

func TestStrokesOverExplainsAndRefuses(t *testing.T) {
	t.Parallel()
	lines, err := handicap.ExplainStrokesOver(36, 7, eighteen)
	require.NoError(t, err)
	require.Len(t, lines, 3)
	require.Equal(t, "the same again on holes 19 to 36: 2 x 7 = 14 strokes in all", lines[2].Arithmetic)
	lines, err = handicap.ExplainStrokesOver(18, 7, eighteen)
	require.NoError(t, err)
	require.Len(t, lines, 2)
	for _, length := range []int{0, 10, 27, 72, -18} {
		_, err := handicap.StrokesOver(length, 7, eighteen)
		requireField(t, err, "length")
		_, err = handicap.ExplainStrokesOver(length, 7, eighteen)
		requireField(t, err, "length")
	}
	_, err = handicap.StrokesOver(18, 7, eighteen[:9])
	requireField(t, err, "stroke_index")
	_, err = handicap.StrokesOver(36, 200, eighteen)
	requireField(t, err, "playing_handicap")
}
