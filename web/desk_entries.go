package web

import (
	"cmp"
	"context"
	"fmt"
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
	Closed  bool             // nobody is taken in any more
	MayDrop bool             // entries may still be withdrawn
	Total   int              // places in the field, 0 for no limit
}

// deskEntryRow is an entry as listed.
type deskEntryRow struct {
	competition.Entry
	Name     string
	Players  []deskEntryPlayer
	Division string
	Placed   bool // on the start sheet
}

// deskEntryPlayer is somebody who plays for an entry.
type deskEntryPlayer struct {
	events.Partner
	Name string
}

// playersOf lists everybody who plays for an entry, with names.
func (k *deskComp) playersOf(e competition.Entry) []deskEntryPlayer {
	out := []deskEntryPlayer{{events.Partner{PlayerID: e.PlayerID, Tee: e.Tee, IndexTenths: e.IndexTenths, IndexOrigin: e.IndexOrigin}, k.People[e.PlayerID]}}
	for _, p := range e.Partners {
		out = append(out, deskEntryPlayer{p, k.People[p.PlayerID]})
	}
	return out
}

// PartnerRows numbers the partners that an entry has beside its first player.
func (k *deskComp) PartnerRows() []int {
	if k.State.Terms == nil {
		return nil
	}
	out := make([]int, k.State.Terms.Players()-1)
	for i := range out {
		out[i] = i
	}
	return out
}

func (w *Web) deskEntries(c echo.Context) error { return w.deskShowEntries(c, nil) }

func (w *Web) deskShowEntries(c echo.Context, f *form) error {
	k, err := w.deskComp(c, "entries")
	if err != nil {
		return err
	}
	p := deskEntriesPage{
		deskComp: k, Form: f, Closed: len(k.State.Past) > 0 || k.State.Over() && k.State.IsMatch(), MayDrop: !k.State.Begun(),
		Left: len(k.State.Entries) - len(k.Field()),
	}
	if f == nil {
		p.Form = newForm(0, nil)
	}
	entered := map[string]bool{}
	for _, e := range k.Field() {
		for _, id := range e.Players() {
			entered[id] = true
		}
		row := deskEntryRow{Entry: e, Name: k.Names[e.ID], Players: k.playersOf(e), Division: competition.DivisionOf(k.State.Terms, e.Index())}
		_, _, row.Placed = k.State.Group(e.ID)
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

// findPlayer finds whom somebody typed into a field: a member number, "Name
// (number)" as the list offers it, or words that fit one player only.
func (w *Web) findPlayer(ctx context.Context, field, typed string) (*players.Player, error) {
	typed = strings.TrimSpace(typed)
	if typed == "" {
		return nil, events.Invalid(field, "required", "type a name or a member number")
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
		return nil, events.Invalid(field, "unknown", fmt.Sprintf("nobody is called %q or has that member number", typed))
	}
	names := make([]string, len(found))
	for i, p := range found {
		names[i] = fmt.Sprintf("%s (%s)", p.State.Name, p.State.MemberNo)
	}
	return nil, events.Invalid(field, "ambiguous", "that fits several players; type one of "+strings.Join(names, ", "))
}

func (w *Web) deskEnter(c echo.Context) error {
	f, err := readForm(c)
	if err != nil {
		return err
	}
	f.Version = 0 // two people may take entries at the same time
	ctx, id := c.Request().Context(), c.Param("competition")
	s, _, err := w.api.Commands.Competition(ctx, id)
	if err != nil {
		return err
	}
	r := &cells{v: f.Values}
	in := command.EnterPlayer{TeamName: r.text("team_name")}
	if in.Member, err = w.memberOf(ctx, r, ""); err != nil {
		return err
	}
	for i := 1; s.Terms != nil && i < s.Terms.Players(); i++ {
		partner, err := w.memberOf(ctx, r, item("partners", i-1)+".")
		if err != nil {
			return err
		}
		in.Partners = append(in.Partners, partner)
	}
	if r.refused(f) {
		return w.deskShowEntries(c, f)
	}
	if _, err = w.api.Commands.Enter(ctx, w.personal(c, f), id, in); err != nil {
		if err = f.refuse(err); err != nil {
			return err
		}
		return w.deskShowEntries(c, f)
	}
	return done(c, "/desk/competitions/"+id+"/entries", "entered")
}

// memberOf reads one player of an entry.
func (w *Web) memberOf(ctx context.Context, r *cells, prefix string) (command.Member, error) {
	m := command.Member{Tee: r.text(prefix + "tee"), IndexTenths: r.index(prefix + "index_tenths")}
	p, err := w.findPlayer(ctx, prefix+"player_id", r.text(prefix+"player_id"))
	if e := events.AsError(err); e != nil {
		r.wrong(e)
		return m, nil
	}
	if err != nil {
		return m, err
	}
	m.PlayerID = p.ID
	return m, nil
}
