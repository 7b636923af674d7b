package scoring_test

import (
	"testing"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"marram.example/events"
	"marram.example/projections/scoring"
)

var noScore = scoring.Score{State: scoring.NoScore}

func TestRuleOnScore(t *testing.T) {
	t.Parallel()
	four := scoring.Strokes(4)
	for _, c := range []struct {
		name   string
		format scoring.Format
		hole   scoring.ReturnedScore
		out    bool
		figure int
		last   string // of the explanation
	}{
		{"right", scoring.StrokePlay(), scoring.ReturnedScore{Returned: four, Actual: four}, false, 4, "4 strokes"},
		{"higher stands", scoring.StrokePlay(), scoring.ReturnedScore{Returned: scoring.Strokes(6), Actual: four}, false, 6, "6 strokes"},
		{
			"lower", scoring.StrokePlay(), scoring.ReturnedScore{Returned: four, Actual: scoring.Strokes(5)}, true, 0,
			"lower than the actual score: disqualified",
		},
		{
			"no score", scoring.StrokePlay(), scoring.ReturnedScore{Returned: noScore, Actual: four}, true, 0,
			"a hole without a score: disqualified",
		},
		{
			"not holed out", scoring.StrokePlay(), scoring.ReturnedScore{Returned: four, Actual: noScore}, true, 0,
			"lower than the actual score: disqualified",
		},
		{
			"not certified", scoring.Stableford(), scoring.ReturnedScore{Returned: four, Actual: four, Par: 4, Uncertified: true}, true, 0,
			"the card was not certified by both player and marker: disqualified",
		},
		{
			"not returned", scoring.StrokePlay(), scoring.ReturnedScore{Returned: four, Actual: four, NotReturned: true}, true, 0,
			"the card was not returned in time: disqualified",
		},
		{
			"unknown penalty", scoring.StrokePlay(),
			scoring.ReturnedScore{Returned: four, Actual: scoring.Strokes(6), UnknownPenalty: 2}, false, 6, "6 strokes",
		},
		{
			"unknown penalty, and a stroke short", scoring.StrokePlay(),
			scoring.ReturnedScore{Returned: four, Actual: scoring.Strokes(7), UnknownPenalty: 2}, true, 0, "lower than the actual score: disqualified",
		},
		{
			"unknown penalty after the close", scoring.StrokePlay(),
			scoring.ReturnedScore{Returned: four, Actual: scoring.Strokes(6), UnknownPenalty: 2, Closed: true}, false, 4, "4 strokes",
		},
		{
			"lower, found after the close", scoring.StrokePlay(),
			scoring.ReturnedScore{Returned: four, Actual: scoring.Strokes(5), Closed: true}, true, 0, "lower than the actual score: disqualified",
		},
		{
			"no points either way", scoring.Stableford(),
			scoring.ReturnedScore{Returned: scoring.Strokes(6), Actual: scoring.Strokes(7), Par: 4}, false, 0, "0 points",
		},
		{
			"a point too many", scoring.Stableford(), scoring.ReturnedScore{Returned: four, Actual: scoring.Strokes(5), Par: 4}, true, 0,
			"lower than the actual score, and it changes what the hole counts: disqualified",
		},
		{"picked up", scoring.Stableford(), scoring.ReturnedScore{Returned: noScore, Actual: noScore, Par: 4}, false, 0, "0 points"},
		{
			"points after an unknown penalty", scoring.Stableford(),
			scoring.ReturnedScore{Returned: four, Actual: scoring.Strokes(5), UnknownPenalty: 1, Par: 4, Received: 1}, false, 2, "2 points",
		},
		{
			"over the maximum either way", scoring.MaximumScore(),
			scoring.ReturnedScore{Returned: scoring.Strokes(8), Actual: scoring.Strokes(9), Par: 4, Received: 1, Maximum: netDoubleBogey}, false, 7, "7 strokes",
		},
		{
			"under the maximum", scoring.MaximumScore(),
			scoring.ReturnedScore{Returned: scoring.Strokes(6), Actual: scoring.Strokes(9), Par: 4, Received: 1, Maximum: netDoubleBogey}, true, 0,
			"lower than the actual score, and it changes what the hole counts: disqualified",
		},
		{"lost either way", scoring.ParBogey(), scoring.ReturnedScore{Returned: scoring.Strokes(5), Actual: noScore, Par: 4}, false, -1, "lost, \u22121"},
		{"won either way, but not once an unknown penalty is added", scoring.ParBogey(),
			scoring.ReturnedScore{Returned: scoring.Strokes(2), Actual: four, UnknownPenalty: 1, Par: 4}, true, 0,
			"lower than the actual score, and it changes what the hole counts: disqualified"},
		{"won instead of tied", scoring.ParBogey(), scoring.ReturnedScore{Returned: scoring.Strokes(3), Actual: four, Par: 4}, true, 0,
			"lower than the actual score, and it changes what the hole counts: disqualified"},
	} {
		t.Run(c.name, func(t *testing.T) {
			t.Parallel()
			got, err := scoring.RuleOnScore(c.format, c.hole)
			require.NoError(t, err)
			require.Equal(t, c.out, got.Disqualified)
			require.Equal(t, c.figure, got.Figure)
			require.Equal(t, c.last, got.Words[len(got.Words)-1].Arithmetic)
			for _, line := range got.Words {
				require.NotEmpty(t, line.Rule)
			}
		})
	}
}

