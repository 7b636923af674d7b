package app

import (
	"context"
	"errors"
	"fmt"
	"net"
	"net/http"
	"os"
	"path/filepath"
	"strings"
	"sync"

	"github.com/labstack/echo/v4"
	"github.com/labstack/echo/v4/middleware"

	"marram.example/api"
	"marram.example/api/auth"
	"marram.example/api/command"
	"marram.example/api/live"
	eventlog "marram.example/events/log"
	"marram.example/projections"
	"marram.example/projections/board"
	"marram.example/projections/store"
	"marram.example/web"
)

// App is a whole Marram: log, read models, boards, API and pages.
type App struct {
	Log      *eventlog.Log
	Store    *store.Store
	Runner   *projections.Runner
	Boards   *board.Boards
	Commands *command.Service
	Auth     *auth.Auth

	opts   Options
	models api.ReadModels
	api    *api.API
	echo   *echo.Echo
	server *http.Server
	listen net.Listener
	plain  net.Listener // for plain HTTP beside HTTPS; nil without

	secured *secured // nil for plain HTTP

	cleanups []cleanup // run in reverse by Stop
	cancel   context.CancelFunc
	work     sync.WaitGroup
	once     sync.Once
	failed   chan struct{} // closed when a part fails for good
	failOnce sync.Once
	mu       sync.Mutex
	err      error
	stopErr  error
}

// cleanup is one thing to undo.
type cleanup struct {
	name string
	do   func(context.Context) error
}

// New opens log and read store and wires the rest. Nothing listens and nothing
// runs before Start; commands and rebuilds can be used without it. A failed New
// leaves nothing open.
func New(ctx context.Context, o Options) (_ *App, err error) {
	a := &App{opts: o, failed: make(chan struct{})}
	defer func() {
		if err != nil {
			err = errors.Join(err, a.undo(context.WithoutCancel(ctx)))
		}
	}()
	if a.secured, err = o.TLS.open(o); err != nil {
		return nil, err
	}
	if o.TLS.On() {
		a.opts.HTTPS = true
	}
	if err := os.MkdirAll(o.Data, 0o700); err != nil {
		return nil, fmt.Errorf("make the data folder: %w", err)
	}
	metrics := api.NewMetrics()
	a.Log, err = eventlog.Open(ctx, eventlog.Options{
		Dir: filepath.Join(o.Data, "log"), NATSURL: o.NATSURL, Replicas: o.Replicas, Club: o.Club,
		LazySync: o.LazySync, Logger: o.Logger, Metrics: metrics.Log(),
	})
	if err != nil {
		return nil, fmt.Errorf("open the event log: %w", err)
	}
	a.later("event log", func(context.Context) error { return a.Log.Close() })
	so := store.Options{DatabaseURL: o.DatabaseURL, Logger: o.Logger, Patient: true}
	if so.DatabaseURL == "" {
		so.SQLitePath = filepath.Join(o.Data, "read-models.db")
	}
	if a.Store, err = store.Open(ctx, so); err != nil {
		return nil, fmt.Errorf("open the read store: %w", err)
	}
	a.later("read store", func(context.Context) error { return a.Store.Close() })
	if a.Commands, err = command.New(ctx, command.Options{Log: a.Log, Club: o.Club, Now: o.Now, Logger: o.Logger}); err != nil {
		return nil, err
	}
	a.models = api.NewReadModels(a.Store, a.Commands)
	a.Runner, err = projections.NewRunner(projections.Options{Log: a.Log, Store: a.Store, Projections: a.models.Projections(), Logger: o.Logger})
	if err != nil {
		return nil, err
	}
	a.Boards = board.New(board.Options{
		Names: api.NamesOf(a.Commands), History: a.Log.Competition, Logger: o.Logger, Metrics: metrics.Boards(),
	})
	a.later("boards", func(context.Context) error { a.Boards.Close(); return nil })
	a.Auth, err = auth.New(ctx, auth.Options{Log: a.Log, Commands: a.Commands, Secure: a.opts.HTTPS, Logger: o.Logger, Now: o.Now})
	if err != nil {
		return nil, err
	}
	return a, a.routes(metrics)
}

// routes puts API and pages on one server.
func (a *App) routes(metrics *api.Metrics) error {
	a.echo = echo.New()
	var err error
	a.api, err = api.New(api.Options{
		Club: a.opts.Club, Log: a.Log, Store: a.Store, Runner: a.Runner, Boards: a.Boards, Commands: a.Commands, Auth: a.Auth,
		Models: a.models, Metrics: metrics, Secure: a.opts.HTTPS, TrustedProxies: a.opts.TrustedProxies, Logger: a.opts.Logger,
	})
	if err != nil {
		return err
	}
	a.api.Register(a.echo)
	a.echo.Use(compressed())
	pages, err := web.New(web.Options{
		API: a.api, Club: a.opts.ClubName, Location: a.opts.Location, Now: a.opts.Now, Logger: a.opts.Logger,
	})
	if err != nil {
		return fmt.Errorf("read the pages: %w", err)
	}
	pages.Register(a.echo)
	return nil
}

