package review

import (
	"fmt"
	"math"
	"slices"

	"marram.example/projections/shots"
)

// What a trend is of.
const (
	trendGained   = "gained"
	trendHandicap = "against_handicap"
)

// rounds fills in the rounds, and the line through them.
func (c *composer) rounds() {
	shown := slices.Clone(c.own)
	if c.one {
		shown = slices.Clone(c.plan)
	}
	slices.Reverse(shown)
	c.out.Rounds = make([]RoundLine, 0, len(shown))
	for _, g := range shown {
		c.out.Rounds = append(c.out.Rounds, roundLine(g, slices.Contains(c.own, g)))
	}
	c.trend(shown)
}

func roundLine(g *ground, current bool) RoundLine {
	score, par, scored := toPar(g.round)
	l := RoundLine{
		Card: g.round.ID, Ball: g.round.Ball, Date: g.round.Date, Score: score, ToPar: score - par, Scored: scored, Holes: len(g.round.Holes),
		Phases: map[string]float64{}, Current: current,
	}
	for _, h := range g.round.Holes {
		if len(h.Strokes) > 0 {
			l.Logged++
		}
	}
	if len(g.gains) > 0 {
		sum := 0.0
		for _, x := range g.gains {
			sum += x.Gained
			l.Phases[string(x.Phase)] += x.Gained
		}
		l.Gained = finite(sum)
	}
	if r := g.round; scored > 0 && scored == len(r.Holes) && r.CourseRating > 0 {
		l.AgainstHandicap = finite(r.CourseRating + r.CourseHandicap + shots.OverHandicap*float64(scored)/18 - float64(score))
	}
	return l
}

// trend draws a straight line through the rounds by least squares: through what the
// whole rounds gained where there are enough of them, else through the scores against
// the handicap. Its interval takes rounds as independent.
func (c *composer) trend(shown []*ground) {
	var of string
	var values []float64
	for _, g := range shown {
		if g.complete("") {
			values = append(values, total(gainedOf(g.gains)))
		}
	}
	of = trendGained
	if len(values) < leastRounds {
		of, values = trendHandicap, nil
		for _, l := range c.out.Rounds {
			if l.AgainstHandicap != nil {
				values = append(values, *l.AgainstHandicap)
			}
		}
	}
	n := float64(len(values))
	if len(values) < leastRounds {
		return
	}
	middle, mean := (n-1)/2, shots.Mean(values)
	sxx, sxy := 0.0, 0.0
	for i, v := range values {
		x := float64(i) - middle
		sxx += x * x
		sxy += x * (v - mean)
	}
	slope, residuals := sxy/sxx, 0.0
	for i, v := range values {
		off := v - mean - slope*(float64(i)-middle)
		residuals += off * off
	}
	const ten = 10
	e := estimate{value: ten * slope, se: ten * math.Sqrt(residuals/(n-2)/sxx), degrees: n - 2}
	e.test()
	t := &Trend{
		Of: of, Rounds: len(values), PerTen: e.value, Interval: e.interval(0.95), Likely: e.interval(0.80), Sure: shots.HowSure(e.p),
		First: mean - slope*middle, Last: mean + slope*middle,
	}
	way := "better"
	if e.value < 0 {
		way = "worse"
	}
	t.Words = fmt.Sprintf("Over %d rounds you get %s %s every ten rounds. %s", t.Rounds, amountText(e.value), way,
		hedged(t.Sure, "", gainText(e.shown(t.Sure))))
	if t.Sure == shots.SureHint {
		t.Words = fmt.Sprintf("Over %d rounds no trend can be told from luck: every ten rounds bring %s (80 of 100).", t.Rounds, gainText(t.Likely))
	}
	c.out.Trend = t
}

func gainedOf(gains []shots.Gain) []float64 {
	out := make([]float64, len(gains))
	for i, g := range gains {
		out[i] = g.Gained
	}
	return out
}

// shown is the interval that goes with a word: 95 % where it is clear, else 80 %.
func (e estimate) shown(sure string) shots.Interval {
	if sure == shots.SureClear {
		return e.interval(0.95)
	}
	return e.interval(0.80)
}

// hedged says how sure something is: "Likely: 5 rounds, between 0.4 and 3.1 (80 of
// 100)." The share is said where it is not that of the tables, 95 of 100.
func hedged(sure, basis, interval string) string {
	if sure != shots.SureClear {
		interval += " (80 of 100)"
	}
	switch {
	case sure == shots.SureTooFew:
		return upper(sure) + "."
	case basis == "":
		return upper(sure) + ": " + interval + "."
	default:
		return upper(sure) + ": " + basis + ", " + interval + "."
	}
}
