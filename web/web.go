package web

import (
	"errors"
	"html/template"
	"log/slog"
	"strings"
	"time"

	"github.com/labstack/echo/v4"
	"github.com/labstack/echo/v4/middleware"

	"marram.example/api"
	"marram.example/api/command"
	"marram.example/events"
	"marram.example/events/competition"
)

// Options are what the pages stand on. API and Club are required.
type Options struct {
	API      *api.API         // use cases, sign-in, boards and read models
	Club     string           // the club's name as people say it
	Location *time.Location   // of the club's clock, default time.Local
	Now      func() time.Time // default time.Now
	Logger   *slog.Logger     // default: discard
}

// Web is the pages of one club.
type Web struct {
	api      *api.API
	club     string
	location *time.Location
	now      func() time.Time
	lines    *slog.Logger
	assets   *assets
	pages    map[string]*template.Template
	routes   []string // routes of all pages
}

// New reads the embedded templates and static files. It fails where one of them
// is broken or an option is missing.
func New(o Options) (*Web, error) {
	if o.API == nil || o.Club == "" {
		return nil, errors.New("web: an option is missing")
	}
	w := &Web{api: o.API, club: o.Club, location: o.Location, now: o.Now, lines: o.Logger}
	if w.location == nil {
		w.location = time.Local
	}
	if w.now == nil {
		w.now = time.Now
	}
	if w.lines == nil {
		w.lines = slog.New(slog.DiscardHandler)
	}
	var err error
	if w.assets, err = readAssets(); err != nil {
		return nil, err
	}
	if w.pages, err = parse(w.funcs()); err != nil {
		return nil, err
	}
	return w, nil
}

// smallForm is the most that a form of a page outside the console may send:
// anybody may send one.
const smallForm = "64K"

// Register adds the pages' routes and makes the API answer people's problems
// with pages. The API registers first: its middleware says who a visitor is and
// sets the security headers.
func (w *Web) Register(e *echo.Echo) {
	w.api.Pages(w.Problem)
	small := middleware.BodyLimit(smallForm)
	e.GET("/static/*", w.assets.serve)
	e.GET("/manifest.webmanifest", w.manifest)
	e.GET("/favicon.ico", w.favicon)
	e.POST("/theme", w.setTheme, small)
	e.GET("/", w.home)
	e.GET("/sign-in", w.signInForm)
	e.POST("/sign-in", w.signIn, small)
	e.POST("/sign-out", w.signOut, small)
	e.GET("/setup/:token", w.setUpForm)
	e.POST("/setup/:token", w.setUp, small)
	e.GET("/competitions/:competition", w.competition)
	e.GET("/competitions/:competition/entries", w.entries)
	e.GET("/competitions/:competition/start-sheet", w.startSheet)
	e.GET("/competitions/:competition/board", w.board)
	e.GET("/competitions/:competition/result", w.result)
	e.GET("/competitions/:competition/what-if", w.whatIf)
	e.GET("/c/:token", w.openCard)
	e.GET("/cards", w.cards)
	e.GET("/cards/:card", w.card)
	e.POST("/cards/:card/scores", w.enterScore, small)
	e.POST("/cards/:card/certification", w.certify, small)
	e.POST("/cards/:card/return", w.returnCard, small)
	e.GET("/cards/:card/figures", w.figures)
	e.GET("/matches/:match", w.match)
	e.GET("/matches/:match/figures", w.matchFigures)
	e.POST("/matches/:match/holes", w.enterMatchHole, small)
	e.POST("/matches/:match/concession", w.concede, small)
	e.POST("/matches/:match/result", w.agreeResult, small)
	e.GET("/players/:player", w.player)
	e.GET("/players/:player/record", w.playerRecord)
	e.GET("/cards/:card/review", w.cardReview)
	e.GET("/players/:player/review", w.playerReview)
	e.POST("/players/:player/shares", w.shareReview, small)
	e.POST("/players/:player/shares/:share/withdrawal", w.withdrawShare, small)
	e.POST("/players/:player/notes", w.addNote, small)
	e.POST("/players/:player/notes/:note/removal", w.removeNote, small)
	e.GET("/coach", w.coach)
	e.GET("/r/:token", w.openReview)
	w.registerStrokes(e, small)
	w.registerDesk(e)
	w.routes = pagesOf(e)
}

