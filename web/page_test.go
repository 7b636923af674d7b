package web_test

import (
	"context"
	"net/http"
	"net/url"
	"regexp"
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"golang.org/x/net/html"

	"marram.example/api/command"
	"marram.example/events"
)

// asPerson makes a client say, as browsers do, that it wants a page.
type asPerson struct{ next http.RoundTripper }

func (a asPerson) RoundTrip(r *http.Request) (*http.Response, error) {
	r = r.Clone(r.Context())
	r.Header.Set("Accept", "text/html,application/xhtml+xml;q=0.9,*/*;q=0.8")
	return a.next.RoundTrip(r)
}

// visit is a visitor who is nobody.
func (m *morning) visit() *visitor {
	v := newVisitor(m.t, m.server.URL)
	v.client.Transport = asPerson{http.DefaultTransport}
	return v
}

// holder is a visitor who opened a card link.
func (m *morning) holder(entry int, role events.Role) *visitor {
	m.t.Helper()
	token, err := m.commands.CardLink(context.Background(), m.card(entry), role)
	require.NoError(m.t, err)
	return m.visit().reads("/c/" + token)
}

// secretary is a visitor who signed in.
func (m *morning) secretary() *visitor {
	m.t.Helper()
	const password = "seven tides a week"
	require.NoError(m.t, m.auth.AddAccount(context.Background(), "secretary", password))
	v := m.visit().reads("/sign-in")
	v = v.form("/sign-in").set("name", "Secretary").set("password", password).send()
	require.Equal(m.t, http.StatusOK, v.status, v.words())
	require.Equal(m.t, "/desk", v.at)
	return v
}

// wellMade checks what every page owes its readers.
func (v *visitor) wellMade() {
	v.t.Helper()
	at := v.at
	require.True(v.t, strings.HasPrefix(v.text, "<!doctype html>"), at)
	assert.Equal(v.t, "en", attr(all(v.page, "html")[0], "lang"), at)
	titles := all(all(v.page, "head")[0], "title")
	require.Len(v.t, titles, 1, at)
	assert.NotEmpty(v.t, words(titles[0]), at)
	assert.Len(v.t, all(v.page, "h1"), 1, "one h1 on %s", at)
	assert.Len(v.t, all(v.page, "main"), 1, at)
	assert.NotContains(v.t, v.text, "ZgotmplZ", "an unsafe value was written on %s", at)
	ids := map[string]bool{}
	labels := map[string]bool{}
	each(v.page, func(n *html.Node) {
		if n.Type != html.ElementNode {
			return
		}
		if id := attr(n, "id"); id != "" {
			assert.False(v.t, ids[id], "id %q stands twice on %s", id, at)
			ids[id] = true
		}
		if n.Data == "label" {
			labels[attr(n, "for")] = true
		}
	})
	each(v.page, func(n *html.Node) { v.wellMadeElement(n, ids, labels) })
}

