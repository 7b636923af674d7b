package review

import (
	"cmp"
	"math"
	"slices"

	"marram.example/events"
	"marram.example/projections/shots"
)

// ground is one round made ready: its strokes compared with the baselines, and what
// of it could not be.
type ground struct {
	round   shots.Round
	gains   []shots.Gain   // against the baseline asked for
	advised []shots.Gain   // against what advice compares with; the same strokes
	without map[int]string // why a hole's strokes are left out, by its place in the round
	logged  map[string]int // holes with a stroke that counts, by kind
	whole   int            // holes logged from the tee into the hole
}

// Kinds of strokes that a player may log without the other.
const (
	kindPutts = "putts"
	kindRest  = "rest"
)

func kindOf(g shots.Gain) string {
	if g.Phase == shots.PhasePutting {
		return kindPutts
	}
	return kindRest
}

// usualShare of a round's holes must have strokes of a kind before its sum is
// compared with that of other rounds (common practice, no source).
const usualShare = 2.0 / 3

// complete reports whether enough of the round is logged for its sum to stand beside
// those of others. An empty kind asks for both.
func (g *ground) complete(kind string) bool {
	least := usualShare * float64(len(g.round.Holes))
	if kind == "" {
		return g.complete(kindPutts) && g.complete(kindRest)
	}
	return g.logged[kind] > 0 && float64(g.logged[kind]) >= least
}

func (g *ground) covers(kind string) bool {
	if kind == "" {
		return len(g.gains) > 0
	}
	return g.logged[kind] > 0
}

// prepareAll prepares rounds; the gains of all of them, in their order, lie in one
// piece of memory.
func prepareAll(rounds []shots.Round, b *shots.Baseline) (grounds []*ground, all []shots.Gain) {
	strokes := 0
	for i := range rounds {
		for j := range rounds[i].Holes {
			strokes += len(rounds[i].Holes[j].Strokes)
		}
	}
	all = make([]shots.Gain, 0, strokes)
	for _, r := range rounds {
		g := prepare(r, b, all)
		all = all[:len(all)+len(g.gains)]
		g.gains = slices.Clip(g.gains)
		grounds = append(grounds, g)
	}
	return grounds, all
}

// prepare compares a round with the baseline. A hole whose strokes cannot be compared
// stays in the round without them. The gains are put behind those before.
func prepare(r shots.Round, b *shots.Baseline, before []shots.Gain) *ground {
	g := &ground{round: tidy(r), without: map[int]string{}, logged: map[string]int{}}
	g.gains = before[len(before):]
	for i := range g.round.Holes {
		h := &g.round.Holes[i]
		if len(h.Strokes) == 0 {
			continue
		}
		why := unusable(*h)
		var gains []shots.Gain
		if why == "" {
			var err error
			if gains, err = shots.Gained(*h, b); err != nil {
				why = "the baseline has no value for one of the positions"
			}
		}
		if why != "" {
			g.without[i] = why
			h.Strokes, h.Holed = nil, false
			continue
		}
		if h.Whole() {
			g.whole++
		}
		kinds := map[string]bool{}
		for _, x := range gains {
			x.Round = g.round.ID
			g.gains = append(g.gains, x)
			kinds[kindOf(x)] = true
		}
		for kind := range kinds {
			g.logged[kind]++
		}
	}
	return g
}

// Limits beyond which a number is a slip of the pen, wide enough for any round.
const (
	furthest    = 2000.0 // metres
	widestMiss  = 1000.0 // metres
	mostStrokes = 99     // on a hole
	dearest     = 20     // penalty strokes of one stroke
)

// tidy copies a round and drops numbers that mean nothing.
func tidy(r shots.Round) shots.Round {
	r.CourseRating, r.CourseHandicap = within(r.CourseRating, 0, 500), within(r.CourseHandicap, -100, 500)
	r.Holes = slices.Clone(r.Holes)
	for i := range r.Holes {
		h := &r.Holes[i]
		h.Length = within(h.Length, 0, furthest)
		if h.Score < 0 || h.Score > mostStrokes {
			h.Score = 0
		}
	}
	return r
}

