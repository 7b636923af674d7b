package web_test

import (
	"context"
	"regexp"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"marram.example/api/command"
	"marram.example/events"
	"marram.example/events/competition"
)

// level plays par on every hole, with so many more on some.
func level(more map[int]int) func(ball, hole int) int {
	return func(ball, hole int) int { return more[100*ball+hole] }
}

func figuresAt(card string) string { return "/cards/" + card + "/figures" }

func TestFiguresOfAPairSayWhichBallCounted(t *testing.T) {
	t.Parallel()
	m := contest(t, 2, func(t *events.Terms) {
		t.Side, t.SideSize, t.AllowancePercent, t.Start.GroupSize, t.Tees = events.SideFourBall, 2, 85, 4, []string{"White"}
	})
	m.draw("as_entered")
	m.open()
	m.paper(0, 1, level(map[int]int{1: 4, 102: 4}))
	d, err := m.commands.AddPenalty(context.Background(), by(), m.card(0), command.AddPenalty{Ball: 1, Hole: 3, Strokes: 2, Rule: "Rules of Golf 5.3a", Reason: "four minutes late"})
	require.NoError(t, err)
	m.settle(d)
	v := m.secretary().reads(figuresAt(m.card(0)))
	v.wellMade()
	assert.Equal(t, "The Turnstones", words(all(v.page, "h1")[0]))
	assert.Contains(t, v.words(), "the better of two balls on each hole")
	first, second := playerName(t, m, 0), playerName(t, m, 1)
	assert.Regexp(t, "1 "+first+` \d+, `+second+` \d+: `+second+" counts", v.words(), "names stand for the balls' numbers")
	assert.Contains(t, v.words(), "2 penalty strokes on hole 3, ball 2, Rules of Golf 5.3a: four minutes late.")
	assert.Contains(t, v.words(), "Worked out again just now")
	assert.NotContains(t, v.words(), "does not give the figures")
	assert.Len(t, byClass(v.page, "ball-name"), 2)
	counts, out := 0, 0
	for _, r := range all(v.page, "rect") {
		switch attr(r, "class") {
		case "ball counts":
			counts++
		case "ball out", "ball equal":
			out++
		}
	}
	assert.Equal(t, []int{18, 18}, []int{counts, out}, "one ball counts on each hole")
	public := m.visit().reads(figuresAt(m.card(0)))
	public.wellMade()
	assert.NotContains(t, public.words(), "minutes late")
}

func playerName(t *testing.T, m *morning, player int) string {
	t.Helper()
	names, err := m.commands.Names(context.Background(), m.players)
	require.NoError(t, err)
	return regexp.QuoteMeta(names[m.players[player]])
}

func TestFiguresOfOneBallOpenEveryShare(t *testing.T) {
	t.Parallel()
	m := contest(t, 1, func(t *events.Terms) {
		t.Side, t.SideSize, t.AllowancePercent, t.SideAllowances, t.Start.GroupSize = events.SideGreensomes, 2, 100, []int{60, 40}, 2
		t.Format, t.Maximum = events.MaximumScore, events.Maximum{Kind: events.NetDoubleBogey}
	})
	m.draw("as_entered")
	m.open()
	m.paper(0, 1, level(map[int]int{1: 8}))
	v := m.visit().reads(figuresAt(m.card(0)))
	v.wellMade()
	assert.Contains(t, v.words(), "tee, 60%")
	assert.Contains(t, v.words(), "tee, 40%")
	assert.Contains(t, v.words(), "Handicap of the side, unrounded")
	assert.Contains(t, v.words(), "reduced to the maximum of")
	assert.Contains(t, v.words(), "Maximum score: Rules of Golf 21.2.")
	assert.Empty(t, byClass(v.page, "ball-name"))
}

func TestFiguresOfSeveralRoundsLeadToEachOther(t *testing.T) {
	t.Parallel()
	m := contest(t, 3, func(t *events.Terms) {
		t.Rounds, t.Tees, t.Format, t.ParDifference = 2, []string{"White"}, events.ParBogey, false
		t.Cut = &events.Cut{AfterRound: 1, Places: 2}
	})
	m.draw("as_entered")
	m.open()
	for i := range 3 {
		m.paper(i, 1, level(map[int]int{1: 9, 2: 9 * i, 3: 9 * i}))
	}
	d, err := m.commands.ExcludeHole(context.Background(), by(), m.competition, command.HoleOut{Hole: 18, Reason: "the green is flooded"})
	require.NoError(t, err)
	m.settle(d)
	m.closeRound()
	m.draw("standing")
	m.open()
	v := m.visit().reads(figuresAt(m.cardIn(0, 1)))
	v.wellMade()
	assert.Contains(t, v.words(), "holes won less lost")
	assert.Contains(t, v.words(), "The green is flooded.")
	assert.Contains(t, v.words(), "The cut:")
	assert.Contains(t, v.links(), figuresAt(m.cardIn(0, 2)))
	assert.Contains(t, v.words(), "0 of 18 holes are entered")
	v.reads(figuresAt(m.cardIn(0, 2)))
	v.wellMade()
	assert.Contains(t, v.links(), figuresAt(m.cardIn(0, 1)))
}

func TestFiguresOfAMatch(t *testing.T) {
	t.Parallel()
	m := contest(t, 3, matchPlay(competition.RoundRobin))
	m.draw("round_robin")
	m.open()
	c, _, err := m.commands.Competition(context.Background(), m.competition)
	require.NoError(t, err)
	all3, err := m.commands.MatchesOf(context.Background(), m.competition, c, 1)
	require.NoError(t, err)
	id := all3[0].ID
	at := "/matches/" + id + "/figures"
	v := m.visit().reads(at)
	v.wellMade()
	assert.Equal(t, "Not begun", words(byClass(v.page, "headline")[0]))
	m.matchHoles(id, "AB-AAAA")
	four, five := 4, 5
	d, err := m.commands.EnterMatchHole(context.Background(), by(), id, command.EnterMatchHole{
		Number: 8, A: []command.MatchScore{{Strokes: &four}}, B: []command.MatchScore{{Strokes: &five}},
	})
	require.NoError(t, err)
	m.settle(d)
	v.reads(at)
	v.wellMade()
	assert.Contains(t, v.words(), "as the players say")
	assert.Contains(t, v.words(), "plays off 0")
	assert.Contains(t, v.words(), "Worked out again just now")
	assert.Len(t, all(byClass(v.page, "strip")[0], "path"), 4)
	v.reads("/matches/" + id)
	assert.Contains(t, v.links(), at, "the match leads to its figures")
	d, err = m.commands.ConcedeMatch(context.Background(), by(), id, command.ConcedeMatch{Side: events.SideB, Reason: "a sprained wrist"})
	require.NoError(t, err)
	m.settle(d)
	m.closeRound()
	v.reads(at)
	v.wellMade()
	assert.Contains(t, words(byClass(v.page, "headline")[0]), "wins, conceded")
	assert.NotContains(t, v.words(), "wrist")
	assert.Contains(t, v.words(), "1 won × 1 + 0 tied × 1/2 = 1 point")
	secretary := m.secretary().reads(at)
	secretary.wellMade()
	assert.Contains(t, secretary.words(), "wrist")
}
