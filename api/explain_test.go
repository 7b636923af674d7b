package api_test

import (
	"net/http"
	"testing"

	"github.com/stretchr/testify/require"

	"marram.example/api"
	"marram.example/api/apitest"
	"marram.example/api/command"
	"marram.example/events"
)

// paired is a competition of two pairs out of four players; its cards or matches are
// out.
type paired struct {
	competition string
	entries     []string
	players     []string
}

func mustPair(t *testing.T, c *apitest.Client, change func(*events.Terms)) paired {
	t.Helper()
	course := c.Post(t, "/courses", command.DefineCourse{Name: "Low Marsh (invented)", Tees: []events.TeeDefinition{apitest.Tee()}}).
		Must(t, http.StatusCreated).Written(t).ID
	p := paired{competition: c.Post(t, "/competitions", command.PlanCompetition{Name: "Pairs", Date: "2031-05-03"}).Must(t, http.StatusCreated).Written(t).ID}
	terms := apitest.Terms(course)
	terms.SideSize, terms.Start.GroupSize = 2, 4
	change(&terms)
	at := "/competitions/" + p.competition
	c.Put(t, at+"/terms", terms).Must(t, http.StatusOK)
	for i, name := range []string{"Imke Sandvoort", "Teunis Krammer", "Ada Marsh", "Olaf Dyke"} {
		p.players = append(p.players, c.Post(t, "/players", map[string]any{
			"member_no": string(rune('1' + i)), "name": name, "index_tenths": 50 + 30*i, "effective": "2031-05-01", "origin": "official",
		}).Must(t, http.StatusCreated).Written(t).ID)
	}
	for i := 0; i < 4; i += 2 {
		p.entries = append(p.entries, c.Post(t, at+"/entries", map[string]any{
			"player_id": p.players[i], "partners": []any{map[string]any{"player_id": p.players[i+1]}},
		}).Must(t, http.StatusCreated).Written(t).ID)
	}
	c.Post(t, at+"/draw", map[string]any{"method": "as_entered"}).Must(t, http.StatusCreated)
	c.Post(t, at+"/round/opening", nil).Must(t, http.StatusOK)
	return p
}

// Course handicaps are 5, 8, 11 and 14; at 85 % the pairs play off 4 and 7, 9 and 12.
func TestFiguresOfASide(t *testing.T) {
	t.Parallel()
	s := apitest.MustServe(t)
	c := s.Committee(t)
	p := mustPair(t, c, func(t *events.Terms) { t.Side, t.AllowancePercent = "four_ball", 85 })
	card := "/cards/" + command.CardID(p.competition, p.entries[0], 1)
	in := apitest.Scores(5)
	in["signed"], in["partners"] = true, []any{apitest.Scores(4)["scores"]}
	c.Put(t, card+"/scores", in).Must(t, http.StatusOK)
	c.Post(t, card+"/penalties", map[string]any{"ball": 1, "hole": 2, "strokes": 2, "rule": "Rules of Golf 5.3a", "reason": "four minutes late"}).Must(t, http.StatusCreated)
	c.Post(t, "/competitions/"+p.competition+"/excluded-holes", map[string]any{"hole": 9, "reason": "the green is flooded"}).Must(t, http.StatusOK)

	var f api.Figures
	c.Get(t, card+"/figures").Must(t, http.StatusOK).JSON(t, &f)
	require.True(t, f.Recomputed)
	require.Equal(t, []int{4, 7}, []int{f.Balls[0].Figures.PlayingHandicap, f.Balls[1].Figures.PlayingHandicap})
	require.Equal(t, "four_ball", f.Side.Name)
	require.Equal(t, "the green is flooded", f.Holes[8].Excluded)
	require.Equal(t, "2 penalty strokes on hole 2, ball 2, Rules of Golf 5.3a: four minutes late", f.Penalties[0].Words)
	var public api.Figures
	s.Anonymous().Get(t, card+"/figures").Must(t, http.StatusOK).JSON(t, &public)
	require.Empty(t, public.Penalties[0].Reason, "reasons are not everybody's business")
	require.Equal(t, "Rules of Golf 5.3a", public.Penalties[0].Rule)
	require.Equal(t, f.Side.Holes, public.Side.Holes)
}

