package api_test

import (
	"fmt"
	"net/http"
	"testing"

	"github.com/stretchr/testify/require"

	"marram.example/api"
	"marram.example/api/apitest"
	"marram.example/api/command"
	"marram.example/events"
	"marram.example/projections/review"
)

// played logs 18 holes of four strokes on a card as its player: a drive, an approach
// and two putts.
func played(t *testing.T, player *apitest.Client, card string, odd float64) api.Written {
	t.Helper()
	var w api.Written
	for i := range 18 {
		at := odd + float64(i)
		player.Put(t, fmt.Sprintf("/cards/%s/strokes/holes/%d", card, i+1), map[string]any{"strokes": []any{
			map[string]any{"lie": "tee", "distance": 300 + 5*i, "club": "driver", "miss": map[string]any{"side": "right", "side_by": 11 + at}},
			map[string]any{"lie": "fairway", "distance": 110 + at, "club": "iron-9"},
			map[string]any{"lie": "green", "distance": 6 + at/10, "club": "putter"},
			map[string]any{"lie": "green", "distance": 0.7, "club": "putter", "finish": map[string]any{"holed": true}},
		}}).Must(t, http.StatusOK).JSON(t, &w)
	}
	return w
}

func reviewOf(t *testing.T, c *apitest.Client, path string) review.Review {
	t.Helper()
	var out review.Review
	a := c.Get(t, path).Must(t, http.StatusOK)
	require.Equal(t, "no-store", a.Header.Get("Cache-Control"))
	a.JSON(t, &out)
	return out
}

func withheld(t *testing.T, c *apitest.Client, path string) {
	t.Helper()
	p := c.Get(t, path).Must(t, http.StatusConflict).Problem(t)
	require.Equal(t, "withheld", p.Code)
	require.Equal(t, "card_id", p.Field)
	require.Equal(t, "Rules of Golf 4.3a", p.Rule)
}

// What a query says wrong is refused with its field.
func TestReviewQueries(t *testing.T) {
	t.Parallel()
	s := apitest.MustServe(t)
	c := s.Committee(t)
	m := apitest.MustOpenRound(t, c)
	player := s.Bearer(apitest.MustLink(t, c, m.Cards[0], events.RolePlayer))
	played(t, player, m.Cards[0], 0)
	apitest.MustHandIn(t, c, m)
	for _, at := range []string{"/cards/" + m.Cards[0] + "/review", "/players/" + m.Players[0] + "/review"} {
		for query, field := range map[string]string{
			"baseline=none": "baseline", "baseline=..%2Fx": "baseline", "last=3": "last", "last=five": "last", "last=-5": "last", "group=spoons": "group",
			"left=near": "left", "left=NaN": "left", "left=1e9&right=1": "left", "right=Inf": "right", "right=-900": "right", "left=20&right=-20": "right",
			"left=-5&right=3": "right", "left=1&right=1&cost_left=-1": "cost_left", "left=1&right=1&cost_right=11": "cost_right", "units=miles": "units", "ball=one": "ball",
		} {
			p := player.Get(t, at+"?"+query, apitest.Bad()).Must(t, http.StatusUnprocessableEntity).Problem(t)
			require.Equal(t, field, p.Field, "%s?%s", at, query)
		}
		for _, query := range []string{"", "?last=", "?baseline=matched&last=5&left=15&right=20", "?baseline=club&last=10", "?baseline=broadie-2012&last=20&last=", "?units=yd"} {
			player.Get(t, at+query, apitest.Bad()).Must(t, http.StatusOK)
		}
	}
	for _, name := range api.Baselines() {
		got := reviewOf(t, player, "/cards/"+m.Cards[0]+"/review?baseline="+name)
		require.NotEmpty(t, got.Baseline.Label, name)
		require.NotEmpty(t, got.Baseline.Source, name)
		if name != api.BaselineClub {
			require.Equal(t, name, got.Baseline.Name)
		}
	}
	p := player.Get(t, "/cards/"+m.Cards[0]+"/review?ball=1").Must(t, http.StatusUnprocessableEntity).Problem(t)
	require.Equal(t, "ball", p.Field)
	player.Get(t, "/cards/none/review").Must(t, http.StatusNotFound)
	player.Get(t, "/players/none/review").Must(t, http.StatusForbidden)
	club := reviewOf(t, player, "/cards/"+m.Cards[0]+"/review?baseline=club")
	require.Contains(t, club.Baseline.Note, "too few strokes", "four strokes a hole of one player make no club")
}

