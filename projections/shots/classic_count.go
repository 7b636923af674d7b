package shots

import (
	"cmp"
	"slices"

	"marram.example/events"
)

// nearEnough is how near the hole an approach has to finish off the green to count for proximity, metres.
const nearEnough = 30 * Yard

// classicCount is Classic in the making.
type classicCount struct {
	Classic

	greensPutted int // greens hit on holes of which all putts are known
	left         []float64
	byPar        map[int][]int
}

// strokes counts what the strokes of a hole say.
func (c *classicCount) strokes(h Hole) {
	if len(h.Strokes) == 0 {
		return
	}
	c.HolesLogged++
	for i := range h.Strokes {
		s := &h.Strokes[i]
		if s.Penalty > 0 {
			c.Penalties += s.Penalty
			c.PhasePenalties[PhaseOf(h.Par, s.From)] += s.Penalty
		}
		c.proximity(h, i)
	}
	c.putting(h)
	c.add(&c.SandSaves, h, h.first(func(p Position) bool { return p.Lie == events.LieSand && upTo(p.Distance, AroundTheGreen) }))
	c.add(&c.UpAndDown, h, h.first(func(p Position) bool { return PhaseOf(h.Par, p) == PhaseAroundTheGreen }))
	if h.Strokes[0].From.Lie == events.LieTee {
		c.fairway(h)
		c.green(h)
	}
}

// add counts a chance to hole out with the i-th stroke or the next.
func (*classicCount) add(count *Count, h Hole, i int) {
	if i < 0 {
		return
	}
	if done, known := h.holedInTwo(i); known {
		count.add(done)
	}
}

func (c *Count) add(done bool) {
	c.Chances++
	if done {
		c.Done++
	}
}

// first is the first stroke from a position of that kind, -1 for none.
func (h Hole) first(is func(Position) bool) int {
	return slices.IndexFunc(h.Strokes, func(s Stroke) bool { return is(s.From) })
}

// holedInTwo reports whether the i-th stroke or the next went in without a penalty in them, and whether that is known. A second
// bunker stroke spoils it, even one that goes in.
func (h Hole) holedInTwo(i int) (done, known bool) {
	last := min(i+1, len(h.Strokes)-1)
	if last > i && h.Strokes[i].From.Lie == events.LieSand && h.Strokes[last].From.Lie == events.LieSand {
		return false, true
	}
	for _, s := range h.Strokes[i : last+1] {
		if s.Penalty > 0 {
			return false, true
		}
	}
	to, known := h.end(last)
	return known && to == nil, known
}

// ended reports whether the log follows the hole to its end, in the hole or where the ball was picked up.
func (h Hole) ended() bool {
	_, known := h.end(len(h.Strokes) - 1)
	return known
}

// scored is the hole's score: what stands on the card, else what its strokes add up to; 0 for none.
func (h Hole) scored() int {
	switch {
	case h.Score > 0:
		return h.Score
	case h.Whole():
		return h.Counted()
	default:
		return 0
	}
}

func (c *classicCount) proximity(h Hole, i int) {
	if PhaseOf(h.Par, h.Strokes[i].From) != PhaseApproach {
		return
	}
	to, known := h.end(i)
	switch {
	case !known || h.Strokes[i].Penalty > 0: // after a drop the ball lies where it was put, not where it finished
	case to == nil:
		c.left = append(c.left, 0)
	case to.Lie == events.LieGreen || upTo(to.Distance, nearEnough):
		c.left = append(c.left, to.Distance)
	}
}

func (c *classicCount) putting(h Hole) {
	putts := h.putts()
	c.Putts += putts
	if putts >= 3 {
		c.ThreePutts++
	}
	if putts >= 3 || putts > 0 && h.ended() {
		c.ThreePuttFree.add(putts < 3)
	}
}

func (h Hole) putts() int {
	n := 0
	for i := range h.Strokes {
		if h.Strokes[i].From.Lie == events.LieGreen {
			n++
		}
	}
	return n
}

// fairway is for holes whose first stroke, from the tee, is logged.
func (c *classicCount) fairway(h Hole) {
	to, known := h.end(0)
	if h.Par < 4 || !known && h.Strokes[0].Penalty == 0 {
		return
	}
	c.FairwaysHit.add(h.Strokes[0].Penalty == 0 && (to == nil || to.Lie == events.LieFairway || to.Lie == events.LieGreen))
}

// green counts greens in regulation, and scrambling where they were missed.
func (c *classicCount) green(h Hole) {
	hit, known := h.greenInRegulation()
	if !known {
		return
	}
	c.Greens.add(hit)
	switch {
	case hit && h.ended():
		c.PuttsOnGreens += h.putts()
		c.greensPutted++
	case hit:
	case h.Whole():
		c.Scrambles.add(h.Counted() <= h.Par)
	case h.Score > 0:
		c.Scrambles.add(h.Score <= h.Par)
	case h.ended(): // picked up
		c.Scrambles.add(false)
	}
}

// greenInRegulation reports whether the ball was on the green, or in, with two strokes of par left or more, penalties counted, and
// whether the strokes tell. They must begin at the tee.
func (h Hole) greenInRegulation() (hit, known bool) {
	used := 0
	for i := range h.Strokes {
		used += 1 + h.Strokes[i].Penalty
		if used > h.Par-2 {
			return false, true
		}
		to, known := h.end(i)
		if !known {
			return false, false
		}
		if to == nil || to.Lie == events.LieGreen {
			return true, true
		}
	}
	return false, true // picked up before
}

// score counts what a score alone says.
func (c *classicCount) score(h Hole) {
	score := h.scored()
	if score == 0 {
		return
	}
	c.HolesScored++
	if c.byPar == nil {
		c.byPar = map[int][]int{}
	}
	c.byPar[h.Par] = append(c.byPar[h.Par], score)
	d := &c.Distribution
	switch over := score - h.Par; {
	case over <= -2:
		d.EagleOrBetter++
	case over == -1:
		d.Birdie++
	case over == 0:
		d.Par++
	case over == 1:
		d.Bogey++
	case over == 2:
		d.DoubleBogey++
	default:
		d.Worse++
	}
}

// bounceBack looks at two holes that follow each other in the order of play. A next hole that was picked up is a chance not taken,
// one that says nothing is none.
func (c *classicCount) bounceBack(h, next Hole) {
	score, after := h.scored(), next.scored()
	pickedUp := after == 0 && len(next.Strokes) > 0 && !next.Holed && next.ended()
	if score > h.Par && (after > 0 || pickedUp) {
		c.BounceBack.add(after > 0 && after < next.Par)
	}
}

func (c *classicCount) done() Classic {
	if c.greensPutted > 0 {
		mean := float64(c.PuttsOnGreens) / float64(c.greensPutted)
		c.PuttsPerGreen = &mean
	}
	c.Proximity.N = len(c.left)
	c.Proximity.Median = Median(c.left)
	c.Averages = []ParAverage{}
	for par, scores := range c.byPar {
		sum := 0
		for _, score := range scores {
			sum += score
		}
		c.Averages = append(c.Averages, ParAverage{Par: par, N: len(scores), Mean: float64(sum) / float64(len(scores))})
	}
	slices.SortFunc(c.Averages, func(a, b ParAverage) int { return cmp.Compare(a.Par, b.Par) })
	return c.Classic
}
