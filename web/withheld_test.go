package web_test

import (
	"cmp"
	"context"
	"encoding/json"
	"fmt"
	"io"
	"net/http"
	"regexp"
	"slices"
	"strings"
	"testing"
	"time"

	"github.com/google/uuid"
	"github.com/labstack/echo/v4"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"marram.example/api"
	"marram.example/api/command"
	"marram.example/events"
)

// logged logs 18 holes of a card from the tee into the hole, as its player, and
// returns the last command. Distances end in odd centimetres that stand nowhere
// else, shifted by odd, so that what is made of them can be told from anything else.
func (m *morning) logged(card string, odd float64) command.Done {
	m.t.Helper()
	ctx := context.Background()
	k, err := m.commands.Card(ctx, card)
	require.NoError(m.t, err)
	yes, no := true, false
	var last command.Done
	for i, h := range k.State.Holes {
		at := odd + float64(i)*0.37
		left := func(lie string, metres float64) *command.Finish { return &command.Finish{Lie: lie, Distance: metres} }
		begun := time.Date(2025, 6, 14, 8, 0, 0, 0, time.UTC).Add(time.Duration(i) * 12 * time.Minute)
		struck := begun.Add(31 * time.Second)
		tee := command.Stroke{Lie: events.LieTee, Distance: float64(h.LengthM), Commitment: 2 + i%4, IntentAt: &begun, StruckAt: &struck, Aim: "chimney"}
		var all []command.Stroke
		if h.Par > 3 {
			tee.Club, tee.Target, tee.Shape, tee.Strike, tee.GoodEnough = "driver", events.TargetAt, events.ShapeFade, events.StrikePoor, &yes
			tee.Miss = command.Miss{Side: events.MissRight, SideBy: 17.3 + at}
			tee.Finish = left(events.LieRough, 138.41+at)
			all = append(all, tee, command.Stroke{
				Lie: events.LieRough, Distance: 138.41 + at, Club: "iron-7", Strike: events.StrikeGood, GoodEnough: &no,
				Miss: command.Miss{Side: events.MissLeft, Length: events.MissShort}, Finish: left(events.LieSand, 21.77+at),
			}, command.Stroke{Lie: events.LieSand, Distance: 21.77 + at, Club: "sand-wedge", Finish: left(events.LieGreen, 7.93+at)})
		} else {
			tee.Club, tee.Finish = "iron-5", left(events.LieGreen, 7.93+at)
			all = append(all, tee)
		}
		all = append(all, command.Stroke{Lie: events.LieGreen, Distance: 7.93 + at, Club: "putter", Finish: left(events.LieGreen, 1.09+at/10)},
			command.Stroke{Lie: events.LieGreen, Distance: 1.09 + at/10, Club: "putter", Finish: &command.Finish{Holed: true}, Word: "let go"})
		in := command.LogHole{}
		for _, x := range all {
			in.Strokes = append(in.Strokes, command.LoggedStroke{Stroke: x})
		}
		last, err = m.commands.LogHole(ctx, as(events.RolePlayer, card), card, h.Number, in)
		require.NoError(m.t, err)
	}
	return last
}

// signs enters the marker's scores as the player's, and both sign.
func (m *morning) signs(card string) command.Done {
	m.t.Helper()
	ctx := context.Background()
	k, err := m.commands.Card(ctx, card)
	require.NoError(m.t, err)
	for _, h := range k.State.Holes {
		n := h.Player.Strokes
		require.NotZero(m.t, n, "the score of hole %d follows from its strokes", h.Number)
		_, err = m.commands.EnterScore(ctx, as(events.RoleMarker, card), card, enter(h.Number, &n))
		require.NoError(m.t, err)
	}
	_, err = m.commands.Certify(ctx, as(events.RoleMarker, card), card, events.RoleMarker)
	require.NoError(m.t, err)
	done, err := m.commands.Certify(ctx, as(events.RolePlayer, card), card, events.RolePlayer)
	require.NoError(m.t, err)
	return done
}

// askers are everybody who may ask, with their bearer tokens.
type asker struct{ name, token string }

func (m *morning) askers(card, other string) []asker {
	m.t.Helper()
	ctx := context.Background()
	link := func(card string, role events.Role) string {
		token, err := m.commands.CardLink(ctx, card, role)
		require.NoError(m.t, err)
		return token
	}
	_, err := m.commands.ShareReview(ctx, as(events.RolePlayer, card), card, command.ShareReview{For: "an invented coach"})
	require.NoError(m.t, err)
	shares, err := m.commands.Shares(ctx, command.Who{Role: events.RolePlayer, ID: "link", CardID: card}, card)
	require.NoError(m.t, err)
	require.Len(m.t, shares, 1)
	const password = "seven tides a week"
	require.NoError(m.t, m.auth.AddAccount(ctx, "secretary", password))
	return []asker{
		{"nobody", ""}, {"player", link(card, events.RolePlayer)}, {"marker", link(card, events.RoleMarker)},
		{"other player", link(other, events.RolePlayer)}, {"coach", shares[0].Token}, {"committee", m.signedIn(password)},
	}
}

