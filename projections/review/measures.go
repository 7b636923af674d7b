package review

import (
	"fmt"
	"strings"

	"marram.example/projections/shots"
)

// routineRounds are the newest ones that the routine is told from: years ago it was
// another one (common practice, no source).
const routineRounds = 50

// measures fills in what package shots works out of the rounds as a whole.
func (c *composer) measures() {
	rounds, gains := roundsOf(c.own), c.gains
	c.out.Putts = shots.PuttsByDistance(rounds)
	c.out.Square = shots.StrikeAndOutcome(gains)
	c.out.Commitment = shots.CommitmentAgainstResult(gains)
	newest := c.own[:min(routineRounds, len(c.own))]
	n := 0
	for _, g := range newest {
		n += len(g.gains)
	}
	c.out.Routine = shots.RoutineOf(rounds[:len(newest)], gains[:n])
	c.out.Classic = shots.ClassicOf(rounds)
}

// count says what the review rests on, and what is left out of it.
func (c *composer) count() {
	n := Counted{Rounds: len(c.own), Past: len(c.past), Compared: len(c.gains), LeftOut: []LeftOut{}}
	for _, x := range c.gains {
		if x.Extrapolated {
			n.Extrapolated++
		}
	}
	reasons := []string{}
	without := map[string]int{}
	bare := 0
	for _, g := range c.own {
		if hasStrokes(g.round) {
			n.RoundsLogged++
		}
		n.HolesWhole += g.whole
		for i, h := range g.round.Holes {
			n.add(h)
			switch why := g.without[i]; {
			case why != "":
				if without[why] == 0 {
					reasons = append(reasons, why)
				}
				without[why]++
			case len(h.Strokes) == 0:
				bare++
			}
		}
	}
	for _, why := range reasons {
		n.LeftOut = append(n.LeftOut, LeftOut{What: "holes", N: without[why], Why: "their strokes: " + why})
	}
	if broken := n.Strokes - n.Compared; broken > 0 {
		n.LeftOut = append(n.LeftOut, LeftOut{What: "strokes", N: broken, Why: "where they finished is not known"})
	}
	if bare > 0 && n.HolesLogged > 0 {
		n.LeftOut = append(n.LeftOut, LeftOut{What: "holes", N: bare, Why: "no strokes are logged on them"})
	}
	n.LeftOut = append(n.LeftOut, c.in.LeftOut...)
	n.Words = n.sentence()
	c.out.Counted = n
}

// add counts a hole.
func (n *Counted) add(h shots.Hole) {
	n.Holes++
	if scored(h) {
		n.HolesScored++
	}
	if len(h.Strokes) > 0 {
		n.HolesLogged++
		n.Strokes += len(h.Strokes)
	}
}

func (n Counted) sentence() string {
	var parts []string
	parts = append(parts, counted(n.Rounds, "round", "rounds"))
	parts = append(parts, fmt.Sprintf("%d of %s logged", n.HolesLogged, counted(n.Holes, "hole", "holes")))
	parts = append(parts, counted(n.Strokes, "stroke", "strokes"))
	if n.Past > 0 {
		parts = append(parts, counted(n.Past, "earlier round", "earlier rounds")+" to compare with")
	}
	return strings.Join(parts, ", ") + "."
}
