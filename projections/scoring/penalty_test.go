package scoring_test

import (
	"testing"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"marram.example/projections/scoring"
)

func TestPenaltiesInStrokePlay(t *testing.T) {
	t.Parallel()
	card := cardOf(13, medalCard)
	card.Penalties = with(make([]int, 18), 1, 2)
	r := mustScore(t, scoring.StrokePlay(), card, scoring.Net)
	require.Equal(t, []int{79, 66, 66, 41}, []int{r.Total.Gross, r.Total.Net, r.Value, r.Out.Gross})
	require.Equal(t, []int{2, 6, 5}, []int{r.Holes[1].Penalty, r.Holes[1].Gross, r.Holes[1].Net})
	require.Equal(t, scoring.Strokes(4), r.Holes[1].Score, "what the card says stays")
	require.Equal(t, "4 + 2 penalty strokes - 1 = 5, +1 to par 4", r.ExplainHole(1).Arithmetic)

	card.RoundPenalty = 1
	r = mustScore(t, scoring.StrokePlay(), card, scoring.Net)
	require.Equal(t, []int{80, 67, 67, -5, 41}, []int{r.Total.Gross, r.Total.Net, r.Value, r.Live, r.Out.Gross})
	var texts []string
	for _, line := range r.ExplainTotal() {
		texts = append(texts, line.Arithmetic)
	}
	require.Equal(t, []string{"41 out + 38 in = 79", "79 + 1 = 80", "80 - 13 = 67", "67 - par 72 on 18 holes = \u22125"}, texts)
}

func TestPenaltiesInStableford(t *testing.T) {
	t.Parallel()
	card := cardOf(13, medalCard)
	before := mustScore(t, scoring.Stableford(), card, scoring.Net)
	card.Penalties = with(make([]int, 18), 1, 1)
	r := mustScore(t, scoring.Stableford(), card, scoring.Net)
	require.Equal(t, before.Value-1, r.Value)
	require.Equal(t, "2 + par 4 + 1 received - (4 + 1 penalty stroke) = 2", r.ExplainHole(1).Arithmetic)
	card.RoundPenalty = 2
	r = mustScore(t, scoring.Stableford(), card, scoring.Net)
	require.Equal(t, []int{before.Value - 3, before.Value - 3, before.Total.Gross + 1}, []int{r.Value, r.Total.Points, r.Total.Gross})
	require.Equal(t, before.Value-36-3, r.Live)
}

func TestPenaltiesRefused(t *testing.T) {
	t.Parallel()
	for field, change := range map[string]func(*scoring.Card){
		"penalties":     func(c *scoring.Card) { c.Penalties = with(make([]int, 18), 4, -1) },
		"round_penalty": func(c *scoring.Card) { c.RoundPenalty = -1 },
	} {
		card := cardOf(13, medalCard)
		change(&card)
		_, err := scoring.StrokePlay().Score(card, scoring.Net)
		requireField(t, err, field)
	}
	card := cardOf(13, medalCard)
	card.Penalties = make([]int, 9)
	_, err := scoring.StrokePlay().Score(card, scoring.Net)
	requireField(t, err, "penalties")
}

// A penalty on a hole that was holed is the same as that many strokes more.
func TestAPenaltyIsAStroke(t *testing.T) {
	t.Parallel()
	rapid.Check(t, func(t *rapid.T) {
		card := drawCard(t, 18, true)
		more := card
		more.Scores = with(card.Scores, 0, card.Scores[0])
		card.Penalties = make([]int, 18)
		for i, s := range card.Scores {
			if s.State == scoring.Holed {
				card.Penalties[i] = rapid.IntRange(0, 2).Draw(t, "penalty")
				more.Scores[i].Strokes += card.Penalties[i]
			}
		}
		for _, format := range scoring.Formats() {
			a, b := mustScore(t, format, card, scoring.Net), mustScore(t, format, more, scoring.Net)
			require.Equal(t, b.Total, a.Total)
			require.Equal(t, b.Live, a.Live)
		}
	})
}
