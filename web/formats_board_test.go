package web_test

import (
	"context"
	"fmt"
	"net/http"
	"net/url"
	"strconv"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"golang.org/x/net/html"

	"marram.example/api/command"
	"marram.example/events"
	"marram.example/events/competition"
)

func boardAt(m *morning) string { return "/competitions/" + m.competition + "/board" }

// one finds the only element of a class.
func one(t *testing.T, n *html.Node, class string) *html.Node {
	t.Helper()
	found := byClass(n, class)
	require.Len(t, found, 1, class)
	return found[0]
}

func TestParBogeyBoardCountsHolesWithTheirSign(t *testing.T) {
	t.Parallel()
	m := contest(t, 3, func(t *events.Terms) { t.Format, t.ParDifference, t.Ranking = events.ParBogey, false, "gross" })
	m.draw("as_entered")
	m.open()
	m.paper(0, 1, func(_, hole int) int { return map[bool]int{true: -1, false: 0}[hole <= 2] }) // two won
	m.paper(1, 1, func(_, hole int) int { return 0 })                                           // all tied
	m.paper(2, 1, func(_, hole int) int { return map[bool]int{true: 1, false: 0}[hole <= 3] })  // three lost
	v := m.visit().reads(boardAt(m))
	v.wellMade()
	assert.Contains(t, v.words(), "Won less lost")
	want := []struct{ figure, tint string }{{"+2", "under"}, {"E", "level"}, {"\u22123", "over"}}
	for i, tr := range boardRows(v) {
		link := all(one(t, tr, "fig"), "a")[0]
		assert.Equal(t, want[i].figure, words(link))
		assert.Equal(t, want[i].tint, attr(link, "class"), "winning holes is good, whatever the sign")
	}
	m.closeRound()
	m.publish()
	v.reads("/competitions/" + m.competition + "/result")
	v.wellMade()
	assert.Equal(t, "+2", words(byClass(v.page, "counts")[0]))
	v.reads("/competitions/" + m.competition)
	v.wellMade()
	assert.Contains(t, v.words(), "Gross par/bogey over 18 holes")
	assert.Contains(t, v.words(), "Each hole is won, tied or lost against par by strokes (Rules of Golf 21.3)")
}

func TestBoardOfRoundsShowsEachRoundTotalAndCut(t *testing.T) {
	t.Parallel()
	m := contest(t, 4, func(t *events.Terms) {
		t.Ranking, t.Rounds, t.ParDifference = "gross", 2, false
		t.Tees = []string{"White"} // of one par
		t.Cut = &events.Cut{AfterRound: 1, Places: 2, TiesIn: true}
	})
	m.draw("as_entered")
	m.open()
	for i := range 4 {
		m.paper(i, 1, func(_, hole int) int { return map[bool]int{true: 1, false: 0}[hole <= i+1] })
	}
	m.closeRound()
	v := m.visit().reads(boardAt(m))
	v.wellMade()
	assert.Contains(t, v.words(), "Round 1 of 2")
	assert.Len(t, byClass(v.page, "missed"), 2)
	assert.Len(t, byClass(v.page, "cut-words"), 1, "the cut says its arithmetic")
	m.draw("standing")
	v.reads("/competitions/" + m.competition + "/start-sheet")
	v.wellMade()
	assert.Contains(t, v.words(), "Round 2")
	assert.Contains(t, v.links(), "/competitions/"+m.competition+"/start-sheet?round=1")
	v.reads("/competitions/" + m.competition + "/start-sheet?round=1")
	v.wellMade()
	m.open()
	for i := range 2 {
		m.paper(i, 2, func(_, hole int) int { return map[bool]int{true: -1, false: 0}[hole == 1] })
	}
	v.reads(boardAt(m))
	v.wellMade()
	rows := boardRows(v)
	assert.Equal(t, "E", words(one(t, rows[0], "fig")), "one over, then one under")
	assert.Equal(t, "R1 +1 R2 \u22121", words(one(t, rows[0], "rnd")))
	assert.Equal(t, "MC", words(one(t, rows[3], "n")))
	assert.Contains(t, words(rows[3]), "Missed the cut")
	assert.NotContains(t, attr(rows[1], "class"), "missed")
	v.reads("/competitions/" + m.competition + "/entries")
	v.wellMade()
	assert.Contains(t, v.words(), "missed the cut")
	m.closeRound()
	m.publish()
	v.reads("/competitions/" + m.competition + "/result")
	v.wellMade()
	assert.Contains(t, v.words(), "Round 1 "+strconv.Itoa(parOf(t, m, 0)+1)+" Round 2 "+strconv.Itoa(parOf(t, m, 0)-1))
	v.reads("/competitions/" + m.competition)
	assert.Contains(t, v.words(), "After round 1 these play on: the first 2 players and whoever is level with the last of them.")
	assert.Contains(t, v.words(), "The total of the last round decides first")
}

func parOf(t *testing.T, m *morning, entry int) int {
	t.Helper()
	k, err := m.commands.Card(context.Background(), m.cardIn(entry, 1))
	require.NoError(t, err)
	return k.State.Figures.Par
}

