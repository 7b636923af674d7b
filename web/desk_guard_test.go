package web_test

import (
	"context"
	"io"
	"net/http"
	"net/url"
	"strings"
	"testing"

	"github.com/labstack/echo/v4"
	"github.com/stretchr/testify/require"

	"marram.example/events"
)

// deskRoutes are all routes of the console: method and path, with the ids of a
// club filled in.
func deskRoutes(m *morning) []string {
	k := "/desk/competitions/" + m.competition
	e, card := m.entries[0], "/desk/cards/"+m.card(0)
	return []string{
		"GET /desk", "GET /desk/competitions/new", "POST /desk/competitions/new", "GET " + k, "POST " + k,
		"GET " + k + "/terms", "POST " + k + "/terms", "GET " + k + "/entries", "POST " + k + "/entries",
		"GET " + k + "/entries/" + e, "POST " + k + "/entries/" + e, "POST " + k + "/entries/" + e + "/withdrawal",
		"GET " + k + "/draw", "POST " + k + "/draw", "GET " + k + "/draw/hand", "POST " + k + "/draw/hand", "POST " + k + "/draw/late",
		"GET " + k + "/open", "POST " + k + "/open", "POST " + k + "/suspension", "POST " + k + "/resumption",
		"GET " + k + "/cards", "GET " + k + "/print", "GET " + k + "/print/start-sheet", "GET " + k + "/close", "POST " + k + "/close",
		"GET " + k + "/matches", "GET " + k + "/conditions", "POST " + k + "/conditions", "POST " + k + "/exclusions", "POST " + k + "/exclusions/lifting",
		"POST " + k + "/cut", "GET " + k + "/result", "POST " + k + "/result", "POST " + k + "/result/revision", "POST " + k + "/ties",
		"GET " + card, "POST " + card, "POST " + card + "/holes", "POST " + card + "/reopening", "POST " + card + "/ruling", "POST " + card + "/marker",
		"POST " + card + "/links", "POST " + card + "/penalties", "POST " + card + "/penalties/removal", "POST " + card + "/wrong-score",
		"GET /desk/matches/x", "POST /desk/matches/x/holes", "POST /desk/matches/x/holes/removal", "POST /desk/matches/x/holes/concession",
		"POST /desk/matches/x/concession", "POST /desk/matches/x/result", "POST /desk/matches/x/ruling", "POST /desk/matches/x/reopening",
		"POST /desk/matches/x/links",
		"GET /desk/courses", "GET /desk/courses/new", "POST /desk/courses/new", "GET /desk/courses/x", "GET /desk/courses/x/tee", "POST /desk/courses/x/tee",
		"GET /desk/players", "POST /desk/players", "GET /desk/players/" + m.players[0], "POST /desk/players/" + m.players[0] + "/details",
		"POST /desk/players/" + m.players[0] + "/index", "POST /desk/players/" + m.players[0] + "/departure", "POST /desk/players/" + m.players[0] + "/erasure",
		"GET /desk/accounts", "POST /desk/accounts", "POST /desk/accounts/password", "POST /desk/accounts/removal",
		"GET /desk/import", "POST /desk/import",
		"GET /desk/courses/x/stroke-indexes", "GET /desk/estimates", "POST /desk/estimates", "POST /desk/estimates/withdrawal",
	}
}

