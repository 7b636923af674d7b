package web_test

import (
	"context"
	"net/http"
	"net/url"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"marram.example/events"
	"marram.example/events/competition"
	"marram.example/projections/standing"
)

func TestWhatIfShowsWhoMoves(t *testing.T) {
	t.Parallel()
	m := medal(t, 60)
	m.open()
	m.play(func(int) int { return 3 })
	at := "/competitions/" + m.competition + "/what-if"
	secretary := m.secretary()
	r, _ := m.visit().get(at, nil)
	require.Equal(t, http.StatusNotFound, r.StatusCode, "provisional results are not everybody's")
	secretary.reads(at)
	secretary.wellMade()
	assert.Contains(t, secretary.words(), "The rounds are not over")
	m.finish()
	v := m.visit().reads("/competitions/" + m.competition + "/result")
	assert.Contains(t, v.links(), at)
	v.reads(at + "?format=stableford&allowance_percent=85&maximum=net_double_bogey")
	v.wellMade()
	assert.Contains(t, words(byClass(v.page, "banner")[0]), "Not the result: the same cards under other terms.")
	assert.Contains(t, v.words(), "Net Stableford, 85% of the course handicap")
	eightyFive := 85
	want, _, err := m.commands.WhatIf(context.Background(), m.competition, standing.OtherTerms{Format: "stableford", AllowancePercent: &eightyFive})
	require.NoError(t, err)
	rows := all(all(v.page, "tbody")[0], "tr")
	require.Len(t, rows, len(want.Rows))
	moved := 0
	for i, tr := range rows {
		position := words(byClass(tr, "pos")[0])
		if position == "–" {
			position = ""
		}
		assert.Equal(t, want.Rows[i].WhatIf.Position, position)
		if n := want.Rows[i].Moved; n != nil && *n != 0 {
			moved++
		}
	}
	require.Positive(t, moved)
	ways := map[string]int{}
	for _, g := range all(byClass(v.page, "slope")[0], "g") {
		ways[attr(g, "class")]++
	}
	assert.Equal(t, moved, ways["up"]+ways["down"], "the drawing says the same")
	assert.Equal(t, len(rows), ways["up"]+ways["down"]+ways["same"])
	form := all(v.page, "form")
	assert.Equal(t, "stableford", chosenIn(v, "format"))
	assert.NotEmpty(t, form)
	v.reads(at)
	v.wellMade()
	assert.Contains(t, v.words(), "Everybody stands where they stood.")
	secretary.reads("/desk/competitions/" + m.competition + "/result")
	found := false
	for _, a := range all(secretary.page, "a") {
		found = found || attr(a, "href") == at
	}
	assert.True(t, found, "the console's result leads here")
}

// chosenIn is what stands in a select.
func chosenIn(v *visitor, name string) string {
	for _, s := range all(v.page, "select") {
		if attr(s, "name") == name {
			for _, o := range all(s, "option") {
				if has(o, "selected") {
					return attr(o, "value")
				}
			}
		}
	}
	return ""
}

func TestWhatIfRefusesBesideTheField(t *testing.T) {
	t.Parallel()
	m := medal(t, 4)
	m.open()
	v := m.secretary()
	at := "/competitions/" + m.competition + "/what-if?"
	for query, id := range map[string]string{
		"allowance_percent=lots": "if-allowance_percent-wrong", "format=maximum_score": "if-maximum-wrong", "ranking=best": "if-ranking-wrong",
	} {
		r, body := v.get(at+query, map[string]string{"Accept": "text/html"})
		require.Equal(t, http.StatusUnprocessableEntity, r.StatusCode, query)
		require.Contains(t, string(body), `id="`+id+`"`, query)
		require.NotContains(t, string(body), "<svg viewBox=\"0 0 360", query)
	}
	r, body := v.get(at+url.Values{"side": {"four_ball"}}.Encode(), map[string]string{"Accept": "text/html"})
	require.Equal(t, http.StatusUnprocessableEntity, r.StatusCode)
	require.Contains(t, string(body), "Everybody played for themselves", "a field that the form does not have is said at its head")
}

func TestPairsMayAskForOtherSides(t *testing.T) {
	t.Parallel()
	m := contest(t, 3, func(t *events.Terms) {
		t.Side, t.SideSize, t.AllowancePercent, t.Start.GroupSize, t.Tees = events.SideFourBall, 2, 85, 4, []string{"White"}
	})
	m.draw("as_entered")
	m.open()
	for i := range 3 {
		m.paper(i, 1, func(ball, hole int) int { return map[bool]int{true: 2 * i, false: 0}[ball == 1 && hole < 9] })
	}
	m.closeRound()
	m.publish()
	v := m.visit().reads("/competitions/" + m.competition + "/what-if?side=aggregate&count=1&count_by=round")
	v.wellMade()
	assert.Contains(t, v.words(), "Net aggregate of 2 stroke play, 85% of the course handicap, whole rounds of balls")
	assert.Contains(t, v.words(), "The Turnstones")
	v.reads("/competitions/" + m.competition + "/what-if?side=best_of&count=1")
	v.wellMade()
	assert.Contains(t, v.words(), "Net best 1 of 2 stroke play")
}

func TestMatchesHaveNoOtherTerms(t *testing.T) {
	t.Parallel()
	m := contest(t, 2, matchPlay(competition.Knockout))
	m.draw("seeded")
	m.open()
	v := m.secretary()
	r, body := v.get("/competitions/"+m.competition+"/what-if", map[string]string{"Accept": "text/html"})
	require.Equal(t, http.StatusConflict, r.StatusCode)
	require.Contains(t, string(body), "depends on how the match stands")
}
