package api_test

import (
	"encoding/json"
	"fmt"
	"maps"
	"net/http"
	"slices"
	"strings"
	"testing"

	"github.com/google/uuid"
	"github.com/stretchr/testify/require"

	"marram.example/api"
	"marram.example/api/apitest"
	"marram.example/events"
)

// Who may do what, route by route. Each letter is one asker: nobody, the link of
// the card's player, of its marker, of a card of another competition, the
// committee. y is let through (whatever the rules of the game then say), n is
// refused: 401 to nobody, 403 to somebody. The routes of a card are those of the
// player's card.
func permissions() map[string]string {
	return map[string]string{
		"GET /livez": "yyyyy", "GET /readyz": "yyyyy", "GET /metrics": "yyyyy",
		"GET /api/v1/openapi.yaml": "yyyyy", "DELETE /api/v1/sessions/current": "yyyyy",
		"GET /api/v1/courses": "yyyyy", "GET /api/v1/courses/{course}": "yyyyy",
		"POST /api/v1/courses": "nnnny", "PUT /api/v1/courses/{course}": "nnnny",
		"GET /api/v1/players": "nnnny", "GET /api/v1/players/{player}": "nnnny", "POST /api/v1/players": "nnnny",
		"POST /api/v1/players/{player}/handicap-indexes": "nnnny",
		"POST /api/v1/players/{player}/erasure":          "nnnny", "POST /api/v1/players/{player}/departure": "nnnny",
		"GET /api/v1/courses/{course}/tees/{tee}/stroke-indexes": "nnnny",
		"GET /api/v1/players/{player}/handicap-record":           "nnnny", "GET /api/v1/club/handicap-estimates": "nnnny",
		"PUT /api/v1/club/handicap-estimates": "nnnny", "POST /api/v1/club/expected-scores": "nnnny",
		"POST /api/v1/club/expected-scores/withdrawal": "nnnny",
		"GET /api/v1/competitions":                     "yyyyy", "POST /api/v1/competitions": "nnnny",
		// Of a competition that is not public:
		"GET /api/v1/competitions/{competition}": "nyyny", "PUT /api/v1/competitions/{competition}": "nnnny",
		"PUT /api/v1/competitions/{competition}/terms": "nnnny", "GET /api/v1/competitions/{competition}/terms/preset": "yyyyy",
		"GET /api/v1/competitions/{competition}/entries": "nyyny", "POST /api/v1/competitions/{competition}/entries": "nnnny",
		"GET /api/v1/competitions/{competition}/entries/{entry}":             "nyyny",
		"PATCH /api/v1/competitions/{competition}/entries/{entry}":           "nnnny",
		"POST /api/v1/competitions/{competition}/entries/{entry}/withdrawal": "nnnny",
		"GET /api/v1/competitions/{competition}/draw":                        "nyyny",
		"POST /api/v1/competitions/{competition}/draw":                       "nnnny",
		"POST /api/v1/competitions/{competition}/draw/late":                  "nnnny",
		"POST /api/v1/competitions/{competition}/round/opening":              "nnnny",
		"POST /api/v1/competitions/{competition}/round/suspension":           "nnnny",
		"POST /api/v1/competitions/{competition}/round/resumption":           "nnnny",
		"POST /api/v1/competitions/{competition}/round/closing":              "nnnny",
		"GET /api/v1/competitions/{competition}/cards":                       "nnnny",
		"GET /api/v1/competitions/{competition}/attention":                   "nnnny",
		"GET /api/v1/competitions/{competition}/board":                       "nyyny",
		"GET /api/v1/competitions/{competition}/board/stream":                "n..n.", // let through it does not end: see TestStream
		"POST /api/v1/competitions/{competition}/ties":                       "nnnny",
		"GET /api/v1/competitions/{competition}/result":                      "nyyny",
		"POST /api/v1/competitions/{competition}/result":                     "nnnny",
		"POST /api/v1/competitions/{competition}/result/revision":            "nnnny",
		"GET /api/v1/competitions/{competition}/result.csv":                  "nyyny",
		"GET /api/v1/cards/{card}":                                           "nyyny",
		"POST /api/v1/cards/{card}/scores":                                   "nyyny", "PUT /api/v1/cards/{card}/scores": "nyyny",
		"POST /api/v1/cards/{card}/certification": "nyyny", "POST /api/v1/cards/{card}/return": "nynny",
		"POST /api/v1/cards/{card}/reopening": "nnnny", "POST /api/v1/cards/{card}/ruling": "nnnny",
		"POST /api/v1/cards/{card}/marker": "nnnny", "GET /api/v1/cards/{card}/figures": "nyyny",
		"GET /api/v1/cards/{card}/events": "nyyny", "POST /api/v1/cards/{card}/links/{role}": "nnnny",
		"POST /api/v1/imports/{kind}":                                        "nnnny",
		"GET /api/v1/allowances":                                             "yyyyy",
		"POST /api/v1/competitions/{competition}/cut":                        "nnnny",
		"POST /api/v1/competitions/{competition}/excluded-holes":             "nnnny",
		"POST /api/v1/competitions/{competition}/excluded-holes/restoration": "nnnny",
		"POST /api/v1/competitions/{competition}/playing-conditions":         "nnnny",
		"GET /api/v1/competitions/{competition}/matches":                     "nyyny",
		"GET /api/v1/competitions/{competition}/what-if":                     "nyyny",
		"POST /api/v1/cards/{card}/penalties":                                "nnnny",
		"POST /api/v1/cards/{card}/penalties/{penalty}/removal":              "nnnny",
		"POST /api/v1/cards/{card}/actual-score":                             "nnnny",
		// See also TestWhoseStrokes.
		"GET /api/v1/cards/{card}/strokes": "nynnn", "POST /api/v1/cards/{card}/strokes": "nynny",
		"PUT /api/v1/cards/{card}/strokes/{stroke}": "nynny", "DELETE /api/v1/cards/{card}/strokes/{stroke}": "nynny",
		"PUT /api/v1/cards/{card}/strokes/holes/{hole}": "nynny",
		"GET /api/v1/cards/{card}/strokes.csv":          "nynnn", "POST /api/v1/cards/{card}/strokes.csv": "nynny",
		"GET /api/v1/cards/{card}/review":     "nynyn", // the other card is the same player's
		"GET /api/v1/players/{player}/review": "nnnnn",
		"GET /api/v1/cards/{card}/shares":     "nynnn", "POST /api/v1/cards/{card}/shares": "nynnn",
		"POST /api/v1/cards/{card}/shares/{share}/withdrawal": "nynnn",
		"GET /api/v1/players/{player}/notes":                  "nnnnn", "POST /api/v1/players/{player}/notes": "nnnnn",
		"POST /api/v1/players/{player}/notes/{note}/removal": "nnnnn",
		// Of a match of another competition that is not public; of the own one see TestOneMatch:
		"GET /api/v1/matches/{match}": "nnnny", "GET /api/v1/matches/{match}/figures": "nnnny",
		"POST /api/v1/matches/{match}/holes": "nnnny", "POST /api/v1/matches/{match}/holes/removal": "nnnny",
		"POST /api/v1/matches/{match}/concessions/hole": "nnnny", "POST /api/v1/matches/{match}/concessions/match": "nnnny",
		"POST /api/v1/matches/{match}/result": "nnnny", "POST /api/v1/matches/{match}/ruling": "nnnny",
		"POST /api/v1/matches/{match}/reopening": "nnnny", "POST /api/v1/matches/{match}/links/{entry}": "nnnny",
	}
}

