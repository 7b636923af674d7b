package web_test

import (
	"context"
	"net/http"
	"net/http/httptest"
	"net/url"
	"os"
	"path/filepath"
	"regexp"
	"slices"
	"strings"
	"sync"
	"testing"
	"time"

	"github.com/chromedp/chromedp"
	"github.com/labstack/echo/v4"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"golang.org/x/net/html"

	"marram.example/api/command"
	"marram.example/events"
	"marram.example/events/competition"
)

// visits is one club as one visitor sees it, and the pages to look at.
type visits struct {
	by    string
	m     *morning
	v     *visitor
	pages []string
}

// front is the club's server for one visitor: it answers every request as if it
// carried the visitor's cookies, so that one browser shows pages of several people.
func (s *visits) front(t *testing.T) string {
	t.Helper()
	home, err := url.Parse(s.m.server.URL)
	require.NoError(t, err)
	cookies := s.v.client.Jar.Cookies(home)
	club := s.m.server.Config.Handler
	server := httptest.NewServer(http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		r = r.Clone(r.Context())
		for _, c := range cookies {
			r.AddCookie(c)
		}
		club.ServeHTTP(w, r)
	}))
	t.Cleanup(server.Close)
	return server.URL
}

// found lists the pages of the router below a visitor's club that are there for the
// visitor, with parameters filled in. A new route is among them; one with a new
// parameter fails until it is said what stands for it. Addresses in more are pages
// that a route shows in another state. A page that another visitor got already, of
// the same parts, is left out.
func (s *visits) found(t *testing.T, seen map[string]bool, stands map[string]string, more ...string) {
	t.Helper()
	e, ok := s.m.server.Config.Handler.(*echo.Echo)
	require.True(t, ok)
	type page struct{ route, at string }
	var ask []page
	for _, r := range e.Routes() {
		if r.Method != http.MethodGet || r.Path == "/static/*" || strings.HasPrefix(r.Path, "/api/") {
			continue
		}
		there := true
		path := regexp.MustCompile(`:(\w+)`).ReplaceAllStringFunc(r.Path, func(p string) string {
			v, known := stands[p[1:]]
			require.True(t, known, "say what stands for %s of %s", p, r.Path)
			there = there && v != ""
			return v
		})
		if there {
			ask = append(ask, page{r.Path, path})
		}
	}
	for _, at := range more {
		ask = append(ask, page{"", at})
	}
	for _, p := range ask {
		s.v.open(p.at)
		if !strings.HasPrefix(s.v.text, "<!doctype html>") || p.route != "" && (s.v.status != http.StatusOK || strings.HasPrefix(s.v.at, "/sign-in") && p.route != "/sign-in") {
			continue
		}
		if news := s.v.outlines(seen, p.route); news {
			s.pages = append(s.pages, s.v.at)
		}
	}
	require.NotEmpty(t, s.pages)
}

// outlines notes what the page is made of, each element as the chain of tags and
// classes around it, and reports whether anything of it is new.
func (v *visitor) outlines(seen map[string]bool, route string) (news bool) {
	note := func(what string) {
		news = news || !seen[what]
		seen[what] = true
	}
	if route != "" {
		note(route)
	}
	var walk func(n *html.Node, above string)
	walk = func(n *html.Node, above string) {
		if n.Type == html.ElementNode {
			above += ">" + n.Data
			for _, k := range []string{"class", "type", "role", "aria-current", "hidden", "disabled"} {
				if has(n, k) {
					above += "[" + k + "=" + attr(n, k) + "]"
				}
			}
			note(above)
		}
		for c := n.FirstChild; c != nil; c = c.NextSibling {
			walk(c, above)
		}
	}
	walk(all(v.page, "body")[0], "")
	return news
}

