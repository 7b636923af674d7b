package review

import (
	"fmt"
	"math"
	"slices"

	"marram.example/events"
	"marram.example/projections/shots"
)

const (
	shownPoints   = 150 // of a group of clubs are drawn
	patternRounds = 50  // the newest ones, that patterns rest on: older ones are another player's (common practice, no source)
)

// check refuses a corridor that is none.
func (k CorridorInput) check() error {
	switch {
	case !slices.Contains(shots.Groups(), k.Group):
		return &shots.InputError{Field: "group", Problem: fmt.Sprintf("%q is no group of clubs", k.Group)}
	case !(math.Abs(k.Left) <= widestMiss):
		return &shots.InputError{Field: "left", Problem: "is no distance of an edge", Rule: "at most 1000 m"}
	case !(math.Abs(k.Right) <= widestMiss):
		return &shots.InputError{Field: "right", Problem: "is no distance of an edge", Rule: "at most 1000 m"}
	case !(k.Left+k.Right > 0):
		return &shots.InputError{Field: "right", Problem: "the edges leave no corridor between them", Rule: "left + right above 0"}
	case !(k.CostLeft >= 0 && k.CostLeft <= dearest):
		return &shots.InputError{Field: "cost_left", Problem: "is no cost in strokes", Rule: "0 to 20"}
	case !(k.CostRight >= 0 && k.CostRight <= dearest):
		return &shots.InputError{Field: "cost_right", Problem: "is no cost in strokes", Rule: "0 to 20"}
	}
	return nil
}

// patterns fills in how the strokes of each group of clubs miss.
//
// Whether a miss is one-sided is asked of the strokes under review, across and along,
// with Holm's adjustment for all the questions asked; whether today differs from what
// is usual, and where to aim, of the player's newest 50 rounds.
func (c *composer) patterns() {
	c.out.Patterns = []PatternLine{}
	rounds, today := roundsOf(c.own), ""
	if c.one && len(c.own) > 0 {
		rounds, today = roundsOf(slices.Concat(c.own, c.past)), c.own[0].round.ID
	}
	rounds = rounds[:min(patternRounds, len(rounds))]
	var ps []float64
	for _, p := range shots.Patterns(rounds, today) {
		points := shots.Misses(rounds, p.Group)
		l := PatternLine{Group: p.Group, Label: groupLabel(p.Group), Pattern: p, Points: points[:min(shownPoints, len(points))]}
		from := map[string]bool{}
		for _, x := range points {
			from[x.Round] = true
			if today == "" || x.Round == today {
				l.countMiss(x)
			}
		}
		l.Rounds = len(from)
		l.Across, l.Along = shots.OneSidedMiss(l.Left, l.Right), shots.OneSidedMiss(l.Short, l.Long)
		ps = append(ps, l.Across.P, l.Along.P)
		c.out.Patterns = append(c.out.Patterns, l)
	}
	ps = shots.Holm(ps)
	for i := range c.out.Patterns {
		l := &c.out.Patterns[i]
		l.Sure, l.SureAlong = sided(l.Across, ps[2*i]), sided(l.Along, ps[2*i+1])
		l.Words = l.sentence(today != "", c.in.Units)
		for _, k := range c.in.Corridors {
			if k.Group == l.Group {
				l.Corridor = k.line(l.Pattern, c.in.Units)
			}
		}
	}
}

func (l *PatternLine) countMiss(x shots.MissPoint) {
	switch x.Side {
	case events.MissLeft:
		l.Left++
	case events.MissRight:
		l.Right++
	case events.MissOnLine:
		l.OnLine++
	}
	switch x.Length {
	case events.MissShort:
		l.Short++
	case events.MissLong:
		l.Long++
	case events.MissLevel:
		l.Level++
	}
}

// sided is how sure a one-sided miss is by its adjusted p-value.
func sided(o shots.OneSided, p float64) string {
	if o.HowSure == shots.SureTooFew {
		return shots.SureTooFew
	}
	return shots.HowSure(p)
}

