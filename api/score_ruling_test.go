package api_test

import (
	"net/http"
	"testing"

	"github.com/google/uuid"
	"github.com/stretchr/testify/require"

	"marram.example/api"
	"marram.example/api/apitest"
	"marram.example/events"
)

// handedIn is a card that the committee typed in with the same number everywhere.
func handedIn(t *testing.T, c *apitest.Client, card string, strokes int, partners ...int) {
	t.Helper()
	in := apitest.Scores(strokes)
	in["signed"], in["confirmed"] = true, true
	var balls []any
	for _, n := range partners {
		balls = append(balls, apitest.Scores(n)["scores"])
	}
	if balls != nil {
		in["partners"] = balls
	}
	c.Put(t, "/cards/"+card+"/scores", in).Must(t, http.StatusOK)
}

// Rules of Golf 3.3b(3) through HTTP: what a wrong score comes to in each format,
// seen before and then applied.
func TestActualScore(t *testing.T) {
	t.Parallel()
	s := apitest.MustServe(t)
	c := s.Committee(t)
	format := func(name string) func(*events.Terms) {
		return func(terms *events.Terms) {
			terms.Format, terms.TieShare, terms.AllowancePercent = name, "as_allocated", 0
		}
	}
	stroke := apitest.MustOpenRound(t, c)
	points := apitest.MustOpenRound(t, c, format("stableford"))
	signs := apitest.MustOpenRound(t, c, format("par_bogey"))
	most := apitest.MustOpenRound(t, c, format("maximum_score"), func(terms *events.Terms) { terms.Maximum = events.Maximum{Kind: "strokes", Strokes: 7} })
	for _, m := range []apitest.Morning{stroke, points, signs, most} {
		for _, card := range m.Cards {
			handedIn(t, c, card, 6)
		}
	}
	for _, k := range []struct {
		name    string
		card    string
		in      map[string]any
		outcome string
		status  string
		penalty int
	}{
		{"returned higher: it stands", stroke.Cards[0], map[string]any{"hole": 1, "actual": 5}, "stands", "returned", 0},
		{"returned lower: disqualified", stroke.Cards[1], map[string]any{"hole": 1, "actual": 7}, "disqualified", "DQ", 0},
		{"lower by an unknown penalty: it is added", stroke.Cards[2], map[string]any{"hole": 1, "actual": 8, "unknown_penalty": 2}, "penalty_added", "returned", 2},
		{"not holed out: disqualified", stroke.Cards[3], map[string]any{"hole": 1, "actual": nil}, "disqualified", "DQ", 0},
		{"no point either way: unharmed (21.1c)", points.Cards[0], map[string]any{"hole": 1, "actual": 7}, "stands", "returned", 0},
		{"lost either way: unharmed (21.3c)", signs.Cards[0], map[string]any{"hole": 1, "actual": 9}, "stands", "returned", 0},
		{"at most the maximum, but more than returned: disqualified (21.2c)", most.Cards[0], map[string]any{"hole": 1, "actual": 9}, "disqualified", "DQ", 0},
	} {
		t.Run(k.name, func(t *testing.T) {
			path := "/cards/" + k.card + "/actual-score"
			k.in["dry_run"] = true
			before := s.Position(t)
			var seen, done, again api.ScoreRuling
			c.Post(t, path, k.in).Must(t, http.StatusOK).JSON(t, &seen)
			require.Equal(t, before, s.Position(t))
			require.Equal(t, []any{k.outcome, k.penalty, false, true}, []any{seen.Outcome, seen.Penalty, seen.Changed, seen.DryRun}, "%v", seen.Words)
			require.NotEmpty(t, seen.Words)
			k.in["dry_run"], k.in["reason"] = false, "a private matter"
			key := apitest.Key(uuid.NewString())
			c.Post(t, path, k.in, key).Must(t, http.StatusOK).JSON(t, &done)
			require.True(t, done.Changed)
			require.Equal(t, seen.Words, done.Words)
			a := c.Post(t, path, k.in, key).Must(t, http.StatusOK)
			require.Equal(t, "true", a.Header.Get(api.HeaderRepeat))
			a.JSON(t, &again)
			require.Equal(t, done, again)
			var card api.Card
			c.Get(t, "/cards/"+k.card).JSON(t, &card)
			require.Equal(t, k.status, card.Status)
			require.Equal(t, done.Sequence, card.Sequence)
			body := string(s.Anonymous().Get(t, "/cards/"+k.card+"/events").Must(t, http.StatusOK).Body)
			require.NotContains(t, body, "private")
			require.Contains(t, string(c.Get(t, "/cards/"+k.card+"/events").Body), "a private matter")
			if k.status != "DQ" {
				return
			}
			require.Contains(t, card.RuledReason, "3.3b(3)")
			c.Post(t, "/cards/"+k.card+"/ruling", map[string]any{"status": "in_play", "reason": "the marker erred"}).Must(t, http.StatusOK)
			c.Get(t, "/cards/"+k.card).JSON(t, &card)
			require.Equal(t, "returned", card.Status)
		})
	}
	// The same penalty is not added twice; another one on the hole asks for a look.
	path := "/cards/" + stroke.Cards[2] + "/actual-score"
	same := map[string]any{"hole": 1, "actual": 8, "unknown_penalty": 2, "reason": "a private matter"}
	require.False(t, c.Post(t, path, same).Must(t, http.StatusOK).Written(t).Changed)
	same["reason"], same["unknown_penalty"] = "another", 1
	same["actual"] = 7
	require.Equal(t, "ruled", c.Post(t, path, same).Must(t, http.StatusConflict).Problem(t).Code)
}

