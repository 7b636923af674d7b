package breakdown_test

import (
	"testing"

	"github.com/stretchr/testify/require"

	"marram.example/events"
	"marram.example/events/competition"
	"marram.example/projections/breakdown"
	"marram.example/projections/standing"
)

// partner is a second player with index 20.8: half of it is 10.4 over nine holes,
// 95 % are 9.88, so 10 strokes: two on stroke index 1.
func partner() events.Ball {
	b := events.Ball{PlayerID: "q", Tee: "Red", Holes: issued("stroke_play").Holes}
	b.Figures = issued("stroke_play").Figures
	b.Figures.IndexTenths, b.Figures.IndexUsedTenths = 208, 208
	b.Figures.CourseHandicapNum, b.Figures.CourseHandicapDen, b.Figures.CourseHandicap = 52, 5, 10
	b.Figures.PlayingHandicap, b.Figures.StrokesByHole = 10, []int{2, 1, 1, 1, 1, 1, 1, 1, 1}
	return b
}

// pair is a card of two balls.
func pair(format, side string, change func(*events.CardIssued)) events.CardIssued {
	e := issued(format)
	e.Side, e.Partners = side, []events.Ball{partner()}
	if change != nil {
		change(&e)
	}
	return e
}

// holes are the scores of a ball from hole 1 on; 0 picks up, -1 says nothing.
func holes(ball int, strokes ...int) []events.Event {
	var out []events.Event
	for i, n := range strokes {
		s := events.Score{Strokes: n}
		if n == 0 {
			s.None = events.PickedUp
		}
		if n >= 0 {
			out = append(out, events.HoleScored{Hole: i + 1, Score: s, By: events.RoleMarker, Ball: ball})
		}
	}
	return out
}

func open(t *testing.T, c *competition.State, es ...any) breakdown.Breakdown {
	t.Helper()
	var all []events.Event
	for _, e := range es {
		switch e := e.(type) {
		case events.Event:
			all = append(all, e)
		case []events.Event:
			all = append(all, e...)
		}
	}
	b, err := breakdown.Of("card", c, record(all...))
	require.NoError(t, err)
	return b
}

// Hole 1: 5 - 1 = 4 against 5 - 2 = 3. Hole 2: 5 - 1 = 4 against 6 - 1 = 5. Hole 3:
// 4 - 1 = 3 both. From hole 4 on the partner picks up: 3, 3, 4, 4, 4, 4. Together
// 3 + 4 + 3 + 22 = 32 net; gross 5 + 5 + 7 x 4 = 38.
func TestFourBallOpensByHole(t *testing.T) {
	t.Parallel()
	b := open(t, comp(), pair("stroke_play", "four_ball", nil), holes(0, 5, 5, 4, 4, 4, 4, 4, 4, 4), holes(1, 5, 6, 4, 0, 0, 0, 0, 0, 0))
	require.Equal(t, []int{38, 32}, []int{*b.Gross, *b.Net})
	require.True(t, b.Recomputed)
	require.Equal(t, "the better of two balls on each hole", b.Side.Words)
	require.Equal(t, "Rules of Golf 23.2", b.Side.Rule)
	require.Equal(t, "ball 1 4, ball 2 3: ball 2 counts", b.Side.Holes[0].Sum.Arithmetic)
	require.Equal(t, []int{1}, b.Side.Holes[0].By)
	require.Equal(t, "ball 1 4, ball 2 5: ball 1 counts", b.Side.Holes[1].Sum.Arithmetic)
	require.Equal(t, "ball 1 3, ball 2 3: ball 1 counts; ball 2 is as good", b.Side.Holes[2].Sum.Arithmetic)
	require.Equal(t, []int{1}, b.Side.Holes[2].Equal)
	require.Equal(t, "ball 1 3, ball 2 picked up: ball 1 counts", b.Side.Holes[3].Sum.Arithmetic)
	require.Equal(t, []int{3, 5}, []int{*b.Side.Holes[0].Net, *b.Side.Holes[0].Gross})
	require.Len(t, b.Balls, 2)
	require.Equal(t, []int{38, 33}, []int{*b.Balls[0].Gross, *b.Balls[0].Net}, "the first ball alone")
	require.Nil(t, b.Balls[1].Gross, "the second picked up")
	require.Equal(t, "hole 4 has no score", b.Balls[1].Total[0].Arithmetic)
	require.Equal(t, "Hole 4, ball 2: picked up entered by the marker", b.Events[13].Words)
	require.Equal(t, []events.Position{110}, b.Balls[1].Holes[0].Positions)
	require.Equal(t, b.Holes, b.Balls[0].Holes, "the card's own holes are ball 0's")
	require.Equal(t, "Card issued: ball 1 White tee, playing handicap 5; ball 2 Red tee, playing handicap 10", b.Events[0].Words)
}

