package scoring_test

import (
	"testing"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"marram.example/events"
	"marram.example/events/match"
	"marram.example/projections/handicap"
	"marram.example/projections/scoring"
)

// An invented nine of par 36.
var (
	ninePar   = []int{4, 4, 3, 5, 4, 3, 4, 4, 5}
	nineIndex = []int{3, 6, 9, 1, 4, 8, 2, 7, 5}
)

func matchBall(playing int, card string) scoring.MatchBall {
	return scoring.MatchBall{Playing: handicap.Playing(playing), Scores: scoresOf(card)}
}

// nineHoles is a match of 2 against 5: B receives a stroke on holes 4, 7 and 1.
func nineHoles(a, b string) scoring.Match {
	return scoring.Match{Par: ninePar, StrokeIndex: nineIndex, A: []scoring.MatchBall{matchBall(2, a)}, B: []scoring.MatchBall{matchBall(5, b)}}
}

// TestMatches: worked out by hand.
func TestMatches(t *testing.T) {
	t.Parallel()
	conceding := func(m scoring.Match, holes ...scoring.ConcededHole) scoring.Match {
		m.Conceded = holes
		return m
	}
	tie := nineHoles("5 4 3 6 4 3 5 4 5", "6 4 3 7 4 3 6 4 5")
	extended := tie
	extended.Extra = []scoring.ExtraHole{{Hole: 1, A: scoresOf("5"), B: scoresOf("6")}, {Hole: 2, A: scoresOf("4"), B: scoresOf("5")}}
	unresolved := tie
	unresolved.Extra = extended.Extra[:1]
	for name, c := range map[string]struct {
		m            scoring.Match
		winner, text string
		progress     []int
	}{
		"strokes received tie and win holes":               {nineHoles("4 4 3 5 4 3 4 4 5", "5 5 3 5 4 4 5 4 6"), "A", "2 up", []int{0, 1, 1, 0, 0, 1, 1, 1, 2}},
		"dormie and a tie":                                 {nineHoles("4 4 3 5 4 2 3 . .", "6 5 3 6 4 3 4 . ."), "A", "3 and 2", []int{1, 2, 2, 2, 2, 3, 3}},
		"holes after the end do not count":                 {nineHoles("3 3 2 4 3 9 9 9 9", "5 5 4 6 5 3 3 3 3"), "A", "5 and 4", []int{1, 2, 3, 4, 5}},
		"not finished":                                     {nineHoles("4 4 . . . . . . .", "4 4 . . . . . . ."), "", "1 up", []int{-1, -1}},
		"who picks up loses the hole":                      {nineHoles("x 4 . . . . . . .", "9 x . . . . . . ."), "", "all square", []int{-1, 0}},
		"nobody completed the hole":                        {nineHoles("x . . . . . . . .", "x . . . . . . . ."), "", "all square", []int{0}},
		"a hole without scores between others is tied":     {nineHoles("4 - 3 . . . . . .", "6 - 3 . . . . . ."), "", "1 up", []int{1, 1, 1}},
		"not begun":                                        {nineHoles(". . . . . . . . .", ". . . . . . . . ."), "", "all square", nil},
		"a tie stands":                                     {tie, "tied", "tied", []int{0, 0, 0, 0, 0, 0, 0, 0, 0}},
		"strokes are received again on extra holes":        {extended, "A", "at the 11th", []int{0, 0, 0, 0, 0, 0, 0, 0, 0, 0, 1}},
		"an extra hole that is tied":                       {unresolved, "", "all square", []int{0, 0, 0, 0, 0, 0, 0, 0, 0, 0}},
		"a concession counts whatever the scores":          {conceding(nineHoles("3 4 . . . . . . .", "5 4 . . . . . . ."), scoring.ConcededHole{Hole: 1, Side: "A"}), "", "1 up", []int{-1, -1}},
		"a conceded hole needs no scores":                  {conceding(nineHoles("4 . . . . . . . .", "6 . . . . . . . ."), scoring.ConcededHole{Hole: 2, Side: "B"}), "", "2 up", []int{1, 2}},
		"a plus player's opponent receives the difference": {plusAgainst5(false), "", "2 up", []int{-1, -2, -2}},
		"with whole playing handicaps each has their own":  {plusAgainst5(true), "", "2 up", []int{-1, -1, -2}},
	} {
		t.Run(name, func(t *testing.T) {
			t.Parallel()
			got, err := scoring.PlayMatch(c.m)
			require.NoError(t, err)
			require.Equal(t, c.winner, got.Winner)
			require.Equal(t, c.text, got.Text)
			require.Equal(t, c.progress, got.Progress)
			require.Len(t, got.Holes, got.Played)
		})
	}
}

