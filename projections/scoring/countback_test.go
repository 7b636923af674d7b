package scoring_test

import (
	"math/big"
	"slices"
	"strconv"
	"testing"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"marram.example/projections/handicap"
	"marram.example/projections/scoring"
)

func contender(t require.TestingT, format scoring.Format, id string, playing handicap.Playing, scores string, basis scoring.Basis) scoring.Contender {
	result := mustScore(t, format, cardOf(playing, scores), basis)
	return scoring.Contender{ID: id, Card: &result}
}

func TestCountbackOfThree(t *testing.T) {
	t.Parallel()
	format := scoring.StrokePlay()
	result, err := format.Countback([]scoring.Contender{
		contender(t, format, "A", 7, "4 4 4 5 4 4 4 4 5 5 6 3 4 4 5 3 7 5", scoring.Net),
		contender(t, format, "B", 7, "3 5 3 7 5 4 4 5 5 4 6 5 4 4 4 3 4 5", scoring.Net),
		contender(t, format, "C", 7, "3 5 3 5 4 3 5 4 6 6 6 3 4 5 4 3 5 6", scoring.Net),
	}, scoring.CountbackTerms{})
	require.NoError(t, err)
	require.Equal(t, [][]string{{"B"}, {"C"}, {"A"}}, result.Order)
	require.Equal(t, []scoring.Decision{
		{Window: "10-18", AboveValue: "71/2", BelowValue: "77/2"},
		{Window: "13-18", AboveValue: "74/3", BelowValue: "77/3"},
	}, result.Decided)
	require.Equal(t, "10-18", result.DecidedBy())
	require.Equal(t, "B", result.Cards[0].ID)
	require.Equal(t, scoring.WindowValue{Window: "10-18", Holes: 9, Gross: 39, Share: "7/2", Value: "71/2"}, result.Cards[0].Windows[0])
	var names []string
	for _, w := range result.Cards[0].Windows {
		names = append(names, w.Window)
	}
	require.Equal(t, []string{"10-18", "13-18", "16-18", "18", "4-9", "7-9", "9"}, names)
	require.Equal(t, scoring.WindowValue{Window: "18", Holes: 1, Gross: 5, Share: "7/18", Value: "83/18"}, result.Cards[0].Windows[3])
}

// lastNine makes a card with this total on holes 10 to 18, and so many strokes in all, gaps spread plainly.
func lastNine(lastNine, firstNine int) string {
	text := ""
	for place, total := range []int{firstNine, lastNine} {
		for hole := range 9 {
			strokes := total / 9
			if hole < total%9 {
				strokes++
			}
			if place+hole > 0 {
				text += " "
			}
			text += strconv.Itoa(strokes)
		}
	}
	return text
}

// The pairs are those of the reference: the methods give different winners.
func TestShareOfHandicap(t *testing.T) {
	t.Parallel()
	format := scoring.StrokePlay()
	for _, c := range []struct {
		share      scoring.Share
		in1, ph1   int
		in2, ph2   int
		first      string // of the last nine alone; empty for tied there
		val1, val2 string
	}{
		{scoring.ExactFraction, 42, 13, 43, 15, "", "71/2", "71/2"},
		{scoring.RoundedHalfUp, 42, 13, 43, 15, "", "35", "35"},
		{scoring.ExactFraction, 41, 11, 42, 12, "1", "71/2", "36"},
		{scoring.RoundedHalfUp, 41, 11, 42, 12, "1", "35", "36"},
		{scoring.ExactFraction, 41, 11, 41, 12, "2", "71/2", "35"},
		{scoring.RoundedHalfUp, 41, 11, 41, 12, "", "35", "35"},
		// A plus handicap: half of +3 is -1.5, which goes up to -1.
		{scoring.ExactFraction, 36, -3, 37, -1, "", "75/2", "75/2"},
		{scoring.RoundedHalfUp, 36, -3, 37, -1, "", "37", "37"},
	} {
		result, err := format.Countback([]scoring.Contender{
			contender(t, format, "1", handicap.Playing(c.ph1), lastNine(c.in1, 45), scoring.Net),
			contender(t, format, "2", handicap.Playing(c.ph2), lastNine(c.in2, 45), scoring.Net),
		}, scoring.CountbackTerms{Share: c.share})
		require.NoError(t, err)
		values := map[string]string{}
		for _, card := range result.Cards {
			require.Equal(t, "10-18", card.Windows[0].Window)
			values[card.ID] = card.Windows[0].Value
		}
		require.Equal(t, map[string]string{"1": c.val1, "2": c.val2}, values, "%+v", c)
		if c.first != "" {
			require.Equal(t, c.first, result.Order[0][0])
			require.Equal(t, "10-18", result.DecidedBy())
		} else {
			require.NotEqual(t, "10-18", result.DecidedBy())
		}
	}
}

