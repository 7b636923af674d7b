package api_test

import (
	"net/http"
	"testing"

	"github.com/stretchr/testify/require"

	"marram.example/api"
	"marram.example/api/apitest"
	"marram.example/events"
)

// Course handicaps are 5, 8, 11 and 14; at 95 % they play off 5, 8, 10 and 13, and
// go round in 72, 90, 108 and 126.
func TestWhatIf(t *testing.T) {
	t.Parallel()
	s := apitest.MustServe(t)
	c := s.Committee(t)
	m := apitest.MustOpenRound(t, c)
	at := "/competitions/" + m.Competition + "/what-if"
	var w api.WhatIf
	c.Get(t, at).Must(t, http.StatusOK).JSON(t, &w)
	require.False(t, w.Final, "the round is open")
	s.Anonymous().Get(t, at).Must(t, http.StatusNotFound)
	player := s.Bearer(apitest.MustLink(t, c, m.Cards[0], events.RolePlayer))
	player.Get(t, at).Must(t, http.StatusNotFound)

	apitest.MustHandIn(t, c, m)
	c.Post(t, "/competitions/"+m.Competition+"/round/closing", map[string]any{}).Must(t, http.StatusOK)
	s.Anonymous().Get(t, at).Must(t, http.StatusNotFound)
	c.Get(t, at).Must(t, http.StatusOK)
	c.Post(t, "/competitions/"+m.Competition+"/result", nil).Must(t, http.StatusCreated)

	s.Anonymous().Get(t, at+"?allowance_percent=200").Must(t, http.StatusOK).JSON(t, &w)
	require.True(t, w.Final)
	require.Equal(t, "Not the result: the same cards under other terms.", w.Notice)
	var nets []int
	for _, r := range w.Rows {
		nets = append(nets, *r.WhatIf.Total)
	}
	require.Equal(t, []int{72 - 10, 90 - 16, 108 - 22, 126 - 28}, nets)
	require.Equal(t, []int{67, 82, 98, 113}, []int{*w.Rows[0].Played.Total, *w.Rows[1].Played.Total, *w.Rows[2].Played.Total, *w.Rows[3].Played.Total})
	require.Equal(t, "Imke Sandvoort", w.Rows[0].Name)
	require.Equal(t, []int{95, 200}, []int{w.Played.Rounds[0].AllowancePercent, w.WhatIf.Rounds[0].AllowancePercent})
	require.Zero(t, w.Changed)

	s.Anonymous().Get(t, at+"?format=maximum_score&maximum=5&ranking=gross&tie_method=shared").Must(t, http.StatusOK).JSON(t, &w)
	require.Equal(t, []string{"1", "T2", "T2", "T2"}, []string{w.Rows[0].WhatIf.Position, w.Rows[1].WhatIf.Position, w.Rows[2].WhatIf.Position, w.Rows[3].WhatIf.Position})
	require.Equal(t, []int{0, 0, 1, 2}, []int{*w.Rows[0].Moved, *w.Rows[1].Moved, *w.Rows[2].Moved, *w.Rows[3].Moved})
	require.Equal(t, 3, w.Changed)

	var result api.Result
	s.Anonymous().Get(t, "/competitions/"+m.Competition+"/result").Must(t, http.StatusOK).JSON(t, &result)
	require.Equal(t, 98, *result.Rows[2].Net, "the result is untouched")
}

func TestWhatIfRefusesByField(t *testing.T) {
	t.Parallel()
	s := apitest.MustServe(t)
	c := s.Committee(t)
	m := apitest.MustOpenRound(t, c)
	before := s.Position(t)
	for query, field := range map[string]string{
		"format=skins": "format", "format=match": "format", "format=maximum_score": "maximum", "format=maximum_score&maximum=99": "maximum",
		"format=maximum_score&maximum=much": "maximum", "maximum=8": "maximum", "side=four_ball": "side", "ranking=points": "ranking",
		"allowance_percent=a": "allowance_percent", "allowance_percent=-1": "allowance_percent", "allowance_percent=90,80": "allowance_percent",
		"side_allowances=60,40": "side_allowances", "count=2": "count", "count=1,x": "count", "count_by=round": "count_by", "tie_method=coin": "tie_method",
	} {
		p := c.Get(t, "/competitions/"+m.Competition+"/what-if?"+query).Must(t, http.StatusUnprocessableEntity).Problem(t)
		require.Equal(t, field, p.Field, query)
		require.NotEmpty(t, p.Detail)
	}
	require.Equal(t, before, s.Position(t), "nothing is stored")
	drawn := apitest.MustDraw(t, c)
	p := c.Get(t, "/competitions/"+drawn.Competition+"/what-if").Must(t, http.StatusConflict).Problem(t)
	require.Equal(t, "no_cards", p.Code)
}

func TestWhatIfOfAPrivateCompetition(t *testing.T) {
	t.Parallel()
	s := apitest.MustServe(t)
	c := s.Committee(t)
	m := apitest.MustOpenRound(t, c, func(t *events.Terms) { t.BoardPublic = false })
	apitest.MustHandIn(t, c, m)
	player := s.Bearer(apitest.MustLink(t, c, m.Cards[0], events.RolePlayer))
	c.Post(t, "/competitions/"+m.Competition+"/round/closing", map[string]any{}).Must(t, http.StatusOK)
	c.Post(t, "/competitions/"+m.Competition+"/result", nil).Must(t, http.StatusCreated)
	s.Anonymous().Get(t, "/competitions/"+m.Competition+"/what-if").Must(t, http.StatusUnauthorized)
	player.Get(t, "/competitions/"+m.Competition+"/what-if").Must(t, http.StatusOK)
}