// plusAgainst5 is +3 against 5: off the lowest B receives a stroke everywhere but on
// hole 3; with whole playing handicaps on holes 1, 4, 5, 7 and 9, and A gives one back
// on holes 3, 6 and 8.
func plusAgainst5(fullNet bool) scoring.Match {
	m := nineHoles("5 5 3 . . . . . .", "5 5 3 . . . . . .")
	m.A[0].Playing, m.FullNet = -3, fullNet
	return m
}

func TestStrokesInAMatch(t *testing.T) {
	t.Parallel()
	single := func(a, b int) scoring.Match {
		const card = ". . . . . . . . . . . . . . . . . ."
		return scoring.Match{Par: coursePar, StrokeIndex: courseIndex, A: []scoring.MatchBall{matchBall(a, card)}, B: []scoring.MatchBall{matchBall(b, card)}}
	}
	four := single(5, 9)
	four.A, four.B = append(four.A, matchBall(11, ". . . . . . . . . . . . . . . . . .")), append(four.B, matchBall(20, ". . . . . . . . . . . . . . . . . ."))
	for _, c := range []struct {
		m    scoring.Match
		want []handicap.Playing
	}{
		{single(6, 15), []handicap.Playing{0, 9}},
		{single(-3, 5), []handicap.Playing{0, 8}},
		{four, []handicap.Playing{0, 6, 4, 15}},
	} {
		got, err := scoring.PlayMatch(c.m)
		require.NoError(t, err)
		require.Equal(t, c.want, got.Strokes)
	}
}

func TestFourBallMatch(t *testing.T) {
	t.Parallel()
	m := nineHoles("5 x 4 . . . . . .", "4 5 x . . . . . .")
	m.A, m.B = append(m.A, matchBall(6, "5 5 x . . . . . .")), append(m.B, matchBall(9, "6 6 4 . . . . . ."))
	// 2, 6 against 5, 9: strokes 0, 4, 3, 7. Hole 1 has index 3: 5 or 4 against 3 or 5. Hole 2 has index 6:
	// 5 against 5 or 5. Hole 3 has index 9: 4 against 4.
	got, err := scoring.PlayMatch(m)
	require.NoError(t, err)
	require.Equal(t, []int{-1, -1, -1}, got.Progress)
	require.Equal(t, handicap.Explanation{
		{Label: "Lowest playing handicap of the match", Arithmetic: "2; plays off 0", Rule: "Rules of Handicapping, Appendix C"},
		{Label: "Strokes of player or side 1", Arithmetic: "2 - 2 = 0", Rule: "Rules of Handicapping, Appendix C"},
		{Label: "Strokes of player or side 2", Arithmetic: "6 - 2 = 4", Rule: "Rules of Handicapping, Appendix C"},
		{Label: "Strokes of player or side 3", Arithmetic: "5 - 2 = 3", Rule: "Rules of Handicapping, Appendix C"},
		{Label: "Strokes of player or side 4", Arithmetic: "9 - 2 = 7", Rule: "Rules of Handicapping, Appendix C"},
		{Label: "Hole 1", Arithmetic: "side A 5 or 5 - 1 = 4, counts 4; side B 4 - 1 = 3 or 6 - 1 = 5, counts 3; side B wins; side B 1 up", Rule: "Rules of Golf 23.2a"},
		{Label: "Hole 2", Arithmetic: "side A picked up or 5, counts 5; side B 5 or 6 - 1 = 5, counts 5; tied; side B 1 up", Rule: "Rules of Golf 23.2a"},
		{Label: "Hole 3", Arithmetic: "side A 4 or picked up, counts 4; side B picked up or 4, counts 4; tied; side B 1 up", Rule: "Rules of Golf 23.2a"},
		{Label: "So far", Arithmetic: "side A won 0, side B won 1, 2 tied: a lead of 1 with 6 to play; side B 1 up", Rule: "Rules of Golf 3.2a"},
	}, got.Explanation)
}

