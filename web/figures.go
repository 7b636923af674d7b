package web

import (
	"maps"
	"net/http"
	"slices"
	"strings"

	"github.com/labstack/echo/v4"

	"marram.example/api"
	"marram.example/events"
)

// figuresPage opens the figures of one card.
type figuresPage struct {
	api.Figures
	Name        string
	Competition string
	Stableford  bool // the format counts points
	Countbacks  []countbackView
	Chart       []holeBar
}

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
	names := w.names(c, f.CompetitionID, s)
	p := figuresPage{Figures: f, Name: nameOf(names, f.EntryID), Competition: s.Name, Stableford: f.Format == "stableford", Chart: barsOf(f)}
	for _, b := range f.Countbacks {
		p.Countbacks = append(p.Countbacks, countbackOf(b, names))
	}
	return w.render(c, http.StatusOK, "figures.html", page{
		Title: "Figures, " + p.Name, Body: "figures", Styles: []string{"figures.css"}, Private: true, Data: p,
	})
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
	case p.Stableford && p.Points != nil:
		return count(*p.Points, "point", "points")
	case p.Net != nil:
		return "Net " + signedText(*p.Net)
	default:
		return ""
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
