package web

import (
	"cmp"
	"context"
	"fmt"
	"net/url"
	"slices"
	"strings"

	"github.com/labstack/echo/v4"

	"marram.example/api/command"
	"marram.example/events"
	"marram.example/events/competition"
	"marram.example/projections/players"
)

// deskEntriesPage is the field, with a form that adds to it.
type deskEntriesPage struct {
	*deskComp
	Form    *form
	Rows    []deskEntryRow
	Free    []players.Player // who may still be entered
	Unseen  bool             // there are more players than the list offers
	Left    int              // entries withdrawn
	Closed  bool             // the round is over
	MayDrop bool             // entries may still be withdrawn
	Total   int              // places in the field, 0 for no limit
}

// deskEntryRow is an entry as listed.
type deskEntryRow struct {
	competition.Entry
	Name     string
	Division string
	Placed   bool // on the start sheet
	Card     string
	Playing  *int
}

func (w *Web) deskEntries(c echo.Context) error { return w.deskShowEntries(c, nil) }

func (w *Web) deskShowEntries(c echo.Context, f *form) error {
	k, err := w.deskComp(c, "entries")
	if err != nil {
		return err
	}
	p := deskEntriesPage{
		deskComp: k, Form: f, Closed: k.Is("closed", "published"), MayDrop: k.Is("planned", "drawn"),
		Left: len(k.State.Entries) - len(k.Field()),
	}
	if f == nil {
		p.Form = newForm(0, nil)
	}
	entered := map[string]bool{}
	for _, e := range k.Field() {
		entered[e.PlayerID] = true
		row := deskEntryRow{Entry: e, Name: k.Names[e.ID], Division: competition.DivisionOf(k.State.Terms, e.IndexTenths)}
		_, _, row.Placed = k.State.Group(e.ID)
		if v, ok := k.Cards[e.ID]; ok {
			row.Card, row.Playing = v.ID, &v.State.Figures.PlayingHandicap
		}
		p.Rows = append(p.Rows, row)
	}
	slices.SortStableFunc(p.Rows, func(a, b deskEntryRow) int { return cmp.Compare(strings.ToLower(a.Name), strings.ToLower(b.Name)) })
	if k.State.Terms != nil {
		p.Total = k.State.Terms.FieldLimit
		if p.Free, p.Unseen, err = w.freePlayers(c.Request().Context(), entered); err != nil {
			return err
		}
	}
	return w.deskPage(c, p.Form.Status(), "desk_entries.html", "Entries of "+k.State.Name, p)
}

// offered is the most players that the list beside the field offers; whoever is
// not on it is found all the same.
const offered = 1000

func (w *Web) freePlayers(ctx context.Context, entered map[string]bool) (out []players.Player, more bool, err error) {
	after := ""
	for {
		some, next, err := w.api.Models.Players.List(ctx, "", after, 0)
		if err != nil {
			return nil, false, err
		}
		for _, p := range some {
			if !entered[p.ID] && !p.State.Left && !p.State.Erased {
				out = append(out, p)
			}
		}
		if next == "" || len(out) >= offered {
			return out, next != "", nil
		}
		after = next
	}
}

// findPlayer finds whom somebody typed: a member number, "Name (number)" as the
// list offers it, or words that fit one player only.
func (w *Web) findPlayer(ctx context.Context, typed string) (*players.Player, error) {
	typed = strings.TrimSpace(typed)
	if typed == "" {
		return nil, events.Invalid("player_id", "required", "type a name or a member number")
	}
	number := typed
	if at := strings.LastIndex(typed, "("); at >= 0 && strings.HasSuffix(typed, ")") {
		number = typed[at+1 : len(typed)-1]
	}
	p, err := w.api.Models.Players.ByMemberNo(ctx, number)
	if err == nil || events.AsError(err) == nil {
		return p, err
	}
	found, _, err := w.api.Models.Players.List(ctx, typed, "", 5)
	if err != nil {
		return nil, err
	}
	found = slices.DeleteFunc(found, func(p players.Player) bool { return p.State.Left || p.State.Erased })
	switch len(found) {
	case 1:
		return &found[0], nil
	case 0:
		return nil, events.Invalid("player_id", "unknown", fmt.Sprintf("nobody is called %q or has that member number", typed))
	}
	names := make([]string, len(found))
	for i, p := range found {
		names[i] = fmt.Sprintf("%s (%s)", p.State.Name, p.State.MemberNo)
	}
	return nil, events.Invalid("player_id", "ambiguous", "that fits several players; type one of "+strings.Join(names, ", "))
}

