package api

import (
	"errors"
	"log/slog"
	"net/netip"
	"time"

	"github.com/labstack/echo/v4"

	"marram.example/api/auth"
	"marram.example/api/command"
	"marram.example/api/live"
	eventlog "marram.example/events/log"
	"marram.example/projections"
	"marram.example/projections/board"
	"marram.example/projections/store"
)

// Root is where the routes of this version begin.
const Root = "/api/v1"

// Options are what the API stands on. All pointers but Metrics and Logger are
// required.
type Options struct {
	Club     string
	Log      *eventlog.Log
	Commands *command.Service
	Auth     *auth.Auth
	Boards   *board.Boards
	Store    *store.Store
	Runner   *projections.Runner
	Models   ReadModels

	Live live.Options // how listeners of the live boards are kept

	Metrics *Metrics     // default: a registry of its own
	Logger  *slog.Logger // default: discard

	// TrustedProxies are the networks whose X-Forwarded-For counts. Without one,
	// a client's address is that of its connection.
	TrustedProxies []netip.Prefix
	Secure         bool          // browsers come by HTTPS and are told to stay there
	MaxLag         uint64        // events that read models may be behind and still be ready, default 1000
	Patience       time.Duration // how long a query waits for min_sequence, default 3 s
}

// API serves the routes.
type API struct {
	Options
	lines     *slog.Logger
	listeners *live.Listeners
	past      chan struct{} // held while a board of the past is folded
	reviews   turns
	club      *clubBaseline
	page      func(echo.Context, Problem) error
}

// Defaults of the options.
const (
	defaultMaxLag   = 1000
	defaultPatience = 3 * time.Second
)

// New checks the options.
func New(o Options) (*API, error) {
	switch {
	case o.Club == "", o.Log == nil, o.Commands == nil, o.Auth == nil, o.Boards == nil, o.Store == nil, o.Runner == nil,
		o.Models.Courses == nil:
		return nil, errors.New("api: an option is missing")
	}
	if o.Metrics == nil {
		o.Metrics = NewMetrics()
	}
	if o.Logger == nil {
		o.Logger = slog.New(slog.DiscardHandler)
	}
	if o.MaxLag == 0 {
		o.MaxLag = defaultMaxLag
	}
	if o.Patience <= 0 {
		o.Patience = defaultPatience
	}
	a := &API{Options: o, past: make(chan struct{}, 1), reviews: newTurns(), club: newClubBaseline(), lines: o.Logger}
	a.listeners = live.New(o.Boards, a.mayWatchNow, o.Live)
	o.Metrics.watch(o.Runner, o.Boards)
	return a, nil
}

// Listeners are those who watch a board. A server that drains stops them first.
func (a *API) Listeners() *live.Listeners { return a.listeners }

// Pages makes problems outside of the API's own routes come out as pages.
func (a *API) Pages(render func(echo.Context, Problem) error) { a.page = render }

// Register puts middleware, error handler and routes on e. Call it before
// routes of others are added.
func (a *API) Register(e *echo.Echo) {
	e.HideBanner, e.HidePort = true, true
	e.HTTPErrorHandler = a.HandleError
	e.IPExtractor = clientAddress(a.TrustedProxies)
	e.Use(correlate(), a.record(), a.survive(), secureHeaders(a.Secure), notStored, a.Auth.Identify())
	a.routes(e)
}

// clientAddress finds whom a request comes from: never from a header that the
// client itself could have written.
func clientAddress(trusted []netip.Prefix) echo.IPExtractor {
	if len(trusted) == 0 {
		return echo.ExtractIPDirect()
	}
	o := []echo.TrustOption{echo.TrustLoopback(false), echo.TrustLinkLocal(false), echo.TrustPrivateNet(false)}
	for _, p := range trusted {
		o = append(o, echo.TrustIPRange(ipNet(p)))
	}
	return echo.ExtractIPFromXFFHeader(o...)
}