// everyPage is two clubs in the middle of things as all who come: a medal with
// strokes, reviews and shares, and a knockout of sides.
func everyPage(t *testing.T) []*visits {
	t.Helper()
	ctx := context.Background()
	seen := map[string]bool{}
	m := medal(t, 4)
	m.switchOn()
	season := m.season(4, func(round, player, hole int) int { return (round + player + hole) % 2 })
	for i, pair := range season {
		m.logRound(pair[0], i)
	}
	m.open()
	m.play(func(entry int) int { return []int{11, 18, 7, 3}[entry] })
	other := enter(9, new(int))
	*other.Strokes = 8
	d, err := m.commands.EnterScore(ctx, as(events.RoleMarker, m.card(0)), m.card(0), other)
	require.NoError(t, err)
	m.settle(d)
	c, _, err := m.commands.Competition(ctx, m.competition)
	require.NoError(t, err)
	reviewed := season[0][0]
	before := command.CompetitionOf(reviewed)
	stands := map[string]string{
		"competition": m.competition, "card": m.card(0), "player": m.players[0], "entry": m.entries[0], "course": c.Terms.CourseID, "match": "", "token": "",
		"share": "", "note": "", "stroke": "", "hole": "",
	}
	desk := &visits{by: "committee", m: m, v: m.secretary()}
	desk.found(t, seen, stands, "/nowhere", "/desk/competitions/"+before, "/desk/competitions/"+before+"/terms", "/desk/competitions/"+before+"/result",
		"/desk/cards/"+m.card(1), "/desk/import?kind=players")
	indexes := "/desk/courses/:course/stroke-indexes"
	desk.v.reads(strings.Replace(indexes, ":course", c.Terms.CourseID, 1) + "?tee=White")
	require.True(t, desk.v.outlines(seen, indexes))
	desk.pages = append(desk.pages, desk.v.at)

	phone := &visits{by: "player", m: m, v: m.holder(0, events.RolePlayer)}
	token, err := m.commands.CardLink(ctx, m.card(1), events.RoleMarker)
	require.NoError(t, err)
	phone.v.reads("/c/" + token)
	token, err = m.commands.CardLink(ctx, reviewed, events.RolePlayer)
	require.NoError(t, err)
	phone.v.reads("/c/" + token)
	_, err = m.commands.ShareReview(ctx, as(events.RolePlayer, reviewed), reviewed, command.ShareReview{For: "an invented coach"})
	require.NoError(t, err)
	logging := m.at(0) + "/strokes"
	phone.found(t, seen, stands, m.at(0)+"?hole=9", m.at(1), logging+"?hole=12", "/cards/"+reviewed, "/cards/"+reviewed+"/review", "/cards/"+reviewed+"/strokes",
		"/competitions/"+m.competition+"/board?screen=1", "/competitions/"+before+"/result", "/competitions/"+before+"/board")

	shares, err := m.commands.Shares(ctx, command.Who{Role: events.RolePlayer, ID: "link", CardID: reviewed}, reviewed)
	require.NoError(t, err)
	coach := &visits{by: "coach", m: m, v: m.visit().reads("/r/" + shares[0].Token)}
	stands["card"] = reviewed
	for k := range stands {
		if !slices.Contains([]string{"player", "card", "token"}, k) {
			stands[k] = ""
		}
	}
	coach.found(t, seen, stands)

	k := contest(t, 2, func(t *events.Terms) {
		matchPlay(competition.Knockout)(t)
		t.Side, t.SideSize = events.SideFourBall, 2
	})
	k.draw("seeded")
	k.open()
	match := command.MatchID(k.competition, 1, 1)
	k.matchHoles(match, "AB-")
	for n := range stands {
		stands[n] = ""
	}
	stands["competition"], stands["match"], stands["entry"] = k.competition, match, k.entries[0]
	side := &visits{by: "side", m: k, v: k.holderOfMatch(match, k.entries[0])}
	side.found(t, seen, stands)
	table := &visits{by: "committee of a knockout", m: k, v: k.secretary()}
	table.found(t, seen, stands)

	empty := mustOpenClub(t)
	token, err = empty.auth.SetupToken(ctx)
	require.NoError(t, err)
	for n := range stands {
		stands[n] = ""
	}
	stands["token"] = token
	first := &visits{by: "who sets the club up", m: empty, v: empty.visit()}
	first.found(t, seen, stands)

	e, ok := m.server.Config.Handler.(*echo.Echo)
	require.True(t, ok)
	for _, r := range e.Routes() {
		if r.Method == http.MethodGet && !strings.HasPrefix(r.Path, "/api/") && !slices.Contains(noPages, r.Path) {
			assert.True(t, seen[r.Path], "nobody here gets %s: let somebody", r.Path)
		}
	}
	return []*visits{desk, phone, coach, side, table, first}
}

// noPages are addresses that lead on or give a file.
var noPages = []string{"/c/:token", "/r/:token", "/manifest.webmanifest", "/favicon.ico", "/static/*", "/metrics", "/livez", "/readyz"}