func TestCountbackAsAllocated(t *testing.T) {
	t.Parallel()
	format := scoring.StrokePlay()
	// Of indexes 1 to 3 only hole 11 lies on the last nine: one stroke falls there, not one and a half.
	result, err := format.Countback([]scoring.Contender{
		contender(t, format, "A", 3, lastNine(39, 42), scoring.Net),
		contender(t, format, "B", 0, lastNine(38, 40), scoring.Net),
	}, scoring.CountbackTerms{Share: scoring.AsAllocated})
	require.NoError(t, err)
	require.Equal(t, "38", result.Cards[0].Windows[0].Value)
	require.Equal(t, "38", result.Cards[1].Windows[0].Value)
	require.Empty(t, result.Cards[0].Windows[0].Share)
	require.NotEqual(t, "10-18", result.DecidedBy())
}

func TestStablefordCountbackUsesPoints(t *testing.T) {
	t.Parallel()
	format := scoring.Stableford()
	for _, share := range []scoring.Share{"", scoring.ExactFraction, scoring.RoundedHalfUp, scoring.AsAllocated} {
		result, err := format.Countback([]scoring.Contender{
			// Last nine 18 points each, last six 12 and 13.
			contender(t, format, "first", 0, "4 4 3 5 4 3 4 4 5 4 5 4 3 4 4 3 5 4", scoring.Net),
			contender(t, format, "second", 0, "4 4 3 5 4 3 4 4 5 5 5 4 3 4 4 3 5 3", scoring.Net),
		}, scoring.CountbackTerms{Share: share})
		require.NoError(t, err)
		require.Equal(t, [][]string{{"second"}, {"first"}}, result.Order)
		require.Equal(t, scoring.Decision{Window: "13-18", AboveValue: "13", BelowValue: "12"}, result.Decided[0])
		require.Empty(t, result.Cards[0].Windows[0].Share)
	}
}

func TestGrossCountbackTakesNoShare(t *testing.T) {
	t.Parallel()
	format := scoring.StrokePlay()
	result, err := format.Countback([]scoring.Contender{
		contender(t, format, "A", 20, lastNine(40, 41), scoring.Gross),
		contender(t, format, "B", 2, lastNine(39, 42), scoring.Gross),
	}, scoring.CountbackTerms{})
	require.NoError(t, err)
	require.Equal(t, [][]string{{"B"}, {"A"}}, result.Order)
	require.Equal(t, scoring.WindowValue{Window: "10-18", Holes: 9, Gross: 39, Share: "0", Value: "39"}, result.Cards[0].Windows[0])
}