// A round is withheld while it is played; the rounds before it are not, and neither is
// a round that was closed without the card.
func TestReviewsOverRounds(t *testing.T) {
	t.Parallel()
	s := apitest.MustServe(t)
	c := s.Committee(t)
	m := apitest.MustOpenRound(t, c, func(terms *events.Terms) { terms.Rounds = 2 })
	comp := "/competitions/" + m.Competition
	first := m.Cards[0]
	player := s.Bearer(apitest.MustLink(t, c, first, events.RolePlayer))
	played(t, player, first, 0)
	withheld(t, player, "/cards/"+first+"/review")
	require.Empty(t, reviewOf(t, player, "/players/"+m.Players[0]+"/review").Rounds, "nothing of a round that is played")
	apitest.MustHandIn(t, c, m)
	require.Len(t, reviewOf(t, player, "/players/"+m.Players[0]+"/review").Rounds, 1)
	require.Equal(t, 72, reviewOf(t, player, "/cards/"+first+"/review").Counted.Strokes)
	c.Post(t, comp+"/round/closing", nil).Must(t, http.StatusOK)
	c.Post(t, comp+"/draw", map[string]any{"method": "handicap"}).Must(t, http.StatusCreated)
	c.Post(t, comp+"/round/opening", nil).Must(t, http.StatusOK)

	second := command.CardID(m.Competition, m.Entries[0], 2)
	later := s.Bearer(apitest.MustLink(t, c, second, events.RolePlayer))
	played(t, later, second, 0.3)
	withheld(t, later, "/cards/"+second+"/review")
	got := reviewOf(t, later, "/cards/"+first+"/review")
	require.Equal(t, first, got.Title.Card, "by another card of the same player")
	require.NotZero(t, got.Counted.Strokes)
	require.Zero(t, got.Counted.Past, "the round that is played is none of the past")
	rounds := reviewOf(t, later, "/players/"+m.Players[0]+"/review").Rounds
	require.Len(t, rounds, 1)
	require.Equal(t, first, rounds[0].Card)

	in := apitest.Scores(apitest.Par)
	in["signed"] = true
	c.Put(t, "/cards/"+second+"/scores", in).Must(t, http.StatusOK)
	got = reviewOf(t, later, "/cards/"+second+"/review")
	require.Equal(t, second, got.Title.Card)
	require.Len(t, reviewOf(t, later, "/players/"+m.Players[0]+"/review").Rounds, 2)
	require.Len(t, got.Rounds, 2, "the first round is its past")
	require.Len(t, reviewOf(t, later, "/cards/"+first+"/review").Rounds, 1, "what came after a round is not its past")

	c.Post(t, "/cards/"+second+"/reopening", map[string]any{"reason": "the sums are to be looked at"}).Must(t, http.StatusOK)
	withheld(t, later, "/cards/"+second+"/review")
	require.Len(t, reviewOf(t, later, "/players/"+m.Players[0]+"/review").Rounds, 1, "at once: the read models are waited for")

	missing := command.CardID(m.Competition, m.Entries[1], 2)
	other := s.Bearer(apitest.MustLink(t, c, missing, events.RolePlayer))
	played(t, other, missing, 0.7)
	withheld(t, other, "/cards/"+missing+"/review")
	c.Post(t, comp+"/round/closing", map[string]any{"missing_as": "NR", "reason": "never handed in"}).Must(t, http.StatusOK)
	require.Equal(t, missing, reviewOf(t, other, "/cards/"+missing+"/review").Title.Card, "the round is over")
	for _, r := range reviewOf(t, other, "/players/"+m.Players[1]+"/review").Rounds {
		require.NotEqual(t, missing, r.Card, "a history is of returned cards")
	}
}

