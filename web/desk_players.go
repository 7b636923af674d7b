package web

import (
	"errors"
	"net/http"
	"net/url"
	"slices"
	"strings"
	"time"

	"github.com/labstack/echo/v4"

	"marram.example/api/command"
	"marram.example/events"
	"marram.example/events/player"
	"marram.example/projections/players"
)

// deskPlayersPage lists the players and registers new ones.
type deskPlayersPage struct {
	Players []players.Player
	Search  string
	Next    string // cursor of the next page
	Today   string
	Form    *form
	Done    string
}

// Index is the index in effect today, in words.
func (p deskPlayersPage) Index(s *players.State) string {
	if i, ok := s.Current(p.Today); ok {
		return handicapText(i.Tenths)
	}
	return ""
}

// playersListed is how many players a page lists.
const playersListed = 50

func (w *Web) today() string { return w.now().In(w.location).Format(time.DateOnly) }

func (w *Web) deskPlayers(c echo.Context) error { return w.deskShowPlayers(c, nil) }

func (w *Web) deskShowPlayers(c echo.Context, f *form) error {
	p := deskPlayersPage{Search: strings.TrimSpace(c.QueryParam("q")), Today: w.today(), Form: f, Done: doneWord(c)}
	if f == nil {
		p.Form = newForm(0, url.Values{"effective": {p.Today}})
	}
	var err error
	if p.Players, p.Next, err = w.api.Models.Players.List(c.Request().Context(), p.Search, c.QueryParam("after"), playersListed); err != nil {
		return err
	}
	return w.deskPage(c, p.Form.Status(), "desk_players.html", "Players", p)
}

func (w *Web) deskPlayerRegister(c echo.Context) error {
	f, err := readForm(c)
	if err != nil {
		return err
	}
	f.Version = 0
	ctx, r := c.Request().Context(), &cells{v: f.Values}
	in := command.RegisterPlayer{MemberNo: r.text("member_no"), Name: r.text("name"), IndexTenths: r.index("handicap_index"), Effective: r.text("effective")}
	// Registering a number again would rename its holder: here that is a slip.
	if s, _, err := w.api.Commands.Player(ctx, w.api.Commands.PlayerID(in.MemberNo)); err == nil && !s.Left && !w.repeats(c, f, in.MemberNo) {
		r.wrong(events.Conflict("member_no", "member_no_used", "this member number is taken; find the player in the list to change anything"))
	}
	if r.refused(f) {
		return w.deskShowPlayers(c, f)
	}
	made, err := w.api.Commands.RegisterPlayer(ctx, w.personal(c, f), in)
	if err != nil {
		if err = f.refuse(err); err != nil {
			return err
		}
		return w.deskShowPlayers(c, f)
	}
	w.settle(c, made.Position)
	return done(c, "/desk/players", "registered")
}

// repeats reports whether this very form registered the player before, as when a
// button was pressed twice.
func (w *Web) repeats(c echo.Context, f *form, memberNo string) bool {
	stream := events.PlayerStream(w.api.Club, w.api.Commands.PlayerID(memberNo))
	recorded, err := w.api.Log.Stream(c.Request().Context(), stream)
	id := w.personal(c, f).CommandID
	return err == nil && slices.ContainsFunc(recorded, func(r events.Recorded) bool { return r.CommandID == id })
}

// deskPlayerPage is one player.
type deskPlayerPage struct {
	ID      string
	Name    string
	Player  *player.State
	Indexes []player.Index // the latest first
	Current *player.Index
	Done    string

	Estimates bool // the club works unofficial estimates out, and there is a player to show one of

	Details, Index, Leave, Erase *form
}

// playerForms are the forms of a player's page; the refused one is set.
type playerForms struct{ details, index, leave, erase *form }

func (w *Web) deskPlayer(c echo.Context) error { return w.deskShowPlayer(c, playerForms{}) }