func TestOneWrongBallIsSaid(t *testing.T) {
	t.Parallel()
	b := open(t, comp(), pair("stroke_play", "four_ball", func(e *events.CardIssued) { e.Partners[0].Figures.SlopeRating = 130 }))
	require.False(t, b.Recomputed)
	require.True(t, b.Balls[0].Recomputed)
	require.False(t, b.Balls[1].Recomputed)
}

// Stableford of both: hole 1 is 2+4+1-5 = 2 and 2+4+2-5 = 3, together 5.
func TestAggregateAddsUp(t *testing.T) {
	t.Parallel()
	b := open(t, comp(), pair("stableford", "aggregate", nil), holes(0, 5, 5, 5, 5, 5, 4, 4, 4, 4), holes(1, 5, 5, 5, 5, 5, 5, 5, 5, 5))
	require.Equal(t, "ball 1 2, ball 2 3: balls 1 and 2 count, 2 + 3 = 5", b.Side.Holes[0].Sum.Arithmetic)
	require.Equal(t, 18+19, *b.Points)
	require.Equal(t, []int{18, 19}, []int{*b.Balls[0].Points, *b.Balls[1].Points})
	require.Equal(t, "all 2 balls added up", b.Side.Words)
}

// Nets are 36 and 45 - 10 = 35: of whole rounds the second counts.
func TestWholeRoundsCount(t *testing.T) {
	t.Parallel()
	team := pair("stroke_play", "best_of", func(e *events.CardIssued) { e.Count, e.CountBy = []int{1}, "round" })
	b := open(t, comp(), team, holes(0, 5, 5, 5, 5, 5, 4, 4, 4, 4), holes(1, 5, 5, 5, 5, 5, 5, 5, 5, 5))
	require.Equal(t, "ball 1 36, ball 2 35: ball 2 counts", b.Side.Rounds.Arithmetic)
	require.Equal(t, 35, *b.Net)
	require.Equal(t, []bool{false, true}, []bool{b.Balls[0].Counts, b.Balls[1].Counts})
	b = open(t, comp(), team, holes(0, 5, 5, 5, 5, 5, 4, 4, 4, 0), holes(1, 5, 5, 5, 5, 5, 5, 5, 5, 0))
	require.Equal(t, "ball 1 no total (hole 9 has no score), ball 2 no total (hole 9 has no score): too few have a total", b.Side.Rounds.Arithmetic)
	both := pair("stroke_play", "aggregate", func(e *events.CardIssued) { e.CountBy = "round" })
	b = open(t, comp(), both, holes(0, 5, 5, 5, 5, 5, 4, 4, 4, 4), holes(1, 5, 5, 5))
	require.Equal(t, "ball 1 36, ball 2 11 after 3: balls 1 and 2 count, 36 + 11 = 47", b.Side.Rounds.Arithmetic)
}

// In foursomes half of 5.2 + 10.4 is 7.8: 8 strokes.
func TestOneBallOpensEveryShare(t *testing.T) {
	t.Parallel()
	e := issued("stroke_play")
	e.Side = "foursomes"
	f := &e.Figures
	share := func(player string, tenths int, num int64) events.Share {
		return events.Share{
			PlayerID: player, Tee: "White", IndexTenths: tenths, IndexUsedTenths: tenths, CourseRatingTenths: 360, SlopeRating: 113, Par: 36,
			CourseHandicapNum: num, CourseHandicapDen: 5, Percent: 50,
		}
	}
	f.Shares = []events.Share{share("p", 104, 26), share("q", 208, 52)}
	f.CourseHandicapNum, f.CourseHandicapDen, f.CourseHandicap, f.AllowancePercent = 39, 5, 8, 100
	f.PlayingHandicap, f.StrokesByHole = 8, []int{1, 1, 1, 1, 1, 1, 1, 1, 0}
	b := open(t, comp(), e, holes(0, 5, 5, 5, 5, 5, 5, 5, 5, 4))
	require.True(t, b.Recomputed)
	require.Equal(t, []int{44, 36}, []int{*b.Gross, *b.Net})
	require.Len(t, b.Shares, 2)
	require.True(t, b.Shares[1].Recomputed)
	require.Equal(t, []string{"5.2 x 50% = 2.6", "10.4 x 50% = 5.2", "the sum is 7.8", "7.8 to the nearest whole number, a half goes up: 8"},
		[]string{b.Handicap[0].Arithmetic, b.Handicap[1].Arithmetic, b.Handicap[2].Arithmetic, b.Handicap[3].Arithmetic})
	require.Empty(t, b.Balls)
	require.Equal(t, "one ball, alternate strokes", b.Side.Words)
	require.Empty(t, b.Side.Holes)
	f.Shares[1].IndexTenths, f.Shares[1].IndexUsedTenths = 200, 200
	b = open(t, comp(), e)
	require.False(t, b.Recomputed, "another index does not give the share")
	require.False(t, b.Shares[1].Recomputed)
}

