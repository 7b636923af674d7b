package api_test

import (
	"net/http"
	"strings"
	"testing"

	"github.com/google/uuid"
	"github.com/stretchr/testify/require"

	"marram.example/api"
	"marram.example/api/apitest"
	"marram.example/projections/store"
	"marram.example/projections/store/storetest"
)

// bad is one request that has to be refused.
type bad struct {
	name         string
	method, path string
	body         any
	how          []apitest.Asking
	status       int
	field, code  string
}

// Bad input gets a 4xx that names the field, and nothing is stored.
func TestBadInput(t *testing.T) {
	t.Parallel()
	storetest.Each(t, func(t *testing.T, st *store.Store) {
		s := apitest.MustServe(t, apitest.On(st.Dialect()))
		c := s.Committee(t)
		m := apitest.MustOpenRound(t, c)
		closed := closedMorning(t, c)
		for _, b := range badRequests(m, closed) {
			t.Run(b.name, func(t *testing.T) {
				before := s.Position(t)
				p := c.Do(t, b.method, b.path, b.body, append(b.how, apitest.Bad())...).Must(t, b.status).Problem(t)
				require.Equal(t, b.field, p.Field, p.Detail)
				require.Equal(t, b.code, p.Code, p.Detail)
				require.NotEmpty(t, p.Detail)
				require.NotEmpty(t, p.CorrelationID)
				require.Equal(t, before, s.Position(t), "something was stored")
			})
		}
	})
}

// closedMorning is another competition, already closed.
func closedMorning(t *testing.T, c *apitest.Client) apitest.Morning {
	t.Helper()
	m := apitest.MustOpenRound(t, c)
	apitest.MustHandIn(t, c, m)
	c.Post(t, "/competitions/"+m.Competition+"/round/closing", nil).Must(t, http.StatusOK)
	return m
}