// TestExplainingEveryGround: a match over nine holes as told by those who played it.
func TestExplainingEveryGround(t *testing.T) {
	t.Parallel()
	said := func(number, hole int, winner, grounds string, scores ...events.MatchScore) scoring.MatchHole {
		h := scoring.MatchHole{Number: number, Hole: hole, Said: events.MatchHole{Winner: winner, Grounds: grounds}, ReceivedA: []int{0}, ReceivedB: []int{1}}
		if len(scores) == 2 {
			h.Said.A, h.Said.B = scores[:1], scores[1:]
		}
		return h
	}
	five := events.MatchScore{Score: events.Score{Strokes: 5}}
	lines := scoring.ExplainMatch([]scoring.MatchHole{
		said(1, 1, "tied", events.HoleByScores, five, events.MatchScore{Score: events.Score{Strokes: 6}, Conceded: true}),
		said(2, 2, "A", events.HoleStated),
		said(3, 3, "B", events.HoleGiven),
		said(4, 4, "A", events.HoleByPenalty, five, five),
		said(5, 5, "tied", events.HoleNotFinished, events.MatchScore{Score: events.Score{None: events.PickedUp}}, events.MatchScore{Score: events.Score{None: events.NoScore}}),
		said(6, 6, "B", events.HoleLastPickUp),
		said(7, 7, "A", events.HoleStated), said(8, 8, "B", events.HoleStated), said(9, 9, "tied", events.HoleStated),
		said(10, 1, "B", events.HoleByScores, five, five),
	}, 9, true, [2]string{"Ann", "Ben"})
	require.Equal(t, handicap.Explanation{
		{Label: "Hole 1", Arithmetic: "Ann 5; Ben 6 - 1 = 5 with a conceded stroke; tied; all square", Rule: "Rules of Golf 3.2c"},
		{Label: "Hole 2", Arithmetic: "Ann wins, as the players say; Ann 1 up", Rule: "Rules of Golf 3.2c"},
		{Label: "Hole 3", Arithmetic: "Ben wins, conceded; all square", Rule: "Rules of Golf 3.2b"},
		{Label: "Hole 4", Arithmetic: "Ann 5; Ben 5 - 1 = 4; Ann wins, by the general penalty; Ann 1 up", Rule: "Rules of Golf 1.3c"},
		{Label: "Hole 5", Arithmetic: "Ann picked up; Ben no score; tied, nobody completed the hole; Ann 1 up", Rule: "Rules of Golf 23.2a, Clarification 23.2a/1"},
		{Label: "Hole 6", Arithmetic: "Ben wins, nobody completed the hole, who picked up last wins it; all square", Rule: "Rules of Golf 23.2a, Clarification 23.2a/1"},
		{Label: "Hole 7", Arithmetic: "Ann wins, as the players say; Ann 1 up", Rule: "Rules of Golf 3.2c"},
		{Label: "Hole 8", Arithmetic: "Ben wins, as the players say; all square", Rule: "Rules of Golf 3.2c"},
		{Label: "Hole 9", Arithmetic: "tied, as the players say; all square", Rule: "Rules of Golf 3.2c"},
		{Label: "Hole 1, extra hole 1", Arithmetic: "Ann 5; Ben 5 - 1 = 4; Ben wins; Ben wins at the 10th", Rule: "Rules of Golf 3.2c"},
		{Label: "Result", Arithmetic: "Ann won 3, Ben won 4, 3 tied: a lead of 1; Ben wins at the 10th", Rule: "Rules of Golf 3.2a"},
	}, lines)
}

