package api_test

import (
	"bufio"
	"context"
	"encoding/csv"
	"encoding/json"
	"errors"
	"fmt"
	"net/http"
	"net/http/httptest"
	"net/netip"
	"strconv"
	"strings"
	"testing"
	"time"

	"github.com/labstack/echo/v4"
	"github.com/stretchr/testify/require"

	"marram.example/api"
	"marram.example/api/apitest"
	"marram.example/events"
	"marram.example/projections/board"
	"marram.example/projections/store"
	"marram.example/projections/store/storetest"
)

func TestSignIn(t *testing.T) {
	t.Parallel()
	s := apitest.MustServe(t)
	c := s.Committee(t)
	a := s.Anonymous()
	for range 10 {
		p := a.Post(t, "/sessions", api.NewSession{Name: "secretary", Password: "wrong password"}).Must(t, http.StatusUnauthorized)
		require.Equal(t, "bad_credentials", p.Problem(t).Code)
		require.NotEmpty(t, p.Header.Get("WWW-Authenticate"))
	}
	// The secretary signed in from this address before, so it is another name that runs out.
	for range 10 {
		a.Post(t, "/sessions", api.NewSession{Name: "captain", Password: "wrong password"}).Must(t, http.StatusUnauthorized)
	}
	p := a.Post(t, "/sessions", api.NewSession{Name: "captain", Password: "wrong password"}).Must(t, http.StatusTooManyRequests)
	wait, err := strconv.Atoi(p.Header.Get("Retry-After"))
	require.NoError(t, err)
	require.True(t, wait >= 1 && wait <= 30, "%d s", wait) // one more try every 30 s, since the first of these
	require.Equal(t, "too_many_tries", p.Problem(t).Code)

	c.Get(t, "/players").Must(t, http.StatusOK)
	c.Do(t, http.MethodDelete, "/sessions/current", nil).Must(t, http.StatusNoContent)
	c.Get(t, "/players").Must(t, http.StatusUnauthorized)
	require.NotContains(t, s.Lines.String(), apitest.Password)
	require.NotContains(t, s.Lines.String(), c.Token())
}

// A write is seen by a query that names its position, on both databases.
func TestReadYourWrite(t *testing.T) {
	t.Parallel()
	storetest.Each(t, func(t *testing.T, st *store.Store) {
		s := apitest.MustServe(t, apitest.On(st.Dialect()))
		c := s.Committee(t)
		for i := range 5 {
			body := map[string]any{"member_no": fmt.Sprint(i), "name": fmt.Sprintf("Invented %c", 'A'+i)}
			w := c.Post(t, "/players", body).Must(t, http.StatusCreated)
			require.Equal(t, fmt.Sprintf("/api/v1/players/%s", w.Written(t).ID), w.Header.Get("Location"))
			var p api.Player
			got := c.Get(t, fmt.Sprintf("/players/%s?min_sequence=%d", w.Written(t).ID, w.Written(t).Position)).Must(t, http.StatusOK)
			got.JSON(t, &p)
			require.Equal(t, w.Header.Get("ETag"), got.Header.Get("ETag"))
			require.Equal(t, body["name"], p.Name)
		}
		var names []string
		next := ""
		for {
			var page api.Page[api.Player]
			c.Get(t, "/players?limit=2&cursor="+next).Must(t, http.StatusOK).JSON(t, &page)
			for _, p := range page.Items {
				names = append(names, p.Name)
			}
			if next = page.Next; next == "" {
				break
			}
			require.Len(t, page.Items, 2)
		}
		require.Equal(t, []string{"Invented A", "Invented B", "Invented C", "Invented D", "Invented E"}, names)
	})
}

func TestBehind(t *testing.T) {
	t.Parallel()
	s := apitest.MustServe(t, apitest.WithAPI(func(o *api.Options) { o.Patience = 50 * time.Millisecond }))
	a := s.Anonymous().Get(t, "/courses?min_sequence=1000000").Must(t, http.StatusServiceUnavailable)
	require.Equal(t, "read_models_behind", a.Problem(t).Code)
	require.NotEmpty(t, a.Header.Get("Retry-After"))
}

