package web_test

import (
	"context"
	"fmt"
	"net/http"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"golang.org/x/net/html"

	"marram.example/events"
)

// fourBall is an opened four-ball Stableford of two sides.
func fourBall(t *testing.T) *morning {
	t.Helper()
	m := contest(t, 2, func(t *events.Terms) {
		t.Format, t.Side, t.SideSize, t.ParDifference, t.AllowancePercent = events.Stableford, events.SideFourBall, 2, false, 85
		t.Start.GroupSize = 4
	})
	m.draw("as_entered")
	m.open()
	return m
}

// ballForm is the form of the keys of a ball.
func (v *visitor) ballForm(at string, ball int) *sheet {
	v.t.Helper()
	for i := range 20 {
		f := v.form(at+"/scores", i)
		if f.values.Get("ball") == fmt.Sprint(ball) && f.values.Get("undo") == "" {
			return f
		}
	}
	require.Fail(v.t, "no form of that ball", "%d", ball)
	return nil
}

func TestCardOfASideIsWrittenBallByBallWithoutScript(t *testing.T) {
	t.Parallel()
	m := fourBall(t)
	at := m.at(0)
	v := m.holder(0, events.RolePlayer)
	v.wellMade()
	assert.Len(t, byClass(v.page, "ball"), 2, "both partners stand on one screen")
	assert.Contains(t, v.words(), "The better ball counts; one score is enough.")
	v.ballForm(at, 0).set("strokes", "5").send()
	require.Equal(t, http.StatusOK, v.status, v.words())
	assert.Contains(t, v.words(), "Hole 1 Par", "the hole stays until each ball has an entry")
	assert.Contains(t, v.words(), "counts.", "the ball that counts is named")
	v.ballForm(at, 1).set("none", "picked_up").send()
	require.Equal(t, http.StatusOK, v.status, v.words())
	assert.Contains(t, v.words(), "Hole 2 Par")
	s := m.state(0)
	assert.Equal(t, events.Score{Strokes: 5}, s.Lines(0)[0].Player)
	assert.Equal(t, events.Score{None: events.PickedUp}, s.Lines(1)[0].Player)
	var undo *sheet
	for i := range 20 {
		if f := v.form(at+"/scores", i); f.values.Get("undo") == "1" {
			undo = f
			break
		}
	}
	assert.Equal(t, "1", undo.values.Get("ball"))
	undo.send()
	assert.False(t, m.state(0).Lines(1)[0].Player.Entered(), "undo takes back the ball that was entered last")
	v.reads(at+"?hole=3").ballForm(at, 1).set("strokes", "19").send()
	require.Equal(t, http.StatusUnprocessableEntity, v.status)
	v.wellMade()
	assert.Contains(t, v.words(), ": 19 on hole 3")
	v.reads(at + "?hole=3")
	v.ballForm(at, 1).set("ball", "7").set("strokes", "4").send()
	assert.GreaterOrEqual(t, v.status, 400)
	assert.Less(t, v.status, 500)
}

func TestSideHandsInWithOneScoreAHole(t *testing.T) {
	t.Parallel()
	m := fourBall(t)
	at := m.at(0)
	player, marker := m.holder(0, events.RolePlayer), m.holder(0, events.RoleMarker)
	for h := 1; h <= 18; h++ {
		for _, v := range []*visitor{player, marker} {
			v.reads(fmt.Sprintf("%s?hole=%d", at, h)).ballForm(at, h%2).set("strokes", "5").send()
			require.Equal(t, http.StatusOK, v.status, v.words())
		}
	}
	marker.reads(at).form(at + "/certification").send()
	require.Equal(t, http.StatusOK, marker.status, marker.words())
	assert.Contains(t, marker.words(), "The side has not certified yet.")
	player.reads(at)
	player.wellMade()
	table := one(t, player.page, "side-holes")
	assert.Contains(t, words(one(t, player.page, "sums")), "Points")
	assert.NotContains(t, strings.ToLower(words(one(t, player.page, "sums"))+words(table)), "gross", "strokes of the balls with most points are not the side's gross score")
	counting := byClass(table, "counting")
	require.NotEmpty(t, counting)
	for _, cell := range counting {
		assert.Contains(t, words(cell), "counts", "which ball counts is said, not only framed")
	}
	player.form(at + "/certification").send()
	player.form(at + "/return").send()
	require.Equal(t, http.StatusOK, player.status, player.words())
	require.True(t, m.state(0).Returned)
	m.visit().reads(at).wellMade()
}

