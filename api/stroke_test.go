package api_test

import (
	"context"
	"fmt"
	"io/fs"
	"math"
	"net/http"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/google/uuid"
	"github.com/stretchr/testify/require"

	"marram.example/api"
	"marram.example/api/apitest"
	"marram.example/api/command"
	"marram.example/events"
)

type object = map[string]any

func strokesWritten(t *testing.T, a apitest.Answer, status int) api.StrokesWritten {
	t.Helper()
	var w api.StrokesWritten
	a.Must(t, status).JSON(t, &w)
	return w
}

func strokesOf(t *testing.T, c *apitest.Client, card string, ball, hole int) api.HoleStrokes {
	t.Helper()
	var k api.CardStrokes
	c.Get(t, "/cards/"+card+"/strokes").Must(t, http.StatusOK).JSON(t, &k)
	return k.Balls[ball].Holes[hole-1]
}

// A hole logged stroke by stroke gets its score, and says so; what differs is said and
// left alone, until the player settles it.
func TestStrokesAndScores(t *testing.T) {
	t.Parallel()
	s := apitest.MustServe(t)
	c := s.Committee(t)
	m := apitest.MustOpenRound(t, c)
	card := "/cards/" + m.Cards[0]
	player := s.Bearer(apitest.MustLink(t, c, m.Cards[0], events.RolePlayer))
	log := func(body object) api.StrokesWritten {
		return strokesWritten(t, player.Post(t, card+"/strokes", body), http.StatusCreated)
	}
	tee := log(object{"hole": 2, "lie": "tee", "distance": 400, "unit": "yd", "penalty": 1})
	require.Nil(t, tee.Scored)
	log(object{"hole": 2, "lie": "tee", "distance": 400, "unit": "yd"})
	putt := log(object{"hole": 2, "lie": "green", "distance": 10, "unit": "ft", "finish": object{"holed": true}})
	require.Equal(t, &command.HoleScored{Hole: 2, Strokes: 4}, putt.Scored, "a penalty stroke is one")
	require.Nil(t, putt.Differs)
	chip := log(object{"hole": 2, "lie": "rough", "distance": 30, "before": putt.ID})
	require.Nil(t, chip.Scored, "a score that stands is not changed")
	require.Equal(t, &command.HoleDiffers{Hole: 2, Strokes: 5, Card: events.Score{Strokes: 4}}, chip.Differs)
	h := strokesOf(t, player, m.Cards[0], 0, 2)
	require.Equal(t, []any{5, true, true, events.Score{Strokes: 4}}, []any{h.Count, h.Whole, h.Differs, h.Score})
	require.Equal(t, []string{"tee", "tee", "rough", "green"}, []string{h.Strokes[0].Lie, h.Strokes[1].Lie, h.Strokes[2].Lie, h.Strokes[3].Lie})
	require.Equal(t, []any{365.76, "m"}, []any{h.Strokes[0].Distance, h.Strokes[0].Unit})
	require.InDelta(t, 3.048, h.Strokes[3].Distance, 1e-12)

	w := strokesWritten(t, player.Put(t, card+"/strokes/"+chip.ID, object{"lie": "fairway", "distance": 31}), http.StatusOK)
	require.NotNil(t, w.Differs)
	player.Post(t, card+"/scores", object{"hole": 2, "strokes": 5}).Must(t, http.StatusCreated)
	require.False(t, strokesOf(t, player, m.Cards[0], 0, 2).Differs)
	w = strokesWritten(t, player.Do(t, http.MethodDelete, card+"/strokes/"+chip.ID, nil, apitest.Key(uuid.NewString())), http.StatusOK)
	require.Equal(t, &command.HoleDiffers{Hole: 2, Strokes: 4, Card: events.Score{Strokes: 5}}, w.Differs)

	// The committee logs for the player: no score follows, and it is told of none.
	ace := object{"strokes": []any{object{"lie": "tee", "distance": 150, "finish": object{"holed": true}}}}
	w = strokesWritten(t, c.Put(t, card+"/strokes/holes/3", ace), http.StatusOK)
	require.True(t, w.Changed)
	require.Nil(t, w.Scored)
	require.Equal(t, events.Score{}, strokesOf(t, player, m.Cards[0], 0, 3).Score)
	// The player logs the same: nothing to store, but what stands is scored no more silently.
	require.Len(t, strokesOf(t, player, m.Cards[0], 0, 3).Strokes, 1)

	// After the return strokes are logged from memory, and no score follows.
	apitest.MustHandIn(t, c, m)
	w = strokesWritten(t, player.Put(t, card+"/strokes/holes/4", ace), http.StatusOK)
	require.Nil(t, w.Scored)
	require.Equal(t, &command.HoleDiffers{Hole: 4, Strokes: 1, Card: events.Score{Strokes: 4}}, w.Differs)
	c.Post(t, "/competitions/"+m.Competition+"/round/closing", nil).Must(t, http.StatusOK)
	player.Put(t, card+"/strokes/holes/5", ace).Must(t, http.StatusOK)
}

