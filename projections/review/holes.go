package review

import "marram.example/projections/shots"

// holes fills in the holes of one round, and the round against the field.
func (c *composer) holes() {
	c.out.Holes = []HoleLine{}
	if !c.one || len(c.own) == 0 {
		return
	}
	g := c.own[0]
	field := make([]shots.Round, 0, len(c.in.Field))
	own := g.round
	for _, r := range c.in.Field {
		field = append(field, tidy(r))
		if r.ID == own.ID && r.Ball == own.Ball && len(r.Holes) == len(own.Holes) {
			own = field[len(field)-1] // its scores are capped as everybody's are
		}
	}
	against := shots.AgainstField(own, field)
	gained := map[int][]shots.Gain{}
	for _, x := range g.gains {
		gained[x.Hole] = append(gained[x.Hole], x)
	}
	running, fieldRunning, begun := 0.0, 0.0, false
	line := FieldLine{}
	for i, h := range g.round.Holes {
		l := HoleLine{Number: h.Number, Par: h.Par, Length: h.Length, Score: h.Score, Whole: h.Whole(), Putts: putts(h), LeftOut: g.without[i]}
		l.Strokes = len(h.Strokes)
		l.Penalty = h.Counted() - l.Strokes
		l.Differs = l.Whole && h.Score > 0 && h.Counted() != h.Score
		if own := gained[h.Number]; len(own) > 0 {
			begun = true
			sum := 0.0
			for _, x := range own {
				sum += x.Gained
			}
			running += sum
			l.Expected, l.Gained = finite(own[0].Expected), finite(sum)
			delete(gained, h.Number) // a hole that is played twice counts once
		}
		if begun {
			l.Running = finite(running)
		}
		if i < len(against) && against[i].N > 1 {
			a := against[i]
			l.FieldN, l.FieldMean, l.FieldGained, l.ForHandicap = a.N, finite(a.Mean), a.Gained, a.ForHandicap
			if a.Gained != nil {
				fieldRunning += *a.Gained
				l.FieldRunning = finite(fieldRunning)
				line.Holes, line.Score, line.Mean, line.Gained = line.Holes+1, line.Score+a.Score, line.Mean+a.Mean, line.Gained+*a.Gained
				line.Players = max(line.Players, a.N)
			}
		}
		c.out.Holes = append(c.out.Holes, l)
	}
	if line.Holes > 0 {
		c.out.Field = &line
	}
}
