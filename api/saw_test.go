package api_test

import (
	"fmt"
	"net/http"
	"testing"

	"github.com/google/uuid"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"marram.example/api"
	"marram.example/api/apitest"
	"marram.example/events"
)

// phone is a device that holds a card link.
type phone struct {
	*apitest.Client
	card string
}

func mustPhone(t *testing.T, s *apitest.Server, c *apitest.Client, card string, role events.Role) phone {
	t.Helper()
	return phone{s.Bearer(apitest.MustLink(t, c, card, role)), card}
}

func (p phone) enter(t *testing.T, body object, o ...apitest.Asking) apitest.Answer {
	t.Helper()
	return p.Post(t, "/cards/"+p.card+"/scores", body, o...)
}

func took(n int) object { return object{"strokes": n} }

func (p phone) hole(t *testing.T, at int) (k api.Card, h api.CardHole) {
	t.Helper()
	p.Get(t, "/cards/"+p.card).Must(t, http.StatusOK).JSON(t, &k)
	return k, k.Holes[at]
}

// A phone that was away for hours comes back: what it says it saw decides.
func TestAnEntryFromLongAgoOverwritesNothing(t *testing.T) {
	t.Parallel()
	s := apitest.MustServe(t)
	c := s.Committee(t)
	m := apitest.MustOpenRound(t, c)
	player, second := mustPhone(t, s, c, m.Cards[0], events.RolePlayer), mustPhone(t, s, c, m.Cards[0], events.RolePlayer)
	marker := mustPhone(t, s, c, m.Cards[0], events.RoleMarker)
	refused := func(a apitest.Answer, field, both string) {
		t.Helper()
		p := a.Must(t, http.StatusConflict).Problem(t)
		require.Equal(t, []string{"changed_since", field}, []string{p.Code, p.Field})
		require.Contains(t, p.Detail, both)
	}
	hoursAgo := apitest.Header(api.HeaderRecordedAt, "1999-12-31T23:59:59+14:00") // a clock that is wrong changes nothing

	// Two phones of one role.
	player.enter(t, object{"hole": 1, "strokes": 4, "saw": object{}}).Must(t, http.StatusCreated)
	before := s.Position(t)
	refused(second.enter(t, object{"hole": 1, "strokes": 5, "saw": object{}}, hoursAgo), "saw.player", "nothing then and is 4 now")
	require.Equal(t, before, s.Position(t), "something was stored")
	same := second.enter(t, object{"hole": 1, "strokes": 4, "saw": object{}}, hoursAgo).Must(t, http.StatusCreated).Written(t)
	require.False(t, same.Changed, "the same is no conflict")
	again := apitest.Key(uuid.NewString())
	change := object{"hole": 1, "strokes": 5, "saw": object{"player": took(4)}}
	first := second.enter(t, change, again).Must(t, http.StatusCreated)

	// The marker's value comes beside it, and both differ.
	marker.enter(t, object{"hole": 1, "strokes": 6, "saw": object{}}, hoursAgo).Must(t, http.StatusCreated)
	k, _ := player.hole(t, 0)
	require.Equal(t, []int{1}, k.Differences)

	// They agree: what was entered before that is refused, on either side.
	marker.enter(t, object{"hole": 1, "strokes": 5, "saw": object{"player": took(5), "marker": took(6)}}).Must(t, http.StatusCreated)
	refused(player.enter(t, object{"hole": 1, "none": "picked_up", "saw": object{"player": took(5), "marker": took(6)}}), "saw.marker", "6 then and is 5 now")
	refused(player.enter(t, object{"hole": 1, "clear": true, "saw": object{"player": took(5)}}), "saw.marker", "nothing then and is 5 now")
	repeat := second.enter(t, change, again).Must(t, http.StatusCreated)
	require.Equal(t, "true", repeat.Header.Get(api.HeaderRepeat))
	require.JSONEq(t, string(first.Body), string(repeat.Body), "a repeat is answered as before")
	k, h := player.hole(t, 0)
	require.Empty(t, k.Differences)
	require.Equal(t, events.Score{Strokes: 5}, h.Counting)

	// The committee decides; neither writes over it, having seen it or not.
	refused(c.Post(t, "/cards/"+m.Cards[0]+"/scores", object{"hole": 1, "strokes": 4, "saw": object{"player": took(4), "marker": took(5)}}),
		"saw.player", "4 then and is 5 now")
	c.Post(t, "/cards/"+m.Cards[0]+"/scores", object{"hole": 1, "strokes": 4, "saw": object{"player": took(5), "marker": took(5)}}).Must(t, http.StatusCreated)
	refused(marker.enter(t, object{"hole": 1, "strokes": 3, "saw": object{"player": took(5), "marker": took(5)}}), "saw.committee", "nothing then and is 4 now")
	p := marker.enter(t, object{"hole": 1, "strokes": 3, "saw": object{"player": took(5), "marker": took(5), "committee": took(4)}}).Must(t, http.StatusConflict).Problem(t)
	require.Equal(t, "settled", p.Code)

	// Nothing is lost from the list of events: five values, each beside its writer.
	var list struct {
		Items []struct {
			Data map[string]any `json:"data"`
		} `json:"items"`
	}
	c.Get(t, "/cards/"+m.Cards[0]+"/events").Must(t, http.StatusOK).JSON(t, &list)
	var values []string
	for _, e := range list.Items {
		if v, ok := e.Data["score"]; ok {
			values = append(values, fmt.Sprint(e.Data["by"], v))
		} else if v, ok := e.Data["new"]; ok {
			values = append(values, fmt.Sprint(e.Data["by"], v))
		}
	}
	assert.Equal(t, []string{"playermap[strokes:4]", "playermap[strokes:5]", "markermap[strokes:6]", "markermap[strokes:5]", "committeemap[strokes:4]"}, values)
}