// A read store that is gone takes lists and names away and nothing else.
func TestReadStoreGone(t *testing.T) {
	t.Parallel()
	s := apitest.MustServe(t)
	c := s.Committee(t)
	m := apitest.MustOpenRound(t, c)
	require.NoError(t, s.Store.Close())
	require.Equal(t, "read_store_unavailable", c.Get(t, "/players").Must(t, http.StatusServiceUnavailable).Problem(t).Code)
	c.Post(t, "/cards/"+m.Cards[0]+"/scores", map[string]any{"hole": 1, "strokes": 4}).Must(t, http.StatusCreated)
	c.Get(t, "/cards/"+m.Cards[0]).Must(t, http.StatusOK)
	s.Anonymous().Get(t, "/competitions/"+m.Competition+"/board").Must(t, http.StatusOK)
	var h api.Health
	s.Anonymous().Get(t, "//readyz").Must(t, http.StatusOK).JSON(t, &h)
	require.Contains(t, h.Checks, api.Check{Name: "read_store"}, "it is said, and no score is sent elsewhere for it")
	s.Anonymous().Get(t, "//livez").Must(t, http.StatusOK)
}

func TestVersions(t *testing.T) {
	t.Parallel()
	s := apitest.MustServe(t)
	c := s.Committee(t)
	m := apitest.MustDraw(t, c)
	comp := "/competitions/" + m.Competition
	tag := c.Get(t, comp).Must(t, http.StatusOK).Header.Get("ETag")
	c.Get(t, comp, apitest.Header("If-None-Match", tag)).Must(t, http.StatusNotModified)
	c.Put(t, comp, map[string]any{"name": "Sunday Medal", "date": "2031-05-04"}, apitest.Header("If-Match", tag)).Must(t, http.StatusOK)
	p := c.Put(t, comp, map[string]any{"name": "Monday Medal", "date": "2031-05-05"}, apitest.Header("If-Match", tag)).Must(t, http.StatusPreconditionFailed)
	require.Equal(t, "stale_sequence", p.Problem(t).Code)
	c.Get(t, comp, apitest.Header("If-None-Match", tag)).Must(t, http.StatusOK)
}

// The result as JSON and as a table that no spreadsheet takes for formulas.
func TestResult(t *testing.T) {
	t.Parallel()
	s := apitest.MustServe(t)
	c := s.Committee(t)
	m := apitest.MustDraw(t, c)
	c.Post(t, "/players", map[string]any{"member_no": "0100", "name": `=HYPERLINK("x";"y")`}).Must(t, http.StatusCreated)
	comp := "/competitions/" + m.Competition
	c.Do(t, http.MethodPatch, comp+"/entries/"+m.Entries[0], map[string]any{"index_tenths": -23}).Must(t, http.StatusOK)
	c.Post(t, comp+"/round/opening", nil).Must(t, http.StatusOK)
	for _, e := range m.Entries {
		m.Cards = append(m.Cards, m.Competition+"-"+e+"-1")
	}
	apitest.MustHandIn(t, c, m)
	c.Post(t, comp+"/round/closing", nil).Must(t, http.StatusOK)
	s.Anonymous().Get(t, comp+"/result").Must(t, http.StatusNotFound)
	var before, after api.Result
	c.Get(t, comp+"/result").Must(t, http.StatusOK).JSON(t, &before)
	require.True(t, before.Provisional)
	w := c.Post(t, comp+"/result", nil).Must(t, http.StatusCreated).Written(t)
	seen := fmt.Sprintf("?min_sequence=%d", w.Position)
	s.Anonymous().Get(t, comp+"/result"+seen).Must(t, http.StatusOK).JSON(t, &after)
	require.False(t, after.Provisional)
	require.NotNil(t, after.PublishedAt)
	require.Equal(t, before.Rows, after.Rows)
	require.Equal(t, "1", after.Rows[0].Positions["net"])

	rows, err := csv.NewReader(strings.NewReader(string(c.Get(t, comp+"/result.csv"+seen).Must(t, http.StatusOK).Body))).ReadAll()
	require.NoError(t, err)
	require.Len(t, rows, 5)
	byName := map[string]map[string]string{}
	for _, row := range rows[1:] {
		line := map[string]string{}
		for i, heading := range rows[0] {
			line[heading] = row[i]
		}
		byName[line["name"]] = line
	}
	first := byName[`'=HYPERLINK("x";"y")`]
	require.NotNil(t, first, "%v", byName)
	require.Equal(t, "-2.3", first["handicap_index"], "a plus handicap stays a number")
	require.Equal(t, "2031-05-03", first["date"])
	require.Equal(t, "72", first["gross"])
}

