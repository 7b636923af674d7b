package api_test

import (
	"net/http"
	"regexp"
	"sort"
	"strings"
	"testing"

	"github.com/labstack/echo/v4"
	"github.com/stretchr/testify/require"

	"marram.example/api/apitest"
)

var parameter = regexp.MustCompile(`:(\w+)`)

// Every route is described and every description has its route.
func TestRoutesAreTheContract(t *testing.T) {
	t.Parallel()
	e := echo.New()
	s := apitest.MustServe(t)
	s.API.Register(e)
	var routes, described []string
	for _, r := range e.Routes() {
		routes = append(routes, r.Method+" "+parameter.ReplaceAllString(r.Path, "{$1}"))
	}
	for path, item := range s.Spec.Paths.Map() {
		for method, op := range item.Operations() {
			described = append(described, method+" "+path)
			require.NotEmpty(t, op.Summary, "%s %s", method, path)
			require.NotEmpty(t, op.Description, "%s %s", method, path)
			require.NotEmpty(t, op.OperationID, "%s %s", method, path)
		}
	}
	sort.Strings(routes)
	sort.Strings(described)
	require.Equal(t, described, routes)
}

// The contract is served as it is embedded, and everything in it is described.
func TestDescription(t *testing.T) {
	t.Parallel()
	s := apitest.MustServe(t)
	a := s.Anonymous().Get(t, "/openapi.yaml").Must(t, http.StatusOK)
	require.True(t, strings.HasPrefix(string(a.Body), "openapi: 3.1.0\n"))
	for name, p := range s.Spec.Components.Parameters {
		require.NotEmpty(t, p.Value.Description, "parameter %s", name)
	}
	for name, h := range s.Spec.Components.Headers {
		require.NotEmpty(t, h.Value.Description, "header %s", name)
	}
	for name, r := range s.Spec.Components.Responses {
		require.NotEmpty(t, *r.Value.Description, "response %s", name)
	}
}

// One Saturday through the API; every request and answer keeps to the contract.
func TestSaturday(t *testing.T) {
	t.Parallel()
	s := apitest.MustServe(t)
	c := s.Committee(t)
	m := apitest.MustOpenRound(t, c)
	comp := "/competitions/" + m.Competition

	player := s.Bearer(apitest.MustLink(t, c, m.Cards[0], "player"))
	marker := s.Bearer(apitest.MustLink(t, c, m.Cards[0], "marker"))
	player.Post(t, "/cards/"+m.Cards[0]+"/scores", map[string]any{"hole": 1, "strokes": 4}).Must(t, http.StatusCreated)
	w := marker.Post(t, "/cards/"+m.Cards[0]+"/scores", map[string]any{"hole": 1, "strokes": 5}).Must(t, http.StatusCreated).Written(t)

	anybody := s.Anonymous()
	for _, path := range []string{
		"/competitions", comp, comp + "/entries", comp + "/entries/" + m.Entries[0], comp + "/draw", comp + "/board", "/courses",
		"/courses/" + m.Course, comp + "/terms/preset?format=stableford", "/cards/" + m.Cards[0], "/cards/" + m.Cards[0] + "/figures",
		"/cards/" + m.Cards[0] + "/events",
	} {
		anybody.Get(t, path).Must(t, http.StatusOK)
		c.Get(t, path).Must(t, http.StatusOK)
		player.Get(t, path).Must(t, http.StatusOK)
	}
	for _, path := range []string{"/players", "/players/" + m.Players[0], comp + "/cards", comp + "/attention", comp + "/result"} {
		c.Get(t, path).Must(t, http.StatusOK)
	}
	_ = w
}
