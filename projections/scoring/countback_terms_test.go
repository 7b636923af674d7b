package scoring_test

import (
	"math/big"
	"testing"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"marram.example/events"
	"marram.example/projections/handicap"
	"marram.example/projections/scoring"
)

func TestCountbackTermsOf(t *testing.T) {
	t.Parallel()
	got, err := scoring.CountbackTermsOf(&events.Terms{Rounds: 1})
	require.NoError(t, err)
	require.Equal(t, scoring.CountbackTerms{Share: scoring.ExactFraction, Of: scoring.OfPlaying}, got)
	got, err = scoring.CountbackTermsOf(&events.Terms{
		Rounds: 2, TieShare: "rounded_half_up", TieWindows: "hole_by_hole", TieHoles: "by_play", TieHandicap: "course",
	})
	require.NoError(t, err)
	require.Equal(t, scoring.CountbackTerms{
		Share: scoring.RoundedHalfUp, Of: scoring.OfCourse, Windows: scoring.ByPlay, Sequence: scoring.HoleByHole, SeveralRounds: true,
	}, got)
	for field, terms := range map[string]events.Terms{
		"share": {TieShare: "half"}, "tie_windows": {TieWindows: "all"}, "tie_holes": {TieHoles: "by_luck"}, "tie_handicap": {TieHandicap: "index"},
	} {
		_, err := scoring.CountbackTermsOf(&terms)
		requireField(t, err, field)
	}
	card := contender(t, scoring.StrokePlay(), "A", 0, medalCard, scoring.Net)
	for field, terms := range map[string]scoring.CountbackTerms{"sequence": {Sequence: 7}, "tie_handicap": {Of: "index"}} {
		_, err := scoring.StrokePlay().Countback([]scoring.Contender{card}, terms)
		requireField(t, err, field)
	}
}

func windowNames(r scoring.CountbackResult) (names []string) {
	for _, w := range r.Cards[0].Windows {
		names = append(names, w.Window)
	}
	return names
}

func TestCountbackHoleByHole(t *testing.T) {
	t.Parallel()
	format := scoring.StrokePlay()
	// Equal over the last nine, six, three and hole 18; on hole 17 B is better.
	cards := []scoring.Contender{
		contender(t, format, "A", 0, "4 4 3 5 4 3 4 4 5 4 5 4 3 4 4 3 6 4", scoring.Net),
		contender(t, format, "B", 0, "4 4 3 5 4 3 4 4 5 4 5 4 3 4 4 4 5 4", scoring.Net),
	}
	first, err := format.Countback(cards, scoring.CountbackTerms{})
	require.NoError(t, err)
	require.Equal(t, [][]string{{"A", "B"}}, first.Order, "the first nine are equal")
	result, err := format.Countback(cards, scoring.CountbackTerms{Sequence: scoring.HoleByHole})
	require.NoError(t, err)
	require.Equal(t, [][]string{{"B"}, {"A"}}, result.Order)
	require.Equal(t, "17", result.DecidedBy())
	require.Equal(t, []string{
		"10-18", "13-18", "16-18", "18", "17", "16", "15", "14", "13", "12", "11", "10", "9", "8", "7", "6", "5", "4", "3", "2", "1",
	}, windowNames(result))
	nine := contender(t, format, "A", 0, "4 4 3 5 4 3 4 4 5", scoring.Net)
	result, err = format.Countback([]scoring.Contender{nine}, scoring.CountbackTerms{Sequence: scoring.HoleByHole})
	require.NoError(t, err)
	require.Equal(t, []string{"4-9", "7-9", "9", "8", "7", "6", "5", "4", "3", "2", "1"}, windowNames(result))
}

func withCourse(t require.TestingT, id string, playing handicap.Playing, num, den int64, scores string) scoring.Contender {
	card := cardOf(playing, scores)
	course, err := handicap.NewCourse(num, den)
	require.NoError(t, err)
	card.Course = course
	r := mustScore(t, scoring.StrokePlay(), card, scoring.Net)
	return scoring.Contender{ID: id, Card: &r}
}

