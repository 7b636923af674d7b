package scoring_test

import (
	"testing"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"marram.example/projections/scoring"
)

const (
	levelCard = "4 4 3 5 4 3 4 4 5 4 5 4 3 4 4 3 5 4"
	blankCard = ". . . . . . . . . . . . . . . . . ."
)

func rounds(t require.TestingT, format scoring.Format, cards ...string) []*scoring.Result {
	out := make([]*scoring.Result, len(cards))
	for i, card := range cards {
		if card != "" {
			r := mustScore(t, format, cardOf(0, card), scoring.Net)
			out[i] = &r
		}
	}
	return out
}

func TestRounds(t *testing.T) {
	t.Parallel()
	over := "6" + levelCard[1:]
	for _, c := range []struct {
		name    string
		cards   []string
		of      int
		want    scoring.Total
		lastHas int // holes played on the last card
	}{
		{"both", []string{over, levelCard}, 2, scoring.Total{Value: 146, Complete: true, Live: 2, HasLive: true, Level: 144, Played: 2}, 18},
		{"in the second", []string{over, "3 4 . . . . . . . . . . . . . . . ."}, 2, scoring.Total{Value: 81, Live: 1, HasLive: true, Level: 144, Played: 1}, 2},
		{"before the second", []string{over, blankCard}, 2, scoring.Total{Value: 74, Live: 2, HasLive: true, Level: 144, Played: 1}, 0},
		{"no second card yet", []string{over, ""}, 2, scoring.Total{Value: 74, Live: 2, HasLive: true, Level: 72, Played: 1}, 18},
		{"no total possible", []string{"x" + levelCard[1:], levelCard}, 2, scoring.Total{Value: 140, Level: 144, Played: 1, Lacking: 1}, 18},
		{"one of one", []string{levelCard}, 1, scoring.Total{Value: 72, Complete: true, HasLive: true, Level: 72, Played: 1}, 18},
	} {
		t.Run(c.name, func(t *testing.T) {
			t.Parallel()
			got, err := scoring.Rounds(rounds(t, scoring.StrokePlay(), c.cards...), c.of)
			require.NoError(t, err)
			require.Equal(t, c.lastHas, got.Last.HolesPlayed)
			c.want.Unit, got.Last = scoring.UnitStrokes, nil
			require.Equal(t, c.want, got)
		})
	}
}

func TestRoundsMixFormatsOfOneUnitOnly(t *testing.T) {
	t.Parallel()
	score := func(f scoring.Format) *scoring.Result {
		r := mustScore(t, f, cardOf(0, levelCard), scoring.Net)
		return &r
	}
	total, err := scoring.Rounds([]*scoring.Result{score(scoring.StrokePlay()), score(scoring.MaximumScore())}, 2)
	require.NoError(t, err)
	require.Equal(t, 144, total.Value)
	for _, other := range []scoring.Format{scoring.Stableford(), scoring.ParBogey()} {
		_, err = scoring.Rounds([]*scoring.Result{score(scoring.StrokePlay()), score(other)}, 2)
		requireField(t, err, "format")
	}
	gross := mustScore(t, scoring.StrokePlay(), cardOf(0, levelCard), scoring.Gross)
	_, err = scoring.Rounds([]*scoring.Result{score(scoring.StrokePlay()), &gross}, 2)
	requireField(t, err, "format")
	for _, of := range []int{0, 1} {
		_, err = scoring.Rounds([]*scoring.Result{nil, nil}, of)
		requireField(t, err, "rounds")
	}
	total, err = scoring.Rounds(nil, 3)
	require.NoError(t, err)
	require.Zero(t, total)
}

func TestRankOfSeveralRounds(t *testing.T) {
	t.Parallel()
	format := scoring.StrokePlay()
	over, under := "5"+levelCard[1:], "3"+levelCard[1:]
	total := func(cards ...string) scoring.Total {
		sum, err := scoring.Rounds(rounds(t, format, cards...), 2)
		require.NoError(t, err)
		return sum
	}
	entries := []scoring.Entry{
		total(over).FinalEntry("missed by one", scoring.MissedCut),
		total(levelCard, levelCard).FinalEntry("even", ""),
		total(over, under).FinalEntry("better last round", ""),
		total("x"+levelCard[1:]).FinalEntry("no total", scoring.NoReturn),
		total(levelCard).FinalEntry("missed by less", scoring.MissedCut),
		total(levelCard, blankCard).FinalEntry("still out", ""),
		total("x"+levelCard[1:]).FinalEntry("missed without a total", scoring.MissedCut),
	}
	places, err := scoring.Rank(entries, scoring.RankTerms{
		Format: format, Ties: scoring.ByCountback, Countback: scoring.CountbackTerms{SeveralRounds: true},
	})
	require.NoError(t, err)
	require.Equal(t, []string{
		"1 better last round", "2 even", "missed by less", "missed by one", "missed without a total", "still out", "no total",
	}, lines(places))
	require.Equal(t, "last round", places[0].Countback.DecidedBy())

	live, err := scoring.Rank([]scoring.Entry{
		total(levelCard, blankCard).LiveEntry("A", ""), total(over, "3"+blankCard[1:]).LiveEntry("B", ""), total(levelCard, "3"+blankCard[1:]).LiveEntry("C", ""),
	}, scoring.RankTerms{Format: format, Ties: scoring.ByCountback})
	require.NoError(t, err)
	require.Equal(t, []string{"1 C", "T2 A", "T2 B"}, lines(live))
}

// The total of rounds is the sum of their totals, in any order.
func TestRoundsAddUp(t *testing.T) {
	t.Parallel()
	rapid.Check(t, func(t *rapid.T) {
		format := rapid.SampledFrom(scoring.Formats()).Draw(t, "format")
		results := make([]*scoring.Result, rapid.IntRange(1, 4).Draw(t, "rounds"))
		sum := 0
		for i := range results {
			r := mustScore(t, format, drawCard(t, 18, false), scoring.Net)
			results[i] = &r
			sum += r.Value
		}
		total, err := scoring.Rounds(results, len(results))
		require.NoError(t, err)
		require.True(t, total.Complete)
		require.Equal(t, sum, total.Value)
		require.Equal(t, sum, total.Live+total.Level, "live ends in the total")
		turnedTotal, err := scoring.Rounds(turned(results, 1), len(results))
		require.NoError(t, err)
		require.Equal(t, total.Value, turnedTotal.Value)
	})
}