func TestCountbackOfNineHoles(t *testing.T) {
	t.Parallel()
	format := scoring.StrokePlay()
	result, err := format.Countback([]scoring.Contender{
		contender(t, format, "A", 6, "4 4 4 4 4 4 4 4 5", scoring.Net),
		contender(t, format, "B", 6, "5 4 4 4 4 4 4 4 4", scoring.Net),
	}, scoring.CountbackTerms{})
	require.NoError(t, err)
	require.Equal(t, [][]string{{"B"}, {"A"}}, result.Order)
	require.Equal(t, []scoring.WindowValue{
		{Window: "4-9", Holes: 6, Gross: 24, Share: "4", Value: "20"},
		{Window: "7-9", Holes: 3, Gross: 12, Share: "2", Value: "10"},
		{Window: "9", Holes: 1, Gross: 4, Share: "2/3", Value: "10/3"},
	}, result.Cards[0].Windows)

	back := func(scores string, holes []int) scoring.Contender {
		card := cardOf(0, scores)
		card.Holes = holes
		r := mustScore(t, format, card, scoring.Net)
		return scoring.Contender{ID: scores, Card: &r}
	}
	result, err = format.Countback([]scoring.Contender{back("4 4 4 4 4 4 4 4 5", numbers(10, 18)), back("5 4 4 4 4 4 4 4 4", numbers(10, 18))}, scoring.CountbackTerms{})
	require.NoError(t, err)
	require.Equal(t, "13-18", result.DecidedBy())
	scattered := []int{1, 2, 4, 5, 9, 11, 12, 14, 18}
	result, err = format.Countback([]scoring.Contender{back("4 4 4 4 4 4 4 4 5", scattered), back("5 4 4 4 4 4 4 4 4", scattered)}, scoring.CountbackTerms{})
	require.NoError(t, err)
	require.Equal(t, "last 6", result.DecidedBy())
}

func TestShotgunWindows(t *testing.T) {
	t.Parallel()
	format := scoring.StrokePlay()
	// Both take 74. A drops two strokes on hole 1, B on hole 16, and A starts at hole 7, so that hole 1 is late for A.
	level := slices.Clone(coursePar)
	start := func(id string, at, bogey int) scoring.Contender {
		strokes := slices.Clone(level)
		strokes[bogey-1] += 2
		card := scoring.Card{
			Holes: turned(numbers(1, 18), at-1), Par: turned(coursePar, at-1), StrokeIndex: turned(courseIndex, at-1), Scores: make([]scoring.Score, 18),
		}
		for i, n := range turned(strokes, at-1) {
			card.Scores[i] = scoring.Strokes(n)
		}
		r := mustScore(t, format, card, scoring.Net)
		return scoring.Contender{ID: id, Card: &r}
	}
	cards := []scoring.Contender{start("A", 7, 1), start("B", 1, 16)}
	result, err := format.Countback(cards, scoring.CountbackTerms{})
	require.NoError(t, err)
	require.Equal(t, [][]string{{"A"}, {"B"}}, result.Order)
	require.Equal(t, scoring.Decision{Window: "10-18", AboveValue: "36", BelowValue: "38"}, result.Decided[0])
	// By play, A's last nine are holes 16-18 and 1-6; both last nines contain the dropped strokes.
	result, err = format.Countback(cards, scoring.CountbackTerms{Windows: scoring.ByPlay})
	require.NoError(t, err)
	windows := map[string]int{}
	for _, card := range result.Cards {
		require.Equal(t, "holes played 10-18", card.Windows[0].Window)
		windows[card.ID] = card.Windows[0].Gross
	}
	require.Equal(t, map[string]int{"A": sumPar(16, 18) + sumPar(1, 6) + 2, "B": sumPar(10, 18) + 2}, windows)

	// A card listed by number that says where it began is the same card.
	strokes := slices.Clone(level)
	strokes[0] += 2
	listed := scoring.Card{Start: 7, Par: coursePar, StrokeIndex: courseIndex, Scores: make([]scoring.Score, 18)}
	for i, n := range strokes {
		listed.Scores[i] = scoring.Strokes(n)
	}
	r := mustScore(t, format, listed, scoring.Net)
	again, err := format.Countback([]scoring.Contender{{ID: "A", Card: &r}, cards[1]}, scoring.CountbackTerms{Windows: scoring.ByPlay})
	require.NoError(t, err)
	require.Equal(t, result, again)
}

func sumPar(from, to int) int {
	sum := 0
	for _, par := range coursePar[from-1 : to] {
		sum += par
	}
	return sum
}