func TestPermissions(t *testing.T) {
	t.Parallel()
	s := apitest.MustServe(t)
	c := s.Committee(t)
	m := apitest.MustOpenRound(t, c, func(terms *events.Terms) { terms.BoardPublic = false })
	other := apitest.MustOpenRound(t, c)
	matches := apitest.MustOpenMatches(t, c, func(terms *events.Terms) { terms.BoardPublic = false })
	askers := []*apitest.Client{
		s.Anonymous(), s.Bearer(apitest.MustLink(t, c, m.Cards[0], events.RolePlayer)), s.Bearer(apitest.MustLink(t, c, m.Cards[0], events.RoleMarker)),
		s.Bearer(apitest.MustLink(t, c, other.Cards[0], events.RolePlayer)), c,
	}
	fill := strings.NewReplacer("{course}", m.Course, "{player}", m.Players[3], "{competition}", m.Competition, "{entry}", m.Entries[3],
		"{card}", m.Cards[0], "{role}", "player", "{kind}", "players", "{tee}", "White", "{match}", matches.IDs[0],
		"{penalty}", "none", "{stroke}", "none", "{hole}", "1", "{share}", "none", "{note}", "none")
	var kept api.Card
	c.Get(t, "/cards/"+m.Cards[0]).Must(t, http.StatusOK).JSON(t, &kept)
	table := permissions()
	for _, route := range slices.Sorted(maps.Keys(s.Spec.Paths.Map())) {
		for _, method := range slices.Sorted(maps.Keys(s.Spec.Paths.Value(route).Operations())) {
			name := method + " " + route
			if name == "POST /api/v1/sessions" {
				continue // TestSignIn
			}
			want, known := table[name]
			require.True(t, known, "%s is not in the table", name)
			delete(table, name)
			for i, asker := range askers {
				if want[i] == '.' || name == "DELETE /api/v1/sessions/current" && i == len(askers)-1 {
					continue
				}
				before := s.Position(t)
				a := asker.Do(t, method, "/"+fill.Replace(route), nil, input(name, m, kept.MarkerID)...)
				if want[i] == 'y' {
					require.NotContains(t, []int{http.StatusForbidden, http.StatusUnauthorized}, a.Status, "%s for asker %d: %s", name, i, a.Body)
					continue
				}
				refusal := http.StatusForbidden
				if i == 0 {
					refusal = http.StatusUnauthorized
				}
				require.Equal(t, refusal, a.Status, "%s for asker %d: %s", name, i, a.Body)
				require.Equal(t, before, s.Position(t), "%s for asker %d stored something", name, i)
			}
		}
	}
	require.Empty(t, table, "routes that are not there")
}