// Sent twice with one key a write has one effect, whatever its words.
func TestStrokesTwice(t *testing.T) {
	t.Parallel()
	s := apitest.MustServe(t)
	x := mustReview(t, s)
	card := "/cards/" + x.Cards[0]
	twice(t, s, x.player, http.MethodPost, card+"/strokes", object{"hole": 6, "lie": "tee", "distance": 300, "word": "gone"}, http.StatusCreated)
	twice(t, s, x.player, http.MethodPut, card+"/strokes/"+x.stroke, object{"lie": "tee", "distance": 305, "aim": "the gate"}, http.StatusOK)
	twice(t, s, x.player, http.MethodDelete, card+"/strokes/"+x.stroke, nil, http.StatusOK)
	twice(t, s, x.player, http.MethodPut, card+"/strokes/holes/7", object{"strokes": []any{
		object{"lie": "tee", "distance": 120, "word": "over"}, object{"lie": "green", "distance": 5, "finish": object{"holed": true}},
	}}, http.StatusOK)
	twice(t, s, x.player, http.MethodPost, card+"/shares", object{"for": "Ilse"}, http.StatusCreated)
	twice(t, s, x.askers[6], http.MethodPost, "/players/"+x.Players[0]+"/notes", object{"text": "well"}, http.StatusCreated)
	twice(t, s, x.askers[6], http.MethodPost, "/players/"+x.Players[0]+"/notes/"+x.note+"/removal", nil, http.StatusOK)
	// The same hole with another key stores nothing: its strokes stand.
	h := strokesOf(t, x.player, x.Cards[0], 0, 7)
	before := s.Position(t)
	w := strokesWritten(t, x.player.Put(t, card+"/strokes/holes/7", object{"strokes": h.Strokes}), http.StatusOK)
	require.False(t, w.Changed)
	require.Equal(t, before, s.Position(t))
	// Fingerprints do not tell words apart: another word with the same key is the repeat.
	key := apitest.Key(uuid.NewString())
	body := object{"hole": 8, "lie": "tee", "distance": 300, "word": "one"}
	x.player.Post(t, card+"/strokes", body, key).Must(t, http.StatusCreated)
	body["word"] = "two"
	require.Equal(t, "true", x.player.Post(t, card+"/strokes", body, key).Must(t, http.StatusCreated).Header.Get(api.HeaderRepeat))
	body["distance"] = 301
	require.Equal(t, "command_id_reused", x.player.Post(t, card+"/strokes", body, key).Must(t, http.StatusUnprocessableEntity).Problem(t).Code)
}