// Names are only as public as the terms say, also in the table of a result.
func TestCells(t *testing.T) {
	t.Parallel()
	for text, want := range map[string]string{"=1+1": "'=1+1", "+49": "'+49", "-x": "'-x", "@a": "'@a", "\ta": "'\ta", "Zoë": "Zoë", "": ""} {
		body, err := api.ResultTable(api.Result{Name: text, Date: "2031-05-03", Rows: []api.ResultRow{{Name: text}}})
		require.NoError(t, err)
		rows, err := csv.NewReader(strings.NewReader(string(body))).ReadAll()
		require.NoError(t, err)
		require.Equal(t, []string{want, want}, []string{rows[1][0], rows[1][3]})
	}
}

func TestBoardOfAnyMoment(t *testing.T) {
	t.Parallel()
	s := apitest.MustServe(t)
	c := s.Committee(t)
	m := apitest.MustOpenRound(t, c)
	at := s.Position(t)
	w := c.Post(t, "/cards/"+m.Cards[0]+"/scores", map[string]any{"hole": 1, "strokes": 4}).Must(t, http.StatusCreated).Written(t)
	var now, then board.Board
	path := "/competitions/" + m.Competition + "/board"
	s.Anonymous().Get(t, fmt.Sprintf("%s?min_sequence=%d", path, w.Position)).Must(t, http.StatusOK).JSON(t, &now)
	s.Anonymous().Get(t, fmt.Sprintf("%s?as_of=%d", path, at)).Must(t, http.StatusOK).JSON(t, &then)
	mine, _ := now.Row(m.Entries[0])
	require.Equal(t, 1, mine.Thru)
	mine, _ = then.Row(m.Entries[0])
	require.Zero(t, mine.Thru)
}

// The stream begins with the whole board and goes on with what changes.
func TestStream(t *testing.T) {
	t.Parallel()
	s := apitest.MustServe(t)
	c := s.Committee(t)
	m := apitest.MustOpenRound(t, c)
	ctx, cancel := context.WithTimeout(t.Context(), 30*time.Second)
	defer cancel()
	r, err := http.NewRequestWithContext(ctx, http.MethodGet, s.URL+api.Root+"/competitions/"+m.Competition+"/board/stream", nil)
	require.NoError(t, err)
	resp, err := http.DefaultClient.Do(r)
	require.NoError(t, err)
	defer func() { _ = resp.Body.Close() }()
	require.Equal(t, http.StatusOK, resp.StatusCode)
	require.Equal(t, "text/event-stream", resp.Header.Get("Content-Type"))
	lines := bufio.NewScanner(resp.Body)
	lines.Buffer(nil, 1<<20)
	await := func(want string) {
		t.Helper()
		for lines.Scan() {
			if lines.Text() == want {
				return
			}
		}
		require.NoError(t, lines.Err(), "waiting for %q", want)
	}
	await("event: board")
	c.Post(t, "/cards/"+m.Cards[0]+"/scores", map[string]any{"hole": 1, "strokes": 4}).Must(t, http.StatusCreated)
	await("event: patch")
}

