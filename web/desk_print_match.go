package web

import (
	"net/http"

	"github.com/labstack/echo/v4"

	"marram.example/api/command"
	"marram.example/events"
)

// printMatch is the sheet of one match: a line a hole, with the strokes of every
// ball.
type printMatch struct {
	command.MatchView
	Row   deskMatchRow
	A, B  deskMatchSide
	Lines []printMatchLine
	Links []cardLink
}

// printMatchLine is one hole of the sheet.
type printMatchLine struct {
	events.Hole
	A, B []int // strokes that each ball receives
}

// BothSides are the two sides in their order.
func (p printMatch) BothSides() []deskMatchSide { return []deskMatchSide{p.A, p.B} }

func (w *Web) deskPrintMatches(c echo.Context, p *deskPrintPage) error {
	rows := map[string]deskMatchRow{}
	for _, r := range p.matchRows() {
		rows[r.ID] = r
	}
	only := c.QueryParam("match")
	for _, m := range p.deskComp.Matches {
		if only != "" && only != m.ID {
			continue
		}
		sheet, err := w.printMatch(c, p.deskComp, m)
		if err != nil {
			return err
		}
		sheet.Row = rows[m.ID]
		p.Matches = append(p.Matches, sheet)
	}
	return w.render(c, http.StatusOK, "desk_print_matches.html", page{
		Title: "Match sheets of " + p.State.Name, Body: "printout", Styles: []string{"desk.css", "desk_print.css"}, Private: true, Bare: true, Data: p,
		Scripts: []string{"desk.js"},
	})
}

func (w *Web) printMatch(c echo.Context, k *deskComp, m command.MatchView) (printMatch, error) {
	a := m.State.Arranged
	out := printMatch{MatchView: m, A: k.matchSide(events.SideA, a.A), B: k.matchSide(events.SideB, a.B)}
	for i, h := range a.A.Balls[0].Holes {
		line := printMatchLine{Hole: h}
		for _, b := range a.A.Balls {
			line.A = append(line.A, b.Strokes[i])
		}
		for _, b := range a.B.Balls {
			line.B = append(line.B, b.Strokes[i])
		}
		out.Lines = append(out.Lines, line)
	}
	for _, side := range out.BothSides() {
		l, err := w.matchLink(c, m, side.Side)
		if err != nil {
			return out, err
		}
		l.Who = side.Name
		out.Links = append(out.Links, l)
	}
	return out, nil
}