// Five with a stroke is 4: tied; four with a stroke won; four without tied; nobody
// says anything of hole 9.
func TestParBogeyOpens(t *testing.T) {
	t.Parallel()
	b := open(t, comp(), issued("par_bogey"), holes(0, 5, 4, 6, 0, 5, 4, 3, 5))
	var results []int
	for _, h := range b.Holes[:8] {
		results = append(results, *h.ParBogey)
	}
	require.Equal(t, []int{0, 1, -1, -1, 0, 0, 1, -1}, results)
	require.Nil(t, b.Holes[8].ParBogey)
	require.Equal(t, -1, *b.ParBogey)
	require.Equal(t, "4 - 1 = 3 against par 4: won, +1", b.Holes[1].Sum.Arithmetic)
	require.Nil(t, b.Points)
}

// With net double bogey a hole counts 4 + 2 + 1 = 7 with a stroke and 6 without.
func TestTheMaximumOpens(t *testing.T) {
	t.Parallel()
	e := issued("maximum_score")
	e.Maximum = events.Maximum{Kind: "net_double_bogey"}
	b := open(t, comp(), e, holes(0, 9, 4, 4, 4, 4, 4, 4, 4, 0))
	require.Equal(t, "par 4 + 2 + 1 received = 7", b.Holes[0].MaximumSum)
	require.Equal(t, "par 4 + 2 + 0 received = 6", b.Holes[8].MaximumSum)
	require.Equal(t, "9, reduced to the maximum of 7; 7 - 1 = 6, +2 to par 4", b.Holes[0].Sum.Arithmetic)
	require.Equal(t, []int{7, 6}, []int{*b.Holes[0].Gross, *b.Holes[0].Net})
	require.Equal(t, 6, *b.Holes[8].Gross, "picked up counts the maximum")
	require.Equal(t, []int{7 + 7*4 + 6, 41 - 5}, []int{*b.Gross, *b.Net})
	e.Maximum = events.Maximum{Kind: "double_par"}
	require.Equal(t, "2 x par 4 = 8", open(t, comp(), e).Holes[0].MaximumSum)
	e.Maximum = events.Maximum{Kind: "strokes", Strokes: 10}
	require.Equal(t, "10 strokes on every hole", open(t, comp(), e).Holes[0].MaximumSum)
	e = issued("maximum_score")
	e.Maximum, e.Figures.PlayingHandicap = events.Maximum{Kind: "net_double_bogey"}, -1
	e.Figures.StrokesByHole = []int{0, 0, 0, 0, 0, 0, 0, 0, -1}
	require.Equal(t, "par 4 + 2 - 1 received = 5", open(t, comp(), e).Holes[8].MaximumSum)
}

func TestPenaltiesStandWithTheirGrounds(t *testing.T) {
	t.Parallel()
	added := []events.Event{
		events.PenaltyAdded{PenaltyID: "x", Hole: 2, Strokes: 2, Rule: "Rules of Golf 5.3a", Reason: "four minutes late"},
		events.PenaltyAdded{PenaltyID: "y", Strokes: 1, Reason: "pace policy"},
		events.PenaltyAdded{PenaltyID: "z", Hole: 3, Strokes: 2, Reason: "a mistake"}, events.PenaltyRemoved{PenaltyID: "z", Reason: "another player"},
	}
	b := open(t, comp(), issued("stroke_play"), holes(0, 5, 5, 5, 5, 5, 4, 4, 4, 4), added)
	require.Equal(t, []int{41 + 3, 36 + 3}, []int{*b.Gross, *b.Net})
	require.Equal(t, "5 + 2 penalty strokes - 1 = 6, +2 to par 4", b.Holes[1].Sum.Arithmetic)
	require.Equal(t, 2, b.Holes[1].Penalty)
	require.Equal(t, "43 + 1 = 44", b.Total[1].Arithmetic)
	require.Len(t, b.Penalties, 2)
	require.Equal(t, "2 penalty strokes on hole 2, Rules of Golf 5.3a: four minutes late", b.Penalties[0].Words)
	require.Equal(t, "1 penalty stroke against the round: pace policy", b.Penalties[1].Words)
	require.Equal(t, "Penalty added: 2 penalty strokes on hole 2, Rules of Golf 5.3a: four minutes late", b.Events[10].Words)
	require.Equal(t, []events.Position{103, 112, 113}, b.Holes[2].Positions, "taking back is about the same hole")
	s := open(t, comp(), issued("stableford"), events.PenaltyAdded{PenaltyID: "y", Strokes: 2, Reason: "pace policy"})
	require.Equal(t, "2 points off the round: pace policy", s.Penalties[0].Words)
	two := open(t, comp(), pair("par_bogey", "four_ball", nil), events.PenaltyAdded{PenaltyID: "y", Ball: 1, Strokes: 1, Reason: "pace policy"})
	require.Equal(t, "1 hole off the round, ball 2: pace policy", two.Penalties[0].Words)
}

