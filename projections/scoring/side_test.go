package scoring_test

import (
	"testing"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"marram.example/events"
	"marram.example/projections/handicap"
	"marram.example/projections/scoring"
)

// The four-ball of the reference.
var partners = []scoring.Card{
	cardOf(8, "6 5 - 6 5 3 4 6 5 6 6 5 5 3 4 3 7 3"),
	cardOf(17, "5 4 3 5 4 5 3 4 6 - 6 4 4 5 5 4 7 4"),
}

func mustSide(t require.TestingT, format scoring.Format, play events.Play, balls []scoring.Card, basis scoring.Basis) scoring.Result {
	result, err := scoring.ScoreSide(format, play, balls, basis)
	require.NoError(t, err)
	return result
}

func fourBall(t require.TestingT, format scoring.Format, balls ...scoring.Card) scoring.Result {
	return mustSide(t, format, events.Play{Side: events.SideFourBall}, balls, scoring.Net)
}

func figures(r scoring.Result) []int {
	out := make([]int, len(r.Holes))
	for i, h := range r.Holes {
		out[i] = h.Figure
	}
	return out
}

func TestFourBall(t *testing.T) {
	t.Parallel()
	r := fourBall(t, scoring.StrokePlay(), partners...)
	require.Equal(t, []int{4, 3, 2, 4, 3, 3, 2, 3, 5, 5, 5, 3, 4, 2, 3, 3, 6, 3}, figures(r))
	require.True(t, r.Complete)
	require.Equal(t, []int{63, 63, 63 - 72, 72, 18}, []int{r.Value, r.Total.Net, r.Live, r.Level, r.Total.Scored})
	require.Equal(t, events.SideFourBall, r.Side)
	require.Len(t, r.Balls, 2)
	require.False(t, r.Balls[0].Complete, "each ball by itself has a gap")
	require.Equal(t, []int{1}, r.Holes[2].By)
	require.Equal(t, []int{0}, r.Holes[9].By)
	require.Equal(t, []int{0}, r.Holes[10].By, "6 - 1 of both: the first counts")
	require.Equal(t, []int{1}, r.Holes[10].Equal)
	require.Nil(t, r.Holes[0].Equal)
	require.Equal(t, 45, fourBall(t, scoring.Stableford(), partners...).Value)

	require.Equal(t, "ball 1 no score, ball 2 2: ball 2 counts", r.ExplainHole(2).Arithmetic)
	require.Equal(t, "ball 1 5, ball 2 5: ball 1 counts; ball 2 is as good", r.ExplainHole(10).Arithmetic)
	require.Equal(t, "Rules of Golf 23.2", r.ExplainHole(16).Rule)
	total := r.ExplainTotal()
	require.Equal(t, "the better of two balls on each hole", total[0].Arithmetic)
	require.Equal(t, "63 - par 72 on 18 holes = \u22129", total[len(total)-1].Arithmetic)
}

// Both take 4 and the second has a stroke; the card shows only the first's score: that one counts (clarification 23.2b/1).
func TestFourBallIdentification(t *testing.T) {
	t.Parallel()
	r := fourBall(t, scoring.StrokePlay(), cardOf(0, "4 . . . . . . . . . . . . . . . . ."), cardOf(18, ". . . . . . . . . . . . . . . . . ."))
	require.Equal(t, []any{4, []int{0}, 1, true, 0}, []any{r.Holes[0].Net, r.Holes[0].By, r.HolesPlayed, r.HasLive, r.Live})
}

func TestFourBallInProgress(t *testing.T) {
	t.Parallel()
	for _, c := range []struct {
		name         string
		first, other string // hole 1
		format       scoring.Format
		played, live int
		lacking      int
	}{
		{"one partner is enough", "5", ".", scoring.StrokePlay(), 1, 1, 0},
		{"a partner who picked up leaves it to the other", "x", ".", scoring.StrokePlay(), 0, 0, 0},
		{"then the other's counts", "x", "3", scoring.StrokePlay(), 1, -1, 0},
		{"neither has a score", "x", "-", scoring.StrokePlay(), 1, 0, 1},
		{"neither has points", "x", "-", scoring.Stableford(), 1, -2, 0},
		{"no points of one say nothing yet", "x", ".", scoring.Stableford(), 0, 0, 0},
		{"lost", "x", "x", scoring.ParBogey(), 1, -1, 0},
		{"the maximum", "x", "x", scoring.MaximumScore(), 1, 2, 0},
		{"better than the maximum", "x", "5", scoring.MaximumScore(), 1, 1, 0},
	} {
		t.Run(c.name, func(t *testing.T) {
			t.Parallel()
			rest := " . . . . . . . . . . . . . . . . ."
			r := fourBall(t, c.format, cardOf(0, c.first+rest), cardOf(0, c.other+rest))
			require.Equal(t, c.played, r.HolesPlayed)
			require.Equal(t, c.lacking, r.Lacking)
			require.Equal(t, c.played > 0 && c.lacking == 0, r.HasLive)
			require.Equal(t, c.live, r.Live)
			require.False(t, r.Complete)
		})
	}
}

