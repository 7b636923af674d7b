// Package apitest runs the API for tests: the real log, the real read store,
// real HTTP over loopback. Every request and response is held against
// openapi.yaml, and an answer of 500 fails the test.
package apitest

import (
	"bytes"
	"context"
	"log/slog"
	"net/http/httptest"
	"sync"
	"testing"
	"time"

	"github.com/labstack/echo/v4"
	"github.com/stretchr/testify/require"

	"marram.example/api"
	"marram.example/api/auth"
	"marram.example/api/command"
	"marram.example/events"
	eventlog "marram.example/events/log"
	"marram.example/events/log/logtest"
	"marram.example/projections"
	"marram.example/projections/board"
	"marram.example/projections/store"
	"marram.example/projections/store/storetest"
)

// Server is a running API and what it stands on.
type Server struct {
	*contract
	URL      string
	API      *api.API
	Log      *eventlog.Log
	Commands *command.Service
	Auth     *auth.Auth
	Boards   *board.Boards
	Runner   *projections.Runner
	Store    *store.Store
	Lines    *Lines // what was logged
}

// Option changes how a server is made.
type Option func(*options)

type options struct {
	dialect store.Dialect
	auth    auth.Options
	api     api.Options
}

// On chooses the database of the read models; SQLite is the default.
func On(d store.Dialect) Option { return func(o *options) { o.dialect = d } }

// WithAPI changes the options of the API.
func WithAPI(change func(*api.Options)) Option { return func(o *options) { change(&o.api) } }

// WithAuth changes the options of sign-in.
func WithAuth(change func(*auth.Options)) Option { return func(o *options) { change(&o.auth) } }

// MustServe runs an API until the test ends.
func MustServe(t testing.TB, change ...Option) *Server {
	t.Helper()
	o := options{dialect: store.SQLite}
	for _, c := range change {
		c(&o)
	}
	s := &Server{contract: mustLoad(t), Lines: &Lines{}}
	e := echo.New()
	s.wire(t, e, o)
	web := httptest.NewServer(e)
	s.URL = web.URL
	t.Cleanup(func() {
		ctx, cancel := context.WithTimeout(context.Background(), 10*time.Second)
		defer cancel()
		require.NoError(t, s.API.Listeners().Stop(ctx))
		web.Close()
	})
	return s
}

// wire makes the parts of a server: the one place that says how they fit.
func (s *Server) wire(t testing.TB, e *echo.Echo, o options) {
	t.Helper()
	ctx := context.Background()
	lines := slog.New(slog.NewJSONHandler(s.Lines, nil))
	metrics := api.NewMetrics()
	var err error
	s.Log = logtest.MustOpen(t, func(l *eventlog.Options) { l.Metrics = metrics.Log() })
	s.Commands, err = command.New(ctx, command.Options{Log: s.Log, Club: logtest.Club, Logger: lines})
	require.NoError(t, err)
	s.Store = storetest.Open(t, o.dialect)
	models := api.NewReadModels(s.Store, s.Commands)
	s.Runner, err = projections.NewRunner(projections.Options{Log: s.Log, Store: s.Store, Projections: models.Projections(), Logger: lines})
	require.NoError(t, err)
	s.Boards = board.New(board.Options{Names: api.NamesOf(s.Commands), History: s.Log.Competition, Logger: lines, Metrics: metrics.Boards()})
	o.auth.Log, o.auth.Commands, o.auth.Logger = s.Log, s.Commands, lines
	s.Auth, err = auth.New(ctx, o.auth)
	require.NoError(t, err)
	o.api.Club, o.api.Log, o.api.Commands, o.api.Auth, o.api.Boards = logtest.Club, s.Log, s.Commands, s.Auth, s.Boards
	o.api.Store, o.api.Runner, o.api.Models, o.api.Metrics, o.api.Logger = s.Store, s.Runner, models, metrics, lines
	s.API, err = api.New(o.api)
	require.NoError(t, err)
	s.API.Register(e)

	running, stop := context.WithCancel(ctx)
	var both sync.WaitGroup
	both.Go(func() { _ = s.Runner.Run(running) })
	both.Go(func() { _ = s.Boards.Run(running, s.Log) })
	t.Cleanup(func() {
		s.Boards.Close()
		stop()
		both.Wait()
	})
}

// Position is how far the log reaches: what a refused request must not move.
func (s *Server) Position(t testing.TB) events.Position {
	t.Helper()
	at, _, err := s.Log.Last(context.Background())
	require.NoError(t, err)
	return at
}

// Lines keeps what was logged.
type Lines struct {
	mu sync.Mutex
	b  bytes.Buffer
}

// Write implements io.Writer.
func (l *Lines) Write(p []byte) (int, error) {
	l.mu.Lock()
	defer l.mu.Unlock()
	return l.b.Write(p)
}

func (l *Lines) String() string {
	l.mu.Lock()
	defer l.mu.Unlock()
	return l.b.String()
}
