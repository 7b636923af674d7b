package web_test

import (
	"fmt"
	"testing"

	"github.com/stretchr/testify/require"
	"golang.org/x/net/html"

	"marram.example/api/apitest"
	"marram.example/events"
)

// The club's own baseline is a picture a lie with its band and its numbers; where a
// lie has too few strokes the page says how many are missing.
func TestTheClubsOwnBaselineIsDrawn(t *testing.T) {
	t.Parallel()
	m := medal(t, 4)
	m.open()
	m.logRound(m.card(0), 0)
	m.returned(m.card(0))
	v := m.holder(0, events.RolePlayer)
	for _, at := range []string{"/cards/" + m.card(0) + "/review", "/players/" + m.players[0] + "/review"} {
		v.reads(at)
		require.NotContains(t, v.text, `id="club"`, "asked against something else")
		v.reads(at + "?baseline=club").wellMade()
		few := byID(t, v.page, "club-few")
		require.Contains(t, words(few), "Still missing from the tee: 282 strokes and 9 players;", "18 tees of one player, of 300 and 10")
		require.Contains(t, words(few), "from trouble: 300 strokes and 10 players")
		require.NotContains(t, v.pictures(), "club-tee")
		require.NotContains(t, v.words(), "is itself uncertain")
	}

	var some []apitest.Rounds
	for p := range 12 {
		some = append(some, apitest.Rounds{PlayerID: fmt.Sprint("somebody-", p), To: 4, Seed: uint64(p)})
	}
	apitest.MustPlayRounds(t, m.store, m.models.Strokes, some...)
	for _, at := range []string{"/cards/" + m.card(0) + "/review", "/players/" + m.players[0] + "/review"} {
		v.reads(at + "?baseline=club").wellMade()
		drawn := v.pictures()
		for _, lie := range []string{"tee", "fairway", "rough", "sand", "green"} {
			svg := drawn["club-"+lie]
			require.NotNil(t, svg, lie)
			for _, class := range []string{"club-band", "published", "line", "stop"} {
				require.NotEmpty(t, byClass(svg, class), "%s of %s", class, lie)
			}
			require.Contains(t, words(byID(t, v.page, "club-"+lie)), "This club")
		}
		require.NotContains(t, drawn, "club-recovery")
		require.Contains(t, words(byID(t, v.page, "club-few")), "from trouble: 300 strokes and 10 players")
		require.Contains(t, words(byID(t, v.page, "phases")), "The club’s own baseline is itself uncertain: for a stroke like these by about 0.")
		require.Less(t, len(v.text), weight+60<<10)
	}
	v.reads("/players/" + m.players[0] + "/review?baseline=club")
	metres := words(byID(t, v.page, "club-green"))
	require.Contains(t, metres, "m to the hole")
	r, err := v.client.PostForm(m.server.URL+"/units", map[string][]string{"units": {"yd"}, "back": {"/"}})
	require.NoError(t, err)
	require.NoError(t, r.Body.Close())
	v.reads("/players/" + m.players[0] + "/review?baseline=club").wellMade()
	require.Contains(t, words(byID(t, v.page, "club-green")), "ft to the hole")
	require.Contains(t, words(byID(t, v.page, "club-tee")), "yd to the hole")
}

// byID is the part of a page with that id.
func byID(t testing.TB, page *html.Node, id string) *html.Node {
	t.Helper()
	var found *html.Node
	each(page, func(n *html.Node) {
		if attr(n, "id") == id {
			found = n
		}
	})
	require.NotNil(t, found, id)
	return found
}