// A partner of another tee: the level is that of the ball that counts.
func TestFourBallOfTwoTees(t *testing.T) {
	t.Parallel()
	other := cardOf(0, "5 . . . . . . . . . . . . . . . . .")
	other.Par = with(other.Par, 0, 5)
	r := fourBall(t, scoring.StrokePlay(), cardOf(0, "6 . . . . . . . . . . . . . . . . ."), other)
	require.Equal(t, []int{1}, r.Holes[0].By)
	require.Equal(t, []int{4, 5, 0, 0, 73}, []int{r.Holes[0].Par, r.Holes[0].Level, r.Live, r.Holes[0].GrossToPar, r.Level})
}

func TestPenaltiesOfASide(t *testing.T) {
	t.Parallel()
	balls := []scoring.Card{partners[0], partners[1]}
	balls[0].RoundPenalty = 2
	r := fourBall(t, scoring.StrokePlay(), balls...)
	require.Equal(t, []int{65, 65, 2}, []int{r.Value, r.Total.Net, r.RoundPenalty})
	balls[1].Penalties = with(make([]int, 18), 0, 2) // net 4 becomes 6, the partner has 5
	r = fourBall(t, scoring.StrokePlay(), balls...)
	require.Equal(t, []any{66, []int{0}}, []any{r.Value, r.Holes[0].By})
}

func TestExcludedHoleOfASide(t *testing.T) {
	t.Parallel()
	balls := []scoring.Card{partners[0], partners[1]}
	for i := range balls {
		balls[i].Scores = with(balls[i].Scores, 16, scoring.Score{State: scoring.Excluded})
	}
	r := fourBall(t, scoring.StrokePlay(), balls...)
	require.True(t, r.Complete)
	require.Equal(t, []int{57, 67, 57 - 67}, []int{r.Value, r.Level, r.Live})
	require.True(t, r.Total.AllScored())
	require.Equal(t, "the hole counts for nobody", r.ExplainHole(16).Arithmetic)
}

func TestBestOfByHole(t *testing.T) {
	t.Parallel()
	rest := " . . . . . . . . . . . . . . . . ."
	team := func(scores ...string) (balls []scoring.Card) {
		for _, s := range scores {
			balls = append(balls, cardOf(0, s+rest))
		}
		return balls
	}
	play := events.Play{Side: events.SideBestOf, Count: []int{2}}
	r := mustSide(t, scoring.StrokePlay(), play, team("4", "3", "5", "x"), scoring.Net)
	require.Equal(t, []any{7, []int{0, 1}, 1, -1, 8}, []any{r.Holes[0].Figure, r.Holes[0].By, r.HolesPlayed, r.Live, r.Holes[0].Level})
	require.Equal(t, "ball 1 4, ball 2 3, ball 3 5, ball 4 picked up: balls 1 and 2 count, 4 + 3 = 7", r.ExplainHole(0).Arithmetic)
	require.Equal(t, "the best 2 of 4 balls", r.ExplainTotal()[0].Arithmetic)

	r = mustSide(t, scoring.StrokePlay(), play, team("4", ".", ".", "x"), scoring.Net)
	require.Zero(t, r.HolesPlayed, "one score of two is not enough")
	require.Equal(t, "ball 1 4, ball 2 not entered, ball 3 not entered, ball 4 picked up: not decided yet", r.ExplainHole(0).Arithmetic)
	r = mustSide(t, scoring.StrokePlay(), play, team("4", "x", "x", "x"), scoring.Net)
	require.Equal(t, 1, r.Lacking)
	require.Equal(t, "ball 1 4, ball 2 picked up, ball 3 picked up, ball 4 picked up: no score for the side", r.ExplainHole(0).Arithmetic)
	r = mustSide(t, scoring.StrokePlay(), play, team("x", "x", "x", "."), scoring.Net)
	require.Equal(t, 1, r.Lacking, "the last ball alone cannot make two")
	r = mustSide(t, scoring.Stableford(), play, team("4", "x", "x", "x"), scoring.Net)
	require.Equal(t, []any{2, -2, false}, []any{r.Holes[0].Figure, r.Live, r.Holes[0].Counts()})
	require.Equal(t, scoring.Strokes(4), r.Holes[0].Score)

	r = mustSide(t, scoring.StrokePlay(), events.Play{Side: events.SideAggregate}, team("4", "3", "5"), scoring.Net)
	require.Equal(t, []any{12, []int{0, 1, 2}, 0}, []any{r.Holes[0].Figure, r.Holes[0].By, r.Live})
}