// A practice round may be shown while it is played, with the caution beside it.
func TestReviewOfPractice(t *testing.T) {
	t.Parallel()
	s := apitest.MustServe(t)
	c := s.Committee(t)
	m := apitest.MustOpenRound(t, c, func(terms *events.Terms) { terms.Practice = true })
	player := s.Bearer(apitest.MustLink(t, c, m.Cards[0], events.RolePlayer))
	played(t, player, m.Cards[0], 0)
	for _, at := range []string{"/cards/" + m.Cards[0] + "/review", "/players/" + m.Players[0] + "/review"} {
		got := reviewOf(t, player, at)
		require.NotEmpty(t, got.Caution, at)
		require.NotZero(t, got.Counted.Strokes, at)
	}
	apitest.MustHandIn(t, c, m)
	require.Empty(t, reviewOf(t, player, "/cards/"+m.Cards[0]+"/review").Caution, "the round is over")
}

// The field of a card is everybody of its round; who may not watch the competition
// reads nothing of the field.
func TestReviewAgainstTheField(t *testing.T) {
	t.Parallel()
	s := apitest.MustServe(t)
	c := s.Committee(t)
	m := apitest.MustOpenRound(t, c, func(terms *events.Terms) { terms.BoardPublic = false })
	player := s.Bearer(apitest.MustLink(t, c, m.Cards[0], events.RolePlayer))
	played(t, player, m.Cards[0], 0)
	apitest.MustHandIn(t, c, m) // 4, 5, 6 and 7 on every hole
	got := reviewOf(t, player, "/cards/"+m.Cards[0]+"/review")
	require.NotNil(t, got.Field)
	require.Equal(t, 4, got.Field.Players)
	require.InDelta(t, 18*5.5, got.Field.Mean, 1e-9)
	require.InDelta(t, 18*1.5, got.Field.Gained, 1e-9)
	for _, h := range got.Holes {
		require.Equal(t, 4, h.FieldN)
	}
	var share api.ShareWritten
	player.Post(t, "/cards/"+m.Cards[0]+"/shares", map[string]any{"for": "an invented coach"}).Must(t, http.StatusCreated).JSON(t, &share)
	coach := s.Bearer(share.Token)
	of := reviewOf(t, coach, "/cards/"+m.Cards[0]+"/review")
	require.Nil(t, of.Field)
	require.Equal(t, got.Total, of.Total)
}

// Where scores are capped the player's own are too: over a field the holes add up to
// nothing for everybody together.
func TestReviewAgainstACappedField(t *testing.T) {
	t.Parallel()
	s := apitest.MustServe(t)
	c := s.Committee(t)
	m := apitest.MustOpenRound(t, c, func(terms *events.Terms) {
		terms.Format, terms.Maximum = events.MaximumScore, events.Maximum{Kind: events.FixedStrokes, Strokes: 6}
	})
	apitest.MustHandIn(t, c, m) // 4, 5, 6 and 7 on every hole
	sum := 0.0
	for i, card := range m.Cards {
		got := reviewOf(t, s.Bearer(apitest.MustLink(t, c, card, events.RolePlayer)), "/cards/"+card+"/review")
		require.NotNil(t, got.Field)
		require.InDelta(t, 18*5.25, got.Field.Mean, 1e-9)
		require.Equal(t, 18*min(6, apitest.Par+i), got.Field.Score)
		require.Equal(t, 18*(apitest.Par+i), *got.Title.Score, "what was played stands")
		sum += got.Field.Gained
	}
	require.InDelta(t, 0, sum, 1e-9)
}