func TestHowAMatchEndsInWords(t *testing.T) {
	t.Parallel()
	last := func(m scoring.Match) string {
		got, err := scoring.PlayMatch(m)
		require.NoError(t, err)
		return got.Explanation[len(got.Explanation)-1].Arithmetic
	}
	require.Equal(t, "side A won 3, side B won 0, 4 tied: a lead of 3 with 2 to play; side A wins 3 and 2", last(nineHoles("4 4 3 5 4 2 3 . .", "6 5 3 6 4 3 4 . .")))
	require.Equal(t, "side A won 0, side B won 0, 9 tied: a lead of 0; the match is tied", last(nineHoles("5 4 3 6 4 3 5 4 5", "6 4 3 7 4 3 6 4 5")))
	require.Equal(t, "side A won 0, side B won 0, 0 tied: a lead of 0 with 9 to play; all square", last(nineHoles(". . . . . . . . .", ". . . . . . . . .")))
}

func TestMatchesThatCannotBe(t *testing.T) {
	t.Parallel()
	tie := func(change func(*scoring.Match)) scoring.Match {
		m := nineHoles("5 4 3 6 4 3 5 4 5", "6 4 3 7 4 3 6 4 5")
		change(&m)
		return m
	}
	for _, c := range []struct {
		field string
		m     scoring.Match
	}{
		{"par", tie(func(m *scoring.Match) { m.Par = m.Par[:8] })},
		{"par", tie(func(m *scoring.Match) { m.Par = []int{4, 4, 3, 5, 4, 3, 4, 4, 7} })},
		{"stroke_index", tie(func(m *scoring.Match) { m.StrokeIndex = courseIndex })},
		{"stroke_index", tie(func(m *scoring.Match) { m.StrokeIndex = []int{3, 6, 9, 1, 4, 8, 2, 7, 7} })},
		{"sides", tie(func(m *scoring.Match) { m.A = nil })},
		{"sides", tie(func(m *scoring.Match) { m.A = append(m.A, m.A[0]) })},
		{"sides", tie(func(m *scoring.Match) { m.A, m.B = append(m.A, m.A[0], m.A[0]), append(m.B, m.B[0], m.B[0]) })},
		{"scores", tie(func(m *scoring.Match) { m.A[0].Scores = m.A[0].Scores[1:] })},
		{"scores", tie(func(m *scoring.Match) { m.B[0].Scores = scoresOf("6 4 3 7 4 3 6 4 100") })},
		{"scores", tie(func(m *scoring.Match) { m.B[0].Scores = scoresOf("6 4 3 7 4 3 6 4 !") })},
		{"playing_handicaps", tie(func(m *scoring.Match) { m.A[0].Playing = 1000 })},
		{"conceded", tie(func(m *scoring.Match) { m.Conceded = []scoring.ConcededHole{{Hole: 10, Side: "A"}} })},
		{"conceded", tie(func(m *scoring.Match) { m.Conceded = []scoring.ConcededHole{{Hole: 1, Side: "tied"}} })},
		{"conceded", tie(func(m *scoring.Match) {
			m.Conceded = []scoring.ConcededHole{{Hole: 1, Side: "A"}, {Hole: 1, Side: "B"}}
		})},
		{"extra", tie(func(m *scoring.Match) { m.Extra = []scoring.ExtraHole{{Hole: 10, A: scoresOf("4"), B: scoresOf("4")}} })},
		{"extra", tie(func(m *scoring.Match) { m.Extra = []scoring.ExtraHole{{Hole: 1, A: scoresOf("4"), B: scoresOf("4 4")}} })},
		{"extra", tie(func(m *scoring.Match) {
			m.Conceded, m.Extra = []scoring.ConcededHole{{Hole: 1, Side: "A"}}, []scoring.ExtraHole{{Hole: 1, A: scoresOf("4"), B: scoresOf("4")}}
		})},
		{"extra", tie(func(m *scoring.Match) {
			m.A[0].Scores, m.B[0].Scores = scoresOf("5 . . . . . . . ."), scoresOf("6 . . . . . . . .")
			m.Extra = []scoring.ExtraHole{{Hole: 1, A: scoresOf("4"), B: scoresOf("4")}}
		})},
	} {
		_, err := scoring.PlayMatch(c.m)
		requireField(t, err, c.field)
	}
}