func TestAnExcludedHoleSaysWhy(t *testing.T) {
	t.Parallel()
	c := comp()
	c.Excluded = []competition.ExcludedHole{{Round: 1, Hole: 3, Reason: "the green is flooded"}, {Round: 2, Hole: 4, Reason: "another day"}}
	out := events.HoleScoreCorrected{Hole: 3, Old: events.Score{}, New: events.Score{None: events.Excluded}, By: events.RoleCommittee}
	b := open(t, c, issued("stroke_play"), holes(0, 5, 5, 9, 5, 5, 4, 4, 4, 4), out)
	require.Equal(t, "the green is flooded", b.Holes[2].Excluded)
	require.Empty(t, b.Holes[3].Excluded)
	require.Nil(t, b.Holes[2].Net)
	require.Nil(t, b.Holes[2].Points)
	require.Equal(t, "the hole counts for nobody", b.Holes[2].Sum.Arithmetic)
	require.Equal(t, []int{36, 32}, []int{*b.Gross, *b.Net}, "eight holes count")
	require.Equal(t, "Hole 3: excluded by the committee, it counts for nobody", b.Events[10].Words)
	require.Equal(t, "Hole 3: counts again: it drained",
		breakdown.Words(events.HoleScoreCorrected{Hole: 3, Old: events.Score{None: events.Excluded}, Reason: "it drained"}))
}

// Rounds of 36 and 38 are 74; after the first the line was 37.
func TestSeveralRoundsAddUp(t *testing.T) {
	t.Parallel()
	c := comp()
	c.Terms.Rounds, c.Terms.Ranking = 2, "net"
	line := 37
	c.Cut = &competition.Cut{AfterRound: 1, Through: []string{"e"}, Missed: []string{"x"}, Line: &line, Words: "the first 1: 1 through"}
	c.Ties = []competition.Tie{{Ranking: "net", EntryIDs: []string{"e", "x"}, Method: "lot", Seed: 7}, {Ranking: "gross", EntryIDs: []string{"x", "y"}}}
	first := append([]events.Event{issued("stroke_play")}, holes(0, 5, 5, 5, 5, 5, 4, 4, 4, 4)...)
	one := open(t, c, first)
	require.Equal(t, "36 strokes so far", one.RoundsTotal[0].Arithmetic)
	later := issued("stroke_play")
	later.Round = 2
	all := append([]events.Event{later}, holes(0, 5, 5, 5, 5, 5, 4, 4, 4, 6)...)
	b, err := breakdown.Of("card-2", c, record(all...), scoredCard(t, "card-1", first))
	require.NoError(t, err)
	require.Equal(t, "36 + 38 = 74 strokes", b.RoundsTotal[0].Arithmetic)
	require.Equal(t, []string{"card-1", "card-2"}, []string{b.Rounds[0].CardID, b.Rounds[1].CardID})
	require.Equal(t, []int{36, 38}, []int{*b.Rounds[0].Total, *b.Rounds[1].Total})
	require.Equal(t, 36, *b.Cut.Total)
	require.True(t, *b.Cut.Through)
	require.Len(t, b.Ties, 1)
	b, err = breakdown.Of("card-2", c, record(all[:5]...), scoredCard(t, "card-1", first))
	require.NoError(t, err)
	require.Equal(t, "36 so far; round 2: 4 of 9 holes are entered", b.RoundsTotal[0].Arithmetic)
	c.Terms.Ranking = "gross"
	b, err = breakdown.Of("card-2", c, record(all...), scoredCard(t, "card-1", append(first, events.CardStatusRuled{Status: "DQ"})))
	require.NoError(t, err)
	require.Equal(t, "round 1: ruled DQ", b.RoundsTotal[0].Arithmetic)
}

func scoredCard(t *testing.T, id string, es []events.Event) *standing.Scored {
	t.Helper()
	k := cardOf(es)
	s, err := standing.Score(id, 1, k)
	require.NoError(t, err)
	return &s
}