func (w *Web) deskEnter(c echo.Context) error {
	f, err := readForm(c)
	if err != nil {
		return err
	}
	f.Version = 0 // two people may take entries at the same time
	ctx, id := c.Request().Context(), c.Param("competition")
	r := &cells{v: f.Values}
	in := command.EnterPlayer{Member: command.Member{Tee: r.text("tee"), IndexTenths: r.index("index_tenths")}}
	if r.refused(f) {
		return w.deskShowEntries(c, f)
	}
	p, err := w.findPlayer(ctx, f.V("player_id"))
	if err == nil {
		in.PlayerID = p.ID
		_, err = w.api.Commands.Enter(ctx, w.personal(c, f), id, in)
	}
	if err != nil {
		if err = f.refuse(err); err != nil {
			return err
		}
		return w.deskShowEntries(c, f)
	}
	return done(c, "/desk/competitions/"+id+"/entries", "entered")
}

// deskEntryPage is one entry, to be amended or withdrawn.
type deskEntryPage struct {
	*deskComp
	Entry    competition.Entry
	Name     string
	MemberNo string
	Card     *command.CardView
	Form     *form
	Drop     *form
	MayDrop  bool
	Closed   bool
}

func entryValues(e competition.Entry) url.Values {
	return url.Values{"tee": {e.Tee}, "index_tenths": {handicapText(e.IndexTenths)}}
}

func (w *Web) deskEntry(c echo.Context) error { return w.deskShowEntry(c, nil, nil) }

func (w *Web) deskShowEntry(c echo.Context, amend, drop *form) error {
	k, err := w.deskComp(c, "entries")
	if err != nil {
		return err
	}
	e, ok := k.State.Entries[c.Param("entry")]
	if !ok {
		return events.NotFound("entry", "no such entry")
	}
	if amend == nil {
		amend = newForm(k.Seq, entryValues(e))
	}
	if drop == nil {
		drop = newForm(k.Seq, nil)
	}
	amend.again(k.Seq, entryValues(e))
	drop.again(k.Seq, nil)
	p := deskEntryPage{
		deskComp: k, Entry: e, Name: k.Names[e.ID], Form: amend, Drop: drop.named("drop-"),
		MayDrop: k.Is("planned", "drawn") && !e.Withdrawn, Closed: k.Is("closed", "published"),
	}
	if v, ok := k.Cards[e.ID]; ok {
		p.Card = &v
	}
	player, _, err := w.api.Commands.Player(c.Request().Context(), e.PlayerID)
	if err != nil {
		return err
	}
	p.MemberNo = player.MemberNo
	return w.deskPage(c, max(amend.Status(), drop.Status()), "desk_entry.html", p.Name, p)
}

func (w *Web) deskAmend(c echo.Context) error {
	f, err := readForm(c)
	if err != nil {
		return err
	}
	ctx, id, entry := c.Request().Context(), c.Param("competition"), c.Param("entry")
	r := &cells{v: f.Values}
	in := command.AmendEntry{Tee: r.text("tee"), IndexTenths: r.index("index_tenths"), Reason: r.text("reason")}
	if r.refused(f) {
		return w.deskShowEntry(c, f, nil)
	}
	s, _, err := w.api.Commands.Competition(ctx, id)
	if err != nil {
		return err
	}
	if e := s.Entries[entry]; in.IndexTenths != nil && *in.IndexTenths == e.IndexTenths {
		in.IndexTenths = nil // left as it was: its origin stays too
	}
	if _, err := w.api.Commands.Amend(ctx, w.request(c, f), id, entry, in); err != nil {
		if err = f.refuse(err); err != nil {
			return err
		}
		return w.deskShowEntry(c, f, nil)
	}
	return done(c, "/desk/competitions/"+id+"/entries", "amended")
}

func (w *Web) deskWithdraw(c echo.Context) error {
	f, err := readForm(c)
	if err != nil {
		return err
	}
	id := c.Param("competition")
	_, err = w.api.Commands.Withdraw(c.Request().Context(), w.request(c, f), id, c.Param("entry"), strings.TrimSpace(f.V("reason")))
	if err != nil {
		if err = f.refuse(err); err != nil {
			return err
		}
		return w.deskShowEntry(c, nil, f)
	}
	return done(c, "/desk/competitions/"+id+"/entries", "withdrawn")
}
