package api_test

import (
	"net/http"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"marram.example/api"
	"marram.example/api/apitest"
	"marram.example/events"
)

// The history of a card lists what its player logged to that player alone, without
// the words. Whoever else may see the card learns from no answer about it that
// strokes were logged.
func TestStrokesAreInNobodyElsesHistory(t *testing.T) {
	t.Parallel()
	s := apitest.MustServe(t)
	x := mustReview(t, s)
	at := "/cards/" + x.Cards[0]
	again := teeStroke()
	delete(again, "hole")
	again["club"] = "wood-3"
	x.player.Put(t, at+"/strokes/"+x.stroke, again).Must(t, http.StatusOK)
	taken := x.player.Post(t, at+"/strokes", map[string]any{"hole": 9, "lie": "rough", "distance": 91.25}).Must(t, http.StatusCreated).Written(t).ID
	x.player.Do(t, http.MethodDelete, at+"/strokes/"+taken, nil, apitest.Key("taken-off")).Must(t, http.StatusOK)

	stroke := map[string]bool{}
	for _, e := range []events.Event{events.StrokeRecorded{}, events.StrokeAmended{}, events.StrokeRemoved{}} {
		stroke[e.EventType()] = true
	}
	seen := 0
	for i, asker := range x.askers {
		own := asker == x.player
		for _, path := range []string{at, at + "/events", at + "/figures", "/competitions/" + x.Competition + "/board"} {
			answer := asker.Get(t, path)
			if answer.Status != http.StatusOK {
				continue
			}
			seen++
			text := string(answer.Body)
			for _, word := range []string{aimWords, afterWords, "words\":\"Y", x.stroke, "driver", "91.25"} {
				if own && path == at+"/events" && (word == x.stroke || word == "driver" || word == "91.25") {
					require.Contains(t, text, word)
					continue
				}
				require.NotContains(t, text, word, "%s asks for %s", askerNames()[i], path)
			}
			if path != at+"/events" {
				require.NotContains(t, strings.ToLower(text), "stroke is logged")
				continue
			}
			var page api.Page[struct {
				Type  string         `json:"type"`
				Words string         `json:"words"`
				Data  map[string]any `json:"data"`
			}]
			answer.JSON(t, &page)
			found := map[string]bool{}
			for _, e := range page.Items {
				require.NotEmpty(t, e.Words)
				if stroke[e.Type] {
					found[e.Type] = true
					require.NotContains(t, e.Data, "words", "sealed bytes are no use here")
				}
			}
			if own {
				require.Equal(t, stroke, found)
			} else {
				require.Empty(t, found, askerNames()[i])
			}
		}
	}
	require.Greater(t, seen, 15, "several people may look at a card")
}

// Whether a round is practice, and when it is played, stands on its cards.
func TestACardSaysThatItIsPractice(t *testing.T) {
	t.Parallel()
	s := apitest.MustServe(t)
	c := s.Committee(t)
	for _, practice := range []bool{false, true} {
		m := apitest.MustOpenRound(t, c, func(t *events.Terms) { t.Practice = practice })
		var k api.Card
		c.Get(t, "/cards/"+m.Cards[0]).Must(t, http.StatusOK).JSON(t, &k)
		require.Equal(t, practice, k.Practice)
		var comp api.Competition
		c.Get(t, "/competitions/"+m.Competition).Must(t, http.StatusOK).JSON(t, &comp)
		require.Equal(t, comp.Date, k.Date)
		require.Equal(t, practice, comp.Terms.Practice)
	}
}
