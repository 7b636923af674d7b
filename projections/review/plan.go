package review

import (
	"cmp"
	"fmt"
	"math"
	"slices"

	"marram.example/projections/shots"
)

const (
	shownAdvice = 5    // entries of a plan
	worthWhile  = 0.15 // strokes a round below which nothing is advised: shown with one decimal it would be next to nothing
	mostNeeded  = 1_000_000
	patience    = 60 // rounds that somebody may play in a season (common practice, no source)
	// z975 + z80: a difference is seen 4 times in 5 at the 5 % level from this many of
	// its standard errors on.
	seenFrom = 1.959963984540054 + 0.8416212335729143
)

// practise fills in the plan and its head.
//
// The plan ranks the areas that lose strokes against what advice compares with, over
// the rounds under review (of one round with the past ones, 20 altogether). First
// come those of which something is known: where the 80 % interval of the loss a round
// leaves out 0, by its lower end, so that a small loss that is sure may stand before a
// large one that may be chance. After them the others by the loss itself, which are
// hints only. Nothing is assumed about how much of a loss practice can win back.
//
// The aim is half of the loss a stroke, d. With the spread s of the gains in the area,
// n = 2((z0.975+z0.80)s/d)² strokes before and as many after show a change of that size
// at the 5 % level 4 times in 5.
func (c *composer) practise() {
	c.out.Plan = []Advice{}
	lines := c.areaLines(c.plan, false)
	found := slices.DeleteFunc(slices.Clone(lines), func(l GainLine) bool {
		return l.Sure == shots.SureTooFew || -l.PerRound < worthWhile
	})
	slices.SortStableFunc(found, surelyLost)
	for _, l := range found[:min(shownAdvice, len(found))] {
		c.out.Plan = append(c.out.Plan, c.advise(l))
	}
	if len(c.out.Plan) > 0 {
		first := c.out.Plan[0]
		c.out.First = &first
		c.out.PlanBasis = fmt.Sprintf("From %s, %s. What is lost most surely comes first: by the lower end of what it may cost.",
			counted(logged(c.plan), "round", "rounds"), c.against)
		return
	}
	n := 0
	for _, l := range lines {
		n += l.N
	}
	switch {
	case n == 0:
		c.out.FirstNot = "No strokes are logged that could say what to practise. Logging the putts alone is a beginning."
	case !slices.ContainsFunc(lines, func(l GainLine) bool { return l.Sure != shots.SureTooFew }):
		c.out.FirstNot = fmt.Sprintf("Too few strokes to say what to practise: %s so far, and each part of the game needs %d.",
			counted(n, "stroke", "strokes"), leastStrokes)
	default:
		c.out.FirstNot = "No part of the game with enough strokes loses any worth naming, " + c.against + "."
	}
}

// surelyLost orders by what is surely lost.
func surelyLost(a, b GainLine) int {
	known := func(l GainLine) bool { return -l.Likely.High > 0 }
	switch x, y := known(a), known(b); {
	case x != y:
		if x {
			return -1
		}
		return 1
	case x:
		return cmp.Compare(a.Likely.High, b.Likely.High) // gains: the lower end of the loss is the higher one of the gain
	default:
		return cmp.Compare(a.PerRound, b.PerRound)
	}
}

func (c *composer) advise(l GainLine) Advice {
	at := slices.IndexFunc(areas, func(a area) bool { return a.key == l.Key })
	name := areas[at].strokes(c.in.Units)
	a := Advice{
		Area: l.Key, Label: l.Label, Figure: FigurePlan, Loss: -l.PerRound, Interval: negated(l.Interval), Likely: negated(l.Likely),
		Sure: l.Sure, Against: c.against, Rounds: l.Rounds, Strokes: l.N, InRound: float64(l.N) / float64(max(1, l.Rounds)),
	}
	if c.one {
		for _, x := range c.out.Areas {
			if x.Key == l.Key {
				a.Usual = x.Usual
			}
		}
	}
	head := fmt.Sprintf("%s cost you %s a round", upper(name), amountText(a.Loss))
	hedge := hedged(a.Sure, basis(l.Rounds), lossText(l.shown()))
	a.Words = fit(head+" "+c.against+". "+hedge, head+". "+hedge)

	var gains []float64
	holed := 0
	for _, g := range c.plan {
		for i := range g.advised {
			if x := &g.advised[i]; areaOf(x) == at {
				gains = append(gains, x.Gained)
				if x.To == nil {
					holed++
				}
			}
		}
	}
	a.Change = a.Loss / a.InRound / 2
	a.Needed, a.After = needed(shots.SD(gains), a.Change), 0
	a.After = int(math.Ceil(float64(a.Needed) / a.InRound))
	a.Aim = fmt.Sprintf("Lose no more than %s there a round; now it is %s.", amountText(a.Loss/2), strokesText(a.Loss))
	if areas[at].phase == shots.PhasePutting && areas[at].to > 0 {
		if aim, ok := holeAim(name, float64(holed)/float64(len(gains)), a.Change); ok {
			a.Aim = aim
		}
	}
	if a.After > patience {
		a.Worked = fmt.Sprintf("Half of this loss won back takes some %s to show: no season can tell it from luck. Watch whether it leaves this list.",
			counted(a.After, "round", "rounds"))
		return a
	}
	a.Worked = fmt.Sprintf("Log %s (about %s). Half of the loss won back shows then 4 times in 5; sooner it may be luck.",
		counted(a.After, "more round", "more rounds"), counted(a.Needed, "stroke there", "strokes there"))
	return a
}

// needed strokes on either side show a change of so many strokes a stroke.
func needed(sd, change float64) int {
	if !(change > 0) {
		return mostNeeded
	}
	n := math.Ceil(2 * (seenFrom * sd / change) * (seenFrom * sd / change))
	return int(min(mostNeeded, max(leastStrokes, n)))
}

// holeAim says the aim as putts to be holed: a putt more that drops gains nearly one
// stroke, because what is left after a miss from here is short.
func holeAim(name string, share, change float64) (string, bool) {
	if share+change > 0.98 {
		return "", false
	}
	for _, of := range []float64{10, 20, 100} {
		now, then := math.Round(share*of), math.Round((share+change)*of)
		if then > now && then < of {
			return fmt.Sprintf("Hole %.0f of %.0f %s; now it is %.0f of %.0f.", then, of, name, now, of), true
		}
	}
	return "", false
}

// shown is the interval that goes with the word: 95 % where it is clear, else 80 %.
func (l GainLine) shown() shots.Interval {
	if l.Sure == shots.SureClear {
		return l.Interval
	}
	return l.Likely
}

func negated(i shots.Interval) shots.Interval { return shots.Interval{Low: -i.High, High: -i.Low} }