func TestHealth(t *testing.T) {
	t.Parallel()
	s := apitest.MustServe(t)
	a := s.Anonymous()
	require.Eventually(t, func() bool { return a.Get(t, "//readyz").Status == http.StatusOK }, 20*time.Second, 20*time.Millisecond)
	var h api.Health
	a.Get(t, "//readyz").JSON(t, &h)
	require.Len(t, h.Checks, 4)
	a.Get(t, "//livez").Must(t, http.StatusOK)
	s.Committee(t).Post(t, "/courses", course("Low Marsh (invented)")).Must(t, http.StatusCreated)
	a.Get(t, "/cards/secret-card-1", apitest.Bad()).Must(t, http.StatusNotFound)
	text := string(a.Get(t, "//metrics").Must(t, http.StatusOK).Body)
	for _, want := range []string{
		`marram_http_request_duration_seconds_count{method="GET",route="/api/v1/cards/:card",status="404"} 1`,
		"marram_log_append_duration_seconds_count 1", "marram_log_group_commands", "marram_projection_lag_events", "marram_boards_open 0",
	} {
		require.Contains(t, text, want)
	}
	require.NotContains(t, text, "secret-card")
	a.Post(t, "/courses", course("x")).Must(t, http.StatusUnauthorized)
	require.Contains(t, string(a.Get(t, "//metrics").Body), `marram_commands_refused_total{code="forbidden"} 1`)
}

// Every answer carries the headers, and the lines of the log hold templates only.
func TestHeadersAndLines(t *testing.T) {
	t.Parallel()
	s := apitest.MustServe(t, apitest.WithAPI(func(o *api.Options) { o.Secure = true }))
	c := s.Committee(t)
	m := apitest.MustOpenRound(t, c)
	token := apitest.MustLink(t, c, m.Cards[0], events.RolePlayer)
	for _, a := range []apitest.Answer{
		s.Anonymous().Get(t, "/courses", apitest.Header(api.HeaderCorrelation, "round-7")).Must(t, http.StatusOK),
		s.Anonymous().Get(t, "//c/"+token, apitest.Bad(), apitest.Header(api.HeaderCorrelation, "round-7")).Must(t, http.StatusNotFound),
	} {
		require.Equal(t, "round-7", a.Header.Get(api.HeaderCorrelation))
		require.Equal(t, "nosniff", a.Header.Get("X-Content-Type-Options"))
		require.Contains(t, a.Header.Get("Content-Security-Policy"), "default-src 'none'; script-src 'self'")
		require.Equal(t, "same-origin", a.Header.Get("Referrer-Policy"))
		require.NotEmpty(t, a.Header.Get("Strict-Transport-Security"))
	}
	odd := s.Anonymous().Get(t, "/courses", apitest.Bad(), apitest.Header(api.HeaderCorrelation, "a b\tc"))
	require.NotContains(t, odd.Header.Get(api.HeaderCorrelation), " ")
	s.Bearer(token).Post(t, "/cards/"+m.Cards[0]+"/scores", map[string]any{"hole": 1, "strokes": 4}).Must(t, http.StatusCreated)
	require.NotContains(t, s.Lines.String(), token)
	require.NotContains(t, s.Lines.String(), "Sandvoort")
	var line struct {
		Msg, Method, Route, Role, Correlation string
		Status                                int
	}
	var last string
	for l := range strings.Lines(s.Lines.String()) {
		if strings.Contains(l, `"request"`) {
			last = l
		}
	}
	require.NoError(t, json.Unmarshal([]byte(last), &line))
	require.Equal(t, "POST /api/v1/cards/:card/scores player 201", fmt.Sprint(line.Method, " ", line.Route, " ", line.Role, " ", line.Status))
	require.NotEmpty(t, line.Correlation)
}

// An error that nobody foresaw says nothing but its id, and that id is in the log.
func TestUnknownError(t *testing.T) {
	t.Parallel()
	s := apitest.MustServe(t)
	e := echo.New()
	s.API.Register(e)
	e.GET("/broken", func(echo.Context) error { return errors.New("the password is swordfish") })
	e.GET("/panics", func(echo.Context) error { panic("swordfish") })
	for _, path := range []string{"/broken", "/panics"} {
		w := httptest.NewRecorder()
		e.ServeHTTP(w, httptest.NewRequest(http.MethodGet, path, nil))
		require.Equal(t, http.StatusInternalServerError, w.Code)
		require.NotContains(t, w.Body.String(), "swordfish")
		var p api.Problem
		require.NoError(t, json.Unmarshal(w.Body.Bytes(), &p))
		require.Equal(t, "internal", p.Code)
		require.Contains(t, s.Lines.String(), p.CorrelationID)
	}
	require.Contains(t, s.Lines.String(), "swordfish")
}