// across says how many went to the side of more: "9 of 11 drives missed right".
func (l *PatternLine) across() (words string, said bool) {
	return l.toOneSide("missed", "left", l.Left, "right", l.Right, l.OnLine)
}

// along says it of the length: "14 of 18 putts finished short". Putts that went in
// have no length unless the player gave them one.
func (l *PatternLine) along() (words string, said bool) {
	return l.toOneSide("finished", "short", l.Short, "long", l.Long, l.Level)
}

// toOneSide says how many of all went to the side of more, where there is one.
func (l *PatternLine) toOneSide(did, one string, ones int, other string, others, neither int) (words string, said bool) {
	side, more := one, ones
	if others > ones {
		side, more = other, others
	}
	if more == 0 || ones == others {
		return "", false
	}
	return fmt.Sprintf("%d of %d %s %s %s", more, ones+others+neither, groupStrokes(l.Group), did, side), true
}

func (l *PatternLine) sentence(today bool, units string) string {
	words := ""
	add := func(s, sure string) {
		if words != "" {
			words += " "
		}
		words += s + ": " + sure + "."
	}
	if s, said := l.across(); said && l.Sure != shots.SureTooFew {
		add(s, l.Sure)
	}
	if s, said := l.along(); said && l.SureAlong != shots.SureTooFew {
		add(s, l.SureAlong)
	}
	if d := l.Pattern.Different; today && d != nil && l.Pattern.Length > 0 {
		by := l.Pattern.Length * math.Tan(d.By*math.Pi/180)
		side := "right"
		if by < 0 {
			side = "left"
		}
		if math.Abs(by) >= 1 {
			add(fmt.Sprintf("Today %s further %s than usual", acrossText(by, units), side), d.HowSure)
		}
	}
	if l.Left+l.Right+l.OnLine+l.Short+l.Long+l.Level == 0 {
		return "Nothing was said of where these finished."
	}
	if words == "" && l.Sure == shots.SureTooFew && l.SureAlong == shots.SureTooFew {
		return "Too few misses to say whether they lean."
	}
	if words == "" {
		return "As many to one side as to the other."
	}
	return words
}

// line is what a pattern does in the corridor.
func (k CorridorInput) line(p shots.Pattern, units string) *CorridorLine {
	l := &CorridorLine{Left: k.Left, Right: k.Right, CostLeft: k.CostLeft, CostRight: k.CostRight, Length: p.Length}
	if l.CostLeft == 0 && l.CostRight == 0 {
		l.CostLeft, l.CostRight = 1, 1
	}
	bias, spread, known := p.At(p.Length)
	if !known {
		l.Words = "Too few strokes with an amount to say how often this corridor is hit."
		return l
	}
	l.Bias, l.Spread = bias, spread
	now, err := shots.CorridorOf(bias, spread, k.Left, k.Right)
	if err != nil {
		l.Words = "This corridor cannot be reckoned with."
		return l
	}
	aim, err := shots.BestAim(bias, spread, k.Left, k.Right, l.CostLeft, l.CostRight)
	if err != nil {
		l.Words = "This corridor cannot be reckoned with."
		return l
	}
	l.Now, l.Aim = &now, &aim
	where := "at the target"
	if across := math.Round(math.Abs(aim.Offset)); across >= 1 {
		side := "right"
		if aim.Offset < 0 {
			side = "left"
		}
		where = fmt.Sprintf("%s %s of the target", acrossText(aim.Offset, units), side)
	}
	l.Words = fmt.Sprintf("Aim %s: about %d of 20 then stay between the troubles, %d of 20 as you aim now.", where, of20(aim.Chances.Inside), of20(now.Inside))
	return l
}

// of20 is a share of twenty strokes; all of them only where hardly any strays.
func of20(share float64) int {
	const nearlyAll = 0.995
	if share >= nearlyAll {
		return 20
	}
	return min(19, int(math.Round(share*20)))
}
