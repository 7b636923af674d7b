package web

import (
	"context"
	"html/template"
	"log/slog"
	"net/http"
	"strings"
	"time"

	"github.com/labstack/echo/v4"

	"marram.example/api/auth"
	"marram.example/api/command"
	"marram.example/events"
	eventlog "marram.example/events/log"
	"marram.example/projections/board"
	"marram.example/projections/cards"
	"marram.example/projections/competitions"
	"marram.example/projections/courses"
	"marram.example/projections/players"
	"marram.example/projections/results"
)

// Options are what the pages are made from.
type Options struct {
	Club     string // the club's name as people say it
	Log      *eventlog.Log
	Commands *command.Service
	Auth     *auth.Auth
	Boards   *board.Boards

	Competitions *competitions.Competitions
	Courses      *courses.Courses
	Players      *players.Players
	Cards        *cards.Cards
	Results      *results.Results

	Location *time.Location   // of the club's clock, default time.Local
	Now      func() time.Time // default time.Now
	Logger   *slog.Logger     // default: discard
}

// Web is the pages of one club.
type Web struct {
	Options
	club     string
	location *time.Location
	assets   *assets
	pages    map[string]*template.Template
}

// New reads the embedded templates and static files. It fails where one of them
// is broken.
func New(o Options) (*Web, error) {
	if o.Location == nil {
		o.Location = time.Local
	}
	if o.Now == nil {
		o.Now = time.Now
	}
	if o.Logger == nil {
		o.Logger = slog.New(slog.DiscardHandler)
	}
	w := &Web{Options: o, club: o.Club, location: o.Location}
	var err error
	if w.assets, err = readAssets(); err != nil {
		return nil, err
	}
	if w.pages, err = parse(w.funcs()); err != nil {
		return nil, err
	}
	return w, nil
}

// Register adds the pages' routes. Errors of pages are answered as pages; what
// begins with /api/ is left to the API.
func (w *Web) Register(e *echo.Echo) {
	e.GET("/static/*", w.assets.serve)
	g := e.Group("", w.problems, guard, w.Auth.Identify())
	g.GET("/", w.home)
	g.RouteNotFound("/*", func(c echo.Context) error {
		if strings.HasPrefix(c.Request().URL.Path, "/api/") {
			return errNotOurs
		}
		return errNoPage
	})
}

// errNotOurs leaves an unknown address to the API's own error handler.
var errNotOurs = echo.NewHTTPError(http.StatusNotFound)

// who is the visitor; the zero value for somebody unknown.
func (w *Web) who(c echo.Context) command.Who { return w.Auth.Who(c) }

func isCommittee(who command.Who) bool { return who.Role == events.RoleCommittee }

// names looks up players' names for a page; those erased have none.
func (w *Web) names(ctx context.Context, ids []string) (map[string]string, error) {
	return w.Players.Names(ctx, ids)
}