// ground makes the page ready: what is folded is opened, and what sticks to an edge
// lies where it belongs, since it covers something wherever one has scrolled to.
const ground = `for (const d of document.querySelectorAll("details")) d.open = true;
	for (const x of document.querySelectorAll("body *")) if (["sticky", "fixed"].includes(getComputedStyle(x).position)) x.style.position = "static";`

// breaches runs rules of the tool and gives a line for each breach.
const breaches = `const breaches = async (options) => (await axe.run(document, {...options, resultTypes: ["violations"]})).violations.flatMap((v) =>
	v.nodes.map((n) => v.id + ": " + n.target.join(" ") + " | " + n.html.slice(0, 160) + " | " + n.failureSummary.replace(/\s+/g, " ").slice(0, 260)));`

// uncoloured lets every rule loose that does not hang on colours: WCAG 2.2 AA, and
// what the tool's makers hold to be good practice.
const uncoloured = `(async () => { ` + ground + breaches + `
	return breaches({
		runOnly: {type: "tag", values: ["wcag2a", "wcag2aa", "wcag21a", "wcag21aa", "wcag22aa", "best-practice"]},
		rules: {"target-size": {enabled: false}, "color-contrast": {enabled: false}, "link-in-text-block": {enabled: false}},
	});
})()`

// coloured lets the others loose, theme after theme. Of rows, items and drawn marks
// that are made alike one each is looked at.
const coloured = `(async () => { ` + breaches + `
	const outline = (x) => x.tagName + x.getAttribute("class") + [...x.children].map(outline).join("");
	for (const parent of document.querySelectorAll("tbody, ul, ol, select, svg, svg g, datalist")) {
		const made = new Set();
		for (const x of [...parent.children]) {
			const o = outline(x);
			if (made.has(o)) x.remove();
			made.add(o);
		}
	}
	const out = [];
	for (const theme of ["light", "dark", "sun"]) {
		for (const sheet of ["dark", "sun"]) document.getElementById(sheet + "-sheet").media = sheet === theme ? "screen" : "not all";
		await new Promise((next) => setTimeout(next));
		if (document.documentElement.scrollWidth > innerWidth) out.push(theme + ": wider than the screen, " + document.documentElement.scrollWidth);
		const found = await breaches({runOnly: {type: "rule", values: theme === "dark" ? ["color-contrast", "link-in-text-block"] : ["color-contrast", "link-in-text-block", "target-size"]}});
		out.push(...found.map((line) => theme + ": " + line));
	}
	return out;
})()`

// No page breaks a rule of accessibility in any theme, on a phone of 360 px.
func TestEveryPageIsAccessible(t *testing.T) {
	t.Parallel()
	tool, err := os.ReadFile(filepath.Join("..", "testdata", "axe", "axe.min.js"))
	require.NoError(t, err)
	type job struct{ by, front, at string }
	var jobs []job
	for _, s := range everyPage(t) {
		front := s.front(t)
		for _, at := range s.pages {
			jobs = append(jobs, job{s.by, front, at})
		}
	}
	next := make(chan job)
	browser := chromium(t)
	begun := time.Now()
	var work sync.WaitGroup
	for range 3 {
		page := tab(t, browser, 360, 740)
		work.Go(func() {
			for j := range next {
				for _, line := range sweep(page, string(tool), j.front+j.at) {
					assert.Fail(t, "a breach", "%s as %s, %s", j.at, j.by, line)
				}
			}
		})
	}
	for _, j := range jobs {
		next <- j
	}
	close(next)
	work.Wait()
	t.Logf("%d pages in three themes in %s", len(jobs), time.Since(begun).Round(time.Second))
}

// sweep opens one page and returns what it breaks.
func sweep(page context.Context, tool, at string) []string {
	ctx, cancel := context.WithTimeout(page, 2*patience)
	defer cancel()
	if err := chromedp.Do(ctx, chromedp.Navigate(at), chromedp.Evaluate[chromedp.Void](tool)); err != nil {
		return []string{err.Error()}
	}
	var out []string
	for _, rules := range []string{uncoloured, coloured} {
		lines, err := chromedp.Run(ctx, chromedp.Evaluate[[]string](rules, chromedp.EvalAwaitPromise))
		out = append(out, lines...)
		if err != nil {
			return append(out, err.Error())
		}
	}
	return out
}