// After the close nothing is added any more (20.2e(2)), but a lower score still
// disqualifies.
func TestActualScoreAfterTheClose(t *testing.T) {
	t.Parallel()
	s := apitest.MustServe(t)
	c := s.Committee(t)
	m := apitest.MustOpenRound(t, c)
	apitest.MustHandIn(t, c, m)
	c.Post(t, "/competitions/"+m.Competition+"/round/closing", nil).Must(t, http.StatusOK)
	var got api.ScoreRuling
	c.Post(t, "/cards/"+m.Cards[0]+"/actual-score", map[string]any{"hole": 1, "actual": 6, "unknown_penalty": 2, "reason": "told on Monday"}).Must(t, http.StatusOK).JSON(t, &got)
	require.Equal(t, "stands", got.Outcome)
	c.Post(t, "/cards/"+m.Cards[1]+"/actual-score", map[string]any{"hole": 1, "actual": 6, "reason": "miscounted"}).Must(t, http.StatusOK).JSON(t, &got)
	require.Equal(t, "disqualified", got.Outcome)
}

// A wrong score that changes nothing for the side leaves it unharmed; of a team of
// which not all balls count only the one round is out.
func TestActualScoreOfASide(t *testing.T) {
	t.Parallel()
	s := apitest.MustServe(t)
	c := s.Committee(t)
	gross := func(terms *events.Terms) { terms.Ranking = "gross" }
	m := pairs(t, c, gross)
	handedIn(t, c, m.Cards[0], 4, 5)
	handedIn(t, c, m.Cards[1], 4, 4)
	rule := func(card string, ball, actual int) (api.ScoreRuling, api.Card) {
		var got api.ScoreRuling
		var k api.Card
		c.Post(t, "/cards/"+card+"/actual-score", map[string]any{"hole": 1, "ball": ball, "actual": actual, "reason": "seen"}).Must(t, http.StatusOK).JSON(t, &got)
		c.Get(t, "/cards/"+card).JSON(t, &k)
		return got, k
	}
	got, k := rule(m.Cards[0], 1, 6)
	require.Equal(t, []any{"stands", false, "returned"}, []any{got.Outcome, got.Disqualified, k.Status}, "the ball does not count")
	got, k = rule(m.Cards[1], 0, 5)
	require.Equal(t, []any{"stands", "returned"}, []any{got.Outcome, k.Status}, "the partner has as many")
	got, k = rule(m.Cards[0], 0, 5)
	require.Equal(t, []any{"disqualified", "DQ"}, []any{got.Outcome, k.Status}, "the counting ball")

	team := pairs(t, c, gross, func(terms *events.Terms) { terms.Side, terms.Count = "best_of", []int{1} })
	handedIn(t, c, team.Cards[0], 4, 6)
	got, k = rule(team.Cards[0], 0, 5)
	require.Equal(t, []any{"ball_out", "returned"}, []any{got.Outcome, k.Status})
	require.Equal(t, 18*6, *k.Totals.Gross, "the other ball counts everywhere")
}
