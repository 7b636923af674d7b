package review

import (
	"slices"
	"strings"

	"marram.example/projections/shots"
)

// list is a list of lines before its figures are worked out: every stroke belongs to
// one of them.
type list struct {
	lines []GainLine
	kinds []string              // which kind of strokes is in each line; empty for both
	at    func(*shots.Gain) int // the line of a stroke
	of    func(*ground) []shots.Gain
	usual bool // compare with the player's past rounds
}

func (l *list) add(line GainLine, kind string) {
	l.lines, l.kinds = append(l.lines, line), append(l.kinds, kind)
}

func asked(g *ground) []shots.Gain   { return g.gains }
func advised(g *ground) []shots.Gain { return g.advised }

// lines fills in total, phases, areas, clubs and bands.
//
// Sure goes by Holm's adjustment for having looked at the whole list: "clear" on a
// line asks for more than that its own interval leaves out 0.
func (c *composer) lines() {
	c.out.Total = c.work(totalList(), c.own)[0]
	c.out.Phases = c.work(phaseList(asked), c.own)
	c.out.Areas = c.areaLines(c.own, true)
	for _, l := range c.out.Areas {
		c.out.AreasTotal += l.Total
	}
	c.out.Clubs, c.out.Bands = c.work(clubList(c.gains), c.own), c.work(c.bandList(c.gains), c.own)
}

func totalList() list {
	return list{
		lines: []GainLine{{Key: "total", Label: "Total"}}, kinds: []string{""}, of: asked, usual: true,
		at: func(*shots.Gain) int { return 0 },
	}
}

func phaseList(of func(*ground) []shots.Gain) list {
	phases := shots.Phases()
	l := list{of: of, usual: true, at: func(g *shots.Gain) int { return slices.Index(phases, g.Phase) }}
	for _, p := range phases {
		kind := kindRest
		if p == shots.PhasePutting {
			kind = kindPutts
		}
		l.add(GainLine{Key: string(p), Label: phaseLabel(p)}, kind)
	}
	return l
}

// areaLines are the areas with strokes, against what advice compares with.
func (c *composer) areaLines(grounds []*ground, usual bool) []GainLine {
	l := list{of: advised, at: areaOf, usual: usual}
	for _, a := range areas {
		l.add(GainLine{Key: a.key, Label: a.label(c.in.Units), From: a.from, To: a.to}, a.kind())
	}
	return slices.DeleteFunc(c.work(l, grounds), func(l GainLine) bool { return l.N == 0 })
}

func clubList(all []shots.Gain) list {
	places := map[string]int{}
	l := list{of: asked, at: func(g *shots.Gain) int { return places[g.Stroke.Club] }}
	for i, s := range shots.ByClub(all) {
		label := "No club said"
		if s.Key != "" {
			label = upper(clubText(s.Key))
		}
		places[s.Key] = i
		l.add(GainLine{Key: s.Key, Label: label}, "")
	}
	return l
}

func (c *composer) bandList(all []shots.Gain) list {
	bands := shots.ByBand(all)
	l := list{of: asked, at: func(g *shots.Gain) int { return bandOf(bands, g) }}
	for _, s := range bands {
		kind := kindRest
		if strings.HasPrefix(s.Key, "putt") {
			kind = kindPutts
		}
		l.add(GainLine{Key: s.Key, Label: bandLabel(s, c.in.Units), From: s.From, To: s.To}, kind)
	}
	return l
}

// bandOf is the place of a stroke among the bands with strokes.
func bandOf(bands []shots.Sum, g *shots.Gain) int {
	return slices.IndexFunc(bands, func(s shots.Sum) bool {
		switch g.Phase {
		case shots.PhaseOffTheTee:
			return s.Key == shots.OffTheTeeBand
		case shots.PhasePutting:
			return strings.HasPrefix(s.Key, "putt") && inBand(s, g.From.Distance)
		default:
			return s.Key != shots.OffTheTeeBand && !strings.HasPrefix(s.Key, "putt") && inBand(s, g.From.Distance)
		}
	})
}

func inBand(s shots.Sum, distance float64) bool {
	return (s.From == 0 || distance > s.From+edge) && (s.To == 0 || distance <= s.To+edge)
}

// rows are the strokes of each line, a row a round in which strokes of its kind were
// logged.
func (l *list) rows(grounds []*ground) [][][]float64 {
	rows := make([][][]float64, len(l.lines))
	for _, g := range grounds {
		round := make([][]float64, len(l.lines))
		gains := l.of(g)
		for i := range gains {
			if at := l.at(&gains[i]); at >= 0 && at < len(round) {
				round[at] = append(round[at], gains[i].Gained)
			}
		}
		for i, kind := range l.kinds {
			if g.covers(kind) {
				rows[i] = append(rows[i], round[i])
			}
		}
	}
	return rows
}

// sums are what a round gained in each line, of those rounds alone that are logged
// enough to stand beside others.
func (l *list) sums(grounds []*ground) [][]float64 {
	sums := make([][]float64, len(l.lines))
	round := make([]float64, len(l.lines))
	for _, g := range grounds {
		clear(round)
		gains := l.of(g)
		for i := range gains {
			if at := l.at(&gains[i]); at >= 0 && at < len(round) {
				round[at] += gains[i].Gained
			}
		}
		for i, kind := range l.kinds {
			if g.complete(kind) {
				sums[i] = append(sums[i], round[i])
			}
		}
	}
	return sums
}

func total(values []float64) float64 {
	sum := 0.0
	for _, v := range values {
		sum += v
	}
	return sum
}

// work works out the figures of a list.
func (c *composer) work(l list, grounds []*ground) []GainLine {
	out := make([]GainLine, len(l.lines))
	rows := l.rows(grounds)
	estimates := make([]estimate, len(out))
	for i := range out {
		out[i] = l.lines[i]
		x, e := &out[i], perRound(rows[i])
		for _, row := range rows[i] {
			x.N += len(row)
			x.Total += total(row)
		}
		x.Rounds, x.PerRound = len(rows[i]), e.value
		if x.N > 0 {
			x.Mean = x.Total / float64(x.N)
		}
		x.Interval, x.Likely = e.interval(0.95), e.interval(0.80)
		estimates[i] = e
	}
	for i, p := range adjusted(estimates) {
		out[i].Sure = estimates[i].words(p)
	}
	if l.usual && len(c.past) >= leastRounds {
		c.usual(l, l.sums(grounds), out)
	}
	return out
}

// usual compares the lines with the player's past rounds, where there are enough.
func (c *composer) usual(l list, own [][]float64, out []GainLine) {
	past := l.sums(c.past)
	estimates := make([]estimate, len(out))
	for i := range out {
		e := against(own[i], past[i])
		estimates[i] = e
		if !e.tooFew {
			out[i].Usual = &UsualLine{
				Rounds: len(past[i]), PerRound: shots.Mean(past[i]), Difference: e.value, Interval: e.interval(0.95), Likely: e.interval(0.80),
			}
		}
	}
	for i, p := range adjusted(estimates) {
		if out[i].Usual != nil {
			out[i].Usual.Sure = estimates[i].words(p)
		}
	}
}