func TestMatchStateRefusesWhatCannotBe(t *testing.T) {
	t.Parallel()
	text, err := scoring.MatchState(3, 16, 18)
	require.NoError(t, err)
	require.Equal(t, "3 and 2", text)
	_, err = scoring.MatchState(5, 16, 18)
	require.Equal(t, "lead", events.AsError(err).Field)
}

// TestTheLogCountsAsTheCardsDo: a match typed hole by hole into its decider stands
// as it does worked out from the cards, and explains itself alike.
func TestTheLogCountsAsTheCardsDo(t *testing.T) {
	t.Parallel()
	rapid.Check(t, func(t *rapid.T) {
		playing := rapid.SliceOfN(rapid.IntRange(-4, 30), 2, 2).Draw(t, "playing")
		fullNet := rapid.Bool().Draw(t, "full net")
		hole := rapid.IntRange(0, 8)
		m := scoring.Match{Par: ninePar, StrokeIndex: nineIndex, FullNet: fullNet, A: make([]scoring.MatchBall, 1), B: make([]scoring.MatchBall, 1)}
		arranged := events.MatchArranged{
			CompetitionID: "cup", Round: 1, Number: 1, CourseID: "course", Ranking: "net", StartingHole: 1, Length: 9, FullNet: fullNet,
			A: events.MatchSide{EntryID: "a"}, B: events.MatchSide{EntryID: "b"},
		}
		for i, side := range []*scoring.MatchBall{&m.A[0], &m.B[0]} {
			side.Playing = handicap.Playing(playing[i])
			for range ninePar {
				n := hole.Draw(t, "strokes")
				side.Scores = append(side.Scores, scoring.Score{State: scoring.PickedUp})
				if n > 0 {
					side.Scores[len(side.Scores)-1] = scoring.Strokes(n)
				}
			}
		}
		want, err := scoring.PlayMatch(m)
		require.NoError(t, err)
		for i, side := range []*events.MatchSide{&arranged.A, &arranged.B} {
			side.Balls = []events.MatchBall{matchBallOf(t, []string{"p1", "p2"}[i], playing[i], int(want.Strokes[i]))}
		}
		s := match.New()
		do := func(c match.Command) error {
			out, err := match.Decide(s, c)
			for _, e := range out {
				match.Evolve(s, e)
			}
			return err
		}
		require.NoError(t, do(match.Arrange{MatchArranged: arranged}), "the decider takes the strokes that this package works out")
		w := events.MatchWriter{By: events.RolePlayer, BySide: events.SideB}
		for place := range ninePar {
			score := func(b scoring.MatchBall) []events.MatchScore {
				if n := b.Scores[place].Strokes; n > 0 {
					return []events.MatchScore{{Score: events.Score{Strokes: n}}}
				}
				return []events.MatchScore{{Score: events.Score{None: events.PickedUp}}}
			}
			err := do(match.DecideHole{Number: place + 1, Entry: match.Entry{A: score(m.A[0]), B: score(m.B[0])}, MatchWriter: w})
			if place >= want.Played {
				require.Equal(t, "match_over", events.AsError(err).Code)
				continue
			}
			require.NoError(t, err)
		}
		require.Equal(t, want.Standing, s.Standing())
		require.Equal(t, want.Holes, scoring.MatchHoles(s))
	})
}

func matchBallOf(t *rapid.T, player string, playing, strokes int) events.MatchBall {
	allocated := func(n int) []int {
		out, err := handicap.StrokesReceived(handicap.Playing(n), nineIndex)
		require.NoError(t, err)
		return out
	}
	b := events.MatchBall{PlayerID: player, Tee: "White", Strokes: allocated(strokes), Figures: events.Figures{
		Par: 36, LowestPar: 36, CourseHandicapNum: int64(playing), CourseHandicapDen: 1, CourseHandicap: playing, AllowancePercent: 100,
		PlayingHandicap: playing, StrokesByHole: allocated(playing),
	}}
	for i := range ninePar {
		b.Holes = append(b.Holes, events.Hole{Number: i + 1, Par: ninePar[i], StrokeIndex: nineIndex[i]})
	}
	return b
}
