package match_test

import (
	"testing"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"marram.example/events"
	"marram.example/events/match"
)

func TestHowAMatchStandsInWords(t *testing.T) {
	t.Parallel()
	for _, c := range []struct {
		lead, played, length int
		want                 string
	}{
		{0, 0, 18, "all square"}, {0, 7, 18, "all square"}, {2, 7, 18, "2 up"}, {-2, 7, 18, "2 up"},
		{3, 15, 18, "dormie"}, {1, 17, 18, "dormie"}, {9, 9, 18, "dormie"}, {-1, 17, 18, "dormie"},
		{4, 16, 18, "4 and 2"}, {3, 16, 18, "3 and 2"}, {10, 10, 18, "10 and 8"}, {-2, 17, 18, "2 and 1"},
		{1, 18, 18, "1 up"}, {2, 18, 18, "2 up"}, {0, 18, 18, "tied"}, {0, 9, 9, "tied"}, {1, 9, 9, "1 up"}, {5, 5, 9, "5 and 4"},
		{1, 19, 18, "at the 19th"}, {-1, 21, 18, "at the 21st"}, {1, 22, 18, "at the 22nd"}, {1, 23, 18, "at the 23rd"}, {1, 37, 36, "at the 37th"},
		{1, 11, 9, "at the 11th"}, {1, 12, 9, "at the 12th"}, {1, 13, 9, "at the 13th"}, {0, 19, 18, "all square"},
		{19, 19, 36, "19 and 17"},
	} {
		require.Equal(t, c.want, match.StateText(c.lead, c.played, c.length), "%+v", c)
		require.NoError(t, match.CheckState(c.lead, c.played, c.length), "%+v", c)
	}
}

func TestStatesThatNoMatchIsIn(t *testing.T) {
	t.Parallel()
	for _, c := range []struct {
		lead, played, length int
		field                string
	}{
		{0, 0, 0, "length"}, {0, 0, 17, "length"}, {0, -1, 18, "played"}, {3, 2, 18, "lead"}, {-1, 0, 18, "lead"},
		{11, 11, 18, "lead"}, {5, 16, 18, "lead"}, {-3, 18, 18, "lead"}, {2, 19, 18, "lead"},
	} {
		e := events.AsError(match.CheckState(c.lead, c.played, c.length))
		require.NotNil(t, e, "%+v", c)
		require.Equal(t, c.field, e.Field, "%+v", c)
		require.NotEmpty(t, e.Rule)
	}
}

func TestResultsAreReadAsTheyAreWritten(t *testing.T) {
	t.Parallel()
	for text, want := range map[string][2]int{
		"3 and 2": {3, 16}, "4 and 2": {4, 16}, "10 and 8": {10, 10}, "1 up": {1, 18}, "2 up": {2, 18}, "tied": {0, 18}, "2 and 1": {2, 17},
	} {
		up, played, ok := match.ReadResult(text, 18, false)
		require.True(t, ok, text)
		require.Equal(t, want, [2]int{up, played}, text)
	}
	for _, text := range []string{"", "3 up", "5 and 2", "2 and 2", "11 and 7", "dormie", "all square", "at the 19th", "3&2", "1 Up", "0 up", "-1 up", "9 and 8"} {
		_, _, ok := match.ReadResult(text, 18, false)
		require.Equal(t, text == "9 and 8", ok, text)
	}
	up, played, ok := match.ReadResult("at the 20th", 18, true)
	require.Equal(t, [3]any{1, 20, true}, [3]any{up, played, ok})
	_, _, ok = match.ReadResult("tied", 18, true)
	require.False(t, ok, "a tie goes on")
	_, _, ok = match.ReadResult("at the 18th", 18, true)
	require.False(t, ok)
}

func TestMatchesByTheirHoles(t *testing.T) {
	t.Parallel()
	for _, c := range []struct {
		holes  string
		extra  bool
		winner string
		text   string
		played int
	}{
		{"", false, "", "all square", 0},
		{"AAAA", false, "", "4 up", 4},
		{"AAAA-", false, "", "dormie", 5},
		{"AAAAAB", false, "A", "5 and 4", 5},
		{"BBBB-B", false, "B", "5 and 3", 6},
		{"AB-AB-AB-", false, "tied", "tied", 9},
		{"AB-AB-AB-", true, "", "all square", 9},
		{"AB-AB-AB--", true, "", "all square", 10},
		{"AB-AB-AB--B", true, "B", "at the 11th", 11},
		{"AB-AB-AB-A--", true, "A", "at the 10th", 10},
		{"AB-AB-AB-A", false, "tied", "tied", 9},
		{"AB-AB-ABA", true, "A", "1 up", 9},
	} {
		var winners []string
		for _, w := range c.holes {
			winners = append(winners, winnerOf(w))
		}
		s := match.Stand(winners, 9, c.extra)
		require.Equal(t, []any{c.winner, c.text, c.played}, []any{s.Winner, s.Text, s.Played}, "%+v", c)
		require.Equal(t, c.winner != "", s.Over, "%+v", c)
	}
}

