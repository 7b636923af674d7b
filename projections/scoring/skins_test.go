package scoring_test

import (
	"testing"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"marram.example/projections/scoring"
)

func TestSkins(t *testing.T) {
	t.Parallel()
	got, err := scoring.Skins([][]*int{some(4, 5, 5), some(4, 4, 5), some(3, 4, -1), some(-1, -1, -1), some(5, 5, 5)}, 3)
	require.NoError(t, err)
	require.Equal(t, scoring.SkinsResult{
		Skins: []int{3, 0, 0}, LeftOver: 2, Holes: []scoring.Skin{{0, 1}, {-1, 1}, {0, 2}, {-1, 1}, {-1, 2}},
	}, got)
	got, err = scoring.Skins([][]*int{some(4, -1)}, 2)
	require.NoError(t, err)
	require.Equal(t, []int{1, 0}, got.Skins, "the only score is the sole lowest")

	for field, try := range map[string]func() error{
		"players":        func() error { _, err := scoring.Skins([][]*int{some(4)}, 1); return err },
		"scores_by_hole": func() error { _, err := scoring.Skins(nil, 2); return err },
	} {
		requireField(t, try(), field)
	}
	_, err = scoring.Skins([][]*int{some(4, 4, 4)}, 2)
	requireField(t, err, "scores_by_hole")
}

// Every hole's skin is taken once or left over.
func TestSkinsAddUpToTheHoles(t *testing.T) {
	t.Parallel()
	rapid.Check(t, func(t *rapid.T) {
		players := rapid.IntRange(2, 4).Draw(t, "players")
		holes := make([][]*int, rapid.IntRange(1, 18).Draw(t, "holes"))
		for i := range holes {
			holes[i] = some(rapid.SliceOfN(rapid.IntRange(3, 5), players, players).Draw(t, "scores")...)
		}
		got, err := scoring.Skins(holes, players)
		require.NoError(t, err)
		sum := got.LeftOver
		for _, n := range got.Skins {
			sum += n
		}
		require.Equal(t, len(holes), sum)
	})
}
