package api_test

import (
	"encoding/json"
	"net/http"
	"testing"

	"github.com/stretchr/testify/require"

	"marram.example/api"
	"marram.example/api/apitest"
	"marram.example/events"
	"marram.example/projections/review"
	"marram.example/projections/shots"
	"marram.example/projections/store"
)

// yearsOfRounds of a keen player.
const yearsOfRounds = 500

// BenchmarkPlayerReview is the review of a player with 500 logged rounds on SQLite:
// the whole answer over HTTP, and its parts.
func BenchmarkPlayerReview(b *testing.B) {
	s := apitest.MustServe(b, apitest.On(store.SQLite))
	c := s.Committee(b)
	m := apitest.MustOpenRound(b, c)
	player := s.Bearer(apitest.MustLink(b, c, m.Cards[0], events.RolePlayer))
	id := m.Players[0]
	apitest.MustPlayRounds(b, s.Store, s.API.Models.Strokes, apitest.Rounds{PlayerID: id, To: yearsOfRounds, Seed: 4})
	played, err := s.API.Models.Strokes.ByPlayer(b.Context(), id, "", 0)
	require.NoError(b, err)
	require.Len(b, played, yearsOfRounds)
	require.Equal(b, apitest.ARound, played[0].Logged)
	rounds := make([]shots.Round, len(played))
	for i, p := range played {
		rounds[i] = p.Round
	}
	table, err := shots.Named("broadie-2012")
	require.NoError(b, err)
	matched, err := shots.Matched(table, rounds[0].Holes, 88)
	require.NoError(b, err)
	of := func(b *testing.B, own, past []shots.Round) review.Review {
		r, err := review.Of(review.Input{Own: own, Past: past, Baseline: matched, Matched: matched})
		if err != nil || len(r.Sentences) != 3 {
			b.Fatal(err, len(r.Sentences))
		}
		return r
	}
	all := of(b, rounds, nil)

	answer := func(query string) func(*testing.B) {
		return func(b *testing.B) {
			for b.Loop() {
				r, err := http.NewRequestWithContext(b.Context(), http.MethodGet, s.URL+api.Root+"/players/"+id+"/review"+query, nil)
				if err != nil {
					b.Fatal(err)
				}
				r.Header.Set("Authorization", "Bearer "+player.Token())
				a, err := http.DefaultClient.Do(r)
				if err != nil || a.StatusCode != http.StatusOK || a.Body.Close() != nil {
					b.Fatal(err, a)
				}
			}
		}
	}
	b.Run("answer as it opens", answer(""))
	b.Run("answer of all years", answer("?last=0"))
	b.Run("review", func(b *testing.B) {
		for b.Loop() {
			if r, err := s.API.PlayerReview(b.Context(), id, api.ReviewOptions{}); err != nil || r.Counted.Rounds != yearsOfRounds {
				b.Fatal(err, r.Counted.Rounds)
			}
		}
	})
	b.Run("read", func(b *testing.B) {
		for b.Loop() {
			if _, err := s.API.Models.Strokes.ByPlayer(b.Context(), id, "", 0); err != nil {
				b.Fatal(err)
			}
		}
	})
	b.Run("compute", func(b *testing.B) {
		for b.Loop() {
			of(b, rounds, nil)
		}
	})
	b.Run("compute last 20", func(b *testing.B) {
		for b.Loop() {
			of(b, rounds[:20], rounds[20:])
		}
	})
	b.Run("encode", func(b *testing.B) {
		for b.Loop() {
			text, err := json.Marshal(all)
			if err != nil {
				b.Fatal(err)
			}
			b.ReportMetric(float64(len(text)), "bytes")
		}
	})
}
