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

// twice sends a request twice with one key: the second answer is the first one,
// and nothing is stored by it. It returns a way to send it a third time.
func twice(t *testing.T, s *apitest.Server, c *apitest.Client, method, path string, body any, status int) (again func()) {
	t.Helper()
	key := apitest.Key(uuid.NewString())
	first := c.Do(t, method, path, body, key).Must(t, status)
	require.Empty(t, first.Header.Get(api.HeaderRepeat), "%s %s", method, path)
	before := s.Position(t)
	check := func() {
		t.Helper()
		a := c.Do(t, method, path, body, key).Must(t, status)
		require.Equal(t, "true", a.Header.Get(api.HeaderRepeat), "%s %s", method, path)
		require.Equal(t, first.Header.Get("ETag"), a.Header.Get("ETag"), "%s %s", method, path)
		require.Equal(t, first.Header.Get("Location"), a.Header.Get("Location"), "%s %s", method, path)
		require.JSONEq(t, string(first.Body), string(a.Body), "%s %s", method, path)
	}
	check()
	require.Equal(t, before, s.Position(t), "%s %s stored something again", method, path)
	return check
}

// Every write of a Saturday is sent twice at once, and once more when the result
// stands: a phone that comes back after hours gets its first answer.
func TestRepeats(t *testing.T) {
	t.Parallel()
	s := apitest.MustServe(t)
	c := s.Committee(t)
	m := apitest.MustOpenRound(t, c)
	var later []func()
	do := func(method, path string, body any, status int) {
		t.Helper()
		later = append(later, twice(t, s, c, method, path, body, status))
	}
	const post, put, patch = http.MethodPost, http.MethodPut, http.MethodPatch
	comp, card := "/competitions/"+m.Competition, "/cards/"+m.Cards[0]
	do(post, "/courses", course("High Dune (invented)"), http.StatusCreated)
	tee := apitest.Tee()
	tee.SlopeRating = 120
	do(put, "/courses/"+m.Course, map[string]any{"name": "Low Marsh (invented)", "tees": []any{tee}}, http.StatusOK)
	do(post, "/players", map[string]any{"member_no": "77", "name": "Late Comer", "index_tenths": 200, "effective": "2031-05-01"}, http.StatusCreated)
	late := s.Commands.PlayerID("77")
	do(post, "/players/"+late+"/handicap-indexes", map[string]any{"index_tenths": 210, "effective": "2031-05-02", "origin": "club"}, http.StatusOK)
	do(post, "/competitions", map[string]any{"name": "Another", "date": "2031-06-01"}, http.StatusCreated)
	do(post, comp+"/entries", map[string]any{"player_id": late}, http.StatusCreated)
	entry := mustEntry(t, c, m, late)
	do(post, comp+"/draw/late", map[string]any{"entry_id": entry, "group": 1}, http.StatusCreated)
	do(patch, comp+"/entries/"+entry, map[string]any{"index_tenths": 190, "reason": "slip"}, http.StatusOK)
	do(post, comp+"/draw", map[string]any{"method": "handicap", "reason": "order"}, http.StatusCreated)
	do(post, comp+"/round/suspension", map[string]any{"kind": "immediate", "reason": "lightning"}, http.StatusOK)
	do(post, comp+"/round/resumption", nil, http.StatusOK)
	do(post, card+"/scores", map[string]any{"hole": 1, "strokes": 4}, http.StatusCreated)
	do(post, "/cards/"+m.Cards[1]+"/marker", map[string]any{"marker_id": ""}, http.StatusOK)
	do(put, card+"/scores", apitest.Scores(5), http.StatusOK)
	do(post, card+"/certification", map[string]any{"as": "player"}, http.StatusOK)
	do(post, card+"/certification", map[string]any{"as": "marker"}, http.StatusOK)
	do(post, card+"/return", nil, http.StatusOK)
	do(post, card+"/reopening", map[string]any{"reason": "wrong hole"}, http.StatusOK)
	do(post, card+"/ruling", map[string]any{"status": "RTD", "reason": "left"}, http.StatusOK)
	do(post, comp+"/round/closing", map[string]any{"missing_as": "NR"}, http.StatusOK)
	do(post, comp+"/result", nil, http.StatusCreated)
	do(post, card+"/ruling", map[string]any{"status": "DQ", "reason": "found out later"}, http.StatusOK)
	do(post, comp+"/result/revision", map[string]any{"reason": "a ruling"}, http.StatusCreated)
	do(post, "/players/"+late+"/departure", map[string]any{"reason": "moved"}, http.StatusOK)
	do(post, "/players/"+late+"/erasure", map[string]any{"reason": "asked"}, http.StatusOK)
	for _, again := range later {
		again()
	}
}

