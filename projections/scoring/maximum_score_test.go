package scoring_test

import (
	"testing"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"marram.example/events"
	"marram.example/projections/scoring"
)

const maximumCard = "5 9 4 5 4 4 - 4 5 4 4 5 3 4 4 5 4 4"

func grosses(r scoring.Result) []int {
	gross := make([]int, len(r.Holes))
	for i, h := range r.Holes {
		gross[i] = h.Gross
	}
	return gross
}

func TestMaximumScore(t *testing.T) {
	t.Parallel()
	counted := []int{5, 7, 4, 5, 4, 4, 7, 4, 5, 4, 4, 5, 3, 4, 4, 5, 4, 4}
	net := mustScore(t, scoring.MaximumScore(), cardOf(15, maximumCard), scoring.Net)
	require.Equal(t, counted, grosses(net))
	require.True(t, net.Complete)
	require.Equal(t, []int{82, 67, 67, 67 - 72}, []int{net.Total.Gross, net.Total.Net, net.Value, net.Live})
	require.True(t, net.Total.AllScored())
	gross := mustScore(t, scoring.MaximumScore(), cardOf(15, maximumCard), scoring.Gross)
	require.Equal(t, counted, grosses(gross), "the maximum goes by the playing handicap on the gross basis too")
	require.Equal(t, []int{82, 82}, []int{gross.Value, gross.Total.Net})
}

func TestMaximumOf(t *testing.T) {
	t.Parallel()
	for _, c := range []struct {
		maximum             events.Maximum
		par, received, most int
	}{
		{events.Maximum{Kind: events.NetDoubleBogey}, 4, 0, 6},
		{events.Maximum{Kind: events.NetDoubleBogey}, 5, 2, 9},
		{events.Maximum{Kind: events.NetDoubleBogey}, 3, -1, 4},
		{events.Maximum{Kind: events.NetDoubleBogey}, 3, -6, 1},
		{events.Maximum{Kind: events.DoublePar}, 3, 2, 6},
		{events.Maximum{Kind: events.FixedStrokes, Strokes: 10}, 3, 0, 10},
	} {
		require.Equal(t, c.most, scoring.MaximumOf(c.maximum, c.par, c.received), "%+v", c)
	}
	for _, m := range []events.Maximum{{}, {Kind: "triple_par"}, {Kind: events.FixedStrokes}, {Kind: events.FixedStrokes, Strokes: 100}} {
		requireField(t, scoring.ValidateMaximum(m), "maximum")
		card := cardOf(0, medalCard)
		card.Maximum = m
		_, err := scoring.MaximumScore().Score(card, scoring.Net)
		requireField(t, err, "maximum")
		_, err = scoring.StrokePlay().Score(card, scoring.Net)
		require.NoError(t, err, "no other format looks at it")
	}
}

func TestMaximumScorePenalties(t *testing.T) {
	t.Parallel()
	card := cardOf(0, "5 5 3 5 4 3 4 4 5 4 5 4 3 4 4 3 5 4")
	card.Penalties = with(make([]int, 18), 0, 2)
	r := mustScore(t, scoring.MaximumScore(), card, scoring.Net)
	require.Equal(t, 6, r.Holes[0].Gross, "a penalty does not lift a hole over the maximum")
	require.Equal(t, "5 + 2 penalty strokes, reduced to the maximum of 6, +2 to par 4", r.ExplainHole(0).Arithmetic)
	require.Equal(t, "5, +1 to par 4", r.ExplainHole(1).Arithmetic)
}

func TestMaximumScoreExplains(t *testing.T) {
	t.Parallel()
	r := mustScore(t, scoring.MaximumScore(), cardOf(15, maximumCard), scoring.Net)
	require.Equal(t, "9, reduced to the maximum of 7; 7 - 1 = 6, +2 to par 4", r.ExplainHole(1).Arithmetic)
	require.Equal(t, "no score: the maximum of 7 counts; 7 - 1 = 6, +2 to par 4", r.ExplainHole(6).Arithmetic)
	require.Equal(t, "82 - 15 = 67", r.ExplainTotal()[1].Arithmetic)
}

// A maximum never makes a card worse, and a maximum beyond reach leaves stroke play.
func TestMaximumOnlyHelps(t *testing.T) {
	t.Parallel()
	rapid.Check(t, func(t *rapid.T) {
		card := drawCard(t, 18, false)
		medal := mustScore(t, scoring.StrokePlay(), card, scoring.Net)
		capped := mustScore(t, scoring.MaximumScore(), card, scoring.Net)
		require.LessOrEqual(t, capped.Value, medal.Value)
		for i, h := range capped.Holes {
			require.LessOrEqual(t, h.NetToPar, 2)
			require.Equal(t, min(medal.Holes[i].NetToPar, 2), h.NetToPar)
		}
		card.Maximum = events.Maximum{Kind: events.FixedStrokes, Strokes: 99}
		require.Equal(t, medal.Value, mustScore(t, scoring.MaximumScore(), card, scoring.Net).Value)
	})
}
