package web

import (
	"net/http"
	"slices"
	"strings"

	"github.com/labstack/echo/v4"

	"marram.example/api/command"
	"marram.example/events"
)

// deskPrintPage is what goes out on paper: the scorecards, two on a sheet, or the
// sheets of matches.
type deskPrintPage struct {
	*deskComp
	Cards   []printCard
	Matches []printMatch
	Groups  []printGroup
	Codes   bool // print the code of each card on the start sheet
}

// printCard is one scorecard.
type printCard struct {
	command.CardView
	Name   string
	Marker string
	Group  events.Group
	Balls  []printBall // of a side with several balls
	Out    []printHole
	In     []printHole
	Own    cardLink
	Marks  []cardLink // of the cards that this player keeps
}

// printBall is one ball of a card.
type printBall struct {
	Name    string
	Tee     string
	Index   int
	Club    bool // the index was set by the committee
	Playing int
}

// printHole is one line of it.
type printHole struct {
	events.Hole
	Received int
	Balls    []printHole // of a side with several balls: par and strokes of each
}

// printGroup is one line of the start sheet.
type printGroup struct {
	events.Group
	Players []printPlayer
	Bye     bool
}

// printPlayer is somebody on the start sheet, or a whole side.
type printPlayer struct {
	Name    string
	Tee     string
	Index   string
	Club    bool   // the index was set by the committee
	Playing string // of every ball; empty before cards are out
	Marker  string
	Link    *cardLink // of the own card or side, where codes are wanted
}

func (w *Web) deskPrint(c echo.Context) error {
	k, err := w.deskComp(c, "cards")
	if err != nil {
		return err
	}
	p := deskPrintPage{deskComp: k}
	if k.State.IsMatch() {
		return w.deskPrintMatches(c, &p)
	}
	if sheet := k.State.Sheet(k.Shown); sheet != nil {
		only := c.QueryParam("card")
		for _, g := range sheet.Groups {
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
	if s.Balls() > 1 {
		for ball := range s.Balls() {
			f := s.BallFigures(ball)
			p.Balls = append(p.Balls, printBall{
				Name: k.People[s.BallPlayer(ball)], Tee: s.BallTee(ball), Index: f.IndexTenths, Club: f.IndexOrigin == events.OriginClub,
				Playing: f.PlayingHandicap,
			})
		}
	}
	for i, h := range s.Holes {
		line := printHole{Hole: h.Hole, Received: h.Received}
		for ball := range p.Balls {
			at := s.Lines(ball)[i]
			line.Balls = append(line.Balls, printHole{Hole: at.Hole, Received: at.Received})
		}
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
func (p deskPrintPage) Issued() bool { return p.deskComp.Issued() > 0 }

func (w *Web) deskPrintSheet(c echo.Context) error {
	k, err := w.deskComp(c, "draw")
	if err != nil {
		return err
	}
	p := deskPrintPage{deskComp: k, Codes: c.QueryParam("codes") == "1"}
	if sheet := k.State.Sheet(k.Shown); sheet != nil {
		for _, g := range sheet.Groups {
			line := printGroup{Group: g, Bye: k.State.IsMatch() && len(g.Places) == 1}
			for i, slot := range g.Places {
				x, err := w.printPlayer(c, &p, slot, g.Number, i)
				if err != nil {
					return err
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

// printPlayer is a line of the start sheet: an entry, the n-th of its group.
func (w *Web) printPlayer(c echo.Context, p *deskPrintPage, slot events.GroupSlot, group, n int) (printPlayer, error) {
	k := p.deskComp
	e := k.State.Entries[slot.EntryID]
	x := printPlayer{Name: k.Names[e.ID], Marker: k.Names[slot.MarkerID], Club: e.IndexOrigin == events.OriginClub}
	tees, indexes := []string{e.Tee}, []string{handicapText(e.IndexTenths)}
	for _, partner := range e.Partners {
		tees, indexes = append(tees, partner.Tee), append(indexes, handicapText(partner.IndexTenths))
		x.Club = x.Club || partner.IndexOrigin == events.OriginClub
	}
	x.Tee, x.Index = strings.Join(slices.Compact(tees), " / "), strings.Join(indexes, " / ")
	if v, ok := k.Cards[e.ID]; ok {
		var playing []string
		for ball := range v.State.Balls() {
			playing = append(playing, playingText(v.State.BallFigures(ball).PlayingHandicap))
		}
		x.Playing = strings.Join(playing, " / ")
		if p.Codes {
			l, err := w.cardLink(c, v.ID, events.RolePlayer)
			if err != nil {
				return x, err
			}
			x.Link = &l
		}
	}
	for _, m := range k.Matches {
		if m.State.Arranged.Number != group {
			continue
		}
		side, which := m.State.Arranged.A, events.SideA
		if n > 0 {
			side, which = m.State.Arranged.B, events.SideB
		}
		var playing []string
		for _, b := range side.Balls {
			playing = append(playing, playingText(b.Figures.PlayingHandicap))
		}
		x.Playing = strings.Join(playing, " / ")
		if p.Codes {
			l, err := w.matchLink(c, m, which)
			if err != nil {
				return x, err
			}
			x.Link = &l
		}
	}
	return x, nil
}
