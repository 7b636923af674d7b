package web_test

import (
	"context"
	"io"
	"net/http"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"marram.example/api/command"
	"marram.example/events"
)

// A cookie that is sent again and again asks for no more work than once.
func TestAPlayerIsShownToACoachOnce(t *testing.T) {
	t.Parallel()
	m := medal(t, 3)
	m.open()
	player := as(events.RolePlayer, m.card(0))
	_, err := m.commands.ShareReview(context.Background(), player, m.card(0), command.ShareReview{For: "the coach, invented"})
	require.NoError(t, err)
	shares, err := m.commands.Shares(context.Background(), player.Who, m.card(0))
	require.NoError(t, err)
	q, err := http.NewRequest(http.MethodGet, m.server.URL+"/coach", http.NoBody)
	require.NoError(t, err)
	q.Header.Set("Cookie", strings.Repeat("marram_coach_"+m.players[0]+"="+shares[0].Token+"; ", 50)+"x=y")
	r, err := http.DefaultClient.Do(q)
	require.NoError(t, err)
	text, err := io.ReadAll(r.Body)
	require.NoError(t, err)
	require.NoError(t, r.Body.Close())
	require.Equal(t, http.StatusOK, r.StatusCode)
	require.Equal(t, 1, strings.Count(string(text), `href="/players/`+m.players[0]+`/review"`))
}
