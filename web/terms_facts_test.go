package web

import (
	"testing"

	"github.com/stretchr/testify/assert"

	"marram.example/api/command"
	"marram.example/events"
	"marram.example/events/competition"
)

func TestFormatsInWords(t *testing.T) {
	t.Parallel()
	for _, c := range []struct {
		want   string
		change func(*events.Terms)
	}{
		{"Net stroke play over 18 holes", func(*events.Terms) {}},
		{"Gross Stableford over 9 holes, 10 to 18", func(t *events.Terms) {
			t.Format, t.Ranking, t.Holes = events.Stableford, "gross", command.HoleRange(10, 18)
		}},
		{"Net foursomes maximum score over 18 holes", func(t *events.Terms) { t.Format, t.Side, t.SideSize = events.MaximumScore, events.SideFoursomes, 2 }},
		{"Net best 2 of 4 par/bogey over 18 holes", func(t *events.Terms) {
			t.Format, t.Side, t.SideSize, t.Count = events.ParBogey, events.SideBestOf, 4, []int{2}
		}},
		{"Net scramble of 3 stroke play over 18 holes", func(t *events.Terms) { t.Side, t.SideSize = events.SideScramble, 3 }},
		{"Net stroke play over 4 rounds of 18 holes", func(t *events.Terms) { t.Rounds = 4 }},
		{"Net Chapman match play, round robin, 36 holes a match", func(t *events.Terms) {
			t.Format, t.Rounds, t.Side, t.SideSize = events.MatchPlay, 0, events.SideChapman, 2
			t.Match = &events.MatchTerms{Bracket: competition.RoundRobin, Length: 36}
		}},
	} {
		terms := command.PresetTerms(events.StrokePlay)
		c.change(&terms)
		assert.Equal(t, c.want, formatWords(&terms))
	}
}

func TestAllowancesInWords(t *testing.T) {
	t.Parallel()
	terms := command.PresetTerms(events.StrokePlay)
	assert.Equal(t, "95% of the course handicap (Rules of Handicapping, Appendix C).", allowanceWords(&terms))
	terms.AllowanceSource = "committee"
	assert.Equal(t, "95% of the course handicap, as the committee set it.", allowanceWords(&terms))
	terms.AllowancePercent, terms.SideSize, terms.SideAllowances = 100, 2, []int{60, 40}
	assert.Equal(t, "The course handicaps of the players, the lowest first, by 60% and 40%, added up, as the committee set it.", allowanceWords(&terms))
	terms.SideAllowances = []int{50, 50}
	assert.Equal(t, "50% of the course handicaps of all players, added up, as the committee set it.", allowanceWords(&terms))
}

func TestBallsThatCountInWords(t *testing.T) {
	t.Parallel()
	terms := events.Terms{Side: events.SideBestOf, SideSize: 3, Count: []int{1, 2, 2, 1, 1, 1, 1, 1, 3}, Holes: command.HoleRange(10, 18)}
	assert.Equal(t, []string{
		"3 players a side, each with a ball of their own; how many of the best balls count differs by hole (Committee Procedures 9D).",
		"1 ball on holes 10, 13, 14, 15, 16 and 17.", "2 balls on holes 11 and 12.", "3 balls on hole 18.",
	}, sideWords(&terms))
	terms.Count, terms.CountBy = []int{2}, "round"
	assert.Equal(t, []string{"3 players a side, each with a ball of their own; the best 2 round totals of the side count."}, sideWords(&terms))
}

func TestRoundsAndCutInWords(t *testing.T) {
	t.Parallel()
	terms := command.PresetTerms(events.StrokePlay)
	five, ninety := 5, 90
	terms.Rounds, terms.Cut = 2, &events.Cut{AfterRound: 1, Places: 10, Within: &five}
	s := competition.New()
	s.Date, s.Terms = "2025-06-14", &terms
	assert.Equal(t, []string{"2 rounds, all alike; their totals are added up."}, roundsWords(s, nil))
	terms.PerRound = []events.RoundTerms{
		{}, {Date: "2025-06-15", FirstTime: "07:30", Format: events.MaximumScore, Maximum: &events.Maximum{Kind: events.DoublePar}, CourseID: "c2", AllowancePercent: &ninety},
	}
	assert.Equal(t, []string{
		"2 rounds; their totals are added up.", "Round 1: Saturday 14 June 2025.",
		"Round 2: Sunday 15 June 2025, from 07:30, Net maximum score, at Far Links, 90% of the course handicap, the maximum is twice par.",
	}, roundsWords(s, map[string]string{"c2": "Far Links"}))
	assert.Equal(t, "After round 1 these play on: the first 10 players, and nobody on a shared last place that makes it more; also everybody within 5 strokes of the lead.", cutWords(&terms))
}

func TestTermsOfTiesInWords(t *testing.T) {
	t.Parallel()
	terms := command.PresetTerms(events.StrokePlay)
	terms.Rounds, terms.TieHoles, terms.TieWindows, terms.TieHandicap, terms.TieShare, terms.TieThen = 2, "by_play", "hole_by_hole", "course", "rounded_half_up", "lot"
	assert.Equal(t, "The total of the last round decides first; then matching scorecards in the order in which each played, the last nine first: "+
		"holes 10 to 18, 13 to 18, 16 to 18 and 18, then 17, 16, 15 and so on back to the first. "+
		"The share of the course handicap is rounded, halves up. Still equal, the committee draws a lot.", tieWords(&terms))
	terms.TieMethod = "play_off"
	assert.Equal(t, "A play-off decides between equal results.", tieWords(&terms))
	for window, want := range map[string]string{"10-18": "holes 10–18", "18": "hole 18", "last round": "the last round", "last 6": "the last 6 holes", "holes played 10-18": "holes played 10–18"} {
		assert.Equal(t, want, windowWords(window))
	}
}

// Above the line side A leads, below it side B: one step a hole.
func TestStripDrawsTheLeadAndSaysIt(t *testing.T) {
	t.Parallel()
	s := stripOf([]int{1, 2, 2, 2, 1, 0, -1}, 18, "Ada", "Bo")
	assert.Equal(t, 180, s.Width)
	assert.Equal(t, "After hole 1 Ada 1 up, 2 Ada 2 up, 4 Ada 2 up, 5 Ada 1 up, 6 all square, 7 Bo 1 up", s.Words)
	assert.Equal(t, "M1 32v-6h8v6zM11 32v-12h8v12zM21 32v-12h8v12zM31 32v-12h8v12zM41 32v-6h8v6z", s.A)
	assert.Equal(t, "M61 32v6h8v-6z", s.B)
	assert.Equal(t, "M53 30h4v4h-4z", s.Even)
	assert.Equal(t, "No hole is entered yet", stripOf(nil, 18, "Ada", "Bo").Words)
	assert.Equal(t, stripOf([]int{5}, 18, "a", "b").A, stripOf([]int{9}, 18, "a", "b").A, "a lead beyond the drawing is in the words")
	assert.Equal(t, 200, stripOf(make([]int, 20), 18, "a", "b").Width, "extra holes make it longer")
}

func TestHalfPoints(t *testing.T) {
	t.Parallel()
	for halves, want := range map[int]string{0: "0", 1: "½", 2: "1", 5: "2½"} {
		assert.Equal(t, want, halfPointsText(halves))
	}
	assert.Equal(t, "0", signedWithZero(0))
	assert.Equal(t, "+3", signedWithZero(3))
}