func (m *morning) signedIn(password string) string {
	m.t.Helper()
	r, body := m.ask(asker{}, http.MethodPost, api.Root+"/sessions", fmt.Sprintf(`{"name":"secretary","password":%q}`, password))
	require.Equal(m.t, http.StatusCreated, r.StatusCode, body)
	var in api.Session
	require.NoError(m.t, json.Unmarshal([]byte(body), &in))
	return in.Token
}

// streams is how long a stream is listened to: it begins with the whole board.
const streams = 300 * time.Millisecond

// ask sends a request, as a page or as JSON after its address, and returns what came.
func (m *morning) ask(who asker, method, path, body string) (*http.Response, string) {
	m.t.Helper()
	ctx, cancel := context.WithTimeout(context.Background(), time.Minute)
	defer cancel()
	if strings.HasSuffix(path, "/stream") {
		ctx, cancel = context.WithTimeout(ctx, streams)
		defer cancel()
	}
	q, err := http.NewRequestWithContext(ctx, method, m.server.URL+path, strings.NewReader(body))
	require.NoError(m.t, err)
	if who.token != "" {
		q.Header.Set("Authorization", "Bearer "+who.token)
	}
	if strings.HasPrefix(path, api.Root) {
		q.Header.Set("Content-Type", "application/json")
		q.Header.Set(api.HeaderIdempotencyKey, uuid.NewString())
	} else {
		q.Header.Set("Accept", "text/html")
		q.Header.Set("Content-Type", "application/x-www-form-urlencoded")
	}
	client := http.Client{CheckRedirect: func(*http.Request, []*http.Request) error { return http.ErrUseLastResponse }}
	r, err := client.Do(q)
	require.NoError(m.t, err, "%s %s", method, path)
	defer func() { _ = r.Body.Close() }()
	text, err := io.ReadAll(r.Body)
	if !strings.HasSuffix(path, "/stream") {
		require.NoError(m.t, err, "%s %s", method, path)
	}
	require.Less(m.t, r.StatusCode, 500, "%s %s as %s: %s", method, path, who.name, text)
	return r, string(text)
}

// said is one answer.
type said struct {
	route, path, by, body string
	status                int
}

// inOrder puts routes in an order that is always the same: those last that take away
// what others need, sessions, names and the missing signature of a card.
func inOrder(routes []*echo.Route) []*echo.Route {
	last := regexp.MustCompile(`/(sessions/current|sign-out|erasure|certification)$`)
	rank := func(r *echo.Route) int {
		if last.MatchString(r.Path) {
			return 1
		}
		return 0
	}
	slices.SortFunc(routes, func(a, b *echo.Route) int {
		return cmp.Or(cmp.Compare(rank(a), rank(b)), cmp.Compare(a.Path, b.Path), cmp.Compare(a.Method, b.Method))
	})
	return routes
}

// everything asks every route of API and pages with a method, as everybody. A new
// route is asked too; one with a new parameter fails here until it is said what
// stands for it.
func (m *morning) everything(of func(method string) bool, card string, who []asker) []said {
	m.t.Helper()
	e, ok := m.server.Config.Handler.(*echo.Echo)
	require.True(m.t, ok)
	k, err := m.commands.Card(context.Background(), card)
	require.NoError(m.t, err)
	c, _, err := m.commands.Competition(context.Background(), k.State.CompetitionID)
	require.NoError(m.t, err)
	stroke := "none"
	if len(k.State.Strokes) > 0 {
		stroke = k.State.Strokes[0].ID
	}
	stands := map[string]string{
		"competition": k.State.CompetitionID, "card": card, "player": k.State.PlayerID, "entry": k.State.EntryID, "course": c.Terms.CourseID,
		"tee": k.State.Tee, "role": "player", "kind": "strokes", "match": "none", "penalty": "none", "stroke": stroke, "hole": "1",
		"share": "none", "note": "none", "round": "1", "name": "secretary", "account": "none", "division": "none", "ranking": "net", "file": "none", "group": "1",
	}
	parameter := regexp.MustCompile(`:(\w+)`)
	var out []said
	for _, r := range inOrder(e.Routes()) {
		if !of(r.Method) || r.Path == "/static/*" || r.Method == echo.RouteNotFound {
			continue
		}
		for _, a := range who {
			path := parameter.ReplaceAllStringFunc(r.Path, func(p string) string {
				if p == ":token" {
					return map[bool]string{true: a.token, false: "none"}[a.token != ""]
				}
				v, known := stands[p[1:]]
				require.True(m.t, known, "say what stands for %s of %s", p, r.Path)
				return v
			})
			body := ""
			if r.Method != http.MethodGet && strings.HasPrefix(path, api.Root) {
				body = "{}"
			}
			answer, text := m.ask(a, r.Method, path, body)
			out = append(out, said{r.Method + " " + r.Path, path, a.name, text, answer.StatusCode})
		}
	}
	require.NotEmpty(m.t, out)
	return out
}