func (w *Web) deskShowPlayer(c echo.Context, forms playerForms) error {
	ctx, id := c.Request().Context(), c.Param("player")
	s, seq, err := w.api.Commands.Player(ctx, id)
	if err != nil {
		return err
	}
	p := deskPlayerPage{ID: id, Player: s, Name: erasedName, Done: doneWord(c)}
	if !s.Erased {
		personal, err := w.api.Commands.OpenPersonal(ctx, id, s.Sealed)
		if err != nil && !errors.Is(err, command.ErrErased) {
			return err
		}
		if err == nil {
			p.Name = personal.Name
		}
	}
	p.Indexes = slices.Clone(s.Indexes)
	slices.Reverse(p.Indexes)
	if i, ok := s.Current(w.today()); ok {
		p.Current = &i
	}
	settled, _, err := w.api.Commands.Club(ctx)
	if err != nil {
		return err
	}
	p.Estimates = settled.Estimates && !s.Erased
	details := url.Values{"name": {p.Name}}
	status := http.StatusOK
	for _, x := range []struct {
		to     **form
		have   *form
		name   string
		values url.Values
	}{
		{&p.Details, forms.details, "", details}, {&p.Index, forms.index, "index-", url.Values{"effective": {w.today()}, "origin": {"official"}}},
		{&p.Leave, forms.leave, "leave-", nil}, {&p.Erase, forms.erase, "erase-", nil},
	} {
		f := x.have
		if f == nil {
			f = newForm(seq, x.values)
		}
		*x.to = f.named(x.name)
		status = max(status, f.Status())
	}
	p.Details.again(seq, details)
	for _, f := range []*form{p.Index, p.Leave, p.Erase} {
		f.again(seq, nil)
	}
	return w.deskPage(c, status, "desk_player.html", p.Name, p)
}

func (w *Web) deskPlayerDetails(c echo.Context) error {
	f, err := readForm(c)
	if err != nil {
		return err
	}
	ctx, id := c.Request().Context(), c.Param("player")
	s, seq, err := w.api.Commands.Player(ctx, id)
	if err != nil {
		return err
	}
	if f.Version != seq && !w.repeats(c, f, s.MemberNo) {
		f.Stale = true
		return w.deskShowPlayer(c, playerForms{details: f})
	}
	in := command.RegisterPlayer{MemberNo: s.MemberNo, Name: f.V("name")}
	made, err := w.api.Commands.RegisterPlayer(ctx, w.personal(c, f), in)
	if err != nil {
		if err = f.refuse(err); err != nil {
			return err
		}
		return w.deskShowPlayer(c, playerForms{details: f})
	}
	w.settle(c, made.Position)
	return done(c, "/desk/players/"+id, "named")
}

func (w *Web) deskPlayerIndex(c echo.Context) error {
	f, err := readForm(c)
	if err != nil {
		return err
	}
	id, r := c.Param("player"), &cells{v: f.Values}
	in := command.RecordIndex{Effective: r.text("effective"), Origin: events.IndexOrigin(r.text("origin"))}
	if n := r.index("handicap_index"); n != nil {
		in.IndexTenths = *n
	} else if r.text("handicap_index") == "" {
		r.wrong(events.Invalid("handicap_index", "required", "type the index, such as 12.4, or +2.3 for a plus handicap"))
	}
	if r.refused(f) {
		return w.deskShowPlayer(c, playerForms{index: f})
	}
	made, err := w.api.Commands.RecordIndex(c.Request().Context(), w.request(c, f), id, in)
	if err != nil {
		if err = f.refuse(err); err != nil {
			return err
		}
		return w.deskShowPlayer(c, playerForms{index: f})
	}
	w.settle(c, made.Position)
	return done(c, "/desk/players/"+id, "index")
}

func (w *Web) deskPlayerLeave(c echo.Context) error {
	f, err := readForm(c)
	if err != nil {
		return err
	}
	id := c.Param("player")
	made, err := w.api.Commands.Leave(c.Request().Context(), w.personal(c, f), id, strings.TrimSpace(f.V("reason")))
	if err != nil {
		if err = f.refuse(err); err != nil {
			return err
		}
		return w.deskShowPlayer(c, playerForms{leave: f})
	}
	w.settle(c, made.Position)
	return done(c, "/desk/players/"+id, "left")
}

// deskPlayerErase destroys the key to a name. The member number has to be typed,
// because nothing brings the name back.
func (w *Web) deskPlayerErase(c echo.Context) error {
	f, err := readForm(c)
	if err != nil {
		return err
	}
	ctx, id, r := c.Request().Context(), c.Param("player"), &cells{v: f.Values}
	s, _, err := w.api.Commands.Player(ctx, id)
	if err != nil {
		return err
	}
	if r.text("member_no") != s.MemberNo {
		r.wrong(events.Invalid("member_no", "mismatch", "type this player's member number to confirm"))
	}
	if r.refused(f) {
		return w.deskShowPlayer(c, playerForms{erase: f})
	}
	made, err := w.api.Commands.Erase(ctx, w.personal(c, f), id, "asked for at the desk")
	if err != nil {
		if err = f.refuse(err); err != nil {
			return err
		}
		return w.deskShowPlayer(c, playerForms{erase: f})
	}
	w.settle(c, made.Position)
	return done(c, "/desk/players/"+id, "erased")
}