// compressed makes pages and JSON small for phones on a weak signal. Streams are
// sent as they come, and static files are stored compressed.
func compressed() echo.MiddlewareFunc {
	return middleware.GzipWithConfig(middleware.GzipConfig{
		MinLength: 1400, // below that a packet is not even full
		Skipper: func(c echo.Context) bool {
			return strings.HasSuffix(c.Path(), live.Route) || strings.HasPrefix(c.Path(), "/static/") || c.Path() == "/metrics"
		},
	})
}

func (a *App) later(name string, do func(context.Context) error) {
	a.cleanups = append(a.cleanups, cleanup{name: name, do: do})
}

// Start listens and begins to project and to serve. A busy port is an error
// here, with nothing started.
func (a *App) Start(ctx context.Context) error {
	l, err := net.Listen("tcp", a.opts.Addr)
	if err != nil {
		return fmt.Errorf("listen on %s: %w", a.opts.Addr, err)
	}
	a.listen = l
	life, cancel := context.WithCancel(context.WithoutCancel(ctx))
	a.cancel = cancel
	a.later("background work", func(context.Context) error { cancel(); a.work.Wait(); return nil })
	a.run(life, "read models", a.Runner.Run)
	a.run(life, "live boards", func(ctx context.Context) error { return a.Boards.Run(ctx, a.Log) })
	a.server = a.opts.Limits.server(a.echo)
	a.later("web server", a.shutdown)
	serve := a.server.Serve
	if a.secured != nil {
		a.server.TLSConfig = a.secured.config
		serve = func(l net.Listener) error { return a.server.ServeTLS(l, "", "") }
	}
	a.work.Go(func() {
		if err := serve(l); !errors.Is(err, http.ErrServerClosed) {
			a.fail("web server", err)
		}
	})
	return a.serveRedirect(ctx)
}

// shutdown ends live streams first: they would keep the server from draining.
func (a *App) shutdown(ctx context.Context) error {
	return errors.Join(a.api.Listeners().Stop(ctx), a.server.Shutdown(ctx))
}

// run keeps a part at work until the end; its failure is the program's where it
// cannot go on.
func (a *App) run(ctx context.Context, name string, do func(context.Context) error) {
	a.work.Go(func() {
		if err := do(ctx); err != nil && ctx.Err() == nil {
			a.fail(name, err)
		}
	})
}

func (a *App) fail(name string, err error) {
	a.failOnce.Do(func() {
		a.mu.Lock()
		a.err = fmt.Errorf("%s: %w", name, err)
		a.mu.Unlock()
		a.opts.Logger.Error("stopped", "part", name, "error", err)
		close(a.failed)
	})
}

// Failed is closed when a part has failed for good; Err then says why.
func (a *App) Failed() <-chan struct{} { return a.failed }

// Err is why a part failed, or nil.
func (a *App) Err() error {
	a.mu.Lock()
	defer a.mu.Unlock()
	return a.err
}

// Addr is where it listens; empty before Start.
func (a *App) Addr() string {
	if a.listen == nil {
		return ""
	}
	return a.listen.Addr().String()
}

// PlainAddr is where plain HTTP is answered beside HTTPS; empty where it is not.
func (a *App) PlainAddr() string {
	if a.plain == nil {
		return ""
	}
	return a.plain.Addr().String()
}

// SpeaksHTTPS reports whether the program itself does.
func (a *App) SpeaksHTTPS() bool { return a.secured != nil }

// URL is the address of the home page on this machine.
func (a *App) URL() string {
	host, port, err := net.SplitHostPort(a.Addr())
	if err != nil {
		return ""
	}
	if ip := net.ParseIP(host); ip != nil && ip.IsUnspecified() {
		host = "127.0.0.1"
	}
	scheme := "http://"
	if a.SpeaksHTTPS() {
		scheme = "https://"
	}
	return scheme + net.JoinHostPort(host, port)
}

// Where says in words where log and read models lie.
func (a *App) Where() string {
	log, models := "event log in "+a.opts.Data, "read models in SQLite beside it"
	if a.opts.NATSURL != "" {
		log = "event log on remote NATS"
	}
	if a.opts.DatabaseURL != "" {
		models = "read models in PostgreSQL"
	}
	return log + ", " + models
}

// Stop ends everything in reverse order, all of it even if one part fails. It
// may be called twice; ctx bounds it.
func (a *App) Stop(ctx context.Context) error {
	a.once.Do(func() { a.stopErr = a.undo(ctx) })
	return a.stopErr
}

func (a *App) undo(ctx context.Context) error {
	var errs []error
	for i := len(a.cleanups) - 1; i >= 0; i-- {
		if err := a.cleanups[i].do(ctx); err != nil {
			errs = append(errs, fmt.Errorf("stop %s: %w", a.cleanups[i].name, err))
		}
	}
	a.cleanups = nil
	return errors.Join(errs...)
}