// input is a body that is fit for a route, of a card that this marker keeps.
func input(route string, m apitest.Morning, marker string) []apitest.Asking {
	how := []apitest.Asking{apitest.Bad()} // whether or not the body is needed
	switch {
	case strings.HasPrefix(route, "GET"):
		return how
	case strings.HasPrefix(route, "DELETE"):
		return append(how, apitest.Key(uuid.NewString()))
	}
	if strings.Contains(route, "/imports/") || strings.HasSuffix(route, "/strokes.csv") {
		return append(how, apitest.Raw("text/csv", "member_no,name,handicap_index,index_date\n9,Someone Invented,12.0,2031-05-01\n"))
	}
	bodies := map[string]any{
		"POST /api/v1/courses":                                       course("Low Marsh (invented)"),
		"PUT /api/v1/courses/{course}":                               course("Low Marsh (invented)"),
		"POST /api/v1/players":                                       map[string]any{"member_no": "8", "name": "Someone Invented"},
		"POST /api/v1/players/{player}/handicap-indexes":             map[string]any{"index_tenths": 10, "effective": "2031-05-01", "origin": "club"},
		"PUT /api/v1/club/handicap-estimates":                        map[string]any{"on": false, "reason": "not now"},
		"POST /api/v1/club/expected-scores":                          expected("invented"),
		"POST /api/v1/club/expected-scores/withdrawal":               map[string]any{"reason": "of another year"},
		"POST /api/v1/competitions":                                  map[string]any{"name": "Medal", "date": "2031-05-03"},
		"PUT /api/v1/competitions/{competition}":                     map[string]any{"name": "Medal", "date": "2031-05-03"},
		"PUT /api/v1/competitions/{competition}/terms":               apitest.Terms(m.Course),
		"POST /api/v1/competitions/{competition}/entries":            map[string]any{"player_id": m.Players[0]},
		"PATCH /api/v1/competitions/{competition}/entries/{entry}":   map[string]any{"index_tenths": 20},
		"POST /api/v1/competitions/{competition}/draw":               map[string]any{"method": "random", "seed": 3},
		"POST /api/v1/competitions/{competition}/draw/late":          map[string]any{"entry_id": m.Entries[0]},
		"POST /api/v1/competitions/{competition}/round/suspension":   map[string]any{"kind": "normal"},
		"POST /api/v1/competitions/{competition}/ties":               map[string]any{"ranking": "net", "entry_ids": m.Entries[:2], "method": "lot", "reason": "drawn"},
		"POST /api/v1/cards/{card}/scores":                           map[string]any{"hole": 1, "strokes": 4},
		"PUT /api/v1/cards/{card}/scores":                            apitest.Scores(4),
		"POST /api/v1/cards/{card}/ruling":                           map[string]any{"status": "in_play", "reason": "none"},
		"POST /api/v1/competitions/{competition}/excluded-holes":     map[string]any{"hole": 5, "reason": "under water"},
		"POST /api/v1/competitions/{competition}/playing-conditions": map[string]any{"adjustment": 1, "source": "association"},
		"POST /api/v1/cards/{card}/penalties":                        map[string]any{"strokes": 1, "reason": "pace"},
		"POST /api/v1/cards/{card}/actual-score":                     map[string]any{"hole": 1, "actual": 5, "reason": "miscounted"},
		"POST /api/v1/matches/{match}/holes":                         map[string]any{"number": 1, "winner": "A"},
		"POST /api/v1/matches/{match}/ruling":                        map[string]any{"ruling": "default", "winner": "A", "reason": "nobody came"},
		"POST /api/v1/cards/{card}/marker":                           map[string]any{"marker_id": marker}, // another one would end the marker's link
	}
	body, ok := bodies[route]
	if !ok {
		return how
	}
	text, err := json.Marshal(body)
	if err != nil {
		panic(err) // a literal above
	}
	return append(how, apitest.Raw("application/json", string(text)))
}