// Every field of a stroke is refused by its name, and nothing is stored.
func TestBadStrokes(t *testing.T) {
	t.Parallel()
	s := apitest.MustServe(t)
	c := s.Committee(t)
	m := apitest.MustOpenRound(t, c)
	card := "/cards/" + m.Cards[0] + "/strokes"
	player := s.Bearer(apitest.MustLink(t, c, m.Cards[0], events.RolePlayer))
	id := player.Post(t, card, teeStroke()).Must(t, http.StatusCreated).Written(t).ID
	long := strings.Repeat("é", command.MostWord+1)
	for _, b := range []struct {
		field, code string
		put         object
	}{
		{"lie", "unknown", object{"lie": "heather"}}, {"lie", "unknown", object{"lie": ""}}, {"lie", "wrong_type", object{"lie": 3}},
		{"distance", "out_of_range", object{"distance": 0}}, {"distance", "out_of_range", object{"distance": -1}},
		{"distance", "out_of_range", object{"distance": 1500.1}}, {"distance", "out_of_range", object{"distance": 1641, "unit": "yd"}},
		{"distance", "out_of_range", object{"distance": 1e308, "unit": "m"}}, {"distance", "out_of_range", object{"distance": 1e-9}},
		{"distance", "wrong_type", object{"distance": "far"}}, {"unit", "unknown", object{"unit": "rods"}},
		{"club", "unknown", object{"club": "spoon"}}, {"target", "unknown", object{"target": "up"}}, {"shape", "unknown", object{"shape": "round"}},
		{"aim", "too_long", object{"aim": long}}, {"word", "too_long", object{"word": long}},
		{"aim", "control_character", object{"aim": "a\x00b"}}, {"word", "control_character", object{"word": "a\x1bb"}},
		{"commitment", "out_of_range", object{"commitment": 6}}, {"commitment", "out_of_range", object{"commitment": -1}},
		{"commitment", "wrong_type", object{"commitment": 2.5}},
		{"penalty", "out_of_range", object{"penalty": 5}}, {"penalty", "out_of_range", object{"penalty": -1}},
		{"strike", "unknown", object{"strike": "pure"}}, {"good_enough", "wrong_type", object{"good_enough": "yes"}},
		{"intent_at", "out_of_range", object{"intent_at": "1999-12-31T23:59:59Z"}},
		{"struck_at", "out_of_range", object{"struck_at": "9999-12-31T23:59:59-12:00"}},
		{"struck_at", "out_of_range", object{"intent_at": "2031-05-03T09:00:00Z", "struck_at": "2031-05-03T08:59:59Z"}},
		{"struck_at", "out_of_range", object{"intent_at": "2031-05-03T09:00:00Z", "struck_at": "2031-05-03T10:00:01Z"}},
		{"miss.side", "unknown", object{"miss": object{"side": "wide"}}}, {"miss.length", "unknown", object{"miss": object{"length": "far"}}},
		{"miss.side_by", "ambiguous", object{"miss": object{"side_by": 3}}}, {"miss.side_by", "ambiguous", object{"miss": object{"side": "on_line", "side_by": 3}}},
		{"miss.side_by", "out_of_range", object{"miss": object{"side": "left", "side_by": 501}}},
		{"miss.length_by", "out_of_range", object{"miss": object{"length": "long", "length_by": -2}}},
		{"miss.length_by", "ambiguous", object{"miss": object{"length": "level", "length_by": 2}}}, {"miss.unit", "unknown", object{"miss": object{"unit": "in"}}},
		{"finish.lie", "unknown", object{"finish": object{}}}, {"finish.lie", "unknown", object{"finish": object{"lie": "water", "distance": 3}}},
		{"finish.distance", "out_of_range", object{"finish": object{"lie": "green"}}}, {"finish.unit", "unknown", object{"finish": object{"lie": "green", "distance": 1, "unit": "cm"}}},
		{"finish.holed", "ambiguous", object{"finish": object{"holed": true, "lie": "green", "distance": 1}}},
		{"wind", "unknown_field", object{"wind": 3}},
	} {
		with := func(base object) object {
			for k, v := range b.put {
				base[k] = v
			}
			return base
		}
		for _, r := range []struct {
			method, path string
			body         object
			prefix       string
		}{
			{http.MethodPost, card, with(object{"hole": 2, "lie": "tee", "distance": 300}), ""},
			{http.MethodPut, card + "/" + id, with(object{"lie": "tee", "distance": 300}), ""},
			{http.MethodPut, card + "/holes/2", object{"strokes": []any{object{"lie": "tee", "distance": 300}, with(object{"lie": "rough", "distance": 30})}}, "strokes[1]."},
		} {
			before := s.Position(t)
			p := player.Do(t, r.method, r.path, r.body, apitest.Bad()).Must(t, http.StatusUnprocessableEntity).Problem(t)
			field := r.prefix + b.field
			if b.code == "wrong_type" {
				field = strings.ReplaceAll(r.prefix, "[1]", "") + b.field // as encoding/json names it
			}
			if b.code == "unknown_field" {
				field = b.field
			}
			require.Equal(t, []string{field, b.code}, []string{p.Field, p.Code}, "%s %s %v: %s", r.method, r.path, b.put, p.Detail)
			require.Equal(t, before, s.Position(t), "%v stored something", b.put)
		}
	}
	at := object{"lie": "tee", "distance": 300}
	many := make([]any, 41)
	for i := range many {
		many[i] = object{"lie": "rough", "distance": 10}
	}
	for _, b := range []struct {
		method, path string
		body         object
		status       int
		field, code  string
	}{
		{"POST", card, object{"hole": 19, "lie": "tee", "distance": 3}, 422, "hole", "not_in_play"},
		{"POST", card, object{"hole": 2, "ball": 1, "lie": "tee", "distance": 3}, 422, "ball", "not_on_card"},
		{"POST", card, object{"hole": 2, "ball": -1, "lie": "tee", "distance": 3}, 422, "ball", "not_on_card"},
		{"POST", card, object{"hole": 2, "lie": "tee", "distance": 3, "before": "none"}, 422, "before", "unknown"},
		{"POST", card, object{"hole": 2, "lie": "tee", "distance": 3, "before": id}, 422, "before", "unknown"},
		{"PUT", card + "/none", at, 404, "stroke_id", "not_found"},
		{"PUT", card + "/a.b", at, 404, "stroke_id", "not_found"},
		{"DELETE", card + "/none", nil, 404, "stroke_id", "not_found"},
		{"PUT", card + "/holes/x", object{"strokes": []any{at}}, 404, "hole", "not_found"},
		{"PUT", card + "/holes/19", object{"strokes": []any{at}}, 422, "hole", "not_in_play"},
		{"PUT", card + "/holes/2", object{"strokes": many}, 422, "strokes", "too_many"},
		{"PUT", card + "/holes/2", object{"strokes": []any{object{"stroke_id": "none", "lie": "tee", "distance": 3}}}, 422, "strokes[0].stroke_id", "unknown"},
		{"PUT", card + "/holes/2", object{"strokes": []any{object{"stroke_id": id, "lie": "tee", "distance": 3}}}, 409, "strokes[0].stroke_id", "taken"},
		{"PUT", card + "/holes/1", object{"strokes": []any{object{"stroke_id": id, "lie": "tee", "distance": 3}, object{"stroke_id": id, "lie": "rough", "distance": 3}}}, 422, "strokes[1].stroke_id", "twice"},
		{"PUT", card + "/holes/2", object{"strokes": []any{at, object{"lie": "rough", "distance": 9}, at}}, 422, "strokes[2].lie", "order"},
		{"PUT", card + "/holes/2", object{"strokes": []any{object{"lie": "tee", "distance": 3, "finish": object{"holed": true}}, object{"lie": "green", "distance": 3}}}, 422, "strokes[0].finish.holed", "order"},
	} {
		before := s.Position(t)
		p := player.Do(t, b.method, b.path, b.body, apitest.Bad(), apitest.Key(uuid.NewString())).Must(t, b.status).Problem(t)
		require.Equal(t, []string{b.field, b.code}, []string{p.Field, p.Code}, "%s %s %v: %s", b.method, b.path, b.body, p.Detail)
		require.Equal(t, before, s.Position(t), "%s %s stored something", b.method, b.path)
	}
	player.Post(t, card, object{"hole": 2, "lie": "tee", "distance": math.Nextafter(1500, 0)}, apitest.Bad()).Must(t, http.StatusCreated)
}

