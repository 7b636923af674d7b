package live_test

import (
	"context"
	"net/http/httptest"
	"testing"
	"time"

	"github.com/labstack/echo/v4"
	"github.com/stretchr/testify/require"

	"marram.example/api/live"
)

func watchAll(echo.Context, string) error { return nil }

// From a score in the log on disk to a listener over HTTP, and back to any
// moment before.
func TestBoardOnTheRealLog(t *testing.T) {
	t.Parallel()
	e, c, boards := onRealLog(t, 6)
	l := live.New(boards, watchAll, live.Options{})
	s := newServer(l, time.Second)
	t.Cleanup(s.Close)
	t.Cleanup(func() { require.NoError(t, l.Stop(context.Background())) })
	p := pageOf(s, c.ID)
	res, err := p.open(t.Context())
	require.NoError(t, err)
	defer func() { require.NoError(t, res.Body.Close()) }()
	for hole := range 18 {
		require.NoError(t, c.Score("e1", hole+1, 4))
		at, err := e.append(t.Context())
		require.NoError(t, err)
		require.NoError(t, p.until(res.Body, at))
		require.Equal(t, at, p.board.Position)
		past, err := boards.AsOf(t.Context(), c.ID, at)
		require.NoError(t, err)
		require.JSONEq(t, shown(t, past), shown(t, p.board))
		r, ok := past.Row("e1")
		require.True(t, ok)
		require.Equal(t, hole+1, r.Thru)
	}
}

func pageOf(s *httptest.Server, competition string) *page {
	return &page{url: s.URL + "/api/v1/competitions/" + competition + "/board/stream", client: s.Client()}
}
