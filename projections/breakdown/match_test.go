package breakdown_test

import (
	"encoding/json"
	"testing"

	"github.com/stretchr/testify/require"

	"marram.example/events"
	"marram.example/events/competition"
	"marram.example/events/match"
	"marram.example/projections/breakdown"
)

// arranged is a match over nine holes between a playing handicap of 5 and one of
// 10: the second receives five strokes, on stroke indexes 1 to 5.
func arranged(change func(*events.MatchArranged)) events.MatchArranged {
	k := issued("stroke_play")
	a := events.MatchBall{PlayerID: "p", Tee: "White", Holes: k.Holes, Figures: k.Figures, Strokes: make([]int, 9)}
	q := partner()
	b := events.MatchBall{PlayerID: "q", Tee: "Red", Holes: k.Holes, Figures: q.Figures, Strokes: []int{1, 1, 1, 1, 1, 0, 0, 0, 0}}
	e := events.MatchArranged{
		CompetitionID: "c", Round: 1, Number: 3, CourseID: "k", Ranking: "net", StartingHole: 1, Length: 9, ExtraHoles: true,
		A: events.MatchSide{EntryID: "e", Balls: []events.MatchBall{a}}, B: events.MatchSide{EntryID: "f", Balls: []events.MatchBall{b}},
	}
	if change != nil {
		change(&e)
	}
	return e
}

// entered is the word of side A on a hole from the gross scores of both.
func entered(s *match.State, number int, a, b []events.MatchScore) events.Event {
	h := events.MatchHole{A: a, B: b}
	h.Winner, h.Grounds = match.HoleWinner(a, b, s.Received(events.SideA, number), s.Received(events.SideB, number))
	return events.MatchHoleDecided{
		Number: number, Hole: s.HoleAt(number), MatchHole: h, MatchWriter: events.MatchWriter{By: events.RolePlayer, BySide: events.SideA},
	}
}

func ball(strokes ...int) []events.MatchScore {
	out := make([]events.MatchScore, len(strokes))
	for i, n := range strokes {
		out[i].Strokes = n
		if n == 0 {
			out[i].None = events.PickedUp
		}
	}
	return out
}

func openMatch(t *testing.T, c *competition.State, es ...events.Event) breakdown.Match {
	t.Helper()
	m, err := breakdown.OfMatch("m", c, record(es...), [2]string{"Ada", "Olaf"})
	require.NoError(t, err)
	return m
}

func texts(m breakdown.Match) []string {
	var out []string
	for _, h := range m.Holes {
		out = append(out, h.Sum.Arithmetic)
	}
	return out
}