// What the player and a coach say stands nowhere in the clear: not in the log on disk,
// not in the read store, not in the lines of the program, and in no answer but the
// player's own and the coach's. A word that is not sealed is found the same way.
func TestWordsAreSealed(t *testing.T) {
	t.Parallel()
	s := apitest.MustServe(t)
	x := mustReview(t, s)
	table := "hole,stroke,lie,distance,word\n8,1,tee,310,a thistle afterwards\n"
	x.player.Do(t, http.MethodPost, "/cards/"+x.Cards[0]+"/strokes.csv", nil, apitest.Raw("text/csv", table)).Must(t, http.StatusOK)
	w := x.committee.Post(t, "/cards/"+x.Cards[0]+"/ruling", object{"status": "in_play", "reason": "none"})
	require.Less(t, w.Status, 500)
	position := x.player.Post(t, "/cards/"+x.Cards[0]+"/scores", object{"hole": 1, "strokes": 4}).Must(t, http.StatusCreated).Written(t).Position
	private := []string{aimWords, afterWords, labelWords, noteWords, "a thistle afterwards"}
	for i, asker := range x.askers {
		if i == 4 || i == 6 || i == 8 {
			continue // the player, the coach, and whose link is refused everywhere
		}
		for _, path := range []string{
			"/cards/" + x.Cards[0], "/cards/" + x.Cards[0] + "/events", "/cards/" + x.Cards[0] + "/figures", "/cards/" + x.Cards[0] + "/strokes",
			"/competitions/" + x.Competition + "/board", "/competitions/" + x.Competition + "/cards", "/players/" + x.Players[0], "/players/" + x.Players[0] + "/notes",
		} {
			body := string(asker.Get(t, fmt.Sprintf("%s?min_sequence=%d", path, position)).Body)
			for _, word := range private {
				require.NotContains(t, body, word, "%s as %s", path, askerNames()[i])
			}
		}
	}
	lines := s.Lines.String()
	require.Contains(t, lines, `"route":"/api/v1/cards/:card/strokes"`)
	root := filepath.Dir(t.TempDir()) // all folders of this test are in it
	found := map[string]bool{}
	require.NoError(t, filepath.WalkDir(root, func(path string, d fs.DirEntry, err error) error {
		if err != nil || d.IsDir() {
			return nil //nolint:nilerr // a file that went away meanwhile
		}
		b, err := os.ReadFile(path)
		if err != nil {
			return nil //nolint:nilerr // as above
		}
		for _, word := range append([]string{"White", `"lie":"tee"`}, private...) {
			found[word] = found[word] || strings.Contains(string(b), word)
		}
		return nil
	}))
	require.True(t, found["White"] && found[`"lie":"tee"`], "the log was not looked at: %v", found)
	for _, word := range private {
		require.False(t, found[word], "%q stands on disk", word)
		require.NotContains(t, lines, word)
	}
}

