package scoring_test

import (
	"slices"
	"testing"

	"github.com/stretchr/testify/require"

	"marram.example/projections/scoring"
)

const medalCard = "5 4 5 4 5 3 4 4 5 5 5 5 4 4 5 2 4 4"

func TestCardsRefused(t *testing.T) {
	t.Parallel()
	for _, c := range []struct {
		name   string
		change func(*scoring.Card)
		field  string
	}{
		{"no holes", func(c *scoring.Card) { *c = scoring.Card{} }, "par"},
		{"seventeen pars", func(c *scoring.Card) { c.Par = c.Par[:17] }, "par"},
		{"par 2", func(c *scoring.Card) { c.Par = with(c.Par, 3, 2) }, "par"},
		{"par 7", func(c *scoring.Card) { c.Par = with(c.Par, 3, 7) }, "par"},
		{"seventeen scores", func(c *scoring.Card) { c.Scores = c.Scores[:17] }, "scores"},
		{"zero strokes", func(c *scoring.Card) { c.Scores = with(c.Scores, 0, scoring.Strokes(0)) }, "scores"},
		{"a hundred strokes", func(c *scoring.Card) { c.Scores = with(c.Scores, 0, scoring.Strokes(100)) }, "scores"},
		{"negative strokes", func(c *scoring.Card) { c.Scores = with(c.Scores, 0, scoring.Strokes(-4)) }, "scores"},
		{"picked up with strokes", func(c *scoring.Card) {
			c.Scores = with(c.Scores, 0, scoring.Score{State: scoring.PickedUp, Strokes: 5})
		}, "scores"},
		{"unknown state", func(c *scoring.Card) { c.Scores = with(c.Scores, 0, scoring.Score{State: 9}) }, "scores"},
		{"no stroke indexes", func(c *scoring.Card) { c.StrokeIndex = nil }, "stroke_index"},
		{"nine stroke indexes", func(c *scoring.Card) { c.StrokeIndex = c.StrokeIndex[:9] }, "stroke_index"},
		{"repeated stroke index", func(c *scoring.Card) { c.StrokeIndex = with(c.StrokeIndex, 0, 11) }, "stroke_index"},
		{"stroke index 19", func(c *scoring.Card) { c.StrokeIndex = with(c.StrokeIndex, 0, 19) }, "stroke_index"},
		{"absurd handicap", func(c *scoring.Card) { c.Playing = 1300 }, "playing_handicap"},
		{"strokes that do not add up", func(c *scoring.Card) { c.Received = make([]int, 18) }, "received"},
		{"strokes of nine holes", func(c *scoring.Card) { c.Received = make([]int, 9) }, "received"},
		{"hole numbers of nine", func(c *scoring.Card) { c.Holes = []int{1, 2, 3, 4, 5, 6, 7, 8, 9} }, "holes"},
		{"start off the card", func(c *scoring.Card) { c.Start = 19 }, "start"},
		{"start on a hole not in play", func(c *scoring.Card) { c.Holes, c.Start = numbers(1, 18), -1 }, "start"},
		{"hole 19", func(c *scoring.Card) { c.Holes = with(numbers(1, 18), 0, 19) }, "holes"},
		{"hole twice", func(c *scoring.Card) { c.Holes = with(numbers(1, 18), 0, 18) }, "holes"},
	} {
		t.Run(c.name, func(t *testing.T) {
			t.Parallel()
			for _, format := range scoring.Formats() {
				card := cardOf(13, medalCard)
				c.change(&card)
				result, err := format.Score(card, scoring.Net)
				requireField(t, err, c.field)
				require.Zero(t, result)
			}
		})
	}
	_, err := scoring.StrokePlay().Score(cardOf(0, medalCard), scoring.Basis(7))
	requireField(t, err, "basis")
}

func TestGrossNeedsNoStrokeIndex(t *testing.T) {
	t.Parallel()
	card := cardOf(13, medalCard)
	card.StrokeIndex = nil
	result, err := scoring.StrokePlay().Score(card, scoring.Gross)
	require.NoError(t, err)
	require.Equal(t, 77, result.Value)
}

func TestFormatByName(t *testing.T) {
	t.Parallel()
	for _, format := range scoring.Formats() {
		found, err := scoring.FormatByName(format.Name)
		require.NoError(t, err)
		require.Equal(t, format.Name, found.Name)
		require.NotEmpty(t, format.Rule)
	}
	for _, name := range []string{"", "Stableford", "croquet"} {
		_, err := scoring.FormatByName(name)
		requireField(t, err, "format")
	}
}

func TestScoreStates(t *testing.T) {
	t.Parallel()
	require.False(t, scoring.Score{}.Entered())
	require.True(t, scoring.Score{State: scoring.PickedUp}.Entered())
	require.Equal(t, "5", scoring.Strokes(5).String())
	require.Equal(t, "picked up", scoring.Score{State: scoring.PickedUp}.String())
	require.Equal(t, "no score", scoring.Score{State: scoring.NoScore}.String())
	require.Equal(t, "not entered", scoring.Score{}.String())
	require.Equal(t, "state 9", scoring.State(9).String())
}

func TestImpossibleStrokes(t *testing.T) {
	t.Parallel()
	for strokes, impossible := range map[int]bool{-1: true, 0: true, 1: false, 99: false, 100: true} {
		require.Equal(t, impossible, scoring.Impossible(strokes), "%d", strokes)
	}
}

func with[T any](values []T, place int, value T) []T {
	changed := slices.Clone(values)
	changed[place] = value
	return changed
}

// numbers lists hole numbers from one to another.
func numbers(from, to int) []int {
	var list []int
	for n := from; n <= to; n++ {
		list = append(list, n)
	}
	return list
}
