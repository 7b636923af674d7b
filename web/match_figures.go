package web

import (
	"fmt"
	"net/http"
	"strings"

	"github.com/labstack/echo/v4"

	"marram.example/api"
	"marram.example/events"
	"marram.example/projections/breakdown"
)

// matchFiguresPage opens the state of one match.
type matchFiguresPage struct {
	api.MatchFigures
	Competition string
	RoundWords  string
	Sides       []matchFigureSide
	Strip       strip
	Headline    string
}

// matchFigureSide is one side with the sums of its balls.
type matchFigureSide struct {
	Name  string
	Balls []ballView
	Given []breakdown.MatchBall
}

func (w *Web) matchFigures(c echo.Context) error {
	f, err := w.api.MatchFiguresFor(c)
	if err != nil {
		return err
	}
	s, _, err := w.api.Commands.Competition(c.Request().Context(), f.CompetitionID)
	if err != nil {
		return err
	}
	f.NameA, f.NameB = nameOr(f.NameA), nameOr(f.NameB)
	p := matchFiguresPage{MatchFigures: f, Competition: s.Name, RoundWords: roundName(s.Terms.Match.Bracket, f.Round, s.LastRound())}
	p.Sides = []matchFigureSide{p.side(f.NameA, f.A, 1), p.side(f.NameB, f.B, 1+len(f.A.Balls))}
	var progress []int
	for _, h := range f.Holes {
		if h.Counts {
			progress = append(progress, h.Lead)
		}
	}
	p.Strip = stripOf(progress, f.Length, f.NameA, f.NameB)
	p.Headline = p.headline()
	return w.render(c, http.StatusOK, "match_figures.html", page{
		Title: "Figures, " + f.NameA + " against " + f.NameB, Body: "figures", Styles: []string{"figures.css", "matches.css"}, Private: true, Data: &p,
	})
}

func (p *matchFiguresPage) side(name string, s breakdown.MatchSide, no int) matchFigureSide {
	out := matchFigureSide{Name: name, Given: s.Balls}
	for i, b := range s.Balls {
		v := ballView{Ball: breakdown.Ball{PlayerID: b.PlayerID, Tee: b.Tee, Sums: b.Sums}, No: no + i, Name: name, Title: name}
		if len(s.Balls) > 1 {
			v.Name = nameOr(p.Names[b.PlayerID])
			v.Title = name + ", ball " + fmt.Sprint(i+1) + ": " + v.Name
		}
		for _, x := range b.Shares {
			v.Shares = append(v.Shares, shareView{Share: x, Name: nameOr(p.Names[x.PlayerID])})
		}
		out.Balls = append(out.Balls, v)
	}
	return out
}

// headline is how the match stands, in words.
func (p *matchFiguresPage) headline() string {
	lead := p.Lead
	switch p.Winner {
	case events.SideA:
		return p.NameA + " wins, " + p.Text
	case events.SideB:
		return p.NameB + " wins, " + p.Text
	case events.NoWinner:
		return "Nobody wins, " + p.Text
	case events.Tied:
		return "Tied"
	}
	switch {
	case p.Played == 0:
		return "Not begun"
	case lead > 0:
		return p.NameA + " " + leadText(p.Text, lead, p.Over)
	case lead < 0:
		return p.NameB + " " + leadText(p.Text, lead, p.Over)
	default:
		return strings.ToUpper(p.Text[:1]) + p.Text[1:]
	}
}

// Won says who won a hole.
func (p *matchFiguresPage) Won(winner string) string {
	switch winner {
	case events.SideA:
		return p.NameA
	case events.SideB:
		return p.NameB
	default:
		return winner
	}
}