// A count for each hole goes by the hole's number, wherever the card begins.
func TestCountByHoleNumber(t *testing.T) {
	t.Parallel()
	count := with([]int{1, 1, 1, 1, 1, 1, 1, 1, 1, 1, 1, 1, 1, 1, 1, 1, 1, 1}, 6, 2)
	play := events.Play{Side: events.SideBestOf, Count: count}
	turnedCard := func(card scoring.Card) scoring.Card {
		card.Holes = turned(numbers(1, 18), 5)
		card.Par, card.StrokeIndex, card.Scores = turned(card.Par, 5), turned(card.StrokeIndex, 5), turned(card.Scores, 5)
		return card
	}
	balls := []scoring.Card{cardOf(0, medalCard), cardOf(9, medalCard)}
	a := mustSide(t, scoring.StrokePlay(), play, balls, scoring.Net)
	b := mustSide(t, scoring.StrokePlay(), play, []scoring.Card{turnedCard(balls[0]), turnedCard(balls[1])}, scoring.Net)
	require.Equal(t, []int{0, 1}, a.Holes[6].By)
	require.Equal(t, a.Total, b.Total)
	require.Equal(t, []any{7, []int{0, 1}}, []any{b.Holes[1].Hole, b.Holes[1].By})
}

func TestBestOfByRound(t *testing.T) {
	t.Parallel()
	play := events.Play{Side: events.SideBestOf, Count: []int{2}, CountBy: "round"}
	level := "4 4 3 5 4 3 4 4 5 4 5 4 3 4 4 3 5 4"
	over := func(n string) string { return n + level[1:] }
	balls := []scoring.Card{cardOf(0, over("7")), cardOf(0, over("5")), cardOf(0, over("6"))}
	r := mustSide(t, scoring.StrokePlay(), play, balls, scoring.Net)
	require.True(t, r.Complete)
	require.Equal(t, []int{73 + 74, 3, 144}, []int{r.Value, r.Live, r.Level})
	require.Equal(t, []int{1, 2}, r.Holes[0].By)

	balls[1].RoundPenalty = 4 // 77 now, so that the other two count
	r = mustSide(t, scoring.StrokePlay(), play, balls, scoring.Net)
	require.Equal(t, []any{75 + 74, []int{0, 2}, 0}, []any{r.Value, r.Holes[0].By, r.RoundPenalty})
	balls[2].RoundPenalty = 1
	r = mustSide(t, scoring.StrokePlay(), play, balls, scoring.Net)
	require.Equal(t, []any{75 + 75, 1}, []any{r.Value, r.RoundPenalty})

	// A ball without a total drops out; with two gone there is none.
	balls = []scoring.Card{cardOf(0, over("7")), cardOf(0, over("x")), cardOf(0, over("6"))}
	r = mustSide(t, scoring.StrokePlay(), play, balls, scoring.Net)
	require.Equal(t, []any{true, 75 + 74, []int{0, 2}}, []any{r.Complete, r.Value, r.Holes[0].By})
	balls[0] = cardOf(0, over("x"))
	r = mustSide(t, scoring.StrokePlay(), play, balls, scoring.Net)
	require.Equal(t, []any{false, false, 1}, []any{r.Complete, r.HasLive, r.Lacking})

	// In progress the leading balls count, and the side is not done before every ball that began is.
	balls = []scoring.Card{cardOf(0, over("7")), cardOf(0, "3"+level[1:len(level)-1]+"."), cardOf(0, over("6"))}
	r = mustSide(t, scoring.StrokePlay(), play, balls, scoring.Net)
	require.Equal(t, []any{false, true, 1, []int{1, 2}, 17}, []any{r.Complete, r.HasLive, r.Live, r.Holes[0].By, r.HolesPlayed})
	balls[1] = cardOf(0, ". . . . . . . . . . . . . . . . . .")
	r = mustSide(t, scoring.StrokePlay(), play, balls, scoring.Net)
	require.Equal(t, []any{true, 75 + 74}, []any{r.Complete, r.Value}, "a ball that never began holds nothing up")

	// One of the two is three holes further on: 2 + 8 points of five holes.
	going := mustSide(t, scoring.Stableford(), play, []scoring.Card{cardOf(0, "4"+blankCard[1:]), cardOf(0, "4 4 3 5 . . . . . . . . . . . . . ."), cardOf(0, blankCard)}, scoring.Net)
	require.Equal(t, []any{1, 10, 0, []int{0, 1}}, []any{going.HolesPlayed, going.Total.Points, going.Live, going.Holes[0].By})
	require.Equal(t, "10 - 2 x 5 = E", going.ExplainTotal()[2].Arithmetic)

	points := mustSide(t, scoring.Stableford(), play, []scoring.Card{cardOf(0, over("x")), cardOf(0, over("5")), cardOf(0, over("4"))}, scoring.Net)
	require.Equal(t, []any{true, 35 + 36, []int{1, 2}}, []any{points.Complete, points.Value, points.Holes[0].By})
	all := mustSide(t, scoring.StrokePlay(), events.Play{Side: events.SideAggregate, CountBy: "round"}, []scoring.Card{cardOf(0, level), cardOf(2, level)}, scoring.Net)
	require.Equal(t, 142, all.Value)
}

