package review

import "marram.example/projections/shots"

// compare fills in the comparison with the last 5, 10 and 20 rounds: of one round, the
// rounds before it; over several, the last few of them against those before these.
func (c *composer) compare() {
	c.out.Compare = []CompareLine{}
	reached := 0
	for _, last := range []int{5, 10, 20} {
		few := c.own
		if c.one {
			few = c.past
		}
		few = few[:min(last, len(few))]
		if len(few) == reached {
			continue // there are no more rounds than in the line before
		}
		reached = len(few)
		c.out.Compare = append(c.out.Compare, c.compared(last, few))
	}
}

func (c *composer) compared(last int, few []*ground) CompareLine {
	l := CompareLine{Last: last, Rounds: len(few), Phases: []ComparePart{}}
	score, par, holes, green, putted := 0, 0, 0, 0, 0
	for _, g := range few {
		s, p, n := toPar(g.round)
		score, par, holes = score+s, par+p, holes+n
		for _, h := range g.round.Holes {
			if n := putts(h); n > 0 && h.Holed {
				green, putted = green+1, putted+n
			}
		}
	}
	if holes > 0 {
		l.Score = finite(float64(score-par) / float64(holes) * 18)
	}
	if green > 0 {
		l.Putts = finite(float64(putted) / float64(green))
	}
	l.Greens = shots.ClassicOf(roundsOf(few)).Greens
	newer, older := c.own, few
	if !c.one {
		newer, older = few, c.before(len(few))
	}
	if parts := c.parts(totalList(), few, newer, older); len(parts) > 0 {
		l.Total = &parts[0]
	}
	l.Phases = append(l.Phases, c.parts(phaseList(asked), few, newer, older)...)
	return l
}

// before are the rounds older than the newest few.
func (c *composer) before(few int) []*ground {
	all := append(append([]*ground{}, c.own...), c.past...)
	return all[few:]
}

// parts are the lines of a list of which enough was logged in the last few rounds.
func (c *composer) parts(l list, few, newer, older []*ground) []ComparePart {
	shown := l.sums(few)
	now := l.sums(newer)
	then := l.sums(older)
	found := []ComparePart{}
	estimates := make([]estimate, len(l.lines))
	for i := range l.lines {
		estimates[i] = against(now[i], then[i])
	}
	ps := adjusted(estimates)
	for i, line := range l.lines {
		if len(shown[i]) == 0 {
			continue
		}
		p := ComparePart{Key: line.Key, Label: line.Label, Rounds: len(shown[i]), PerRound: shots.Mean(shown[i])}
		if len(now[i]) > 0 && len(then[i]) > 0 {
			p.Difference = finite(estimates[i].value)
		}
		if !estimates[i].tooFew {
			interval := estimates[i].interval(0.95)
			p.Interval, p.Sure = &interval, estimates[i].words(ps[i])
		}
		found = append(found, p)
	}
	return found
}