func badRequests(m, closed apitest.Morning) []bad {
	comp, card := "/competitions/"+m.Competition, "/cards/"+m.Cards[0]
	scores, entries := card+"/scores", comp+"/entries"
	foreign := closed.Entries[0]
	hole := map[string]any{"hole": 1, "strokes": 4}
	object := func(kv ...any) map[string]any {
		out := map[string]any{}
		for i := 0; i < len(kv); i += 2 {
			out[kv[i].(string)] = kv[i+1]
		}
		return out
	}
	how := func(a ...apitest.Asking) []apitest.Asking { return a }
	const post, put, get = http.MethodPost, http.MethodPut, http.MethodGet
	return []bad{
		{"hole 19", post, scores, object("hole", 19, "strokes", 4), nil, 422, "hole", "not_in_play"},
		{"hole 0", post, scores, object("strokes", 4), nil, 422, "hole", "not_in_play"},
		{"0 strokes", post, scores, object("hole", 1, "strokes", 0), nil, 422, "strokes", "out_of_range"},
		{"100 strokes", post, scores, object("hole", 1, "strokes", 100), nil, 422, "strokes", "out_of_range"},
		{"negative strokes", post, scores, object("hole", 1, "strokes", -3), nil, 422, "strokes", "out_of_range"},
		{"no time", post, card + "/strokes", object("hole", 1, "lie", "tee", "distance", 300, "intent_at", "yesterday"), nil, 422, "intent_at", "malformed"},
		{"a number as time", post, card + "/strokes", object("hole", 1, "lie", "tee", "distance", 300, "struck_at", 12), nil, 422, "struck_at", "malformed"},
		{"no time in a list", put, card + "/strokes/holes/1", object("strokes", []any{
			object("lie", "tee", "distance", 300, "intent_at", "2031-05-03T09:12:44Z"), object("lie", "green", "distance", 3, "struck_at", "9:12"),
		}), nil, 422, "strokes[1].struck_at", "malformed"},
		{"half a stroke", post, scores, object("hole", 1, "strokes", 4.5), nil, 422, "strokes", "wrong_type"},
		{"strokes as text", post, scores, object("hole", 1, "strokes", "4"), nil, 422, "strokes", "wrong_type"},
		{"no score at all", post, scores, object("hole", 1), nil, 422, "strokes", "required"},
		{"strokes and none", post, scores, object("hole", 1, "strokes", 4, "none", "picked_up"), nil, 422, "strokes", "required"},
		{"unknown none", post, scores, object("hole", 1, "none", "lost"), nil, 422, "none", "unknown"},
		{"unlikely score", post, scores, object("hole", 1, "strokes", 1), nil, 422, "strokes", "unlikely_score"},
		{"seen what cannot be", post, scores, object("hole", 1, "strokes", 4, "saw", object("player", object("strokes", 100))), nil, 422, "saw.player.strokes", "out_of_range"},
		{"seen 0 strokes", post, scores, object("hole", 1, "strokes", 4, "saw", object("marker", object("strokes", 0))), nil, 422, "saw.marker.strokes", "out_of_range"},
		{"seen strokes and none", post, scores, object("hole", 1, "strokes", 4, "saw", object("marker", object("strokes", 4, "none", "no_score"))), nil, 422, "saw.marker", "ambiguous"},
		{"seen an unknown none", post, scores, object("hole", 1, "strokes", 4, "saw", object("committee", object("none", "lost"))), nil, 422, "saw.committee.none", "unknown"},
		{"seen half a stroke", post, scores, object("hole", 1, "strokes", 4, "saw", object("player", object("strokes", 4.5))), nil, 422, "saw.player.strokes", "wrong_type"},
		{"seen a list", post, scores, object("hole", 1, "strokes", 4, "saw", []any{4}), nil, 422, "saw", "wrong_type"},
		{"seen somebody else's", post, scores, object("hole", 1, "strokes", 4, "saw", object("caddie", object("strokes", 4))), nil, 422, "caddie", "unknown_field"},
		{"seen what is not there", post, scores, object("hole", 1, "strokes", 4, "saw", object("player", object("strokes", 9))), nil, 409, "saw.player", "changed_since"},
		{"too few holes", put, scores, object("scores", []any{object("strokes", 4)}), nil, 422, "scores", "hole_count"},
		{"a hole of a whole card", put, scores, withHole(5, 100), nil, 422, "scores[5].strokes", "out_of_range"},
		{"unknown player", post, entries, object("player_id", "nobody"), nil, 422, "player_id", "unknown"},
		{"player twice", post, entries, object("player_id", m.Players[0], "index_tenths", 1), nil, 409, "player_id", "already_entered"},
		{"index out of range", post, "/players/" + m.Players[0] + "/handicap-indexes", object("index_tenths", 541, "effective", "2031-05-01", "origin", "club"), nil, 422, "index_tenths", "out_of_range"},
		{"a date that is none", post, "/competitions", object("name", "Medal", "date", "2031-02-30"), nil, 422, "date", "malformed"},
		{"unknown course", put, comp + "/terms", apitest.Terms("nowhere"), nil, 422, "course_id", "unknown"},
		{"entry of another competition", post, comp + "/entries/" + foreign + "/withdrawal", nil, nil, 404, "entry_id", "not_found"},
		{"marker of another competition", post, card + "/marker", object("marker_id", foreign), nil, 422, "marker_id", "not_in_group"},
		{"tie with an entry of another competition", post, "/competitions/" + closed.Competition + "/ties", object("ranking", "net", "entry_ids", []string{closed.Entries[0], m.Entries[0]}, "method", "lot", "reason", "drawn"), nil, 422, "entry_ids[1]", "unknown"},
		{"card of another competition", post, "/cards/" + m.Competition + "-" + foreign + "-1/scores", hole, nil, 404, "card_id", "not_found"},
		{"unknown card", get, "/cards/nothing", nil, nil, 404, "card_id", "not_found"},
		{"an id that is none", get, "/competitions/a.b", nil, nil, 404, "competition_id", "not_found"},
		{"closed round", post, "/competitions/" + closed.Competition + "/round/suspension", object("kind", "normal"), nil, 409, "competition_id", "not_open"},
		{"returned card without a reason", post, "/cards/" + closed.Cards[0] + "/scores", hole, nil, 422, "reason", "required"},
		{"stale sequence", post, comp + "/round/suspension", object("kind", "normal"), how(apitest.Header("If-Match", `"1"`)), 412, "If-Match", "stale_sequence"},
		{"If-Match without quotes", post, scores, hole, how(apitest.Header("If-Match", "1")), 400, "If-Match", "malformed"},
		{"If-Match that is no number", post, scores, hole, how(apitest.Header("If-Match", `"x"`)), 400, "If-Match", "malformed"},
		{"no key", post, scores, hole, how(apitest.Key("")), 400, api.HeaderIdempotencyKey, "required"},
		{"short key", post, scores, hole, how(apitest.Key("1")), 400, api.HeaderIdempotencyKey, "malformed"},
		{"long key", post, scores, hole, how(apitest.Key(strings.Repeat("k", 129))), 400, api.HeaderIdempotencyKey, "malformed"},
		{"key with a space", post, scores, hole, how(apitest.Key("one two three")), 400, api.HeaderIdempotencyKey, "malformed"},
		{"clock of the device", post, scores, hole, how(apitest.Header(api.HeaderRecordedAt, "quarter past nine")), 400, api.HeaderRecordedAt, "malformed"},
		{"malformed JSON", post, scores, nil, how(apitest.Raw("application/json", `{"hole": 1,`)), 400, "body", "malformed_json"},
		{"two JSON values", post, scores, nil, how(apitest.Raw("application/json", `{"hole":1,"strokes":4}{}`)), 400, "body", "malformed_json"},
		{"a list for an object", post, scores, nil, how(apitest.Raw("application/json", `[1]`)), 422, "body", "wrong_type"},
		{"unknown field", post, scores, object("hole", 1, "strokes", 4, "putts", 2), nil, 422, "putts", "unknown_field"},
		{"wrong content type", post, scores, nil, how(apitest.Raw("text/plain", `{"hole":1,"strokes":4}`)), 415, "Content-Type", "unsupported_media_type"},
		{"form as content type", post, scores, nil, how(apitest.Raw("application/x-www-form-urlencoded", "hole=1")), 415, "Content-Type", "unsupported_media_type"},
		{"huge body", post, scores, nil, how(apitest.Raw("application/json", `{"reason":"`+strings.Repeat("x", api.MaxBody)+`"}`)), 413, "body", "too_large"},
		{"huge table", post, "/imports/players", nil, how(apitest.Raw("text/csv", strings.Repeat("x,y\n", api.MaxImportBody/4+1))), 413, "body", "too_large"},
		{"broken table", post, "/imports/players", nil, how(apitest.Raw("text/csv", "member_no,name\n1,\"open")), 422, "file", "import_refused"},
		{"table that is none", post, "/imports/players", nil, how(apitest.Raw("text/csv", "")), 422, "file", "import_refused"},
		{"table of the wrong type", post, "/imports/players", nil, how(apitest.Raw("application/json", "{}")), 415, "Content-Type", "unsupported_media_type"},
		{"table of an unknown kind", post, "/imports/dogs", nil, how(apitest.Raw("text/csv", "a,b\n")), 404, "kind", "not_found"},
		{"table for no competition", post, "/imports/entries", nil, how(apitest.Raw("text/csv", "member_no\n0100\n")), 422, "competition", "required"},
		{"table for an unknown competition", post, "/imports/entries?competition=none", nil, how(apitest.Raw("text/csv", "member_no\n0100\n")), 422, "competition", "unknown"},
		{"dry run perhaps", post, "/imports/players?dry_run=perhaps", nil, how(apitest.Raw("text/csv", "member_no,name\n")), 422, "dry_run", "malformed"},
		{"page of 0", get, "/competitions?limit=0", nil, nil, 422, "limit", "out_of_range"},
		{"page of 201", get, "/players?limit=201", nil, nil, 422, "limit", "out_of_range"},
		{"cursor", get, "/competitions?cursor=zzz", nil, nil, 422, "cursor", "malformed"},
		{"cursor of an entry that is not there", get, entries + "?cursor=WyJub25lIl0", nil, nil, 422, "cursor", "gone"},
		{"position", get, comp + "?min_sequence=soon", nil, nil, 422, "min_sequence", "malformed"},
		{"board of a moment", get, comp + "/board?as_of=noon", nil, nil, 422, "as_of", "malformed"},
		{"board before the plan", get, comp + "/board?as_of=0", nil, nil, 404, "competition_id", "not_found"},
		{"stream of a moment", get, comp + "/board/stream?after=noon", nil, nil, 422, "after", "malformed"},
		{"link of a third kind", post, card + "/links/caddie", nil, nil, 404, "role", "not_found"},
		{"preset of a third kind", get, comp + "/terms/preset?format=chess", nil, nil, 422, "format", "unknown"},
		{"certify for nobody", post, card + "/certification", nil, nil, 422, "as", "unknown"},
		{"result too early", post, comp + "/result", nil, nil, 409, "competition_id", "not_closed"},
	}
}