// Once a player is erased, words, labels and notes are gone, shares open nothing, and
// every page still works.
func TestErasedWords(t *testing.T) {
	t.Parallel()
	s := apitest.MustServe(t)
	x := mustReview(t, s)
	card := "/cards/" + x.Cards[0]
	require.Equal(t, aimWords, strokesOf(t, x.player, x.Cards[0], 0, 1).Strokes[0].Aim)
	x.committee.Post(t, "/players/"+x.Players[0]+"/erasure", object{"reason": "asked"}).Must(t, http.StatusOK)
	h := strokesOf(t, x.player, x.Cards[0], 0, 1).Strokes[0]
	require.Equal(t, []any{"", "", "driver", 300.0}, []any{h.Aim, h.Word, h.Club, h.Distance}, "the figures stay")
	x.player.Get(t, card+"/strokes.csv").Must(t, http.StatusOK)
	x.askers[6].Get(t, "/players/"+x.Players[0]+"/notes").Must(t, http.StatusUnauthorized)
	require.JSONEq(t, `{"items":[]}`, string(x.player.Get(t, card+"/shares").Must(t, http.StatusOK).Body))
	require.JSONEq(t, `{"items":[]}`, string(x.player.Get(t, "/players/"+x.Players[0]+"/notes").Must(t, http.StatusOK).Body))
	before := s.Position(t)
	p := x.player.Post(t, card+"/strokes", object{"hole": 2, "lie": "tee", "distance": 300, "word": "again"}).Must(t, http.StatusConflict).Problem(t)
	require.Equal(t, []string{"word", "player_erased"}, []string{p.Field, p.Code})
	p = x.player.Post(t, card+"/shares", object{"for": "Ilse"}).Must(t, http.StatusConflict).Problem(t)
	require.Equal(t, "player_erased", p.Code)
	p = x.player.Post(t, card+"/strokes.csv", nil, apitest.Raw("text/csv", "hole,stroke,lie,distance,aim\n2,1,tee,300,a post\n")).Must(t, http.StatusUnprocessableEntity).Problem(t)
	require.Equal(t, []any{"aim", 2}, []any{p.Problems[0].Column, p.Problems[0].Row})
	require.Equal(t, before, s.Position(t))
	_, err := s.Commands.Names(context.Background(), []string{x.Players[0]})
	require.NoError(t, err, "no key was made anew")
	x.player.Post(t, card+"/strokes", object{"hole": 2, "lie": "tee", "distance": 300}).Must(t, http.StatusCreated)
	x.player.Put(t, card+"/strokes/"+x.stroke, object{"lie": "tee", "distance": 299}).Must(t, http.StatusOK)
	for _, path := range []string{card, card + "/events", card + "/figures", card + "/strokes", card + "/review"} {
		require.Less(t, x.player.Get(t, path).Status, 500, path)
		require.Less(t, x.committee.Get(t, path).Status, 500, path)
	}
}