// The tag of figures changes with the result, which says where the card stands.
func TestFiguresFollowTheResult(t *testing.T) {
	t.Parallel()
	s := apitest.MustServe(t)
	c := s.Committee(t)
	m := apitest.MustOpenRound(t, c)
	apitest.MustHandIn(t, c, m)
	at := "/cards/" + m.Cards[0] + "/figures"
	tag := c.Get(t, at).Must(t, http.StatusOK).Header.Get("ETag")
	c.Get(t, at, apitest.Header("If-None-Match", tag)).Must(t, http.StatusNotModified)
	c.Post(t, "/competitions/"+m.Competition+"/round/closing", map[string]any{}).Must(t, http.StatusOK)
	c.Post(t, "/competitions/"+m.Competition+"/result", nil).Must(t, http.StatusCreated)
	var f api.Figures
	c.Get(t, at, apitest.Header("If-None-Match", tag)).Must(t, http.StatusOK).JSON(t, &f)
	require.Equal(t, "1", f.Positions["net"])
}

// Half of 5 + 8 is 6.5, so 7; half of 11 + 14 is 12.5, so 13: the second pair
// receives 6.
func TestFiguresOfAMatch(t *testing.T) {
	t.Parallel()
	s := apitest.MustServe(t)
	c := s.Committee(t)
	p := mustPair(t, c, func(t *events.Terms) {
		t.Format, t.Side, t.SideAllowances, t.AllowancePercent, t.Rounds = "match", "foursomes", []int{50, 50}, 100, 0
		t.Match = &events.MatchTerms{Bracket: "round_robin", Length: 18}
		t.OnePrizeAPlayer = false
	})
	match := "/matches/" + command.MatchID(p.competition, 1, 1)
	c.Post(t, match+"/holes", map[string]any{"number": 1, "a": []any{map[string]any{"strokes": 5}}, "b": []any{map[string]any{"strokes": 5}}}).Must(t, http.StatusCreated)
	c.Post(t, match+"/concessions/match", map[string]any{"side": "B", "reason": "a sprained wrist"}).Must(t, http.StatusOK)
	c.Post(t, "/competitions/"+p.competition+"/round/closing", map[string]any{}).Must(t, http.StatusOK)

	var f api.MatchFigures
	c.Get(t, match+"/figures").Must(t, http.StatusOK).JSON(t, &f)
	require.True(t, f.Recomputed)
	require.Equal(t, []int{0, 6}, []int{f.A.Balls[0].Received, f.B.Balls[0].Received})
	require.Len(t, f.B.Balls[0].Shares, 2)
	require.Equal(t, "Olaf Dyke", f.Names[f.B.Balls[0].Shares[1].PlayerID])
	require.Contains(t, f.Holes[0].Sum.Arithmetic, f.NameB+" 5 - 1 = 4")
	require.Equal(t, []any{true, "A"}, []any{f.Over, f.Winner})
	require.Len(t, f.Table, 2)
	require.Equal(t, "1 won x 1 + 0 tied x 1/2 = 1 point", f.Table[0].Sum.Arithmetic)
	require.Contains(t, f.Events[2].Words, "a sprained wrist")
	var public api.MatchFigures
	s.Anonymous().Get(t, match+"/figures").Must(t, http.StatusOK).JSON(t, &public)
	require.NotContains(t, public.Events[2].Words, "wrist")
	require.Equal(t, f.Holes, public.Holes)
	s.Anonymous().Get(t, "/matches/"+command.MatchID(p.competition, 9, 1)+"/figures").Must(t, http.StatusNotFound)

	problem := c.Get(t, "/competitions/"+p.competition+"/what-if").Must(t, http.StatusConflict).Problem(t)
	require.Equal(t, "match_play", problem.Code)
}