// A player's score that was accepted before the round was closed is answered
// like the first time afterwards, and a new one is not accepted.
func TestRepeatAfterClosing(t *testing.T) {
	t.Parallel()
	s := apitest.MustServe(t)
	c := s.Committee(t)
	m := apitest.MustOpenRound(t, c)
	player := s.Bearer(apitest.MustLink(t, c, m.Cards[0], "player"))
	again := twice(t, s, player, http.MethodPost, "/cards/"+m.Cards[0]+"/scores", map[string]any{"hole": 1, "strokes": 4}, http.StatusCreated)
	penaltyAgain := twice(t, s, c, http.MethodPost, "/cards/"+m.Cards[0]+"/penalties", map[string]any{"hole": 1, "strokes": 2, "reason": "pace"}, http.StatusCreated)
	c.Post(t, "/competitions/"+m.Competition+"/round/closing", map[string]any{"missing_as": "NR"}).Must(t, http.StatusOK)
	again()
	penaltyAgain()
	p := player.Post(t, "/cards/"+m.Cards[0]+"/scores", map[string]any{"hole": 2, "strokes": 4}).Must(t, http.StatusConflict).Problem(t)
	require.Equal(t, "round_closed", p.Code)
}

// A marker who was named while all four played together is answered like the first
// time when the group is parted.
func TestRepeatOfAMarkerWhoLeftTheGroup(t *testing.T) {
	t.Parallel()
	s := apitest.MustServe(t)
	c := s.Committee(t)
	m := apitest.MustOpenRound(t, c)
	sheet := "/competitions/" + m.Competition + "/draw"
	var places []events.GroupSlot
	for _, e := range m.Entries {
		places = append(places, events.GroupSlot{EntryID: e})
	}
	together := []events.Group{{Number: 1, Time: "08:00", StartingHole: 1, Places: places}}
	c.Post(t, sheet, map[string]any{"method": "by_hand", "groups": together, "reason": "one group"}).Must(t, http.StatusCreated)
	var k api.Card
	c.Get(t, "/cards/"+m.Cards[0]).Must(t, http.StatusOK).JSON(t, &k)
	parted := []events.Group{{Number: 1, Time: "08:00", StartingHole: 1}, {Number: 2, Time: "08:10", StartingHole: 1}}
	another := ""
	for _, e := range m.Entries[1:] {
		at := 0
		if another == "" && e != k.MarkerID {
			another, at = e, 1
		} else if len(parted[0].Places) > 0 {
			at = 1
		}
		parted[at].Places = append(parted[at].Places, events.GroupSlot{EntryID: e})
	}
	parted[0].Places = append(parted[0].Places, events.GroupSlot{EntryID: m.Entries[0]})
	again := twice(t, s, c, http.MethodPost, "/cards/"+m.Cards[0]+"/marker", map[string]any{"marker_id": another}, http.StatusOK)
	c.Post(t, sheet, map[string]any{"method": "by_hand", "groups": parted, "reason": "two groups"}).Must(t, http.StatusCreated)
	again()
	p := c.Post(t, "/cards/"+m.Cards[0]+"/marker", map[string]any{"marker_id": another}).Must(t, http.StatusUnprocessableEntity).Problem(t)
	require.Equal(t, "not_in_group", p.Code)
}

func mustEntry(t *testing.T, c *apitest.Client, m apitest.Morning, player string) string {
	t.Helper()
	var page api.Page[api.Entry]
	c.Get(t, "/competitions/"+m.Competition+"/entries").Must(t, http.StatusOK).JSON(t, &page)
	for _, e := range page.Items {
		if e.PlayerID == player {
			return e.ID
		}
	}
	require.Fail(t, "no such entry")
	return ""
}