func within(v, low, high float64) float64 {
	if !(v >= low && v <= high) {
		return 0
	}
	return v
}

// unusable says why the strokes of a hole cannot be worked with, or nothing.
func unusable(h shots.Hole) string {
	if h.Par < 2 || h.Par > 9 {
		return "the hole has no par"
	}
	for i := range h.Strokes {
		s := &h.Strokes[i]
		switch {
		case !usable(s.From), s.Finish != nil && s.Finish.Lie != "" && !usable(*s.Finish):
			return "a distance is missing or out of reach"
		case s.Penalty < 0 || s.Penalty > dearest:
			return "a penalty is out of range"
		case !(math.Abs(s.Miss.Across) <= widestMiss && math.Abs(s.Miss.Along) <= widestMiss):
			return "the amount of a miss is out of range"
		case s.Seconds != nil && (math.IsNaN(*s.Seconds) || math.IsInf(*s.Seconds, 0)):
			return "a time is no number"
		}
	}
	if h.Check() != nil {
		return "a lie is none"
	}
	return ""
}

// usable distances are kept to a tenth of a millimetre; less is no distance.
func usable(p shots.Position) bool { return p.Distance > edge && p.Distance <= furthest }

// inOrder returns rounds by date, the newest first, and by card and ball where dates
// are equal, so that the order in which they came changes nothing. A card that is
// among the others is dropped.
func inOrder(rounds, others []shots.Round) []shots.Round {
	seen := map[string]bool{}
	for _, r := range others {
		seen[r.ID] = true
	}
	kept := make([]shots.Round, 0, len(rounds))
	for _, r := range rounds {
		if !seen[r.ID] || r.ID == "" {
			kept = append(kept, r)
		}
	}
	slices.SortStableFunc(kept, func(a, b shots.Round) int {
		return cmp.Or(cmp.Compare(b.Date, a.Date), cmp.Compare(b.ID, a.ID), cmp.Compare(a.Ball, b.Ball))
	})
	return kept
}

// own level: how much of the player's own strokes there must be before a baseline is
// stretched to them (common practice, no source).
const leastLevel = 60

// Bounds of the multiplier that brings a baseline to a player's level.
const (
	leastStretch = 0.5
	mostStretch  = 5.0
)

// level is the baseline stretched so that the player's own strokes gain nothing
// altogether: against it a part of the game gains or loses against the rest of the
// player's own game. Nil where too little is logged, or the multiplier is none.
//
// A stroke gains m(E-E') - c, and one that was not holed another -1 for itself,
// where E and E' are the baseline's excess over one stroke before it and after it
// (0 when holed) and c its penalty strokes: the total is linear in m.
func level(b *shots.Baseline, grounds []*ground) *shots.Baseline {
	slope, fixed, n := 0.0, 0.0, 0
	for _, g := range grounds {
		for _, x := range g.gains {
			n++
			slope += x.Expected - 1
			fixed += float64(x.Penalty)
			if x.To != nil {
				after := x.Expected - x.Gained - 1 - float64(x.Penalty)
				slope -= after - 1
				fixed++
			}
		}
	}
	if n < leastLevel || !(slope > 0) {
		return nil
	}
	m := fixed / slope
	if !(m >= leastStretch && m <= mostStretch) {
		return nil
	}
	return b.Stretched("level", "The rest of your own game (derived, not published)", m)
}

// scored reports whether the hole has a score that counts.
func scored(h shots.Hole) bool { return h.Score > 0 && h.Par >= 2 && h.Par <= 9 }

// toPar adds up the scores over the holes that have one.
func toPar(r shots.Round) (score, par, holes int) {
	for _, h := range r.Holes {
		if scored(h) {
			score, par, holes = score+h.Score, par+h.Par, holes+1
		}
	}
	return score, par, holes
}

func putts(h shots.Hole) int {
	n := 0
	for _, s := range h.Strokes {
		if s.From.Lie == events.LieGreen {
			n++
		}
	}
	return n
}
