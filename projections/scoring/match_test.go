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
		"strokes received tie and win holes": {nineHoles("4 4 3 5 4 3 4 4 5", "5 5 3 5 4 4 5 4 6"), "A", "2 up", []int{0, 1, 1, 0, 0, 1, 1, 1, 2}},
		"dormie and a tie":                   {nineHoles("4 4 3 5 4 2 3 . .", "6 5 3 6 4 3 4 . ."), "A", "3 and 2", []int{1, 2, 2, 2, 2, 3, 3}},
		"holes after the end do not count":   {nineHoles("3 3 2 4 3 9 9 9 9", "5 5 4 6 5 3 3 3 3"), "A", "5 and 4", []int{1, 2, 3, 4, 5}},
		"not finished":                       {nineHoles("4 4 . . . . . . .", "4 4 . . . . . . ."), "", "1 up", []int{-1, -1}},
		"who picks up loses the hole":        {nineHoles("x 4 . . . . . . .", "9 x . . . . . . ."), "", "all square", []int{-1, 0}},
		"nobody completed the hole":          {nineHoles("x . . . . . . . .", "x . . . . . . . ."), "", "all square", []int{0}},
		"a hole without scores between others is tied":  {nineHoles("4 - 3 . . . . . .", "6 - 3 . . . . . ."), "", "1 up", []int{1, 1, 1}},
		"not begun":                                     {nineHoles(". . . . . . . . .", ". . . . . . . . ."), "", "all square", nil},
		"a tie stands":                                  {tie, "tied", "tied", []int{0, 0, 0, 0, 0, 0, 0, 0, 0}},
		"strokes are received again on extra holes":     {extended, "A", "at the 11th", []int{0, 0, 0, 0, 0, 0, 0, 0, 0, 0, 1}},
		"an extra hole that is tied":                    {unresolved, "", "all square", []int{0, 0, 0, 0, 0, 0, 0, 0, 0, 0}},
		"a concession counts whatever the scores":       {conceding(nineHoles("3 4 . . . . . . .", "5 4 . . . . . . ."), scoring.ConcededHole{Hole: 1, Side: "A"}), "", "1 up", []int{-1, -1}},
		"a conceded hole needs no scores":               {conceding(nineHoles("4 . . . . . . . .", "6 . . . . . . . ."), scoring.ConcededHole{Hole: 2, Side: "B"}), "", "2 up", []int{1, 2}},
		"somebody who receives nothing and gives eight": {fullNet(matchBall(-3, "5 5 . . . . . . ."), matchBall(5, "5 5 . . . . . . ."), false), "", "1 up", []int{-1, -1 - 0}},
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

func fullNet(a, b scoring.MatchBall, full bool) scoring.Match {
	return scoring.Match{Par: ninePar, StrokeIndex: nineIndex, A: []scoring.MatchBall{a}, B: []scoring.MatchBall{b}, FullNet: full}
}
