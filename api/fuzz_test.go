package api_test

import (
	"bytes"
	"encoding/json"
	"maps"
	"net/http"
	"net/http/httptest"
	"slices"
	"strings"
	"testing"

	"github.com/google/uuid"
	"github.com/labstack/echo/v4"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

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
	routes := writeRoutes(e, m)
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
		key := uuid.NewString()
		if once {
			key = "the-same-key"
		}
		never5xx(t, e, c, m, routes[int(route)%len(routes)], body, key)
	})
}

// The same with bodies that look like ours: known names with values of any kind.
func TestPlausibleWrites(t *testing.T) {
	t.Parallel()
	s := apitest.MustServe(t)
	c := s.Committee(t)
	m := apitest.MustOpenRound(t, c)
	e := echo.New()
	s.API.Register(e)
	routes := writeRoutes(e, m)
	names := map[string]bool{}
	for _, schema := range s.Spec.Components.Schemas {
		for name := range schema.Value.Properties {
			names[name] = true
		}
	}
	known := rapid.SampledFrom(slices.Sorted(maps.Keys(names)))
	leaf := rapid.OneOf(
		rapid.Just[any](nil), rapid.Map(rapid.Bool(), toAny[bool]), rapid.Map(rapid.Int(), toAny[int]), rapid.Map(rapid.IntRange(-2, 20), toAny[int]),
		rapid.Map(rapid.String(), toAny[string]), rapid.Map(rapid.SampledFrom([]string{
			"White", "net", "gross", "stroke_play", "stableford", "countback", "exact_fraction", "one_tee", "shotgun", "08:00", "2031-05-03", "NR", "in_play",
			"by_hand", "random", "lot", "player", "marker", "normal", "official", m.Course, m.Players[0], m.Entries[0], m.Entries[1], "name", "",
		}), toAny[string]),
	)
	value := rapid.Deferred(func() *rapid.Generator[any] { return leaf })
	for range 3 { // levels of lists and objects
		inner := value
		value = rapid.OneOf(leaf, rapid.Map(rapid.SliceOfN(inner, 0, 4), toAny[[]any]), rapid.Map(rapid.MapOfN(known, inner, 0, 6), toAny[map[string]any]))
	}
	rapid.Check(t, func(r *rapid.T) {
		body, err := json.Marshal(rapid.MapOfN(known, value, 0, 12).Draw(r, "body"))
		require.NoError(t, err)
		never5xx(r, e, c, m, rapid.SampledFrom(routes).Draw(r, "route"), body, uuid.NewString())
	})
}

func toAny[T any](v T) any { return v }

// writeRoutes are method and address of every write.
func writeRoutes(e *echo.Echo, m apitest.Morning) (routes [][2]string) {
	fill := strings.NewReplacer(":course", m.Course, ":player", m.Players[0], ":competition", m.Competition, ":entry", m.Entries[0],
		":card", m.Cards[0], ":role", "player", ":kind", "cards", ":stroke", "none", ":hole", "3", ":share", "none", ":note", "none")
	for _, r := range e.Routes() {
		if r.Method != http.MethodGet && !strings.Contains(r.Path, "/sessions") {
			routes = append(routes, [2]string{r.Method, fill.Replace(r.Path)})
		}
	}
	slices.SortFunc(routes, func(a, b [2]string) int { return strings.Compare(a[1]+a[0], b[1]+b[0]) })
	return routes
}

func never5xx(t require.TestingT, e *echo.Echo, c *apitest.Client, m apitest.Morning, to [2]string, body []byte, key string) {
	r := httptest.NewRequest(to[0], to[1], bytes.NewReader(body))
	r.Header.Set("Content-Type", "application/json")
	if strings.Contains(to[1], "/imports/") || strings.HasSuffix(to[1], ".csv") {
		r.Header.Set("Content-Type", "text/csv")
		r.URL.RawQuery = "competition=" + m.Competition
	}
	r.Header.Set("Authorization", "Bearer "+c.Token())
	r.Header.Set(api.HeaderIdempotencyKey, key)
	w := httptest.NewRecorder()
	e.ServeHTTP(w, r)
	require.Less(t, w.Code, http.StatusInternalServerError, "%s %s %q: %s", to[0], to[1], body, w.Body)
	if w.Code >= http.StatusBadRequest {
		require.Equal(t, api.ContentTypeProblem, w.Header().Get("Content-Type"))
	}
}