func reads(method string) bool { return method == http.MethodGet }

func writes(method string) bool {
	return slices.Contains([]string{http.MethodPost, http.MethodPut, http.MethodPatch, http.MethodDelete}, method)
}

// telling is what a review tells that nothing else does: its sentences, and the
// figures that follow from the strokes of its round.
type telling struct {
	words   []string // of sentences and advice
	figures []string // as JSON writes them
	keys    []string // members of a review, such as "phases":
}

// manyDigits is a figure that did not come about by chance.
var manyDigits = regexp.MustCompile(`^-?\d+\.\d{6,}(e-?\d+)?$`)

func tellingOf(t *testing.T, body string) telling {
	t.Helper()
	var all struct {
		Sentences []struct{ Words string }
		First     *struct{ Words, Worked string }
	}
	require.NoError(t, json.Unmarshal([]byte(body), &all))
	var out telling
	for _, s := range all.Sentences {
		out.words = append(out.words, s.Words)
	}
	if all.First != nil {
		out.words = append(out.words, all.First.Words)
	}
	var tree any
	d := json.NewDecoder(strings.NewReader(body))
	d.UseNumber()
	require.NoError(t, d.Decode(&tree))
	gains := []string{"gained", "running", "total", "per_round"}
	var walk func(key string, v any)
	walk = func(key string, v any) {
		switch v := v.(type) {
		case map[string]any:
			for k, x := range v {
				walk(k, x)
			}
		case []any:
			for _, x := range v {
				walk(key, x)
			}
		case json.Number:
			if slices.Contains(gains, key) && manyDigits.MatchString(v.String()) {
				out.figures = append(out.figures, v.String())
			}
		}
	}
	walk("", tree)
	slices.Sort(out.figures)
	out.figures = slices.Compact(out.figures)
	for _, k := range []string{
		"sentences", "phases", "areas", "patterns", "baseline", "classic", "plan", "plan_basis", "gained", "per_round", "across", "field_gained",
		"square", "routine", "worst", "putting", "bias_angle", "spread_angle",
	} {
		out.keys = append(out.keys, fmt.Sprintf("%q:", k))
		require.Contains(t, body, out.keys[len(out.keys)-1], "a review has it")
	}
	require.Len(t, all.Sentences, 3)
	require.Greater(t, len(out.figures), 50)
	return out
}

// history reports whether a route shows several rounds, which have figures of their
// own: there nothing of this one may be among them.
func history(route string) bool {
	return strings.HasSuffix(route, "/players/:player/review") || route == "GET /coach"
}

// leaks lists what an answer says of the review of a card.
func (x telling) leaks(s said, card string) (out []string) {
	text := plain(s.body)
	for _, w := range x.words {
		if strings.Contains(text, w) {
			out = append(out, w)
		}
	}
	for _, f := range x.figures {
		if strings.Contains(s.body, f) {
			out = append(out, f)
		}
	}
	if history(s.route) {
		if strings.Contains(s.body, card) && strings.HasPrefix(s.path, api.Root) {
			out = append(out, "the card among the rounds")
		}
		return out
	}
	if strings.HasPrefix(s.path, api.Root) && !strings.HasSuffix(s.path, "/openapi.yaml") {
		for _, k := range x.keys {
			if strings.Contains(s.body, k) {
				out = append(out, k)
			}
		}
	}
	for _, w := range []string{"strokes gained", "Strokes gained", "Practise first", "practise first"} {
		if strings.Contains(text, w) && !strings.HasSuffix(s.path, "/openapi.yaml") {
			out = append(out, w)
		}
	}
	return out
}

// plain is a page's text as its source has it, entities and typographic signs set
// back.
func plain(page string) string {
	return strings.NewReplacer("&#39;", "'", "&#34;", `"`, "&amp;", "&", "&#43;", "+").Replace(page)
}