// The log going away is a 503 that says to try again, and never a refusal that
// would make a phone give its scores up.
func TestLogGone(t *testing.T) {
	t.Parallel()
	s := apitest.MustServe(t)
	c := s.Committee(t)
	m := apitest.MustOpenRound(t, c)
	player := s.Bearer(apitest.MustLink(t, c, m.Cards[0], events.RolePlayer))
	require.NoError(t, s.Log.Close())
	a := player.Post(t, "/cards/"+m.Cards[0]+"/scores", map[string]any{"hole": 1, "strokes": 4}).Must(t, http.StatusServiceUnavailable)
	require.Equal(t, "log_unavailable", a.Problem(t).Code)
	require.NotEmpty(t, a.Header.Get("Retry-After"))
}

// Whom a request comes from is not for the client to say, unless it comes
// through a proxy that is trusted by name.
func TestClientAddress(t *testing.T) {
	t.Parallel()
	for _, k := range []struct{ proxy, peer, want string }{
		{"", "192.0.2.1", "192.0.2.1"}, {"", "127.0.0.1", "127.0.0.1"}, {"198.51.100.0/24", "192.0.2.1", "192.0.2.1"},
		{"192.0.2.0/24", "192.0.2.1", "203.0.113.9"}, {"10.0.0.0/8", "127.0.0.1", "127.0.0.1"},
	} {
		s := apitest.MustServe(t, apitest.WithAPI(func(o *api.Options) {
			if k.proxy != "" {
				o.TrustedProxies = []netip.Prefix{netip.MustParsePrefix(k.proxy)}
			}
		}))
		e := echo.New()
		s.API.Register(e)
		r := httptest.NewRequest(http.MethodGet, "/", nil)
		r.RemoteAddr = k.peer + ":4711"
		r.Header.Set("X-Forwarded-For", "203.0.113.9")
		r.Header.Set("X-Real-IP", "203.0.113.9")
		require.Equal(t, k.want, e.NewContext(r, nil).RealIP(), "%+v", k)
	}
}

func TestImport(t *testing.T) {
	t.Parallel()
	s := apitest.MustServe(t)
	c := s.Committee(t)
	table := "member_no,name,handicap_index,index_date\n1042,Imke Sandvoort,12.4,2031-05-01\n1043,Olaf Dyke,+1.2,2031-05-01\n"
	before := s.Position(t)
	var in api.Imported
	c.Post(t, "/imports/players?dry_run=true", nil, apitest.Raw("text/csv", table)).Must(t, http.StatusOK).JSON(t, &in)
	require.Equal(t, 2, in.Added)
	require.Equal(t, before, s.Position(t))
	c.Post(t, "/imports/players", nil, apitest.Raw("text/csv; charset=utf-8", table)).Must(t, http.StatusOK).JSON(t, &in)
	require.Equal(t, 2, in.Added)
	require.Positive(t, in.Position)
	after := s.Position(t)
	c.Post(t, "/imports/players", nil, apitest.Raw("text/csv", table)).Must(t, http.StatusOK).JSON(t, &in)
	require.Equal(t, 2, in.Unchanged)
	require.Equal(t, after, s.Position(t))
	p := c.Post(t, "/imports/players", nil, apitest.Raw("text/csv", "member_no,name,handicap_index,index_date\n7,,12.4,2031-05-01\n8,X Y,99,2031-05-01\n")).
		Must(t, http.StatusUnprocessableEntity).Problem(t)
	require.Len(t, p.Problems, 2)
	require.Equal(t, []int{2, 3}, []int{p.Problems[0].Row, p.Problems[1].Row})
	require.Equal(t, after, s.Position(t))
}