func TestSidesOfOneBall(t *testing.T) {
	t.Parallel()
	card := cardOf(13, medalCard)
	for _, side := range scoring.Sides() {
		if !side.OneBall {
			continue
		}
		for _, format := range scoring.Formats() {
			got := mustSide(t, format, events.Play{Side: side.Name}, []scoring.Card{card}, scoring.Net)
			want := mustScore(t, format, card, scoring.Net)
			want.Side = side.Name
			require.Equal(t, want, got)
		}
	}
	card.Maximum = events.Maximum{}
	r := mustSide(t, scoring.MaximumScore(), events.Play{Maximum: events.Maximum{Kind: events.FixedStrokes, Strokes: 4}}, []scoring.Card{card}, scoring.Net)
	require.Equal(t, 4, r.Holes[0].Gross, "the maximum of the terms")
}

func TestSidesByName(t *testing.T) {
	t.Parallel()
	for _, side := range scoring.Sides() {
		found, err := scoring.SideByName(side.Name)
		require.NoError(t, err)
		require.Equal(t, side.Name, found.Name)
		require.NotEmpty(t, side.Rule)
		require.NotEmpty(t, side.Words(1, 2))
		require.Equal(t, side.OneBall, side.Name == "" || events.OneBall(side.Name))
		require.LessOrEqual(t, side.Fewest, side.Most)
	}
	_, err := scoring.SideByName("threesome")
	requireField(t, err, "side")
}

func TestSidesRefused(t *testing.T) {
	t.Parallel()
	one, nine := cardOf(0, medalCard), cardOf(0, "4 4 4 4 4 4 4 4 4")
	bad := one
	bad.Playing = 1300
	for _, c := range []struct {
		play  events.Play
		balls []scoring.Card
		field string
	}{
		{events.Play{Side: "threesome"}, []scoring.Card{one}, "side"},
		{events.Play{}, nil, "balls"},
		{events.Play{}, []scoring.Card{one, one}, "balls"},
		{events.Play{Side: events.SideFoursomes}, []scoring.Card{one, one}, "balls"},
		{events.Play{Side: events.SideFourBall}, []scoring.Card{one}, "balls"},
		{events.Play{Side: events.SideFourBall}, []scoring.Card{one, one, one}, "balls"},
		{events.Play{Side: events.SideFourBall}, []scoring.Card{one, nine}, "balls"},
		{events.Play{Side: events.SideFourBall, CountBy: "round"}, []scoring.Card{one, one}, "count_by"},
		{events.Play{Side: events.SideBestOf, Count: []int{1}, CountBy: "day"}, []scoring.Card{one, one}, "count_by"},
		{events.Play{Side: events.SideBestOf}, []scoring.Card{one, one}, "count"},
		{events.Play{Side: events.SideBestOf, Count: []int{3}}, []scoring.Card{one, one}, "count"},
		{events.Play{Side: events.SideBestOf, Count: []int{1, 2}}, []scoring.Card{one, one}, "count"},
		{events.Play{Side: events.SideBestOf, Count: make([]int, 18), CountBy: "round"}, []scoring.Card{one, one}, "count"},
		{events.Play{Side: events.SideFourBall}, []scoring.Card{one, bad}, "playing_handicap"},
	} {
		r, err := scoring.ScoreSide(scoring.StrokePlay(), c.play, c.balls, scoring.Net)
		requireField(t, err, c.field)
		require.Zero(t, r, "%+v", c.play)
	}
}

