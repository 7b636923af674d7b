package apitest

import (
	"bytes"
	"context"
	"encoding/json"
	"io"
	"net/http"
	"strings"
	"testing"

	"github.com/google/uuid"
	"github.com/stretchr/testify/require"

	"marram.example/api"
)

// Password is that of the account that Committee signs in with.
const Password = "seven quiet herons"

// Client asks a server as somebody.
type Client struct {
	server *Server
	token  string
}

// Anonymous asks as nobody.
func (s *Server) Anonymous() *Client { return &Client{server: s} }

// Token is what the client sends as bearer token; empty for nobody.
func (c *Client) Token() string { return c.token }

// Bearer asks with the token of a session or a card link.
func (s *Server) Bearer(token string) *Client { return &Client{server: s, token: token} }

// Committee makes an account where there is none and signs in.
func (s *Server) Committee(t testing.TB) *Client {
	t.Helper()
	has, err := s.Auth.HasAccounts(context.Background())
	require.NoError(t, err)
	if !has {
		require.NoError(t, s.Auth.AddAccount(context.Background(), "secretary", Password))
	}
	var in api.Session
	s.Anonymous().Post(t, "/sessions", api.NewSession{Name: "secretary", Password: Password}).Must(t, http.StatusCreated).JSON(t, &in)
	return s.Bearer(in.Token)
}

// Asking changes one request.
type Asking func(*asking)

type asking struct {
	bad    bool
	header http.Header
	raw    []byte
	isRaw  bool
}

// Bad says that the request breaks the contract on purpose.
func Bad() Asking { return func(a *asking) { a.bad = true } }

// Header sets a header; an empty value leaves it out.
func Header(name, value string) Asking {
	return func(a *asking) {
		if value == "" {
			a.header.Del(name)
			return
		}
		a.header.Set(name, value)
	}
}

// Key sets the idempotency key.
func Key(key string) Asking { return Header(api.HeaderIdempotencyKey, key) }

// Raw sends a body as it is.
func Raw(contentType, body string) Asking {
	return func(a *asking) {
		a.raw, a.isRaw = []byte(body), true
		a.header.Set("Content-Type", contentType)
	}
}

// Answer is what came back.
type Answer struct {
	Status int
	Header http.Header
	Body   []byte
}

// Get asks for a path below the root of the API, or any path beginning with "//".
func (c *Client) Get(t testing.TB, path string, o ...Asking) Answer {
	t.Helper()
	return c.Do(t, http.MethodGet, path, nil, o...)
}

// Post posts a value as JSON with a fresh key; nil for no body.
func (c *Client) Post(t testing.TB, path string, body any, o ...Asking) Answer {
	t.Helper()
	return c.Do(t, http.MethodPost, path, body, o...)
}

// Put is Post with another method.
func (c *Client) Put(t testing.TB, path string, body any, o ...Asking) Answer {
	t.Helper()
	return c.Do(t, http.MethodPut, path, body, o...)
}

// Do sends a request and holds it and the answer against the contract.
func (c *Client) Do(t testing.TB, method, path string, body any, o ...Asking) Answer {
	t.Helper()
	a := asking{header: http.Header{}}
	if body != nil {
		var err error
		a.raw, err = json.Marshal(body)
		require.NoError(t, err)
		a.header.Set("Content-Type", "application/json")
	}
	if method != http.MethodGet && method != http.MethodDelete {
		a.header.Set(api.HeaderIdempotencyKey, uuid.NewString())
	}
	if c.token != "" {
		a.header.Set("Authorization", "Bearer "+c.token)
	}
	for _, change := range o {
		change(&a)
	}
	r, err := http.NewRequestWithContext(context.Background(), method, c.server.URL+at(path), bytes.NewReader(a.raw))
	require.NoError(t, err)
	r.Header = a.header
	if !a.bad {
		c.server.request(t, r, a.raw)
	}
	return c.server.send(t, r)
}

func at(path string) string {
	if rest, ok := strings.CutPrefix(path, "//"); ok {
		return "/" + rest
	}
	return api.Root + path
}

func (s *Server) send(t testing.TB, r *http.Request) Answer {
	t.Helper()
	client := http.Client{CheckRedirect: func(*http.Request, []*http.Request) error { return http.ErrUseLastResponse }}
	resp, err := client.Do(r)
	require.NoError(t, err)
	defer func() { require.NoError(t, resp.Body.Close()) }()
	b, err := io.ReadAll(resp.Body)
	require.NoError(t, err)
	s.response(t, r, resp.StatusCode, resp.Header, b)
	return Answer{Status: resp.StatusCode, Header: resp.Header, Body: b}
}

// Must fails the test where the status is another one.
func (a Answer) Must(t testing.TB, status int) Answer {
	t.Helper()
	require.Equal(t, status, a.Status, "%s", clip(a.Body))
	return a
}

// JSON decodes the body.
func (a Answer) JSON(t testing.TB, into any) {
	t.Helper()
	require.NoError(t, json.Unmarshal(a.Body, into), "%s", clip(a.Body))
}

// Written decodes what a write did.
func (a Answer) Written(t testing.TB) api.Written {
	t.Helper()
	var w api.Written
	a.JSON(t, &w)
	return w
}

// Problem decodes a refusal.
func (a Answer) Problem(t testing.TB) api.Problem {
	t.Helper()
	require.Equal(t, api.ContentTypeProblem, a.Header.Get("Content-Type"), "%s", clip(a.Body))
	var p api.Problem
	a.JSON(t, &p)
	return p
}