// who is the visitor; the zero value for somebody unknown.
func (w *Web) who(c echo.Context) command.Who { return w.api.Auth.Who(c) }

// roleOn is in which capacity the visitor holds a card; empty where they hold
// another one, or none.
func (w *Web) roleOn(c echo.Context, cardID string) events.Role {
	if who := w.api.Auth.WhoOn(c, cardID); who.CardID == cardID {
		return who.Role
	}
	return ""
}

func isCommittee(who command.Who) bool {
	return who.Role == events.RoleCommittee || who.Role == events.RoleService
}

// watched reads a competition that the visitor may see. An address that cannot
// be one is as good as unknown.
func (w *Web) watched(c echo.Context) (string, *competition.State, error) {
	id := c.Param("competition")
	if !events.ValidToken(id) {
		return "", nil, events.NotFound("competition_id", "there is no such competition")
	}
	s, _, err := w.api.Commands.Competition(c.Request().Context(), id)
	if err != nil {
		return "", nil, err
	}
	return id, s, w.api.MayWatch(c, id, s.Terms)
}

// erasedName stands where a name was, so that a line never has none.
const erasedName = "Name not shown"

// names finds the names of a field by entry id: in full for the committee, as
// the terms want them for others. Where they cannot be looked up at the moment
// the page is shown without them: scores are worth more.
func (w *Web) names(c echo.Context, id string, s *competition.State) map[string]string {
	entries, _ := w.fieldNames(c, id, s)
	return entries
}

// fieldNames are the names of a field by entry, as names gives them, and those of
// its players by player. A side goes by its team name, or by all its players.
func (w *Web) fieldNames(c echo.Context, id string, s *competition.State) (entries, players map[string]string) {
	entries, players = make(map[string]string, len(s.Entries)), make(map[string]string, len(s.Entries))
	if isCommittee(w.who(c)) {
		ids := make([]string, 0, len(s.Entries))
		for _, e := range s.Entries {
			ids = append(ids, e.Players()...)
		}
		found, err := w.api.Models.Players.Names(c.Request().Context(), ids)
		if err != nil {
			w.lines.Warn("names not found", "competition", id, "error", err)
		}
		for _, e := range s.Entries {
			entries[e.ID] = e.TeamName
			if e.TeamName == "" {
				entries[e.ID] = together(e.Players(), found)
			}
		}
		players = found
	} else {
		b, _ := w.api.Boards.Snapshot(c.Request().Context(), id)
		for _, r := range b.Rows {
			entries[r.EntryID] = r.Name
			players[r.PlayerID] = r.Name
			if len(r.Partners) > 0 {
				players[r.PlayerID] = r.PlayerName
			}
			for _, p := range r.Partners {
				players[p.PlayerID] = p.Name
			}
		}
	}
	for entry := range s.Entries {
		if entries[entry] == "" {
			entries[entry] = erasedName
		}
	}
	return entries, players
}

// together names the players of a side that has no name of its own; who has no
// name is left out.
func together(ids []string, names map[string]string) string {
	var out []string
	for _, id := range ids {
		if n := names[id]; n != "" {
			out = append(out, n)
		}
	}
	return strings.Join(out, " & ")
}

// whoIsWho names every player of an entry, each alone; empty for one player.
func whoIsWho(e competition.Entry, players map[string]string) string {
	if len(e.Partners) == 0 {
		return ""
	}
	var out []string
	for _, id := range e.Players() {
		out = append(out, nameOf(players, id))
	}
	return strings.Join(out, ", ")
}

// nav is the row of links of a competition.
func nav(id string, s *competition.State, here string) *placeInNav {
	return &placeInNav{ID: id, Name: s.Name, Date: s.Date, Here: here, Board: s.Terms != nil, Practice: s.Terms != nil && s.Terms.Practice}
}

// name stands in for an entry that is not in the field any more.
func nameOf(names map[string]string, entry string) string {
	if n := names[entry]; n != "" {
		return n
	}
	return erasedName
}
