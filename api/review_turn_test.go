package api_test

import (
	"context"
	"net/http"
	"net/http/httptrace"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"marram.example/api"
	"marram.example/api/apitest"
	"marram.example/events"
)

// Reviews wait for their turn, and hold up nothing but reviews.
func TestReviewsTakeTurns(t *testing.T) {
	t.Parallel()
	s := apitest.MustServe(t)
	c := s.Committee(t)
	m := apitest.MustOpenRound(t, c)
	player := s.Bearer(apitest.MustLink(t, c, m.Cards[0], events.RolePlayer))
	other := s.Bearer(apitest.MustLink(t, c, m.Cards[1], events.RolePlayer))
	played(t, player, m.Cards[0], 0)
	in := apitest.Scores(apitest.Par)
	in["signed"] = true
	c.Put(t, "/cards/"+m.Cards[0]+"/scores", in).Must(t, http.StatusOK)
	reviews := []string{"/cards/" + m.Cards[0] + "/review", "/players/" + m.Players[0] + "/review"}

	release := s.API.HoldReviews()
	for _, at := range reviews {
		ctx, cancel := context.WithTimeout(context.Background(), 200*time.Millisecond)
		q, err := http.NewRequestWithContext(ctx, http.MethodGet, s.URL+api.Root+at, http.NoBody)
		require.NoError(t, err)
		q.Header.Set("Authorization", "Bearer "+player.Token())
		_, err = http.DefaultClient.Do(q) //nolint:bodyclose // there is no answer
		require.ErrorIs(t, err, context.DeadlineExceeded, "%s waits", at)
		cancel()
	}
	withheld(t, other, "/cards/"+m.Cards[1]+"/review")
	other.Post(t, "/cards/"+m.Cards[1]+"/scores", map[string]any{"hole": 1, "strokes": 4}).Must(t, http.StatusCreated)
	release()
	for _, at := range reviews {
		reviewOf(t, player, at)
	}
}

// A card that is reopened while its review waits is withheld all the same.
func TestReopenedWhileAReviewWaits(t *testing.T) {
	t.Parallel()
	s := apitest.MustServe(t)
	c := s.Committee(t)
	m := apitest.MustOpenRound(t, c)
	card := m.Cards[0]
	player := s.Bearer(apitest.MustLink(t, c, card, events.RolePlayer))
	played(t, player, card, 0)
	in := apitest.Scores(apitest.Par)
	in["signed"] = true
	c.Put(t, "/cards/"+card+"/scores", in).Must(t, http.StatusOK)

	release := s.API.HoldReviews()
	sent, status := make(chan struct{}), make(chan int)
	ctx := httptrace.WithClientTrace(t.Context(), &httptrace.ClientTrace{WroteRequest: func(httptrace.WroteRequestInfo) { close(sent) }})
	q, err := http.NewRequestWithContext(ctx, http.MethodGet, s.URL+api.Root+"/cards/"+card+"/review", http.NoBody)
	require.NoError(t, err)
	q.Header.Set("Authorization", "Bearer "+player.Token())
	go func() {
		defer close(status)
		if r, err := http.DefaultClient.Do(q); err == nil {
			status <- r.StatusCode
			_ = r.Body.Close()
		}
	}()
	<-sent
	c.Post(t, "/cards/"+card+"/reopening", map[string]any{"reason": "a hole was left out"}).Must(t, http.StatusOK)
	release()
	require.Equal(t, http.StatusConflict, <-status)
}
