package shots

import (
	"fmt"
	"math"

	"marram.example/events"
)

// Baseline is the average number of strokes that a group of players needs to hole out, by lie and distance. It does not change
// and is safe for concurrent use.
type Baseline struct {
	name, label, source string
	published           bool
	curves              [lies]*curve // nil for a lie without values
	teeOverFairway      float64      // at the tee's first row; for tees nearer than that
}

// Places of the lies in a baseline.
const (
	tee = iota
	fairway
	rough
	sand
	recovery
	green
	lies
)

var lieNames = [lies]string{events.LieTee, events.LieFairway, events.LieRough, events.LieSand, events.LieRecovery, events.LieGreen}

func lieIndex(name string) int {
	switch name {
	case events.LieTee:
		return tee
	case events.LieFairway:
		return fairway
	case events.LieRough:
		return rough
	case events.LieSand:
		return sand
	case events.LieRecovery:
		return recovery
	case events.LieGreen:
		return green
	default:
		return -1
	}
}

// unitOf is the unit, in metres, in which a lie's rows stand and between which its values are interpolated.
func unitOf(lie int) float64 {
	if lie == green {
		return Foot
	}
	return Yard
}

// Name returns the name in code and data: of a published table the name of its file.
func (b *Baseline) Name() string { return b.name }

// Label returns the name for people, which says whether it is published.
func (b *Baseline) Label() string { return b.label }

// Source says where the values come from, or how they were derived.
func (b *Baseline) Source() string { return b.source }

// Published reports whether the values stand in a publication as they are here. All others are derived or fitted.
func (b *Baseline) Published() bool { return b.published }

// Lies returns the lies that the baseline has values for.
func (b *Baseline) Lies() []string {
	var names []string
	for lie, c := range b.curves {
		if c != nil {
			names = append(names, lieNames[lie])
		}
	}
	return names
}

// Expected returns the average number of strokes from p to holing out, at least 1. Between rows it is a straight line in
// distance. Nearer than the first row: on the green the line from (0, 1); off the tee the fairway's value plus what the tee's
// first row is above the fairway (where the baseline has no fairway, the first segment's line); elsewhere the first row.
// Extrapolated reports that p lies beyond the last row (or before the first, of a tee without a fairway), where the outermost
// segment's line goes on.
//
// Errors are of type *InputError, with the field lie or distance.
func (b *Baseline) Expected(p Position) (strokes float64, extrapolated bool, err error) {
	lie := lieIndex(p.Lie)
	if lie < 0 || !(p.Distance > 0) || math.IsInf(p.Distance, 1) {
		return 0, false, p.check()
	}
	c := b.curves[lie]
	if c == nil {
		return 0, false, refuse("lie", "", "the baseline %s has no values for %s", b.name, p.Lie)
	}
	x := p.Distance / c.unit
	switch last := len(c.x) - 1; {
	case x > c.x[last]:
		return c.y[last] + (x-c.x[last])*c.slope[last-1], upToRow(p.Distance, c), nil
	case x >= c.x[0]:
		return c.at(x), false, nil
	case lie == green:
		return 1 + x/c.x[0]*(c.y[0]-1), false, nil
	case lie == tee:
		if b.curves[fairway] == nil {
			return max(1, c.y[0]+(x-c.x[0])*c.slope[0]), true, nil
		}
		strokes, extrapolated, err = b.Expected(Position{Lie: events.LieFairway, Distance: p.Distance})
		return max(1, strokes+b.teeOverFairway), extrapolated, err
	default:
		return c.y[0], false, nil
	}
}

// upToRow reports whether a distance is truly beyond the last row, not only by the last digit that it is stored with.
func upToRow(distance float64, c *curve) bool { return !upTo(distance, c.x[len(c.x)-1]*c.unit) }

// Stretched returns 1 + m(E-1): a tap-in stays a tap-in, the shape of the curves and the order of the lies stay as they are. One
// multiplier for all lies flatters the putting of weaker players and makes the rest too hard. The label must say that it is
// derived. It panics when m is not a number above 0, which is a mistake of the caller.
func (b *Baseline) Stretched(name, label string, m float64) *Baseline {
	if !(m > 0) || math.IsInf(m, 1) {
		panic(fmt.Sprintf("shots: a baseline cannot be stretched by %v", m))
	}
	stretched := &Baseline{
		name: name, label: label,
		source: fmt.Sprintf("derived, not published: 1 + %.3f x (%s - 1)", m, b.name),
	}
	for lie, c := range b.curves {
		if c == nil {
			continue
		}
		y := make([]float64, len(c.y))
		for i := range y {
			y[i] = 1 + m*(c.y[i]-1)
		}
		stretched.curves[lie] = newCurve(c.unit, c.x, y)
	}
	stretched.joinTee()
	return stretched
}

// joinTee works out what the tee's first row is above the fairway.
func (b *Baseline) joinTee() {
	t, f := b.curves[tee], b.curves[fairway]
	if t == nil || f == nil {
		return
	}
	level, _, err := b.Expected(Position{Lie: events.LieFairway, Distance: t.x[0] * t.unit})
	if err == nil {
		b.teeOverFairway = t.y[0] - level
	}
}

// OverHandicap is by how many strokes the average score over 18 holes lies above course rating and course handicap, which stand
// for the better half of scores: about 3 (D. Knuth, How Well Should You Play?).
const OverHandicap = 3

// Matched stretches b so that the tee values of the holes add up to target, the score to be expected of a handicap over these
// holes: then the total of a round says better or worse than usual, and the phases say where. The result is derived, not
// published.
//
// It returns an *InputError when a hole has no length, when there are no holes, or when no multiplier reaches the target.
func Matched(b *Baseline, holes []Hole, target float64) (*Baseline, error) {
	if len(holes) == 0 {
		return nil, refuse("holes", "", "a baseline cannot be matched to no holes")
	}
	sum := 0.0
	for _, h := range holes {
		if h.Length <= 0 {
			return nil, refuse("length", "", "hole %d has none, which matching needs", h.Number)
		}
		e, _, err := b.Expected(Position{Lie: events.LieTee, Distance: h.Length})
		if err != nil {
			return nil, fmt.Errorf("hole %d: %w", h.Number, err)
		}
		sum += e
	}
	n := float64(len(holes))
	if !(target > n) || math.IsInf(target, 1) {
		return nil, refuse("target", "above one stroke a hole", "%v strokes over %d holes cannot be expected", target, len(holes))
	}
	if sum <= n {
		return nil, refuse("baseline", "", "%s expects one stroke a hole, which cannot be stretched", b.name)
	}
	m := (target - n) / (sum - n)
	matched := b.Stretched("matched", "Matched to the handicap (derived, not published)", m)
	matched.source += fmt.Sprintf(", so that the tees of %d holes add up to %.1f", len(holes), target)
	return matched, nil
}