func TestSeveralRoundsCompareTheLastRoundFirst(t *testing.T) {
	t.Parallel()
	format := scoring.StrokePlay()
	cards := []scoring.Contender{
		contender(t, format, "A", 0, lastNine(36, 38), scoring.Net),
		contender(t, format, "B", 0, lastNine(37, 35), scoring.Net),
	}
	result, err := format.Countback(cards, scoring.CountbackTerms{SeveralRounds: true})
	require.NoError(t, err)
	require.Equal(t, [][]string{{"B"}, {"A"}}, result.Order)
	require.Equal(t, scoring.Decision{Window: "last round", AboveValue: "72", BelowValue: "74"}, result.Decided[0])
}

func TestCountbackRefuses(t *testing.T) {
	t.Parallel()
	format := scoring.StrokePlay()
	good := contender(t, format, "A", 13, medalCard, scoring.Net)
	partial := contender(t, format, "B", 13, "5 4 5 4 5 . . . . . . . . . . . . .", scoring.Net)
	nine := contender(t, format, "B", 13, "5 4 5 4 5 4 4 4 4", scoring.Net)
	gross := contender(t, format, "B", 13, medalCard, scoring.Gross)
	points := contender(t, scoring.Stableford(), "B", 13, medalCard, scoring.Net)
	for _, cards := range [][]scoring.Contender{
		nil, {good, good}, {good, partial}, {good, nine}, {good, gross}, {good, points}, {{ID: "", Card: good.Card}}, {{ID: "B"}},
	} {
		result, err := format.Countback(cards, scoring.CountbackTerms{})
		requireField(t, err, "cards")
		require.Zero(t, result)
	}
	_, err := format.Countback([]scoring.Contender{good}, scoring.CountbackTerms{Share: "half"})
	requireField(t, err, "share")
	_, err = format.Countback([]scoring.Contender{good}, scoring.CountbackTerms{Windows: 5})
	requireField(t, err, "windows")
	result, err := format.Countback([]scoring.Contender{good}, scoring.CountbackTerms{})
	require.NoError(t, err)
	require.Equal(t, [][]string{{"A"}}, result.Order)
	require.Empty(t, result.DecidedBy())
}

// drawContenders draws cards of one hole list that are likely to tie: of one player each, or of a four-ball.
func drawContenders(t *rapid.T, format scoring.Format, holes int) []scoring.Contender {
	fourBalls := rapid.Bool().Draw(t, "four-balls")
	excluded := rapid.IntRange(-3*holes, holes-1).Draw(t, "excluded")
	ball := func(start int) scoring.Card {
		card := drawCard(t, holes, false)
		card.StrokeIndex = courseIndex[:holes]
		card.Playing = handicap.Playing(rapid.IntRange(-1, 2).Draw(t, "playing handicap"))
		card.Course = handicap.Course{Num: int64(rapid.IntRange(-113, 226).Draw(t, "course handicap")), Den: 113}
		for j := range card.Scores {
			card.Scores[j] = scoring.Strokes(4)
			if rapid.IntRange(0, 9).Draw(t, "odd") == 0 {
				card.Scores[j] = scoring.Strokes(rapid.IntRange(4, 5).Draw(t, "strokes"))
			}
		}
		if excluded >= 0 {
			card.Scores[excluded] = scoring.Score{State: scoring.Excluded}
		}
		card.Holes, card.Par, card.StrokeIndex, card.Scores = turned(numbers(1, holes), start), turned(card.Par, start), turned(card.StrokeIndex, start), turned(card.Scores, start)
		return card
	}
	contenders := make([]scoring.Contender, rapid.IntRange(1, 7).Draw(t, "cards"))
	for i := range contenders {
		start := rapid.IntRange(0, holes-1).Draw(t, "start")
		var result scoring.Result
		if fourBalls {
			result = fourBall(t, format, ball(start), ball(start))
		} else {
			result = mustScore(t, format, ball(start), scoring.Net)
		}
		contenders[i] = scoring.Contender{ID: string(rune('A' + i)), Card: &result}
	}
	return contenders
}

