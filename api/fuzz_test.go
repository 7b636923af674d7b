package api_test

import (
	"bytes"
	"net/http"
	"net/http/httptest"
	"strings"
	"testing"

	"github.com/google/uuid"
	"github.com/labstack/echo/v4"
	"github.com/stretchr/testify/require"

	"marram.example/api"
	"marram.example/api/apitest"
)

// Whatever is sent to a write route by somebody who may write there, the answer
// is never a 5xx, and a refusal is problem details.
func FuzzWrites(f *testing.F) {
	s := apitest.MustServe(f)
	c := s.Committee(f)
	m := apitest.MustOpenRound(f, c)
	e := echo.New()
	s.API.Register(e)
	var routes [][2]string
	fill := strings.NewReplacer(":course", m.Course, ":player", m.Players[0], ":competition", m.Competition, ":entry", m.Entries[0],
		":card", m.Cards[0], ":role", "player", ":kind", "cards")
	for _, r := range e.Routes() {
		if r.Method != http.MethodGet && !strings.Contains(r.Path, "/sessions") {
			routes = append(routes, [2]string{r.Method, fill.Replace(r.Path)})
		}
	}
	for i, seed := range []string{
		`{"hole":1,"strokes":4}`, `{"scores":[{"strokes":4},{"none":"picked_up"}],"signed":true}`, `{"name":"x","date":"2031-05-03"}`,
		`{"method":"by_hand","groups":[{"number":1,"time":"08:00","starting_hole":1,"letter":"A","places":[{"entry_id":"e","marker_id":""}]}]}`,
		`{"ranking":"net","entry_ids":["a","b"],"method":"lot","reason":"\u0000"}`, `{"index_tenths":-9223372036854775808,"effective":"2031-05-01"}`,
		`{"name":"\ud800","member_no":"1","index_tenths":1e3}`, `{"holes":[1e9],"tees":["White"],"start":{"kind":"shotgun","group_size":9223372036854775807}}`,
		`null`, `[]`, `""`, `{`, ``, `{"reason":"` + strings.Repeat("\\u0001", 300) + `"}`, `{"tees":[{"tee":"White","holes":[{"number":1}]}],"name":"y"}`,
		`{"missing_as":"NR"}`, `{"group":-1,"entry_id":"` + m.Entries[0] + `"}`, `{"seed":18446744073709551615,"method":"random"}`,
	} {
		for route := range routes {
			f.Add(uint8(route), []byte(seed), i%2 == 0)
		}
	}
	f.Fuzz(func(t *testing.T, route uint8, body []byte, once bool) {
		to := routes[int(route)%len(routes)]
		r := httptest.NewRequest(to[0], to[1], bytes.NewReader(body))
		r.Header.Set("Content-Type", "application/json")
		if strings.Contains(to[1], "/imports/") {
			r.Header.Set("Content-Type", "text/csv")
			r.URL.RawQuery = "competition=" + m.Competition
		}
		r.Header.Set("Authorization", "Bearer "+c.Token())
		key := uuid.NewString()
		if once {
			key = "the-same-key"
		}
		r.Header.Set(api.HeaderIdempotencyKey, key)
		w := httptest.NewRecorder()
		e.ServeHTTP(w, r)
		require.Less(t, w.Code, http.StatusInternalServerError, "%s %s %q: %s", to[0], to[1], body, w.Body)
		if w.Code >= http.StatusBadRequest {
			require.Equal(t, api.ContentTypeProblem, w.Header().Get("Content-Type"))
		}
	})
}