func anyWinners() *rapid.Generator[[]string] {
	return rapid.SliceOfN(rapid.SampledFrom([]string{"A", "B", "tied"}), 0, 45)
}

// TestAnyMatchByItsHoles: the standing is worked out again by counting.
func TestAnyMatchByItsHoles(t *testing.T) {
	t.Parallel()
	rapid.Check(t, func(t *rapid.T) {
		winners, length, extra := anyWinners().Draw(t, "winners"), rapid.SampledFrom([]int{9, 18, 36}).Draw(t, "length"), rapid.Bool().Draw(t, "extra holes")
		s := match.Stand(winners, length, extra)
		require.LessOrEqual(t, s.Played, len(winners))
		require.Len(t, s.Progress, s.Played)
		won := map[string]int{}
		for i, w := range winners[:s.Played] {
			won[w]++
			lead := won["A"] - won["B"]
			require.Equal(t, lead, s.Progress[i], "the lead is wins less losses")
			ahead, remain := max(lead, -lead), max(0, length-i-1)
			over := ahead > remain || i+1 == length && !extra
			require.Equal(t, over, s.Over && i == s.Played-1, "over after %d", i+1)
		}
		require.Equal(t, won["A"]-won["B"], s.Lead)
		require.NoError(t, match.CheckState(s.Lead, s.Played, length))
		if !s.Over {
			require.Len(t, winners, s.Played, "every hole counts while it is not over")
			require.Empty(t, s.Winner)
			_, _, ok := match.ReadResult(s.Text, length, extra)
			require.True(t, !ok || s.Text == "1 up" || s.Text == "2 up", "%s is no result", s.Text)
			return
		}
		require.Equal(t, s, match.Stand(append(winners[:s.Played:s.Played], "A", "B", "B", "A", "A"), length, extra), "no later hole counts")
		require.Equal(t, map[bool]string{true: "A"}[s.Lead > 0]+map[bool]string{true: "B"}[s.Lead < 0]+map[bool]string{true: "tied"}[s.Lead == 0], s.Winner)
		up, played, ok := match.ReadResult(s.Text, length, extra)
		require.True(t, ok, s.Text)
		require.Equal(t, [2]int{max(s.Lead, -s.Lead), s.Played}, [2]int{up, played}, "the text says it all: %s", s.Text)
	})
}

// TestAnyHoleByScores: the sides are alike, and a stroke received is a stroke less.
func TestAnyHoleByScores(t *testing.T) {
	t.Parallel()
	balls := rapid.SliceOfN(rapid.Map(rapid.IntRange(0, 9), func(n int) events.MatchScore { return strokes(n)[0] }), 1, 2)
	rapid.Check(t, func(t *rapid.T) {
		a, b := balls.Draw(t, "a"), balls.Draw(t, "b")
		ra, rb := rapid.SliceOfN(rapid.IntRange(-1, 2), len(a), len(a)).Draw(t, "received by a"), rapid.SliceOfN(rapid.IntRange(-1, 2), len(b), len(b)).Draw(t, "received by b")
		winner, grounds := match.HoleWinner(a, b, ra, rb)
		mirrored, same := match.HoleWinner(b, a, rb, ra)
		require.Equal(t, grounds, same)
		if winner == "tied" {
			require.Equal(t, "tied", mirrored)
		} else {
			require.Equal(t, match.Other(winner), mirrored)
		}
		none := true
		for side, balls := range map[string][]events.MatchScore{"A": a, "B": b} {
			for _, s := range balls {
				none = none && s.Strokes == 0
				if s.Strokes > 0 && winner != side {
					better := []events.MatchScore{{Score: events.Score{Strokes: 1}}}
					var w string
					if side == "A" {
						w, _ = match.HoleWinner(better, b, []int{20}, rb)
					} else {
						w, _ = match.HoleWinner(a, better, ra, []int{20})
					}
					require.Equal(t, side, w, "strokes enough win any hole")
				}
			}
		}
		require.Equal(t, none, grounds == events.HoleNotFinished)
		for ball, s := range a {
			net, ok := match.BestNet(a, ra)
			require.True(t, s.Strokes == 0 || ok && net <= s.Strokes-ra[ball], "no ball is better than the best")
		}
	})
	require.Empty(t, match.Other("tied"))
	net, ok := match.BestNet(strokes(5, 4), nil)
	require.True(t, ok)
	require.Equal(t, 4, net, "who receives nothing")
}