func drawTerms(t *rapid.T) scoring.CountbackTerms {
	return scoring.CountbackTerms{
		Share:         rapid.SampledFrom([]scoring.Share{scoring.ExactFraction, scoring.RoundedHalfUp, scoring.AsAllocated}).Draw(t, "share"),
		Of:            rapid.SampledFrom([]scoring.ShareOf{scoring.OfPlaying, scoring.OfCourse}).Draw(t, "of"),
		Windows:       rapid.SampledFrom([]scoring.Windows{scoring.ByNumber, scoring.ByPlay}).Draw(t, "windows"),
		Sequence:      rapid.SampledFrom([]scoring.Sequence{scoring.FirstNine, scoring.HoleByHole}).Draw(t, "sequence"),
		SeveralRounds: rapid.Bool().Draw(t, "several rounds"),
	}
}

func TestCountbackIsATotalPreorder(t *testing.T) {
	t.Parallel()
	rapid.Check(t, func(t *rapid.T) {
		format := rapid.SampledFrom(scoring.Formats()).Draw(t, "format")
		contenders := drawContenders(t, format, rapid.SampledFrom([]int{9, 18}).Draw(t, "holes"))
		terms := drawTerms(t)
		whole, err := format.Countback(contenders, terms)
		require.NoError(t, err)

		shuffled, err := format.Countback(rapid.Permutation(contenders).Draw(t, "order"), terms)
		require.NoError(t, err)
		require.Equal(t, whole, shuffled, "the order of the list does not matter")

		group := map[string]int{}
		for i, ids := range whole.Order {
			for _, id := range ids {
				group[id] = i
			}
		}
		require.Len(t, group, len(contenders), "every card is in exactly one group")
		require.Len(t, whole.Decided, len(whole.Order)-1)
		for _, a := range contenders {
			for _, b := range contenders {
				if a.ID >= b.ID {
					continue
				}
				pair, err := format.Countback([]scoring.Contender{a, b}, terms)
				require.NoError(t, err)
				// Two cards compare alone as they do among all: that is transitivity.
				switch {
				case group[a.ID] == group[b.ID]:
					require.Equal(t, [][]string{{a.ID, b.ID}}, pair.Order)
				case group[a.ID] < group[b.ID]:
					require.Equal(t, [][]string{{a.ID}, {b.ID}}, pair.Order)
				default:
					require.Equal(t, [][]string{{b.ID}, {a.ID}}, pair.Order)
				}
			}
		}
	})
}

// The exact share, worked out a second time with arbitrary precision from the scores alone.
func TestExactShareAgainstBig(t *testing.T) {
	t.Parallel()
	format := scoring.StrokePlay()
	spans := map[int][][2]int{18: {{10, 18}, {13, 18}, {16, 18}, {18, 18}, {4, 9}, {7, 9}, {9, 9}}, 9: {{4, 9}, {7, 9}, {9, 9}}}
	rapid.Check(t, func(t *rapid.T) {
		holes := rapid.SampledFrom([]int{9, 18}).Draw(t, "holes")
		card := drawCard(t, holes, false)
		scored := mustScore(t, format, card, scoring.Net)
		result, err := format.Countback([]scoring.Contender{{ID: "A", Card: &scored}}, scoring.CountbackTerms{})
		require.NoError(t, err)
		require.Len(t, result.Cards[0].Windows, len(spans[holes]))
		for i, span := range spans[holes] {
			want := new(big.Rat).Mul(big.NewRat(-int64(card.Playing), int64(holes)), big.NewRat(int64(span[1]-span[0]+1), 1))
			for hole := span[0]; hole <= span[1]; hole++ {
				want.Add(want, big.NewRat(int64(card.Scores[hole-1].Strokes), 1))
			}
			require.Equal(t, want.RatString(), result.Cards[0].Windows[i].Value)
		}
	})
}