func TestCountbackWithTheCourseHandicap(t *testing.T) {
	t.Parallel()
	format := scoring.StrokePlay()
	// Both play off 12; the exact course handicaps of 12.4 and 11.6 (131/10 and 11.6) part them.
	cards := []scoring.Contender{
		withCourse(t, "A", 12, 116, 10, lastNine(41, 43)), withCourse(t, "B", 12, 1406, 113, lastNine(41, 43)),
	}
	result, err := format.Countback(cards, scoring.CountbackTerms{})
	require.NoError(t, err)
	require.Equal(t, [][]string{{"A", "B"}}, result.Order)
	result, err = format.Countback(cards, scoring.CountbackTerms{Of: scoring.OfCourse})
	require.NoError(t, err)
	require.Equal(t, [][]string{{"B"}, {"A"}}, result.Order)
	require.Equal(t, scoring.Decision{Window: "10-18", AboveValue: "3930/113", BelowValue: "176/5"}, result.Decided[0]) // 41 - 703/113, 41 - 29/5
	require.Equal(t, "703/113", result.Cards[0].Windows[0].Share)
	// Rounded, 5.8 and 6.22 are both 6 on nine holes; on six 3.87 and 4.15 are 4, on three 1.93 and 2.07 are 2, on one 1.
	result, err = format.Countback(cards, scoring.CountbackTerms{Of: scoring.OfCourse, Share: scoring.RoundedHalfUp})
	require.NoError(t, err)
	require.Equal(t, [][]string{{"A", "B"}}, result.Order)
	require.Equal(t, []string{"6", "4", "2", "1"}, []string{
		result.Cards[0].Windows[0].Share, result.Cards[0].Windows[1].Share, result.Cards[0].Windows[2].Share, result.Cards[0].Windows[3].Share,
	})
	// Denominators without a common one inside the bound are refused, not rounded.
	fine := []scoring.Contender{
		withCourse(t, "A", 12, 1, 99_999_989, lastNine(41, 43)), withCourse(t, "B", 12, 1, 99_999_971, lastNine(41, 43)),
	}
	_, err = format.Countback(fine, scoring.CountbackTerms{Of: scoring.OfCourse})
	requireField(t, err, "course_handicap")
}

// The share of a course handicap, worked out a second time with arbitrary precision.
func TestCourseShareAgainstBig(t *testing.T) {
	t.Parallel()
	rapid.Check(t, func(t *rapid.T) {
		cards := make([]scoring.Contender, 2)
		exact := make([]*big.Rat, 2)
		for i := range cards {
			num, den := rapid.Int64Range(-1130, 6000).Draw(t, "num"), rapid.SampledFrom([]int64{1, 10, 113, 1130, 11300, 113000}).Draw(t, "den")
			num = max(-50*den, min(100*den, num))
			strokes := rapid.IntRange(36, 50).Draw(t, "last nine")
			cards[i] = withCourse(t, string(rune('A'+i)), 10, num, den, lastNine(strokes, 45))
			exact[i] = new(big.Rat).Sub(big.NewRat(int64(strokes), 1), big.NewRat(num, 2*den))
		}
		result, err := scoring.StrokePlay().Countback(cards, scoring.CountbackTerms{Of: scoring.OfCourse})
		require.NoError(t, err)
		for _, c := range result.Cards {
			require.Equal(t, exact[c.ID[0]-'A'].RatString(), c.Windows[0].Value)
		}
		if by := exact[0].Cmp(exact[1]); by != 0 {
			require.Equal(t, "10-18", result.DecidedBy())
			require.Equal(t, by < 0, result.Order[0][0] == "A")
		}
	})
}

// Four-balls compare the net of the balls that count, never a share of a handicap; a foursomes has one handicap to share.
func TestCountbackOfSides(t *testing.T) {
	t.Parallel()
	format := scoring.StrokePlay()
	side := fourBall(t, format, partners...)
	result, err := format.Countback([]scoring.Contender{{ID: "A", Card: &side}}, scoring.CountbackTerms{})
	require.NoError(t, err)
	require.Equal(t, scoring.WindowValue{Window: "10-18", Holes: 9, Gross: 40, Value: "34"}, result.Cards[0].Windows[0])

	one := mustSide(t, format, events.Play{Side: events.SideFoursomes}, []scoring.Card{cardOf(13, medalCard)}, scoring.Net)
	result, err = format.Countback([]scoring.Contender{{ID: "A", Card: &one}}, scoring.CountbackTerms{})
	require.NoError(t, err)
	require.Equal(t, "13/2", result.Cards[0].Windows[0].Share)

	_, err = format.Countback([]scoring.Contender{{ID: "A", Card: &one}, {ID: "B", Card: &side}}, scoring.CountbackTerms{})
	requireField(t, err, "cards")
}

// The last round is compared as it was published: with what counts against it, whatever the share.
func TestTheLastRoundIsItsTotal(t *testing.T) {
	t.Parallel()
	format := scoring.StrokePlay()
	card := cardOf(13, medalCard)
	card.RoundPenalty = 2
	r := mustScore(t, format, card, scoring.Net)
	for _, share := range []scoring.Share{scoring.ExactFraction, scoring.RoundedHalfUp, scoring.AsAllocated} {
		result, err := format.Countback([]scoring.Contender{{ID: "A", Card: &r}}, scoring.CountbackTerms{Share: share, SeveralRounds: true})
		require.NoError(t, err)
		window := result.Cards[0].Windows[0]
		require.Equal(t, []any{"last round", 18, 79, "66"}, []any{window.Window, window.Holes, window.Gross, window.Value})
	}
}