func withHole(at, strokes int) map[string]any {
	in := apitest.Scores(apitest.Par)
	in["scores"].([]any)[at] = map[string]any{"strokes": strokes}
	return in
}

// Everybody on the course holds a card link, and what they send is kept: theirs are
// small bodies.
func TestBodyOfALink(t *testing.T) {
	t.Parallel()
	s := apitest.MustServe(t)
	c := s.Committee(t)
	m := apitest.MustOpenMatches(t, c)
	long := map[string]any{"reason": strings.Repeat("x", api.MaxLinkBody)}
	match := "/matches/" + m.IDs[0] + "/concessions/match"
	before := s.Position(t)
	p := s.Bearer(m.Links[m.Sides[0][0]]).Post(t, match, long).Must(t, http.StatusRequestEntityTooLarge).Problem(t)
	require.Equal(t, "body", p.Field)
	require.Contains(t, p.Detail, "65536")
	require.Equal(t, before, s.Position(t))
	medal := apitest.MustOpenRound(t, c)
	link := s.Bearer(apitest.MustLink(t, c, medal.Cards[0], "player"))
	long["hole"], long["strokes"] = 1, 4
	link.Post(t, "/cards/"+medal.Cards[0]+"/scores", long).Must(t, http.StatusRequestEntityTooLarge)
	long["reason"] = strings.Repeat("x", 100)
	link.Post(t, "/cards/"+medal.Cards[0]+"/scores", long).Must(t, http.StatusCreated)
}

