package api_test

import (
	"net/http"
	"net/http/httptest"
	"testing"

	"github.com/labstack/echo/v4"
	"github.com/stretchr/testify/require"

	"marram.example/api/apitest"
	"marram.example/events"
)

// Opening a link gives the browser its cookie; a link of one kind is no link of the
// other, and gives none.
func TestLinksOfTwoKinds(t *testing.T) {
	t.Parallel()
	s := apitest.MustServe(t)
	x := mustReview(t, s)
	open := func() (echo.Context, *httptest.ResponseRecorder) {
		w := httptest.NewRecorder()
		e := echo.New()
		e.IPExtractor = echo.ExtractIPDirect()
		return e.NewContext(httptest.NewRequest(http.MethodGet, "/", nil), w), w
	}
	coach, player := x.askers[6].Token(), x.player.Token()
	c, w := open()
	id, err := s.Auth.CoachCookie(c, coach)
	require.NoError(t, err)
	require.Equal(t, x.Players[0], id)
	k := w.Result().Cookies()[0]
	require.Equal(t, []any{"marram_coach_" + id, coach, true, http.SameSiteLaxMode, "/"}, []any{k.Name, k.Value, k.HttpOnly, k.SameSite, k.Path})
	c, w = open()
	_, err = s.Auth.CoachCookie(c, player)
	require.Equal(t, events.KindForbidden, events.AsError(err).Kind)
	require.Empty(t, w.Result().Cookies())
	c, w = open()
	_, err = s.Auth.CardCookie(c, coach)
	require.Equal(t, events.KindForbidden, events.AsError(err).Kind)
	require.Empty(t, w.Result().Cookies())
}