func TestAMatchOpensHoleByHole(t *testing.T) {
	t.Parallel()
	start := arranged(nil)
	s := match.New()
	match.Evolve(s, start)
	by := events.MatchWriter{By: events.RolePlayer, BySide: events.SideB}
	es := []events.Event{
		start,
		entered(s, 1, ball(5), ball(5)), // 5 against 5 - 1
		entered(s, 2, ball(4), ball(5)), // 4 against 5 - 1
		entered(s, 3, ball(3), ball(5)), // 3 against 5 - 1
		events.HoleConceded{Number: 4, Hole: 4, Side: events.SideB, MatchWriter: by},
		entered(s, 5, ball(0), ball(6)), // who completes it wins
		events.MatchHoleDecided{Number: 6, Hole: 6, MatchHole: events.MatchHole{Winner: events.SideA, Grounds: events.HoleByPenalty}, MatchWriter: by},
	}
	m := openMatch(t, comp(), es...)
	require.True(t, m.Recomputed)
	require.Equal(t, []string{"5; plays off 0", "5 - 5 = 0", "10 - 5 = 5"}, []string{m.Strokes[0].Arithmetic, m.Strokes[1].Arithmetic, m.Strokes[2].Arithmetic})
	require.Equal(t, "Strokes of Olaf", m.Strokes[2].Label)
	require.Equal(t, []int{0, 5}, []int{m.A.Balls[0].Received, m.B.Balls[0].Received})
	require.Equal(t, []string{
		"Ada 5; Olaf 5 - 1 = 4; Olaf wins; Olaf 1 up",
		"Ada 4; Olaf 5 - 1 = 4; tied; Olaf 1 up",
		"Ada 3; Olaf 5 - 1 = 4; Ada wins; all square",
		"Ada wins, conceded; Ada 1 up",
		"Ada picked up; Olaf 6 - 1 = 5; Olaf wins; all square",
		"Ada wins, by the general penalty; Ada 1 up",
	}, texts(m))
	require.Equal(t, "Rules of Golf 3.2b", m.Holes[3].Sum.Rule)
	require.Equal(t, []int{-1, -1, 0, 1, 0, 1}, []int{m.Holes[0].Lead, m.Holes[1].Lead, m.Holes[2].Lead, m.Holes[3].Lead, m.Holes[4].Lead, m.Holes[5].Lead})
	require.Equal(t, []int{5, 4}, []int{*m.Holes[0].NetA, *m.Holes[0].NetB})
	require.Nil(t, m.Holes[4].NetA, "picked up")
	require.Equal(t, events.SideB, m.Holes[3].Conceded)
	require.Equal(t, "Ada won 3, Olaf won 2, 1 tied: a lead of 1 with 3 to play; Ada 1 up", m.Result[0].Arithmetic)
	require.False(t, m.Over)
	require.Equal(t, []events.Position{104}, m.Holes[3].Positions)
	require.Equal(t, "Match arranged over 9 holes: Ada receives 0, Olaf 5", m.Events[0].Words)
	require.Equal(t, "Hole 1: Ada 5, Olaf 5, Olaf wins, entered by Ada", m.Events[1].Words)
	require.Equal(t, "Hole 4: conceded by Olaf", m.Events[4].Words)
	require.Equal(t, "Hole 6: Ada wins by the general penalty, entered by Olaf", m.Events[6].Words)
	require.Empty(t, m.Table)
	_, err := json.Marshal(m)
	require.NoError(t, err)
}

// Everybody receives the whole of their handicap where the terms say so; gross is
// played without strokes.
func TestStrokesOfTheTerms(t *testing.T) {
	t.Parallel()
	full := openMatch(t, comp(), arranged(func(e *events.MatchArranged) {
		e.FullNet = true
		e.A.Balls[0].Strokes, e.B.Balls[0].Strokes = []int{1, 1, 1, 1, 1, 0, 0, 0, 0}, []int{2, 1, 1, 1, 1, 1, 1, 1, 1}
	}))
	require.True(t, full.Recomputed)
	require.Equal(t, []int{5, 10}, []int{full.A.Balls[0].Received, full.B.Balls[0].Received})
	gross := openMatch(t, comp(), arranged(func(e *events.MatchArranged) { e.Ranking, e.B.Balls[0].Strokes = "gross", make([]int, 9) }))
	require.True(t, gross.Recomputed)
	require.Equal(t, "it is played without strokes", gross.Strokes[0].Arithmetic)
	wrong := openMatch(t, comp(), arranged(func(e *events.MatchArranged) { e.B.Balls[0].Strokes = []int{1, 1, 1, 1, 0, 1, 0, 0, 0} }))
	require.False(t, wrong.Recomputed, "strokes on other holes than the stroke indexes say")
	require.False(t, wrong.B.Balls[0].Recomputed)
	require.True(t, wrong.A.Balls[0].Recomputed)
}

