package handicap_test

import (
	"slices"
	"testing"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"marram.example/projections/handicap"
)

var eighteen = []int{7, 15, 3, 11, 1, 17, 5, 13, 9, 8, 16, 4, 12, 2, 18, 6, 14, 10}

// drawIndexes draws 18 holes, or nine holes with any nine indexes of eighteen.
func drawIndexes(t *rapid.T) []int {
	indexes := rapid.Permutation(eighteen).Draw(t, "stroke indexes")
	if rapid.Bool().Draw(t, "nine holes") {
		return indexes[:9]
	}
	return indexes
}

func TestStrokesAddUpToThePlayingHandicap(t *testing.T) {
	t.Parallel()
	rapid.Check(t, func(t *rapid.T) {
		indexes := drawIndexes(t)
		playing := handicap.Playing(rapid.IntRange(-20, 108).Draw(t, "playing handicap"))
		before := slices.Clone(indexes)
		strokes, err := handicap.StrokesReceived(playing, indexes)
		require.NoError(t, err)
		require.Equal(t, before, indexes)
		sum := 0
		for i, n := range strokes {
			sum += n
			for j, other := range strokes {
				require.LessOrEqual(t, n-other, 1, "strokes are spread evenly")
				if indexes[i] < indexes[j] {
					require.GreaterOrEqual(t, n, other, "the lower index never gets less")
				}
			}
		}
		require.Equal(t, int(playing), sum)
	})
}

// The formulas of the reference, written the other way round: separate branches for plus players and the rank as number.
func TestStrokesAgainstTheFormula(t *testing.T) {
	t.Parallel()
	for _, holes := range []int{9, 18} {
		indexes := eighteen[:holes]
		sorted := slices.Sorted(slices.Values(indexes))
		for playing := -20; playing <= 108; playing++ {
			got, err := handicap.StrokesReceived(handicap.Playing(playing), indexes)
			require.NoError(t, err)
			for i, index := range indexes {
				s := slices.Index(sorted, index) + 1
				var want int
				if playing >= 0 {
					want = playing / holes
					if playing%holes >= s {
						want++
					}
				} else {
					k := -playing
					want = -(k / holes)
					if s > holes-k%holes {
						want--
					}
				}
				require.Equal(t, want, got[i], "playing %d, %d holes, index %d", playing, holes, index)
			}
		}
	}
}

func TestStrokesOnRenumberedNineAreTheSame(t *testing.T) {
	t.Parallel()
	published, renumbered := []int{7, 15, 3, 11, 1, 17, 5, 13, 9}, []int{4, 8, 2, 6, 1, 9, 3, 7, 5}
	for playing := handicap.Playing(-12); playing <= 54; playing++ {
		a, err := handicap.StrokesReceived(playing, published)
		require.NoError(t, err)
		b, err := handicap.StrokesReceived(playing, renumbered)
		require.NoError(t, err)
		require.Equal(t, a, b)
	}
}

func TestStrokesRefuse(t *testing.T) {
	t.Parallel()
	with := func(place, index int) []int {
		changed := slices.Clone(eighteen)
		changed[place] = index
		return changed
	}
	for name, indexes := range map[string][]int{
		"none": nil, "seventeen": eighteen[:17], "ten": eighteen[:10], "nineteen": append(slices.Clone(eighteen), 1),
		"repeated": with(0, 15), "zero": with(0, 0), "nineteenth": with(3, 19), "negative": with(3, -1), "nine with a repeat": {1, 2, 3, 4, 5, 6, 7, 8, 8},
	} {
		strokes, err := handicap.StrokesReceived(5, indexes)
		requireField(t, err, "stroke_index")
		require.Nil(t, strokes, name)
		_, err = handicap.ExplainStrokes(5, indexes)
		requireField(t, err, "stroke_index")
	}
	for _, playing := range []handicap.Playing{-55, 163} {
		_, err := handicap.StrokesReceived(playing, eighteen)
		requireField(t, err, "playing_handicap")
	}
}

func TestExplainStrokes(t *testing.T) {
	t.Parallel()
	for _, c := range []struct {
		playing handicap.Playing
		lines   []string
	}{
		{22, []string{"22 strokes on 18 holes = 1 on every hole, 4 left over", "the player receives one more on each of the 4 holes ranked 1 to 4 by stroke index"}},
		{19, []string{"19 strokes on 18 holes = 1 on every hole, 1 left over", "the player receives one more on the hole ranked 1 by stroke index"}},
		{-1, []string{"1 stroke on 18 holes = 0 on every hole, 1 left over", "the player gives back one more on the hole ranked 18 by stroke index"}},
		{-2, []string{"2 strokes on 18 holes = 0 on every hole, 2 left over", "the player gives back one more on each of the 2 holes ranked 17 to 18 by stroke index"}},
		{18, []string{"18 strokes on 18 holes = 1 on every hole, 0 left over"}},
	} {
		lines, err := handicap.ExplainStrokes(c.playing, eighteen)
		require.NoError(t, err)
		require.Len(t, lines, len(c.lines))
		for i, line := range lines {
			require.Equal(t, c.lines[i], line.Arithmetic)
			require.Equal(t, "Rules of Handicapping, Appendix E", line.Rule)
		}
	}
}
