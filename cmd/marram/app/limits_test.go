package app_test

import (
	"bufio"
	"fmt"
	"io"
	"net"
	"net/http"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"marram.example/api/command"
	"marram.example/cmd/marram/app"
)

// bound keeps a broken limit from hanging the tests.
const bound = 30 * time.Second

// dawdle sends a request whose body never comes to its end, and waits until the
// server has had enough.
func dawdle(t *testing.T, a *app.App) {
	t.Helper()
	c, err := net.Dial("tcp", a.Addr())
	require.NoError(t, err)
	defer func() { _ = c.Close() }()
	require.NoError(t, c.SetDeadline(time.Now().Add(bound)))
	_, err = fmt.Fprint(c, "POST /sign-in HTTP/1.1\r\nHost: marram.example\r\n"+
		"Content-Type: application/x-www-form-urlencoded\r\nContent-Length: 1000\r\n\r\nname=")
	require.NoError(t, err)
	_, err = io.Copy(io.Discard, c)
	require.NoError(t, err, "the server closes")
}

func TestSlowRequestsEnd(t *testing.T) {
	t.Parallel()
	dawdle(t, mustStart(t, func(o *app.Options) { o.Limits.Request = 100 * time.Millisecond }))
}

// A live board stays open for longer than a request or an answer may take.
func TestLiveBoardsOutliveTheLimits(t *testing.T) {
	t.Parallel()
	const limit = 2 * time.Second // enough to sign in
	a := mustStart(t, func(o *app.Options) { o.Limits.Request, o.Limits.Answer = limit, limit })
	c := mustSignIn(t, a)
	id := c.write(http.MethodPost, "/api/v1/competitions", command.PlanCompetition{Name: "Medal", Date: "2026-05-30"}).ID
	r, err := http.NewRequestWithContext(t.Context(), http.MethodGet, a.URL()+"/api/v1/competitions/"+id+"/board/stream", http.NoBody)
	require.NoError(t, err)
	r.Header.Set("Authorization", "Bearer "+c.token)
	res, err := http.DefaultClient.Do(r)
	require.NoError(t, err)
	defer func() { _ = res.Body.Close() }()
	require.Equal(t, http.StatusOK, res.StatusCode)
	dawdle(t, a) // until the limits are over
	c.write(http.MethodPut, "/api/v1/competitions/"+id, command.PlanCompetition{Name: "Autumn Medal", Date: "2026-05-30"})
	lines := bufio.NewScanner(res.Body)
	for lines.Scan() {
		if strings.Contains(lines.Text(), "Autumn Medal") {
			return
		}
	}
	require.Fail(t, "the stream ended", "%v", lines.Err())
}