// All nine holes tied; the tenth, hole 1 again, is won by the stroke received.
func TestExtraHolesAndAHoleAfterTheEnd(t *testing.T) {
	t.Parallel()
	start := arranged(nil)
	s := match.New()
	match.Evolve(s, start)
	es := []events.Event{start}
	for n := 1; n <= 5; n++ {
		es = append(es, entered(s, n, ball(4), ball(5)))
	}
	for n := 6; n <= 9; n++ {
		es = append(es, entered(s, n, ball(4), ball(4)))
	}
	es = append(es, entered(s, 10, ball(4), ball(4)), entered(s, 11, ball(4), ball(9)))
	es = append(es, events.MatchDecided{Winner: events.SideB, Text: "at the 10th", Up: 1, Played: 10, Grounds: events.MatchByHoles})
	m := openMatch(t, comp(), es...)
	require.Equal(t, "Ada 4; Olaf 4 - 1 = 3; Olaf wins; Olaf wins at the 10th", m.Holes[9].Sum.Arithmetic)
	require.Equal(t, "Hole 1, extra hole 1", m.Holes[9].Sum.Label)
	require.True(t, m.Holes[9].Extra)
	require.False(t, m.Holes[10].Counts)
	require.Equal(t, "the match was over before it", m.Holes[10].Sum.Arithmetic)
	require.Equal(t, []any{true, "B", "at the 10th"}, []any{m.Over, m.Winner, m.Text})
	require.Equal(t, "Match decided: Olaf wins at the 10th", m.Events[12].Words)
}

// Two balls a side: Ada's pair plays off 5 and 5, Olaf's off 5 and 10.
func TestAFourBallMatchSaysWhichBallCounts(t *testing.T) {
	t.Parallel()
	start := arranged(func(e *events.MatchArranged) {
		low := e.A.Balls[0]
		other := low
		other.PlayerID = "p2"
		e.Side, e.A.Balls = "four_ball", []events.MatchBall{low, other}
		third := low
		third.PlayerID = "q2"
		e.B.Balls = []events.MatchBall{third, e.B.Balls[0]}
	})
	s := match.New()
	match.Evolve(s, start)
	m := openMatch(t, comp(), start, entered(s, 1, ball(5, 4), ball(5, 4)))
	require.True(t, m.Recomputed)
	require.Equal(t, "Strokes of Olaf, ball 2", m.Strokes[4].Label)
	require.Equal(t, "10 - 5 = 5", m.Strokes[4].Arithmetic)
	require.Equal(t, "Ada 5 or 4, counts 4; Olaf 5 or 4 - 1 = 3, counts 3; Olaf wins; Olaf 1 up", m.Holes[0].Sum.Arithmetic)
	require.Equal(t, "Rules of Golf 23.2a", m.Holes[0].Sum.Rule)
}

func TestHowAMatchEndedOtherwise(t *testing.T) {
	t.Parallel()
	by := events.MatchWriter{By: events.RoleCommittee}
	given := openMatch(t, comp(), arranged(nil), events.MatchConceded{Side: events.SideA, MatchWriter: by},
		events.MatchDecided{Winner: events.SideB, Text: "conceded", Up: 1, Grounds: events.MatchGivenUp})
	require.Equal(t, "Ada conceded the match; Olaf wins, credited with 1 hole", given.Result[1].Arithmetic)
	told := openMatch(t, comp(), arranged(nil), events.MatchDecided{Winner: events.SideA, Text: "3 and 2", Up: 3, Played: 7, Grounds: events.MatchStated})
	require.Equal(t, "as both sides, or the committee, tell it: Ada wins 3 and 2", told.Result[1].Arithmetic)
	ruled := openMatch(t, comp(), arranged(nil), events.MatchRuled{Ruling: events.MatchDefault, Winner: events.SideA, Up: 2, Reason: "not on the tee"})
	require.Equal(t, "Ada wins, default: not on the tee, credited with 2 holes", ruled.Result[1].Arithmetic)
	require.True(t, ruled.Over)
	nobody := openMatch(t, comp(), arranged(nil), events.MatchRuled{Ruling: events.MatchDisqualified, Winner: events.NoWinner})
	require.Equal(t, "nobody wins, disqualified", nobody.Result[1].Arithmetic)
	lifted := openMatch(t, comp(), arranged(nil), events.MatchRuled{Ruling: events.MatchDefault, Winner: events.SideA}, events.MatchRuled{Ruling: events.MatchRulingLifted})
	require.False(t, lifted.Over)
	require.Equal(t, "Ruling lifted", lifted.Events[2].Words)
}