func (v *visitor) wellMadeElement(n *html.Node, ids, labels map[string]bool) {
	v.t.Helper()
	if n.Type != html.ElementNode {
		return
	}
	at := v.at
	assert.False(v.t, has(n, "style"), "inline style on %s: <%s>", at, n.Data)
	for _, a := range n.Attr {
		assert.False(v.t, strings.HasPrefix(a.Key, "on"), "inline script on %s: %s", at, a.Key)
		if slices.Contains([]string{"href", "src", "action", "data-stream"}, a.Key) && n.Namespace == "" {
			assert.True(v.t, strings.HasPrefix(a.Val, "/") && !strings.HasPrefix(a.Val, "//") || strings.HasPrefix(a.Val, "#"), "an address of somebody else on %s: %s", at, a.Val)
		}
		if a.Key == "aria-labelledby" || a.Key == "aria-describedby" {
			for _, id := range strings.Fields(a.Val) {
				assert.True(v.t, ids[id], "%s of %s on %s names nothing", a.Key, id, at)
			}
		}
	}
	switch n.Data {
	case "style":
		assert.Fail(v.t, "inline style", at)
	case "script":
		assert.NotEmpty(v.t, attr(n, "src"), "inline script on %s", at)
		assert.Nil(v.t, n.FirstChild, at)
	case "input", "select", "textarea":
		if attr(n, "type") != "hidden" && !has(n, "aria-label") && !insideLabel(n) {
			assert.True(v.t, labels[attr(n, "id")], "no label for %s on %s", attr(n, "name"), at)
		}
	case "button":
		assert.NotEmpty(v.t, words(n), "a button without words on %s", at)
	case "a":
		if !has(n, "hidden") && attr(n, "href") != "/cards/-" && attr(n, "href") != "/cards/-/figures" {
			assert.True(v.t, words(n) != "" || strings.HasSuffix(attr(n, "href"), "/figures"), "a link without words on %s: %s", at, attr(n, "href"))
		}
	case "svg":
		named := attr(n, "aria-hidden") == "true" || attr(n, "role") == "img" && (has(n, "aria-labelledby") || has(n, "aria-label"))
		assert.True(v.t, named, "a drawing without words on %s", at)
	case "img":
		assert.True(v.t, has(n, "alt"), at)
	case "table":
		assert.Len(v.t, all(n, "caption"), 1, "a table without caption on %s", at)
		for _, th := range all(n, "th") {
			assert.NotEmpty(v.t, attr(th, "scope"), "a heading without scope on %s: %s", at, words(th))
		}
	}
}

func insideLabel(n *html.Node) bool {
	for p := n.Parent; p != nil; p = p.Parent {
		if p.Data == "label" {
			return true
		}
	}
	return false
}

// links are the addresses of our own pages that a page leads to.
func (v *visitor) links() []string {
	var out []string
	for _, a := range all(v.page, "a") {
		href := attr(a, "href")
		if strings.HasPrefix(href, "/") && !has(a, "hidden") && !strings.HasPrefix(href, "/desk") && !strings.Contains(href, "/cards/-") {
			out = append(out, href)
		}
	}
	return out
}

// crawl follows every link from the home page, each kind of page a few times.
func crawl(t *testing.T, v *visitor) map[string]bool {
	t.Helper()
	seen := map[string]bool{}
	times := map[string]int{}
	id := regexp.MustCompile(`(competitions|cards|players)/[^/]+`)
	next := []string{"/"}
	for len(next) > 0 {
		at := next[0]
		next = next[1:]
		u, err := url.Parse(at)
		require.NoError(t, err)
		kind := id.ReplaceAllString(u.Path, "$1/:")
		if seen[at] || times[kind] >= 6 {
			continue
		}
		seen[at] = true
		times[kind]++
		if strings.HasPrefix(at, "/api/") {
			r, _ := v.get(at, nil)
			require.Equal(t, http.StatusOK, r.StatusCode, at)
			continue
		}
		v.reads(at)
		v.wellMade()
		next = append(next, v.links()...)
	}
	kinds := map[string]bool{}
	for k := range times {
		kinds[k] = true
	}
	return kinds
}

func TestEveryLinkLeadsToAWellMadePage(t *testing.T) {
	t.Parallel()
	for _, stage := range []string{"drawn", "playing", "suspended", "published"} {
		t.Run(stage, func(t *testing.T) {
			t.Parallel()
			m := medal(t, 9)
			want := []string{"/", "/competitions/:", "/competitions/:/entries", "/competitions/:/start-sheet", "/competitions/:/board", "/competitions/:/result", "/sign-in"}
			if stage != "drawn" {
				m.open()
				m.play(func(i int) int { return 2 * i })
				want = append(want, "/cards/:", "/cards/:/figures", "/players/:")
			}
			if stage == "suspended" {
				d, err := m.commands.Suspend(context.Background(), by(), m.competition, "immediate", "lightning near the 12th")
				require.NoError(t, err)
				m.settle(d)
			}
			if stage == "published" {
				m.finish()
				want = append(want, "/api/v1/competitions/:/result", "/api/v1/competitions/:/result.csv", "/api/v1/cards/:/figures")
			}
			kinds := crawl(t, m.visit())
			for _, k := range want {
				assert.True(t, kinds[k], "no link leads to %s: %v", k, kinds)
			}
		})
	}
}