func course(name string) map[string]any {
	return map[string]any{"name": name, "tees": []any{apitest.Tee()}}
}

// What a card link may do on its card, it may not do on another one of the same
// competition, and the link of a marker is not that of the player.
func TestOneCard(t *testing.T) {
	t.Parallel()
	s := apitest.MustServe(t)
	c := s.Committee(t)
	m := apitest.MustOpenRound(t, c)
	player := s.Bearer(apitest.MustLink(t, c, m.Cards[0], events.RolePlayer))
	before := s.Position(t)
	player.Post(t, "/cards/"+m.Cards[1]+"/scores", map[string]any{"hole": 1, "strokes": 4}).Must(t, http.StatusForbidden)
	player.Put(t, "/cards/"+m.Cards[1]+"/scores", apitest.Scores(4)).Must(t, http.StatusForbidden)
	player.Post(t, "/cards/"+m.Cards[1]+"/certification", nil).Must(t, http.StatusForbidden)
	player.Post(t, "/cards/"+m.Cards[0]+"/certification", map[string]any{"as": "marker"}).Must(t, http.StatusForbidden)
	require.Equal(t, before, s.Position(t))
	s.Bearer("no-such-token").Get(t, "/courses").Must(t, http.StatusUnauthorized)
}

// A link that was renewed opens nothing any more.
func TestRenewedLink(t *testing.T) {
	t.Parallel()
	s := apitest.MustServe(t)
	c := s.Committee(t)
	m := apitest.MustOpenRound(t, c)
	old := apitest.MustLink(t, c, m.Cards[0], events.RolePlayer)
	require.Equal(t, old, apitest.MustLink(t, c, m.Cards[0], events.RolePlayer), "a start sheet can be printed again")
	var l api.CardLink
	c.Post(t, "/cards/"+m.Cards[0]+"/links/player?renew=true", nil).Must(t, http.StatusOK).JSON(t, &l)
	require.NotEqual(t, old, l.Token)
	require.Equal(t, "/c/"+l.Token, l.Path)
	s.Bearer(old).Post(t, "/cards/"+m.Cards[0]+"/scores", map[string]any{"hole": 1, "strokes": 4}).Must(t, http.StatusUnauthorized)
	s.Bearer(l.Token).Post(t, "/cards/"+m.Cards[0]+"/scores", map[string]any{"hole": 1, "strokes": 4}).Must(t, http.StatusCreated)
}

// What others may not read, they do not get to read.
func TestWhatIsPublic(t *testing.T) {
	t.Parallel()
	s := apitest.MustServe(t)
	c := s.Committee(t)
	m := apitest.MustOpenRound(t, c, func(terms *events.Terms) { terms.NamesAs = "initials" })
	apitest.MustHandIn(t, c, m)
	c.Post(t, "/cards/"+m.Cards[1]+"/ruling", map[string]any{"status": "DQ", "reason": "a private matter"}).Must(t, http.StatusOK)
	c.Post(t, "/competitions/"+m.Competition+"/round/closing", nil).Must(t, http.StatusOK)
	w := c.Post(t, "/competitions/"+m.Competition+"/result", nil).Must(t, http.StatusCreated).Written(t)
	seen := fmt.Sprintf("min_sequence=%d", w.Position)
	var receipt struct{ Receipt string }
	c.Get(t, "/cards/"+m.Cards[0]+"?"+seen).JSON(t, &receipt)
	require.Len(t, receipt.Receipt, 6)
	comp := "/competitions/" + m.Competition
	for _, path := range []string{
		comp, comp + "/entries", comp + "/draw", comp + "/board", comp + "/result", comp + "/result.csv",
		"/cards/" + m.Cards[1], "/cards/" + m.Cards[1] + "/figures", "/cards/" + m.Cards[1] + "/events", "/cards/" + m.Cards[0] + "/events",
	} {
		body := string(s.Anonymous().Get(t, path+"?"+seen).Must(t, http.StatusOK).Body)
		require.NotContains(t, body, "Teunis", path)
		require.NotContains(t, body, "Krammer", path)
		require.NotContains(t, body, "private", path)
		require.NotContains(t, body, "0101", path)
		require.NotContains(t, body, receipt.Receipt, path)
	}
	require.Contains(t, string(s.Anonymous().Get(t, comp+"/result?"+seen).Body), "T. K.")
	require.Contains(t, string(c.Get(t, comp+"/result?"+seen).Body), "Teunis Krammer")
	require.Contains(t, string(c.Get(t, "/cards/"+m.Cards[1]+"/figures?"+seen).Body), "a private matter")
}