// TestOnlyTheCommitteeComesToTheDesk tries every route as a passer-by and as
// somebody who opened a card link: looking leads to the sign-in page, sending is
// refused, and the log stays as it is.
func TestOnlyTheCommitteeComesToTheDesk(t *testing.T) {
	t.Parallel()
	m := medal(t, 6)
	m.open()
	last, _, err := m.log.Last(context.Background())
	require.NoError(t, err)

	routes := deskRoutes(m)
	require.ElementsMatch(t, m.registered("/desk"), patterns(m, routes), "every route of the console is tried here")
	for who, v := range map[string]*visitor{"passer-by": m.visit(), "player": m.holder(0, events.RolePlayer), "marker": m.holder(0, events.RoleMarker)} {
		client := v.client
		client.CheckRedirect = func(*http.Request, []*http.Request) error { return http.ErrUseLastResponse }
		for _, route := range routes {
			method, path, _ := strings.Cut(route, " ")
			form := url.Values{"command": {"0123456789"}, "kind": {"immediate"}, "name": {"x"}, "status": {"DQ"}, "reason": {"x"}}
			req, err := http.NewRequest(method, m.server.URL+path, strings.NewReader(form.Encode()))
			require.NoError(t, err)
			req.Header.Set("Content-Type", "application/x-www-form-urlencoded")
			req.Header.Set("Accept", "text/html")
			res, err := client.Do(req)
			require.NoError(t, err)
			_, err = io.Copy(io.Discard, res.Body)
			require.NoError(t, err)
			require.NoError(t, res.Body.Close())
			if method == http.MethodGet {
				require.Equal(t, http.StatusSeeOther, res.StatusCode, "%s %s", who, route)
				require.Equal(t, "/sign-in?to="+url.QueryEscape(path), res.Header.Get("Location"))
				continue
			}
			require.Contains(t, []int{http.StatusUnauthorized, http.StatusForbidden}, res.StatusCode, "%s %s", who, route)
		}
	}
	now, _, err := m.log.Last(context.Background())
	require.NoError(t, err)
	require.Equal(t, last, now, "nothing was stored")
}

// TestEveryPageOfTheDeskShowsItself looks at every page before and after each
// step of a medal.
func TestEveryPageOfTheDeskShowsItself(t *testing.T) {
	t.Parallel()
	m := medal(t, 6)
	v := secretary(t, m)
	look := func() {
		t.Helper()
		for _, route := range deskRoutes(m) {
			method, path, _ := strings.Cut(route, " ")
			if method != http.MethodGet || strings.HasSuffix(path, "/x") || strings.Contains(path, "/x/") {
				continue
			}
			v.open(path)
			if strings.HasPrefix(path, "/desk/cards/") && v.status == http.StatusNotFound {
				continue // before the round is open
			}
			require.Equal(t, http.StatusOK, v.status, "%s\n%s", path, v.words())
			require.NotContains(t, v.words(), "ZgotmplZ", path)
			require.NotContains(t, v.words(), "<nil>", path)
		}
	}
	look()
	m.open()
	look()
	m.play(func(int) int { return 9 })
	look()
	m.finish()
	look()
}

// hostile is what somebody types who wants a page to break.
const hostile = `"><script>alert(1)</script><img src=x onerror=alert(2)>'{{.}}`

// TestHostileInputStaysText puts markup wherever the console takes words.
func TestHostileInputStaysText(t *testing.T) {
	t.Parallel()
	m := mustOpenClub(t)
	v := secretary(t, m)
	clean := func(path string) {
		t.Helper()
		v.reads(path)
		scripts := all(v.page, "script")
		for _, s := range scripts {
			require.True(t, strings.HasPrefix(attr(s, "src"), "/static/"), "a script of somebody else's on %s", path)
		}
		require.Empty(t, all(v.page, "img"), path)
	}
	v.reads("/desk/players")
	v.form("/desk/players", 1).set("member_no", "0107").set("name", hostile).set("handicap_index", "5").ok()
	clean("/desk/players")
	require.Contains(t, v.words(), hostile)
	v.reads("/desk/competitions/new")
	v.form("/desk/competitions/new").set("name", hostile).set("date", "2025-06-14").ok()
	at := strings.TrimSuffix(strings.Split(v.at, "?")[0], "/terms")
	clean(at)
	clean("/desk")
	clean("/desk/players?q=" + url.QueryEscape(hostile))
	clean(at + "/cards?q=" + url.QueryEscape(hostile) + "&show=" + url.QueryEscape(hostile))
	clean("/desk?done=" + url.QueryEscape(hostile))
	require.NotContains(t, v.text, "onerror=alert(2)&gt;&#39;{{.}}</span></p>", "the address says nothing on the page")
	v.form("/sign-out").send()
}