func TestDifferenceOfAPartnerIsSettledOnTheCard(t *testing.T) {
	t.Parallel()
	m := fourBall(t)
	at := m.at(0)
	player, marker := m.holder(0, events.RolePlayer), m.holder(0, events.RoleMarker)
	player.ballForm(at, 1).set("strokes", "5").send()
	marker.ballForm(at, 1).set("strokes", "6").send()
	marker.reads(at)
	assert.Contains(t, marker.words(), "you have 6 , the player has 5 .")
	settle := one(t, marker.page, "differs")
	forms := all(settle, "form")
	require.Len(t, forms, 1)
	for i := range 20 {
		if f := marker.form(at+"/scores", i); f.values.Get("ball") == "1" && f.values.Get("confirmed") == "1" {
			f.set("strokes", "5").send()
			break
		}
	}
	require.Equal(t, http.StatusOK, marker.status, marker.words())
	assert.Empty(t, m.state(0).Differences())
}

func TestFoursomesHaveOneBallOfTwoPlayers(t *testing.T) {
	t.Parallel()
	m := contest(t, 2, func(t *events.Terms) {
		t.Side, t.SideSize, t.AllowancePercent, t.SideAllowances, t.ParDifference = events.SideFoursomes, 2, 100, []int{50, 50}, false
		t.Start.GroupSize = 4
	})
	m.draw("as_entered")
	m.open()
	v := m.holder(0, events.RolePlayer)
	v.wellMade()
	assert.Empty(t, byClass(v.page, "ball"))
	assert.Contains(t, v.words(), "One ball of ")
	v.press(m.at(0), "strokes", "4")
	assert.Equal(t, events.Score{Strokes: 4}, m.state(0).Holes[0].Player)
	assert.Contains(t, m.visit().reads("/competitions/"+m.competition).words(), "50% of the course handicaps of all players, added up")
}

func TestMaximumAndParBogeyOnTheCard(t *testing.T) {
	t.Parallel()
	m := contest(t, 2, func(t *events.Terms) {
		t.Format, t.Maximum, t.Ranking = events.MaximumScore, events.Maximum{Kind: events.FixedStrokes, Strokes: 8}, "gross"
	})
	m.draw("as_entered")
	m.open()
	at := m.at(0)
	v := m.holder(0, events.RolePlayer)
	v.wellMade()
	assert.Contains(t, v.words(), "at most 8 count")
	v.press(at, "none", "picked_up")
	assert.Contains(t, v.words(), "counts 8", "picked up counts the maximum")

	m = contest(t, 2, func(t *events.Terms) {
		t.Format, t.ParDifference, t.Ranking, t.AllowancePercent = events.ParBogey, false, "gross", 0
	})
	m.draw("as_entered")
	m.open()
	at = m.at(0)
	v = m.holder(0, events.RolePlayer)
	par := m.state(0).Holes[0].Par
	v.press(at, "strokes", fmt.Sprint(par-1))
	v.press(at, "none", "picked_up")
	v.wellMade()
	table := all(v.page, "table")[0]
	said := []string{}
	each(table, func(n *html.Node) {
		if attr(n, "data-hole") != "" {
			cells := all(n, "td")
			said = append(said, words(cells[len(cells)-1]))
		}
	})
	assert.Equal(t, "won lost", strings.Join(said[:2], " "))
	assert.Contains(t, v.words(), "Won less lost E")
}

func TestExcludedHoleAsksForNothing(t *testing.T) {
	t.Parallel()
	m := fourBall(t)
	ctx := context.Background()
	_, err := m.commands.ExcludeHole(ctx, by(), m.competition, holeOut(1, "flooded green"))
	require.NoError(t, err)
	v := m.holder(0, events.RolePlayer)
	assert.Contains(t, v.words(), "Hole 2 Par", "the first hole is passed over")
	v.reads(m.at(0) + "?hole=1")
	assert.Contains(t, v.words(), "The committee settled this hole: excluded")
	v.reads("/competitions/" + m.competition)
	assert.Contains(t, v.words(), "Hole 1 of round 1 counts for nobody: Flooded green.")
}
