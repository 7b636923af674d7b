package scoring_test

import (
	"testing"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"marram.example/projections/scoring"
)

func TestExcludedHole(t *testing.T) {
	t.Parallel()
	// Hole 4 (par 5, index 1) is excluded: 77 - 4 gross, and its one stroke is not received.
	const card = "5 4 5 ! 5 3 4 4 5 5 5 5 4 4 5 2 4 4"
	r := mustScore(t, scoring.StrokePlay(), cardOf(13, card), scoring.Net)
	require.True(t, r.Complete)
	require.Zero(t, r.Lacking)
	require.Equal(t, []int{73, 61, 61, 67, 61 - 67}, []int{r.Total.Gross, r.Total.Net, r.Value, r.Level, r.Live})
	require.Equal(t, []int{18, 18, 17, 1, 67}, []int{r.Total.Holes, r.HolesPlayed, r.Total.Scored, r.Total.Excluded, r.Total.Par})
	require.True(t, r.Total.AllScored())
	require.Equal(t, "the hole counts for nobody", r.ExplainHole(3).Arithmetic)
	require.Equal(t, "73 - 12 = 61", r.ExplainTotal()[1].Arithmetic)
	require.Equal(t, "Net on the holes that count", r.ExplainTotal()[1].Label)
	require.Equal(t, "61 - par 67 on 17 holes = \u22126", r.ExplainTotal()[2].Arithmetic)

	points := mustScore(t, scoring.Stableford(), cardOf(13, card), scoring.Net)
	require.Equal(t, []int{34, points.Value - 34}, []int{points.Level, points.Live})
	require.Equal(t, 0, points.Holes[3].Points)
	require.Equal(t, "the hole counts for nobody", points.ExplainHole(3).Arithmetic)
}

func TestACardWithOnlyAnExcludedHoleHasNotBegun(t *testing.T) {
	t.Parallel()
	for _, format := range scoring.Formats() {
		r := mustScore(t, format, cardOf(0, ". . . ! . . . . . . . . . . . . . ."), scoring.Net)
		require.False(t, r.HasLive)
		require.False(t, r.Complete)
	}
}

// What stood on an excluded hole matters to nothing, in no format.
func TestAnExcludedHoleAddsNothing(t *testing.T) {
	t.Parallel()
	rapid.Check(t, func(t *rapid.T) {
		card := drawCard(t, 18, true)
		out := rapid.IntRange(0, 17).Draw(t, "hole")
		without := card
		without.Scores = with(card.Scores, out, scoring.Score{State: scoring.Excluded})
		without.Penalties = with(make([]int, 18), out, 2)
		for _, format := range scoring.Formats() {
			for _, basis := range []scoring.Basis{scoring.Net, scoring.Gross} {
				whole, less := mustScore(t, format, card, basis), mustScore(t, format, without, basis)
				hole := whole.Holes[out]
				require.Equal(t, whole.Total.Figure-hole.Figure, less.Value)
				require.Equal(t, whole.Total.Gross-hole.Gross, less.Total.Gross)
				require.Equal(t, whole.Level-hole.Level, less.Level)
				require.Equal(t, less.Lacking == 0, less.Complete)
			}
		}
	})
}

// The countback of cards on which a hole is excluded is the same whatever else is on it, and names windows as before.
func TestCountbackLeavesExcludedHolesOut(t *testing.T) {
	t.Parallel()
	format := scoring.StrokePlay()
	cards := []scoring.Contender{
		contender(t, format, "A", 0, "4 4 3 5 4 3 4 4 5 4 5 4 3 4 4 3 5 !", scoring.Net),
		contender(t, format, "B", 0, "4 4 3 5 4 3 4 4 5 5 5 4 3 4 4 3 4 !", scoring.Net),
	}
	result, err := format.Countback(cards, scoring.CountbackTerms{})
	require.NoError(t, err)
	require.Equal(t, [][]string{{"B"}, {"A"}}, result.Order)
	require.Equal(t, "13-18", result.DecidedBy())
	var names []string
	for _, w := range result.Cards[0].Windows {
		names = append(names, w.Window)
	}
	require.Equal(t, []string{"10-18", "13-18", "16-18", "4-9", "7-9", "9"}, names, "nothing is left of hole 18")
	require.Equal(t, 8, result.Cards[0].Windows[0].Holes)

	// On one card only: left out for the other all the same.
	cards[1] = contender(t, format, "B", 0, "4 4 3 5 4 3 4 4 5 5 5 4 3 4 4 3 4 9", scoring.Net)
	again, err := format.Countback(cards, scoring.CountbackTerms{})
	require.NoError(t, err)
	require.Equal(t, result, again)

	// By play the last nine are nine that count.
	by, err := format.Countback(cards, scoring.CountbackTerms{Windows: scoring.ByPlay})
	require.NoError(t, err)
	require.Equal(t, "holes played 9-17", by.Cards[0].Windows[0].Window)
	require.Equal(t, 9, by.Cards[0].Windows[0].Holes)
	require.Equal(t, 37, by.Cards[0].Windows[0].Gross)
}