func TestBoardOfSidesSaysWhoIsWho(t *testing.T) {
	t.Parallel()
	m := contest(t, 2, func(t *events.Terms) {
		t.Format, t.Side, t.SideSize, t.ParDifference, t.AllowancePercent = events.Stableford, events.SideFourBall, 2, false, 85
		t.Start.GroupSize = 4
	})
	m.draw("as_entered")
	m.open()
	for i := range 2 {
		m.paper(i, 1, func(ball, hole int) int { return ball })
	}
	people := map[string]string{}
	for _, p := range readCSV(t, "players.csv") {
		people[p["member_no"]] = p["name"]
	}
	file := readCSV(t, "entries.csv")
	name := func(i int) string { return people[file[i]["member_no"]] }
	at := "/competitions/" + m.competition
	v := m.visit()
	for _, path := range []string{at + "/board", at + "/entries", at + "/start-sheet"} {
		v.reads(path)
		v.wellMade()
		said := v.words()
		assert.Contains(t, said, "The Turnstones", path)
		for i := range 4 {
			assert.Contains(t, said, name(i), path)
		}
	}
	assert.Contains(t, v.words(), "mean index", "a pair has no index of its own")
	m.closeRound()
	m.publish()
	v.reads(at + "/result")
	v.wellMade()
	assert.Contains(t, v.words(), name(1))
	v.reads(at)
	assert.Contains(t, v.words(), "Net four-ball Stableford over 18 holes")
	assert.Contains(t, v.words(), "85% of each player’s course handicap")
	assert.Contains(t, v.words(), "2 sides entered")
}

func TestMatchesStandOnTheBoardWithLeadAndLine(t *testing.T) {
	t.Parallel()
	m := contest(t, 3, matchPlay(competition.Knockout))
	m.draw("seeded")
	at := "/competitions/" + m.competition
	v := m.visit().reads(at + "/start-sheet")
	v.wellMade()
	assert.Contains(t, v.words(), "goes on without a match", "a bye is on the sheet")
	m.open()
	c, _, err := m.commands.Competition(context.Background(), m.competition)
	require.NoError(t, err)
	var id string
	for _, g := range c.Draw.Groups {
		if len(g.Places) == 2 {
			id = command.MatchID(m.competition, g.Number, 1)
		}
	}
	v.reads(boardAt(m))
	v.wellMade()
	assert.Contains(t, v.words(), "Semi-finals")
	m.matchHoles(id, "AA-B")
	v.reads(boardAt(m))
	v.wellMade()
	card := one(t, v.page, "match")
	assert.Equal(t, "1 up", words(one(t, one(t, card, "ahead"), "lead")))
	assert.Equal(t, "thru 4", words(one(t, card, "match-thru")))
	strip := all(card, "svg")[0]
	b, ok := m.boards.Snapshot(context.Background(), m.competition)
	require.True(t, ok)
	a := b.Matches[0].A.Name
	assert.Equal(t, "After hole 1 "+a+" 1 up, 2 "+a+" 2 up, 3 "+a+" 2 up, 4 "+a+" 1 up", attr(strip, "aria-label"))
	m.matchHoles(id, "AA-B"+"-------A-AA")
	v.reads(boardAt(m))
	assert.Equal(t, "4 and 3", words(one(t, one(t, v.page, "ahead"), "lead")))
	m.closeRound()
	m.draw("seeded")
	m.open()
	final := command.MatchID(m.competition, 1, 2)
	m.matchHoles(final, "------------------B")
	v.reads(boardAt(m))
	v.wellMade()
	assert.Contains(t, v.words(), "at the 19th")
	m.closeRound()
	m.publish()
	v.reads(at + "/result")
	v.wellMade()
	assert.Contains(t, v.words(), "Final")
	assert.Contains(t, v.words(), "4 and 3")
	assert.Contains(t, v.words(), "goes on without a match")
	assert.Equal(t, "1", words(byClass(v.page, "pos")[0]))
	v.reads(at)
	v.wellMade()
	assert.Contains(t, v.words(), "A knockout: who wins a match plays on.")
	v.reads(at + "/entries")
	assert.Contains(t, v.words(), "out")
}

func TestRoundRobinHasItsTable(t *testing.T) {
	t.Parallel()
	m := contest(t, 3, matchPlay(competition.RoundRobin))
	m.draw("round_robin")
	m.open()
	c, _, err := m.commands.Competition(context.Background(), m.competition)
	require.NoError(t, err)
	var number int
	for _, g := range c.Draw.Groups {
		if len(g.Places) == 2 {
			number = g.Number
		}
	}
	m.matchHoles(command.MatchID(m.competition, number, 1), "AAAAAAAAAA")
	m.closeRound()
	v := m.visit().reads(boardAt(m))
	v.wellMade()
	table := one(t, v.page, "group-table")
	assert.Len(t, all(all(table, "tbody")[0], "tr"), 3)
	assert.Equal(t, "1", words(byClass(table, "points")[0]))
	assert.Equal(t, "+10", words(byClass(table, "diff")[0]))
}

func TestBoardAsItStoodEarlier(t *testing.T) {
	t.Parallel()
	m := medal(t, 3)
	m.open()
	m.play(func(int) int { return 2 })
	b, ok := m.boards.Snapshot(context.Background(), m.competition)
	require.True(t, ok)
	m.play(func(int) int { return 5 })
	v := m.visit().reads(fmt.Sprintf("%s?as_of=%d", boardAt(m), b.Position))
	v.wellMade()
	for _, script := range all(v.page, "script") {
		assert.NotContains(t, attr(script, "src"), "board", "the past does not move")
	}
	for _, tr := range boardRows(v) {
		assert.Equal(t, "2", words(one(t, tr, "n")))
	}
	v.reads(boardAt(m) + "?at=" + url.QueryEscape(time.Now().UTC().Format("2006-01-02T15:04")))
	for _, tr := range boardRows(v) {
		assert.Equal(t, "5", words(one(t, tr, "n")))
	}
	v.open(boardAt(m) + "?at=2031-13-40")
	assert.Equal(t, http.StatusUnprocessableEntity, v.status)
	v.open(boardAt(m) + "?at=2001-01-01T00:00")
	assert.Equal(t, http.StatusNotFound, v.status, "nothing was planned by then")
}
