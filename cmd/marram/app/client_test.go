package app_test

import (
	"bytes"
	"context"
	"encoding/json"
	"fmt"
	"io"
	"net/http"
	"os"
	"path/filepath"
	"sync/atomic"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"marram.example/cmd/marram/app"
)

const (
	secretary = "secretary"
	password  = "correct horse battery"
)

// mustStart runs the whole program in a folder of the test.
func mustStart(t testing.TB, change ...func(*app.Options)) *app.App {
	t.Helper()
	o := app.DefaultOptions()
	o.Addr, o.Data = "127.0.0.1:0", t.TempDir()
	for _, c := range change {
		c(&o)
	}
	a, err := app.New(t.Context(), o)
	require.NoError(t, err)
	t.Cleanup(func() { require.NoError(t, a.Stop(context.WithoutCancel(t.Context()))) })
	require.NoError(t, a.Start(t.Context()))
	return a
}

// client speaks to the public API as an integrator would.
type client struct {
	t     testing.TB
	url   string
	token string
	keys  atomic.Uint64
	last  uint64 // position of the last write, for reads that must see it
}

// answer is what every write says.
type answer struct {
	ID       string `json:"id"`
	Sequence uint64 `json:"sequence"`
	Position uint64 `json:"position"`
	Changed  bool   `json:"changed"`
}

// mustSignIn makes the first account with the setup link, as the committee does,
// and signs in.
func mustSignIn(t testing.TB, a *app.App) *client {
	t.Helper()
	token, err := a.Auth.SetupToken(t.Context())
	require.NoError(t, err)
	require.NoError(t, a.Auth.SetUp(t.Context(), token, secretary, password))
	c := &client{t: t, url: a.URL()}
	var session struct {
		Token string `json:"token"`
	}
	c.do(http.MethodPost, "/api/v1/sessions", map[string]string{"name": secretary, "password": password}, http.StatusCreated, &session)
	c.token = session.Token
	return c
}

// as is another client with a card link's token.
func (c *client) as(token string) *client { return &client{t: c.t, url: c.url, token: token} }

// do sends JSON and decodes the answer; another status than wanted fails the test.
func (c *client) do(method, path string, in any, want int, out any) {
	c.t.Helper()
	body, err := json.Marshal(in)
	require.NoError(c.t, err)
	c.send(method, path, "application/json", body, want, out)
}

func (c *client) send(method, path, kind string, body []byte, want int, out any) {
	c.t.Helper()
	r, err := http.NewRequestWithContext(c.t.Context(), method, c.url+path, bytes.NewReader(body))
	require.NoError(c.t, err)
	if method != http.MethodGet {
		r.Header.Set("Content-Type", kind)
		r.Header.Set("Idempotency-Key", fmt.Sprintf("test-%p-%d", c, c.keys.Add(1)))
	}
	if c.token != "" {
		r.Header.Set("Authorization", "Bearer "+c.token)
	}
	status, got := c.patiently(r, body)
	if want == 0 { // a write answers 201 where it made something, else 200
		want = http.StatusOK
		if status == http.StatusCreated {
			want = http.StatusCreated
		}
	}
	require.Equal(c.t, want, status, "%s %s: %s", method, path, got)
	if out != nil {
		require.NoError(c.t, json.Unmarshal(got, out), "%s", got)
	}
}

// patiently sends a request, and again as long as the answer is that reading is not as
// far as writing: what Retry-After asks a client to do.
func (c *client) patiently(r *http.Request, body []byte) (status int, answer []byte) {
	c.t.Helper()
	for deadline := time.Now().Add(patience); ; time.Sleep(50 * time.Millisecond) {
		r.Body = io.NopCloser(bytes.NewReader(body))
		res, err := http.DefaultClient.Do(r)
		require.NoError(c.t, err)
		got, err := io.ReadAll(res.Body)
		require.NoError(c.t, err)
		require.NoError(c.t, res.Body.Close())
		if res.StatusCode != http.StatusServiceUnavailable || res.Header.Get("Retry-After") == "" || time.Now().After(deadline) {
			return res.StatusCode, got
		}
	}
}

// write sends a command and remembers where it stands in the log.
func (c *client) write(method, path string, in any) answer {
	c.t.Helper()
	var out answer
	c.do(method, path, in, 0, &out)
	c.last = max(c.last, out.Position)
	return out
}

// read asks with everything written so far in view.
func (c *client) read(path string, out any) {
	c.t.Helper()
	c.send(http.MethodGet, fmt.Sprintf("%s?min_sequence=%d", path, c.last), "", nil, http.StatusOK, out)
}

// importFile brings in a file of the medal.
func (c *client) importFile(kind, query, name string) {
	c.t.Helper()
	body, err := os.ReadFile(filepath.Join(medalFolder, name))
	require.NoError(c.t, err)
	var dry, done struct {
		Rows     int    `json:"rows"`
		Position uint64 `json:"position"`
		Problems []any  `json:"problems"`
	}
	c.send(http.MethodPost, "/api/v1/imports/"+kind+"?dry_run=true"+query, "text/csv", body, http.StatusOK, &dry)
	require.Empty(c.t, dry.Problems)
	c.send(http.MethodPost, "/api/v1/imports/"+kind+"?dry_run=false"+query, "text/csv", body, http.StatusOK, &done)
	require.Equal(c.t, dry.Rows, done.Rows)
	c.last = max(c.last, done.Position)
}