// The same key with another body is refused, with the same one it is a repeat.
func TestReusedKey(t *testing.T) {
	t.Parallel()
	s := apitest.MustServe(t)
	c := s.Committee(t)
	m := apitest.MustOpenRound(t, c)
	path, key := "/cards/"+m.Cards[0]+"/scores", apitest.Key(uuid.NewString())
	c.Post(t, path, map[string]any{"hole": 1, "strokes": 4}, key).Must(t, http.StatusCreated)
	before := s.Position(t)
	p := c.Post(t, path, map[string]any{"hole": 1, "strokes": 5}, key).Must(t, http.StatusUnprocessableEntity).Problem(t)
	require.Equal(t, "command_id_reused", p.Code)
	require.Equal(t, api.HeaderIdempotencyKey, p.Field)
	require.Equal(t, before, s.Position(t))
}

// What is not there, and what is there but not with this method.
func TestNoRoute(t *testing.T) {
	t.Parallel()
	s := apitest.MustServe(t)
	c := s.Anonymous()
	require.Equal(t, "no_route", c.Get(t, "/nowhere", apitest.Bad()).Must(t, http.StatusNotFound).Problem(t).Code)
	require.Equal(t, "method_not_allowed", c.Do(t, http.MethodPatch, "/courses", nil, apitest.Bad()).Must(t, http.StatusMethodNotAllowed).Problem(t).Code)
}