func TestSidesThatDifferAreShown(t *testing.T) {
	t.Parallel()
	word := func(side, winner string) events.Event {
		return events.MatchHoleDecided{
			Number: 1, Hole: 1, MatchHole: events.MatchHole{Winner: winner, Grounds: events.HoleStated},
			MatchWriter: events.MatchWriter{By: events.RolePlayer, BySide: side},
		}
	}
	m := openMatch(t, comp(), arranged(nil), word("A", "A"), word("B", "tied"))
	require.Equal(t, []int{1}, m.Differences)
	require.Equal(t, []any{true, "A", "tied", "A"}, []any{m.Holes[0].Differs, m.Holes[0].SaidA, m.Holes[0].SaidB, m.Holes[0].Winner})
	settled := events.MatchHoleCorrected{
		Number: 1, Hole: 1, New: events.MatchHole{Winner: "B", Grounds: events.HoleStated}, MatchWriter: events.MatchWriter{By: events.RoleCommittee}, Reason: "both asked",
	}
	m = openMatch(t, comp(), arranged(nil), word("A", "A"), word("B", "tied"), settled)
	require.True(t, m.Holes[0].Settled)
	require.False(t, m.Holes[0].Differs)
	require.Equal(t, "Hole 1: nothing changed to Olaf wins by the committee: both asked", m.Events[3].Words)
	m = openMatch(t, comp(), arranged(nil), word("A", "A"),
		events.MatchHoleRemoved{Number: 1, Hole: 1, Old: events.MatchHole{Winner: "A"}, MatchWriter: events.MatchWriter{By: events.RolePlayer, BySide: "A"}, Reason: "wrong hole"})
	require.Empty(t, m.Holes)
	require.Equal(t, "Hole 1: Ada wins taken back by Ada: wrong hole", m.Events[2].Words)
}

// e beat f and lost to g, f beat g: three with a point each, by holes +3, +1, -4.
func TestTheTableSaysWhatSeparatedEquals(t *testing.T) {
	t.Parallel()
	c := comp()
	c.Phase, c.Terms.Match = competition.Closed, &events.MatchTerms{Bracket: competition.RoundRobin, Length: 9}
	for _, id := range []string{"e", "f", "g"} {
		c.Entries[id], c.Order = competition.Entry{ID: id}, append(c.Order, id)
	}
	c.Matches = []events.MatchStanding{
		{EntryIDs: []string{"e", "f"}, Winner: "e", By: 5}, {EntryIDs: []string{"e", "g"}, Winner: "g", By: 2}, {EntryIDs: []string{"f", "g"}, Winner: "f", By: 6},
	}
	m := openMatch(t, c, arranged(nil))
	var got []string
	for _, r := range m.Table {
		got = append(got, r.EntryID+": "+r.Sum.Arithmetic)
	}
	require.Equal(t, []string{
		"e: 1 won x 1 + 0 tied x 1/2 = 1 point; holes difference +3 over all matches",
		"f: 1 won x 1 + 0 tied x 1/2 = 1 point; holes difference +1 over all matches",
		"g: 1 won x 1 + 0 tied x 1/2 = 1 point; holes difference -4 over all matches",
	}, got)
}

func TestNoMatchNoBreakdown(t *testing.T) {
	t.Parallel()
	_, err := breakdown.OfMatch("m", comp(), nil, [2]string{})
	require.Equal(t, events.KindNotFound, events.AsError(err).Kind)
	m, err := breakdown.OfMatch("m", comp(), record(arranged(nil)), [2]string{})
	require.NoError(t, err)
	require.Equal(t, "Match arranged over 9 holes: side A receives 0, side B 5", m.Events[0].Words)
}