// Through the API and a real log: two phones of the player and one of the marker, each
// with entries that were made without signal, in every third of the orders that keep each
// phone's own, every entry sent twice. What is acknowledged is in the log, once.
func TestThreePhonesOnTheLog(t *testing.T) {
	t.Parallel()
	s := apitest.MustServe(t)
	c := s.Committee(t)
	m := apitest.MustOpenRound(t, c)
	of := make([]phone, 3)
	for i, role := range []events.Role{events.RolePlayer, events.RolePlayer, events.RoleMarker} {
		of[i] = mustPhone(t, s, c, m.Cards[0], role)
	}
	entries := [][]object{
		{{"strokes": 4, "saw": object{}}, {"strokes": 5, "saw": object{"player": took(4)}}},
		{{"strokes": 5, "saw": object{}}, {"strokes": 6, "saw": object{"player": took(5)}}},
		{{"strokes": 5, "saw": object{}}},
	}
	orders := 0
	var walk func(order []int)
	walk = func(order []int) {
		if len(order) == 5 {
			if orders++; orders%3 != 0 {
				return // every third is enough here: the decider's own tests send them in all
			}
			playOrder(t, s, of, entries, order)
			// Each takes the own value back, as from paper, for the next order.
			for _, p := range of {
				p.enter(t, object{"hole": 1, "clear": true}).Must(t, http.StatusCreated)
			}
			return
		}
		for i := range of {
			n := 0
			for _, x := range order {
				if x == i {
					n++
				}
			}
			if n < len(entries[i]) {
				walk(append(order[:len(order):len(order)], i))
			}
		}
	}
	walk(nil)
	require.Equal(t, 30, orders, "5! / (2!)^2")
}

// playOrder sends the entries in one order, each twice.
func playOrder(t *testing.T, s *apitest.Server, of []phone, entries [][]object, order []int) {
	t.Helper()
	own := map[string]int{} // what stands, by role
	role := []string{"player", "player", "marker"}
	next := [3]int{}
	for _, i := range order {
		body := entries[i][next[i]]
		next[i]++
		body["hole"] = 1
		key := apitest.Key(uuid.NewString())
		before := s.Position(t)
		a := of[i].enter(t, body, key)
		saw := 0
		if v, ok := body["saw"].(object)[role[i]].(object); ok {
			saw = v["strokes"].(int)
		}
		agreed := own["player"] == own["marker"] && own["player"] > 0
		switch {
		case own[role[i]] == body["strokes"]:
			require.False(t, a.Must(t, http.StatusCreated).Written(t).Changed, "%v", order)
		case own[role[i]] != saw || agreed: // nobody saw the other's value
			require.Equal(t, "changed_since", a.Must(t, http.StatusConflict).Problem(t).Code, "%v", order)
			require.Equal(t, before, s.Position(t))
		default:
			require.True(t, a.Must(t, http.StatusCreated).Written(t).Changed, "%v", order)
			require.Equal(t, before+1, s.Position(t))
			own[role[i]] = body["strokes"].(int)
		}
		after := s.Position(t)
		b := of[i].enter(t, body, key)
		require.Equal(t, a.Status, b.Status, "%v", order)
		require.Equal(t, after, s.Position(t), "the repeat stored something")
	}
	k, h := of[0].hole(t, 0)
	require.Equal(t, own["player"], h.Player.Strokes, "%v", order)
	require.Equal(t, own["marker"], h.Marker.Strokes, "%v", order)
	require.Equal(t, own["player"] != own["marker"], len(k.Differences) == 1)
}

// If-Match is enough for strokes: the log of one person. A phone that amends one with
// the version that it saw is refused where anything of the card has changed since, and
// its own changes one after the other carry the version of the answer before.
func TestAStrokeIsAmendedAsItWasSeen(t *testing.T) {
	t.Parallel()
	s := apitest.MustServe(t)
	c := s.Committee(t)
	m := apitest.MustOpenRound(t, c)
	one, two := mustPhone(t, s, c, m.Cards[0], events.RolePlayer), mustPhone(t, s, c, m.Cards[0], events.RolePlayer)
	at := "/cards/" + m.Cards[0] + "/strokes"
	made := one.Post(t, at, object{"hole": 1, "lie": "tee", "distance": 300}).Must(t, http.StatusCreated)
	stroke := at + "/" + made.Written(t).ID
	seen := made.Header.Get("ETag")
	amend := func(club string) object { return object{"lie": "tee", "distance": 300, "club": club} }
	first := one.Put(t, stroke, amend("driver"), apitest.Header("If-Match", seen)).Must(t, http.StatusOK)
	before := s.Position(t)
	p := two.Put(t, stroke, amend("putter"), apitest.Header("If-Match", seen)).Must(t, http.StatusPreconditionFailed).Problem(t)
	require.Equal(t, []string{"stale_sequence", "If-Match"}, []string{p.Code, p.Field})
	p = two.Do(t, http.MethodDelete, stroke, nil, apitest.Key(uuid.NewString()), apitest.Header("If-Match", seen)).Must(t, http.StatusPreconditionFailed).Problem(t)
	require.Equal(t, "stale_sequence", p.Code)
	require.Equal(t, before, s.Position(t), "something was stored")
	one.Put(t, stroke, amend("wood-3"), apitest.Header("If-Match", first.Header.Get("ETag"))).Must(t, http.StatusOK)
}
