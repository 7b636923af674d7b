package web

import (
	"net/http"

	"github.com/labstack/echo/v4"

	"marram.example/api/command"
	"marram.example/events"
)

// deskPrintPage is what goes out on paper: the scorecards, two on a sheet.
type deskPrintPage struct {
	*deskComp
	Cards  []printCard
	Groups []printGroup
	Codes  bool // print the code of each card on the start sheet
}

// printCard is one scorecard.
type printCard struct {
	command.CardView
	Name   string
	Marker string
	Group  events.Group
	Out    []printHole
	In     []printHole
	Own    cardLink
	Marks  []cardLink // of the cards that this player keeps
}

// printHole is one line of it.
type printHole struct {
	events.Hole
	Received int
}

// printGroup is one line of the start sheet.
type printGroup struct {
	events.Group
	Players []printPlayer
}

// printPlayer is somebody on the start sheet.
type printPlayer struct {
	Name    string
	Tee     string
	Index   int
	Club    bool // the index was set by the committee
	Playing *int
	Marker  string
	Link    *cardLink // of the player's own card, where codes are wanted
}

func (w *Web) deskPrint(c echo.Context) error {
	k, err := w.deskComp(c, "cards")
	if err != nil {
		return err
	}
	p := deskPrintPage{deskComp: k}
	if k.State.Draw != nil {
		only := c.QueryParam("card")
		for _, g := range k.State.Draw.Groups {
			for _, slot := range g.Places {
				v, issued := k.Cards[slot.EntryID]
				if !issued || only != "" && only != v.ID {
					continue
				}
				pc, err := w.printCard(c, k, v, g)
				if err != nil {
					return err
				}
				p.Cards = append(p.Cards, pc)
			}
		}
	}
	return w.render(c, http.StatusOK, "desk_print.html", page{
		Title: "Scorecards of " + k.State.Name, Body: "printout", Styles: []string{"desk.css", "desk_print.css"}, Private: true, Bare: true, Data: p,
		Scripts: []string{"desk.js"},
	})
}

func (w *Web) printCard(c echo.Context, k *deskComp, v command.CardView, g events.Group) (printCard, error) {
	s := v.State
	p := printCard{CardView: v, Name: k.Names[s.EntryID], Marker: k.Names[s.MarkerID], Group: g}
	for _, h := range s.Holes {
		line := printHole{Hole: h.Hole, Received: h.Received}
		if h.Number <= 9 {
			p.Out = append(p.Out, line)
		} else {
			p.In = append(p.In, line)
		}
	}
	var err error
	if p.Own, err = w.cardLink(c, v.ID, events.RolePlayer); err != nil {
		return p, err
	}
	for _, slot := range g.Places {
		other, issued := k.Cards[slot.EntryID]
		if !issued || other.State.MarkerID != s.EntryID {
			continue
		}
		l, err := w.cardLink(c, other.ID, events.RoleMarker)
		if err != nil {
			return p, err
		}
		l.Who = k.Names[slot.EntryID]
		p.Marks = append(p.Marks, l)
	}
	return p, nil
}

// ParOf adds up the pars of a nine.
func (printCard) ParOf(holes []printHole) int {
	sum := 0
	for _, h := range holes {
		sum += h.Par
	}
	return sum
}

// Issued reports whether cards are out, with codes to print.
func (p deskPrintPage) Issued() bool { return len(p.deskComp.Cards) > 0 }

func (w *Web) deskPrintSheet(c echo.Context) error {
	k, err := w.deskComp(c, "draw")
	if err != nil {
		return err
	}
	p := deskPrintPage{deskComp: k, Codes: c.QueryParam("codes") == "1"}
	if k.State.Draw != nil {
		for _, g := range k.State.Draw.Groups {
			line := printGroup{Group: g}
			for _, slot := range g.Places {
				e := k.State.Entries[slot.EntryID]
				x := printPlayer{
					Name: k.Names[e.ID], Tee: e.Tee, Index: e.IndexTenths, Club: e.IndexOrigin == events.OriginClub, Marker: k.Names[slot.MarkerID],
				}
				if v, ok := k.Cards[e.ID]; ok {
					x.Playing = &v.State.Figures.PlayingHandicap
					if p.Codes {
						l, err := w.cardLink(c, v.ID, events.RolePlayer)
						if err != nil {
							return err
						}
						x.Link = &l
					}
				}
				line.Players = append(line.Players, x)
			}
			p.Groups = append(p.Groups, line)
		}
	}
	return w.render(c, http.StatusOK, "desk_print_sheet.html", page{
		Title: "Start sheet of " + k.State.Name, Body: "printout", Styles: []string{"desk.css", "desk_print.css"}, Private: true, Bare: true, Data: p,
		Scripts: []string{"desk.js"},
	})
}
