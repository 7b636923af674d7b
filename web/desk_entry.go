package web

import (
	"context"
	"fmt"
	"net/url"
	"strings"

	"github.com/labstack/echo/v4"

	"marram.example/api/command"
	"marram.example/events"
	"marram.example/events/competition"
	"marram.example/projections/players"
)

// deskEntryPage is one entry, to be amended or withdrawn.
type deskEntryPage struct {
	*deskComp
	Entry   competition.Entry
	Name    string
	Players []deskEntryPlayer
	Card    *command.CardView
	Form    *form
	Drop    *form
	MayDrop bool
	Over    bool              // the last round is closed: a change says why
	Free    []players.Player  // who may be a partner instead
	Numbers map[string]string // member numbers, by player
}

// entryValues are an entry as its form holds it; numbers are the member numbers of
// its players.
func (k *deskComp) entryValues(e competition.Entry, numbers map[string]string) url.Values {
	v := url.Values{"tee": {e.Tee}, "index_tenths": {handicapText(e.IndexTenths)}, "team_name": {e.TeamName}}
	for i, p := range e.Partners {
		at := item("partners", i) + "."
		v.Set(at+"player_id", fmt.Sprintf("%s (%s)", k.People[p.PlayerID], numbers[p.PlayerID]))
		v.Set(at+"tee", p.Tee)
		v.Set(at+"index_tenths", handicapText(p.IndexTenths))
	}
	return v
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
	ctx, numbers := c.Request().Context(), map[string]string{}
	for _, id := range e.Players() {
		player, _, err := w.api.Commands.Player(ctx, id)
		if err != nil {
			return err
		}
		numbers[id] = player.MemberNo
	}
	values := k.entryValues(e, numbers)
	if amend == nil {
		amend = newForm(k.Seq, values)
	}
	if drop == nil {
		drop = newForm(k.Seq, nil)
	}
	amend.again(k.Seq, values)
	drop.again(k.Seq, nil)
	p := deskEntryPage{
		deskComp: k, Entry: e, Name: k.Names[e.ID], Players: k.playersOf(e), Form: amend, Drop: drop.named("drop-"),
		MayDrop: !k.State.Begun() && !e.Withdrawn, Over: k.State.Begun() && !k.State.Running(), Numbers: numbers,
	}
	if v, ok := k.Cards[e.ID]; ok {
		p.Card = &v
	}
	if k.Sides() {
		entered := map[string]bool{}
		for _, other := range k.Field() {
			for _, id := range other.Players() {
				entered[id] = true
			}
		}
		if p.Free, _, err = w.freePlayers(ctx, entered); err != nil {
			return err
		}
	}
	return w.deskPage(c, max(amend.Status(), drop.Status()), "desk_entry.html", p.Name, p)
}

func (w *Web) deskAmend(c echo.Context) error {
	f, err := readForm(c)
	if err != nil {
		return err
	}
	ctx, id, entry := c.Request().Context(), c.Param("competition"), c.Param("entry")
	r := &cells{v: f.Values}
	s, _, err := w.api.Commands.Competition(ctx, id)
	if err != nil {
		return err
	}
	e := s.Entries[entry]
	in := command.AmendEntry{Tee: r.text("tee"), IndexTenths: unlessSame(r.index("index_tenths"), e.IndexTenths), Reason: r.text("reason")}
	if len(e.Partners) > 0 {
		name := r.text("team_name")
		in.TeamName = &name
		if in.Partners, err = w.partnersOf(ctx, r, e); err != nil {
			return err
		}
	}
	if r.refused(f) {
		return w.deskShowEntry(c, f, nil)
	}
	if _, err := w.api.Commands.Amend(ctx, w.personal(c, f), id, entry, in); err != nil {
		if err = f.refuse(err); err != nil {
			return err
		}
		return w.deskShowEntry(c, f, nil)
	}
	return done(c, "/desk/competitions/"+id+"/entries", "amended")
}

// unlessSame leaves out an index that was left as it was: its origin stays too.
func unlessSame(typed *int, stands int) *int {
	if typed != nil && *typed == stands {
		return nil
	}
	return typed
}

// partnersOf reads the partners of a side; nil where all of them stay as they are.
func (w *Web) partnersOf(ctx context.Context, r *cells, e competition.Entry) ([]command.Member, error) {
	out := make([]command.Member, len(e.Partners))
	same := true
	for i, was := range e.Partners {
		m, err := w.memberOf(ctx, r, item("partners", i)+".")
		if err != nil {
			return nil, err
		}
		asWas := m.PlayerID == was.PlayerID && m.IndexTenths != nil && *m.IndexTenths == was.IndexTenths
		same = same && asWas && m.Tee == was.Tee
		switch {
		case asWas && was.IndexOrigin == events.OriginOfficial,
			m.PlayerID != was.PlayerID && m.IndexTenths != nil && *m.IndexTenths == was.IndexTenths: // that was the index of the player who left
			m.IndexTenths = nil
		}
		out[i] = m
	}
	if same {
		return nil, nil
	}
	return out, nil
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
