package review

import (
	"fmt"
	"strings"

	"marram.example/projections/shots"
)

// shownStrokes are listed as the best, and as the worst.
const shownStrokes = 5

// strokes fills in the best and the worst strokes: those alone that gained, and lost.
func (c *composer) strokes() {
	all := c.gains()
	dates := map[string]string{}
	for _, g := range c.own {
		dates[g.round.ID] = g.round.Date
	}
	c.out.Best, c.out.Worst = []StrokeLine{}, []StrokeLine{}
	for _, g := range shots.Best(all, shownStrokes) {
		if g.Gained > 0 {
			c.out.Best = append(c.out.Best, c.stroke(g, dates[g.Round]))
		}
	}
	for _, g := range shots.Worst(all, shownStrokes) {
		if g.Gained < 0 {
			c.out.Worst = append(c.out.Worst, c.stroke(g, dates[g.Round]))
		}
	}
}

func (c *composer) stroke(g shots.Gain, date string) StrokeLine {
	s := g.Stroke
	var words strings.Builder
	fmt.Fprintf(&words, "Hole %d, stroke %d: ", g.Hole, g.Index+1)
	if s.Club != "" {
		words.WriteString(clubText(s.Club) + ", ")
	}
	fmt.Fprintf(&words, "%s %s, ", distanceText(g.From.Distance, g.From.Lie, c.in.Units), lieText(g.From.Lie))
	if g.To == nil {
		words.WriteString("holed")
	} else {
		fmt.Fprintf(&words, "to %s %s", distanceText(g.To.Distance, g.To.Lie, c.in.Units), lieText(g.To.Lie))
	}
	if g.Penalty > 0 {
		words.WriteString(", " + counted(g.Penalty, "penalty stroke", "penalty strokes"))
	}
	return StrokeLine{Gain: g, Club: s.Club, Strike: s.Strike, GoodEnough: s.GoodEnough, Date: date, Words: words.String()}
}
