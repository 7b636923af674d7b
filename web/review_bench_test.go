package web_test

import (
	"context"
	"io"
	"net/http"
	"testing"

	"marram.example/api/apitest"
	"marram.example/events"
)

// yearsOfRounds of a keen player.
const yearsOfRounds = 500

// BenchmarkPlayerPage is the page of a player with 500 logged rounds on SQLite, from
// the request to the last byte: as it opens, of all years, and of one card.
func BenchmarkPlayerPage(b *testing.B) {
	m := medal(b, 4)
	m.open()
	m.logRound(m.card(0), 0)
	m.returned(m.card(0))
	apitest.MustPlayRounds(b, m.store, m.models.Strokes, apitest.Rounds{PlayerID: m.players[0], To: yearsOfRounds, Seed: 4})
	v := m.holder(0, events.RolePlayer)
	for _, page := range []struct{ name, at string }{
		{"as it opens", "/players/" + m.players[0] + "/review"},
		{"all years", "/players/" + m.players[0] + "/review?last=0"},
		{"card", "/cards/" + m.card(0) + "/review"},
		{"against the club", "/players/" + m.players[0] + "/review?baseline=club"},
	} {
		v.reads(page.at)
		b.Run(page.name, func(b *testing.B) {
			b.ReportMetric(float64(len(v.text)), "bytes")
			for b.Loop() {
				r, err := http.NewRequestWithContext(context.Background(), http.MethodGet, m.server.URL+page.at, http.NoBody)
				if err != nil {
					b.Fatal(err)
				}
				a, err := v.client.Do(r)
				if err != nil || a.StatusCode != http.StatusOK {
					b.Fatal(err, a)
				}
				if _, err := io.Copy(io.Discard, a.Body); err != nil || a.Body.Close() != nil {
					b.Fatal(err)
				}
			}
		})
	}
}
