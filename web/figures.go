package web

import (
	"maps"
	"net/http"
	"regexp"
	"slices"
	"strconv"
	"strings"

	"github.com/labstack/echo/v4"

	"marram.example/api"
	"marram.example/events"
	"marram.example/events/competition"
	"marram.example/projections/breakdown"
	"marram.example/projections/scoring"
)

// figuresPage opens the figures of one card.
type figuresPage struct {
	api.Figures
	Name        string
	Competition string
	Unit        string     // strokes, points or holes: what the format counts
	Players     []ballView // the card's balls, each with its sums and holes
	Grid        *countGrid // which balls counted; nil for one ball
	Countbacks  []countbackView
	Settled     []settledTie
	Chart       []holeBar // of a card of one ball
}

// ballView is one ball with the names of who plays it.
type ballView struct {
	breakdown.Ball
	No     int // from 1
	Name   string
	Shares []shareView
	Title  string // heading, where there are several balls
}

// shareView is a player of a ball that a side plays together.
type shareView struct {
	breakdown.Share
	Name string
}

// settledTie is a tie that was settled by lot or play-off, in words.
type settledTie struct{ Words string }

// holeBar is one hole of the drawing: how far above or below par it was.
type holeBar struct {
	Hole   int
	X      int
	Y, H   int // of the bar; no height where level or not holed
	Class  string
	Words  string
	Drawn  bool
	Number int
	TextY  int
}

func (w *Web) figures(c echo.Context) error {
	f, err := w.api.FiguresFor(c)
	if err != nil {
		return err
	}
	s, _, err := w.api.Commands.Competition(c.Request().Context(), f.CompetitionID)
	if err != nil {
		return err
	}
	names, players := w.fieldNames(c, f.CompetitionID, s)
	p := figuresPage{
		Figures: f, Name: nameOf(names, f.EntryID), Competition: s.Name, Unit: competition.Unit(f.Format), Players: ballsOf(f, players), Settled: settledTies(f, names),
	}
	if len(f.Balls) > 0 {
		p.Grid = gridOf(f, p.Players)
	} else {
		p.Chart = barsOf(f)
	}
	for _, b := range f.Countbacks {
		p.Countbacks = append(p.Countbacks, countbackOf(b, names))
	}
	return w.render(c, http.StatusOK, "figures.html", page{
		Title: "Figures, " + p.Name, Body: "figures", Styles: []string{"figures.css"}, Private: true, Data: p,
	})
}

// ballsOf are the card's balls with names; a card of one ball has one.
func ballsOf(f api.Figures, players map[string]string) []ballView {
	all := f.Balls
	if len(all) == 0 {
		all = []breakdown.Ball{{PlayerID: f.PlayerID, Tee: f.Tee, Sums: f.Sums, Holes: f.Holes, Totals: f.Totals}}
	}
	out := make([]ballView, len(all))
	for i, b := range all {
		out[i] = ballView{Ball: b, No: i + 1, Name: nameOf(players, b.PlayerID)}
		if len(all) > 1 {
			out[i].Title = "Ball " + strconv.Itoa(i+1) + ": " + out[i].Name
		}
		for _, x := range b.Shares {
			out[i].Shares = append(out[i].Shares, shareView{Share: x, Name: nameOf(players, x.PlayerID)})
		}
	}
	return out
}

func settledTies(f api.Figures, names map[string]string) []settledTie {
	var out []settledTie
	for _, t := range f.Ties {
		order := make([]string, len(t.EntryIDs))
		for i, id := range t.EntryIDs {
			order[i] = nameOf(names, id)
		}
		how := "by play-off"
		if t.Method == "lot" {
			how = "by lot"
		}
		words := rankingWords(t.Ranking) + ", " + how + ": " + strings.Join(order, " before ") + ". " + sentence(t.Reason)
		if t.Seed > 0 {
			words += " The lot was drawn with seed " + strconv.FormatUint(t.Seed, 10) + ", so that anybody can draw it again."
		}
		out = append(out, settledTie{words})
	}
	return out
}

// Places are the positions as published, in words.
func (p figuresPage) Places() []string {
	var out []string
	for _, r := range []string{"net", "gross"} {
		if at, ok := p.Positions[r]; ok {
			out = append(out, rankingWords(r)+" "+at)
		}
	}
	for _, r := range slices.Sorted(maps.Keys(p.Positions)) {
		if strings.Contains(r, "/") {
			out = append(out, rankingWords(r)+" "+p.Positions[r])
		}
	}
	return out
}

// Headline is the figure that ranks, in words.
func (p figuresPage) Headline() string {
	switch {
	case p.Status != events.StatusReturned && p.Status != events.StatusInPlay:
		return ""
	case p.Points != nil:
		return count(*p.Points, "point", "points")
	case p.ParBogey != nil:
		return scoring.ToPar(*p.ParBogey) + ", holes won less lost"
	case p.Net != nil:
		return "Net " + signedText(*p.Net)
	default:
		return ""
	}
}

// Kind is what the card was played in.
func (p figuresPage) Kind() string {
	name := formatName(p.Format)
	return strings.ToUpper(name[:1]) + name[1:]
}

// ballNumbers finds the balls that a sum about a side speaks of.
var ballNumbers = regexp.MustCompile(`balls? \d(?: and \d)*`)

// Named puts the players' names in the place of the balls' numbers, where every
// player has one.
func (p figuresPage) Named(arithmetic string) string {
	for _, b := range p.Players {
		if b.Name == erasedName {
			return signsText(arithmetic)
		}
	}
	named := ballNumbers.ReplaceAllStringFunc(arithmetic, func(found string) string {
		var names []string
		for _, no := range strings.Split(found[strings.Index(found, " ")+1:], " and ") {
			n, err := strconv.Atoi(no)
			if err != nil || n < 1 || n > len(p.Players) {
				return found
			}
			names = append(names, p.Players[n-1].Name)
		}
		return strings.Join(names, " and ")
	})
	return signsText(named)
}

// Through says how the cut went.
func (p figuresPage) Through() string {
	switch {
	case p.Cut.Through == nil:
		return "This card is on neither side of the cut."
	case *p.Cut.Through:
		return "Through the cut."
	default:
		return "Missed the cut."
	}
}

// The drawing's frame: 18 holes over 720 units, the line of par in the middle.
const (
	barStep  = 40
	barLevel = 80
	barUnit  = 16
	barMost  = 4 // strokes; more are drawn as so many, the number says the rest
)

// barsOf draws gross strokes against par: above the line over par, below it
// under par, like a shore seen from the side.
func barsOf(f api.Figures) []holeBar {
	bars := make([]holeBar, 0, len(f.Holes))
	for i, h := range f.Holes {
		b := holeBar{Hole: h.Number, Number: h.Number, X: i * barStep, Y: barLevel, TextY: barLevel - 6}
		if h.ToPar != nil {
			b.Drawn = true
			n := *h.ToPar
			b.Class, b.Words = tint(n), toParWords(n)
			tall := max(-barMost, min(barMost, n))
			b.H = barUnit * max(tall, -tall)
			if tall > 0 {
				b.Y = barLevel - b.H
				b.TextY = b.Y - 6
			} else if tall < 0 {
				b.TextY = barLevel + b.H + 18
			}
		}
		bars = append(bars, b)
	}
	return bars
}