func TestHostileNamesAreOnlyText(t *testing.T) {
	t.Parallel()
	m := medal(t, 3)
	ctx := context.Background()
	const name = `</td><script>alert(1)</script><img src=x onerror=alert(2)>`
	const title = `"><svg onload=alert(3)>`
	_, err := m.commands.RegisterPlayer(ctx, by(), command.RegisterPlayer{MemberNo: readCSV(t, "entries.csv")[0]["member_no"], Name: name})
	require.NoError(t, err)
	_, err = m.commands.Plan(ctx, by(), m.competition, command.PlanCompetition{Name: title, Date: "2025-06-14"})
	require.NoError(t, err)
	m.open()
	m.play(func(i int) int { return 3 })
	at := "/competitions/" + m.competition
	v := m.visit()
	for _, path := range []string{"/", at, at + "/entries", at + "/start-sheet", at + "/board", "/cards/" + m.card(0), "/cards/" + m.card(0) + "/figures", "/players/" + m.players[0]} {
		v.reads(path)
		v.wellMade()
		for _, s := range all(v.page, "script") {
			assert.True(t, strings.HasPrefix(attr(s, "src"), "/static/"), path)
		}
		for _, i := range all(v.page, "img") {
			assert.NotEqual(t, "x", attr(i, "src"), path)
		}
		said := v.words()
		if strings.HasPrefix(path, "/cards/") || strings.HasPrefix(path, "/players/") || strings.Contains(path, "/entries") || strings.Contains(path, "/start-sheet") || strings.Contains(path, "/board") {
			assert.Contains(t, said, "<script>alert(1)</script>", path)
		}
		if path == "/" || path == at {
			assert.Contains(t, said, title, path)
		}
	}
}

func TestProblemsArePages(t *testing.T) {
	t.Parallel()
	m := medal(t, 3)
	v := m.visit()
	for path, status := range map[string]int{
		"/nowhere": http.StatusNotFound, "/competitions/none": http.StatusNotFound, "/competitions/a%20b": http.StatusNotFound,
		"/cards/none": http.StatusNotFound, "/cards/a-b-1": http.StatusNotFound, "/players/none": http.StatusNotFound,
		"/c/not-a-token": http.StatusUnauthorized, "/setup/not-a-token": http.StatusUnauthorized,
	} {
		v.open(path)
		assert.Equal(t, status, v.status, "%s: %s", path, v.words())
		v.wellMade()
		assert.NotContains(t, v.text, "not-a-token", "a secret is repeated on the page")
	}
	r, err := http.Get(m.server.URL + "/nowhere")
	require.NoError(t, err)
	require.NoError(t, r.Body.Close())
	assert.Equal(t, "application/problem+json", r.Header.Get("Content-Type"), "a program gets problem details")
}

func TestHeadersOfPages(t *testing.T) {
	t.Parallel()
	m := medal(t, 3)
	r, err := http.Get(m.server.URL + "/competitions/" + m.competition + "/board")
	require.NoError(t, err)
	require.NoError(t, r.Body.Close())
	csp := r.Header.Get("Content-Security-Policy")
	assert.Contains(t, csp, "default-src 'none'")
	assert.NotContains(t, csp, "unsafe")
	assert.Equal(t, "no-cache", r.Header.Get("Cache-Control"))
	tag := r.Header.Get("ETag")
	require.NotEmpty(t, tag)
	again, err := http.NewRequest(http.MethodGet, m.server.URL+"/competitions/"+m.competition+"/board", nil)
	require.NoError(t, err)
	again.Header.Set("If-None-Match", tag)
	r, err = http.DefaultClient.Do(again)
	require.NoError(t, err)
	require.NoError(t, r.Body.Close())
	assert.Equal(t, http.StatusNotModified, r.StatusCode)
}