// TestRefusedFormsKeepWhatWasTyped sends forms with a mistake and looks whether
// everything else is still there.
func TestRefusedFormsKeepWhatWasTyped(t *testing.T) {
	t.Parallel()
	m := mustOpenClub(t)
	v := secretary(t, m)
	courseByForm(v)
	at := planByForm(v)

	f := v.form(at+"/terms").set("allowance_percent", "900").set("divisions[0].name", "Low").set("divisions[0].to", "9.9").
		set("divisions[2].name", "High").set("divisions[2].from", "10").set("prizes[0].name", "Best net").set("prizes[0].division", "High")
	f.send()
	require.Equal(t, http.StatusUnprocessableEntity, v.status)
	require.Contains(t, v.words(), "900 lies outside 0 to 200")
	again := v.form(at + "/terms")
	for name, want := range map[string]string{
		"allowance_percent": "900", "divisions[0].name": "Low", "divisions[0].to": "9.9", "divisions[1].name": "High", "divisions[1].from": "10",
		"prizes[0].name": "Best net", "prizes[0].division": "High", "format": "stroke_play",
	} {
		require.Equal(t, want, again.values.Get(name), name)
	}
	again.set("allowance_percent", "90").ok()

	v.reads(at + "/terms")
	v.form(at+"/terms").set("divisions[1].from", "5").send()
	require.Equal(t, http.StatusUnprocessableEntity, v.status)
	require.Contains(t, v.words(), `Divisions "Low" and "High" overlap`)
	require.Equal(t, "5", v.form(at+"/terms").values.Get("divisions[1].from"))

	v.reads(at + "/entries")
	v.form(at+"/entries").set("player_id", "Nobody").set("index_tenths", "12.3").send()
	require.Equal(t, http.StatusUnprocessableEntity, v.status)
	require.Equal(t, "12.3", v.form(at+"/entries").values.Get("index_tenths"))
	require.Equal(t, "Nobody", v.form(at+"/entries").values.Get("player_id"))

	v.reads("/desk/accounts")
	v.form("/desk/accounts").set("name", "starter").set("password", "short").send()
	require.Equal(t, http.StatusUnprocessableEntity, v.status)
	require.Equal(t, "starter", v.form("/desk/accounts").values.Get("name"))
	require.NotContains(t, v.text, `value="short"`, "a password is never sent back")
}

// TestAnotherFormatFillsInWhatIsPublished presses the button that stands there
// where there is no script.
func TestAnotherFormatFillsInWhatIsPublished(t *testing.T) {
	t.Parallel()
	m := mustOpenClub(t)
	v := secretary(t, m)
	courseByForm(v)
	at := planByForm(v)
	v.form(at+"/terms").set("format", "stableford").set("allowance_percent", "1").set("preset", "1").send()
	require.Equal(t, http.StatusOK, v.status)
	f := v.form(at + "/terms")
	require.Equal(t, "95", f.values.Get("allowance_percent"))
	require.Empty(t, f.values.Get("par_difference"), "points are against the own par")
	require.Contains(t, v.words(), "Rules of Handicapping, Appendix C")
	s, _, err := m.commands.Competition(context.Background(), strings.TrimPrefix(at, "/desk/competitions/"))
	require.NoError(t, err)
	require.Nil(t, s.Terms, "looking stores nothing")
}

func patterns(m *morning, routes []string) []string {
	out := make([]string, len(routes))
	fill := strings.NewReplacer("/competitions/"+m.competition, "/competitions/:competition", "/entries/"+m.entries[0], "/entries/:entry",
		"/cards/"+m.card(0), "/cards/:card", "/courses/x", "/courses/:course", "/matches/x", "/matches/:match", "/players/"+m.players[0], "/players/:player")
	for i, r := range routes {
		out[i] = fill.Replace(r)
	}
	return out
}

// registered lists the routes below a path as the router knows them.
func (m *morning) registered(below string) []string {
	e, ok := m.server.Config.Handler.(*echo.Echo)
	require.True(m.t, ok)
	var out []string
	for _, r := range e.Routes() {
		if strings.HasPrefix(r.Path, below) && (r.Method == http.MethodGet || r.Method == http.MethodPost) {
			out = append(out, r.Method+" "+r.Path)
		}
	}
	return out
}