// drawBalls draws cards of one course, with gaps and holes still to be played.
func drawBalls(t *rapid.T, n int) []scoring.Card {
	balls := make([]scoring.Card, n)
	for i := range balls {
		balls[i] = drawCard(t, 18, true)
		balls[i].StrokeIndex = courseIndex
		balls[i].Playing = handicap.Playing(rapid.IntRange(-3, 36).Draw(t, "playing"))
		for hole := rapid.IntRange(0, 18).Draw(t, "played"); hole < 18; hole++ {
			balls[i].Scores[hole] = scoring.Score{}
		}
	}
	return balls
}

// On every hole that a partner has a score for, and in the total that a partner has, the side is never worse.
func TestTheBetterBallIsNeverWorseThanEitherPartner(t *testing.T) {
	t.Parallel()
	rapid.Check(t, func(t *rapid.T) {
		balls := drawBalls(t, 2)
		for _, format := range scoring.Formats() {
			r := fourBall(t, format, balls...)
			swapped := fourBall(t, format, balls[1], balls[0])
			require.Equal(t, r.Value, swapped.Value, "the order of partners does not matter")
			require.Equal(t, r.Live, swapped.Live)
			for _, ball := range r.Balls {
				for i, h := range ball.Holes {
					if h.Score.State == scoring.Holed {
						require.NotEmpty(t, r.Holes[i].By)
						require.False(t, format.Direction.Better(h.Figure, r.Holes[i].Figure))
					}
				}
				if ball.Complete && len(holed(ball)) == 18 {
					require.True(t, r.Complete)
					require.False(t, format.Direction.Better(ball.Value, r.Value))
				}
			}
		}
	})
}

func holed(r scoring.Result) (holes []int) {
	for _, h := range r.Holes {
		if h.Score.State == scoring.Holed {
			holes = append(holes, h.Hole)
		}
	}
	return holes
}

// Counting more balls by hole adds up more of them: the best k and the worst n-k are all n.
func TestBestOfIsTheSumOfTheBest(t *testing.T) {
	t.Parallel()
	rapid.Check(t, func(t *rapid.T) {
		n := rapid.IntRange(2, 4).Draw(t, "balls")
		count := rapid.IntRange(1, n).Draw(t, "count")
		byRound := rapid.SampledFrom([]string{"hole", "round"}).Draw(t, "by")
		balls := make([]scoring.Card, n)
		for i := range balls {
			balls[i] = drawCard(t, 18, false)
			balls[i].StrokeIndex = courseIndex
		}
		for _, format := range scoring.Formats() {
			r := mustSide(t, format, events.Play{Side: events.SideBestOf, Count: []int{count}, CountBy: byRound}, balls, scoring.Net)
			require.True(t, r.Complete)
			require.Equal(t, r.Value-r.Level, r.Live)
			best := 0
			if byRound == "round" {
				totals := make([]*int, n)
				for i := range r.Balls {
					totals[i] = &r.Balls[i].Value
				}
				_, sum, err := scoring.BestTotals([][]*int{totals}, count, format.Direction)
				require.NoError(t, err)
				best = *sum
			} else {
				for i := range r.Holes {
					figures := make([]*int, n)
					for b := range r.Balls {
						figures[b] = &r.Balls[b].Holes[i].Figure
					}
					_, sum, err := scoring.BestTotals([][]*int{figures}, count, format.Direction)
					require.NoError(t, err)
					best += *sum
				}
			}
			require.Equal(t, best, r.Value)
			all := mustSide(t, format, events.Play{Side: events.SideAggregate}, balls, scoring.Net)
			if count == n {
				require.Equal(t, all.Value, r.Value)
			}
		}
	})
}