// Until the card is returned nothing that interprets its strokes leaves the server, by
// any route, for anybody (Rules of Golf 4.3a); after a reopening neither.
func TestNothingInterpretsARoundThatIsPlayed(t *testing.T) {
	t.Parallel()
	ctx := context.Background()
	m := medal(t, 4)
	for i, pair := range m.season(6, func(round, player, hole int) int { return (round + player + hole) % 2 }) {
		m.logged(pair[0], 0.011+float64(i)/10)
	}
	m.open()
	m.play(func(entry int) int { return map[bool]int{true: 0, false: 18}[entry == 0] })
	card := m.card(0)
	who := m.askers(card, m.card(1))
	m.settle(m.logged(card, 0.029))
	m.settle(m.signs(card))
	player, coach := who[1], who[4]

	before := m.everything(reads, card, who)
	for _, a := range who {
		r, body := m.ask(a, http.MethodGet, api.Root+"/cards/"+card+"/review", "")
		switch a.name {
		case "player", "coach":
			require.Equal(t, http.StatusConflict, r.StatusCode, a.name)
			require.Contains(t, body, `"code":"withheld"`)
			require.Contains(t, body, "Rules of Golf 4.3a")
		case "nobody":
			require.Equal(t, http.StatusUnauthorized, r.StatusCode)
		default:
			require.Equal(t, http.StatusForbidden, r.StatusCode, a.name)
		}
	}
	clubBefore := m.clubSource(player)

	done, err := m.commands.Return(ctx, as(events.RolePlayer, card), card)
	require.NoError(t, err)
	m.settle(done)
	r, review := m.ask(player, http.MethodGet, api.Root+"/cards/"+card+"/review", "")
	require.Equal(t, http.StatusOK, r.StatusCode, review)
	require.Equal(t, "no-store", r.Header.Get("Cache-Control"))
	tells := tellingOf(t, review)
	_, again := m.ask(coach, http.MethodGet, api.Root+"/cards/"+card+"/review", "")
	require.Equal(t, review, again, "the coach reads the same")
	_, history := m.ask(coach, http.MethodGet, api.Root+"/players/"+m.players[0]+"/review", "")
	require.Contains(t, history, card)
	require.NotEqual(t, clubBefore, m.clubSource(player), "the club's baseline rests on it now")
	_, page := m.ask(player, http.MethodGet, "/cards/"+card+"/review", "")
	for _, w := range tells.words {
		require.Contains(t, plain(page), w)
	}
	for _, a := range who {
		if a == player || a == coach {
			continue
		}
		for _, at := range []string{api.Root + "/cards/" + card + "/review", "/cards/" + card + "/review", api.Root + "/players/" + m.players[0] + "/review", "/players/" + m.players[0] + "/review"} {
			r, body := m.ask(a, http.MethodGet, at, "")
			require.Contains(t, []int{http.StatusUnauthorized, http.StatusForbidden}, r.StatusCode, "%s as %s", at, a.name)
			require.Empty(t, tells.leaks(said{"", at, a.name, body, r.StatusCode}, card), "%s as %s", at, a.name)
		}
	}

	for _, s := range before {
		require.Empty(t, tells.leaks(s, card), "before the return: %s as %s", s.path, s.by)
	}
	done, err = m.commands.Reopen(ctx, by(), card, "the sums are to be looked at")
	require.NoError(t, err)
	for _, s := range m.everything(reads, card, who) { // without waiting for the read models
		require.Empty(t, tells.leaks(s, card), "reopened: %s as %s", s.path, s.by)
	}
	m.settle(done)
	require.Equal(t, clubBefore, m.clubSource(player), "the club's baseline rests on it no more")

	// Whatever else is asked for, in whatever way, answers nothing of it either.
	for _, s := range m.everything(writes, card, who) {
		assert.Empty(t, tells.leaks(s, card), "%s as %s", s.route, s.by)
	}
	r, _ = m.ask(player, http.MethodGet, api.Root+"/cards/"+card+"/review", "")
	require.Equal(t, http.StatusConflict, r.StatusCode, "no write of the loop above has returned the card")
}

// clubSource is what the club's baseline rests on, as a review of earlier rounds says.
func (m *morning) clubSource(a asker) string {
	m.t.Helper()
	r, body := m.ask(a, http.MethodGet, api.Root+"/players/"+m.players[0]+"/review?baseline=club", "")
	require.Equal(m.t, http.StatusOK, r.StatusCode, body)
	var out struct{ Baseline struct{ Name, Source string } }
	require.NoError(m.t, json.Unmarshal([]byte(body), &out))
	require.Equal(m.t, api.BaselineClub, out.Baseline.Name)
	require.NotEmpty(m.t, out.Baseline.Source)
	return out.Baseline.Source
}
