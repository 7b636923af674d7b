package web

import (
	"cmp"
	"net/http"
	"slices"

	"github.com/labstack/echo/v4"

	"marram.example/api/command"
	"marram.example/events"
	"marram.example/events/competition"
)

// cardsPage is what this browser may write on or has opened: where the home
// screen leads.
type cardsPage struct {
	Rows []heldCard
	Gone int // links that open nothing any more
}

// heldCard is one card or match that the browser opened.
type heldCard struct {
	Address string
	Words   string // whose it is
	Comp    string
	Date    string
	Write   bool // something may be entered now
	Own     bool // the player's own, not one that they mark
}

// cards leads to the one card that may be written on, or lists those of the browser.
func (w *Web) cards(c echo.Context) error {
	var p cardsPage
	for _, id := range w.api.Auth.Cards(c) {
		row, err := w.held(c, id)
		switch {
		case events.AsError(err) != nil:
			p.Gone++
		case err != nil:
			return err
		default:
			p.Rows = append(p.Rows, row)
		}
	}
	var open []heldCard
	for _, r := range p.Rows {
		if r.Write {
			open = append(open, r)
		}
	}
	if len(open) == 1 {
		c.Response().Header().Set(echo.HeaderCacheControl, "no-store")
		return c.Redirect(http.StatusSeeOther, open[0].Address)
	}
	slices.SortFunc(p.Rows, func(a, b heldCard) int {
		return cmp.Or(-compareBools(a.Write, b.Write), -cmp.Compare(a.Date, b.Date), -compareBools(a.Own, b.Own), cmp.Compare(a.Address, b.Address))
	})
	return w.render(c, http.StatusOK, "cards.html", page{Title: "Your cards", Body: "cards", Styles: []string{"cards.css"}, Private: true, Data: p})
}

func compareBools(a, b bool) int {
	switch {
	case a == b:
		return 0
	case a:
		return 1
	default:
		return -1
	}
}

// held says what a card is that the browser opened. It fails with a domain error
// where the link opens nothing any more.
func (w *Web) held(c echo.Context, id string) (heldCard, error) {
	role := w.roleOn(c, id)
	if role != events.RolePlayer && role != events.RoleMarker {
		return heldCard{}, events.NotFound("card_id", "this link opens nothing any more")
	}
	if command.IsMatchID(id) {
		return w.heldMatch(c, id)
	}
	ctx := c.Request().Context()
	k, err := w.api.Commands.Card(ctx, id)
	if err != nil {
		return heldCard{}, err
	}
	comp, names, err := w.heldIn(c, k.State.CompetitionID)
	if err != nil {
		return heldCard{}, err
	}
	own := role == events.RolePlayer
	out := heldCard{
		Address: "/cards/" + id, Words: "Card of " + nameOf(names, k.State.EntryID), Comp: comp.Name, Date: comp.Date,
		Write: comp.Running() && !k.State.Returned && k.State.Ruled == "", Own: own,
	}
	if own {
		out.Words = "Your own card, " + nameOf(names, k.State.EntryID)
	}
	return out, nil
}

func (w *Web) heldMatch(c echo.Context, id string) (heldCard, error) {
	m, err := w.api.Commands.Match(c.Request().Context(), id)
	if err != nil {
		return heldCard{}, err
	}
	a := m.State.Arranged
	comp, names, err := w.heldIn(c, a.CompetitionID)
	if err != nil {
		return heldCard{}, err
	}
	_, over := m.State.Outcome()
	return heldCard{
		Address: "/matches/" + id, Words: nameOf(names, a.A.EntryID) + " against " + nameOf(names, a.B.EntryID),
		Comp: comp.Name, Date: comp.Terms.DateOf(a.Round, comp.Date), Write: !over && comp.Running() && comp.Round == a.Round, Own: true,
	}, nil
}

// heldIn is the competition of a card, with the names of its entries.
func (w *Web) heldIn(c echo.Context, id string) (*competition.State, map[string]string, error) {
	comp, _, err := w.api.Commands.Competition(c.Request().Context(), id)
	if err != nil {
		return nil, nil, err
	}
	return comp, w.names(c, id, comp), nil
}