func TestRuleOnScoreSaysWhatWasAdded(t *testing.T) {
	t.Parallel()
	got, err := scoring.RuleOnScore(scoring.StrokePlay(), scoring.ReturnedScore{Returned: scoring.Strokes(5), Actual: scoring.Strokes(7), UnknownPenalty: 2})
	require.NoError(t, err)
	require.Equal(t, "returned 5, actual 7", got.Words[0].Arithmetic)
	require.Equal(t, "the committee adds the penalty of 2 that the player did not know of: 5 + 2 = 7", got.Words[1].Arithmetic)
	require.Equal(t, 7, got.Strokes)
}

func TestRuleOnScoreRefuses(t *testing.T) {
	t.Parallel()
	for _, c := range []struct {
		format scoring.Format
		hole   scoring.ReturnedScore
		field  string
	}{
		{scoring.StrokePlay(), scoring.ReturnedScore{Returned: scoring.Strokes(0), Actual: scoring.Strokes(4)}, "returned"},
		{scoring.StrokePlay(), scoring.ReturnedScore{Returned: scoring.Strokes(4), Actual: scoring.Strokes(100)}, "actual"},
		{scoring.StrokePlay(), scoring.ReturnedScore{Returned: scoring.Strokes(4), Actual: scoring.Strokes(4), UnknownPenalty: 4}, "unknown_penalty"},
		{scoring.StrokePlay(), scoring.ReturnedScore{Returned: scoring.Strokes(4), Actual: scoring.Strokes(4), UnknownPenalty: -1}, "unknown_penalty"},
		{scoring.Stableford(), scoring.ReturnedScore{Returned: scoring.Strokes(4), Actual: scoring.Strokes(4)}, "par"},
		{scoring.MaximumScore(), scoring.ReturnedScore{Returned: scoring.Strokes(4), Actual: scoring.Strokes(4), Par: 4, Maximum: events.Maximum{Kind: "ten"}}, "maximum"},
	} {
		got, err := scoring.RuleOnScore(c.format, c.hole)
		requireField(t, err, c.field)
		require.Zero(t, got)
	}
}

// Nobody gains by a wrong score: what counts is never better than what the actual score would have counted.
func TestAWrongScoreNeverHelps(t *testing.T) {
	t.Parallel()
	rapid.Check(t, func(t *rapid.T) {
		format := rapid.SampledFrom(scoring.Formats()).Draw(t, "format")
		hole := scoring.ReturnedScore{
			Returned: scoring.Strokes(rapid.IntRange(1, 12).Draw(t, "returned")), Actual: scoring.Strokes(rapid.IntRange(3, 12).Draw(t, "actual")),
			UnknownPenalty: rapid.IntRange(0, 2).Draw(t, "unknown"), Par: rapid.IntRange(3, 5).Draw(t, "par"), Received: rapid.IntRange(-1, 2).Draw(t, "received"),
			Maximum: netDoubleBogey,
		}
		got, err := scoring.RuleOnScore(format, hole)
		require.NoError(t, err)
		require.NotEmpty(t, got.Words)
		right := hole
		right.Returned, right.UnknownPenalty = hole.Actual, 0
		actual, err := scoring.RuleOnScore(format, right)
		require.NoError(t, err)
		require.False(t, actual.Disqualified)
		if !got.Disqualified {
			require.False(t, format.Direction.Better(got.Figure, actual.Figure))
		} else {
			require.Less(t, hole.Returned.Strokes, hole.Actual.Strokes)
		}
	})
}
