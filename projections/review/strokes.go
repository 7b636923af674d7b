package review

import (
	"fmt"
	"slices"
	"strings"

	"marram.example/projections/shots"
)

// shownStrokes are listed as the best, and as the worst.
const shownStrokes = 5

// strokes fills in the best and the worst strokes: those alone that gained, and lost.
// Of equal ones the earlier comes first.
func (c *composer) strokes() {
	dates := map[string]string{}
	for _, g := range c.own {
		dates[g.round.ID] = g.round.Date
	}
	c.out.Best, c.out.Worst = []StrokeLine{}, []StrokeLine{}
	for _, at := range c.outermost(1) {
		c.out.Best = append(c.out.Best, c.stroke(c.gains[at], dates[c.gains[at].Round]))
	}
	for _, at := range c.outermost(-1) {
		c.out.Worst = append(c.out.Worst, c.stroke(c.gains[at], dates[c.gains[at].Round]))
	}
}

// outermost are the places of the few strokes that gained most (sign 1) or lost most
// (-1), the outermost first. One pass, because there may be years of strokes.
func (c *composer) outermost(sign float64) []int {
	few := make([]int, 0, shownStrokes+1)
	for i := range c.gains {
		gained := sign * c.gains[i].Gained
		if gained <= 0 || len(few) == shownStrokes && gained <= sign*c.gains[few[len(few)-1]].Gained {
			continue
		}
		at := len(few)
		for at > 0 && gained > sign*c.gains[few[at-1]].Gained {
			at--
		}
		few = slices.Insert(few, at, i)
		few = few[:min(shownStrokes, len(few))]
	}
	return few
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
