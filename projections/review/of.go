package review

import (
	"math"
	"slices"
	"sync"

	"marram.example/projections/shots"
)

// planRounds is how many rounds the plan of a single round rests on, that one
// included: one round alone says little about what to practise.
const planRounds = 20

// composer holds what the parts of a review are made of.
type composer struct {
	in      Input
	one     bool
	own     []*ground    // under review, the newest first
	past    []*ground    // older ones, the newest first
	gains   []shots.Gain // of the rounds under review
	plan    []*ground    // what the plan rests on, the newest first
	advice  *shots.Baseline
	same    bool // advice compares with the baseline asked for
	against string
	out     Review
}

// Of composes a review. It returns a *shots.InputError without a baseline, for units
// that are none, and for a corridor that is none; whatever of the rounds cannot be
// used is left out and said in Counted.
func Of(in Input) (Review, error) {
	if in.Baseline == nil {
		return Review{}, &shots.InputError{Field: "baseline", Problem: "strokes cannot be compared with nothing"}
	}
	if in.Units == "" {
		in.Units = Metres
	}
	if in.Units != Metres && in.Units != Yards {
		return Review{}, &shots.InputError{Field: "units", Problem: "is none", Rule: "m or yd"}
	}
	for _, c := range in.Corridors {
		if err := c.check(); err != nil {
			return Review{}, err
		}
	}
	c := newComposer(in)
	c.title()
	// Two halves of like size that read the same grounds and fill in figures of their
	// own: years of rounds are worth a second processor.
	var other sync.WaitGroup
	var mistake any // of ours: to come out where the caller can catch it
	other.Go(func() {
		defer func() { mistake = recover() }()
		c.patterns()
		c.measures()
		c.times()
	})
	c.lines()
	c.club()
	c.holes()
	c.strokes()
	c.rounds()
	c.compare()
	other.Wait()
	if mistake != nil {
		panic(mistake)
	}
	c.practise()
	c.count()
	c.sentences()
	return c.out, nil
}

func newComposer(in Input) *composer {
	c := &composer{in: in}
	own, past := in.Own, in.Past
	if in.One && len(own) > 0 {
		own, past = own[:1], slices.Concat(own[1:], past)
	} else {
		own = inOrder(own, nil)
	}
	c.one = in.One
	c.own, c.gains = prepareAll(own, in.Baseline)
	c.past, _ = prepareAll(inOrder(past, own), in.Baseline)
	c.plan = c.own
	if c.one {
		c.plan = slices.Concat(c.own, c.past)
		c.plan = c.plan[:min(planRounds, len(c.plan))]
	}
	c.adviseBy()
	c.out.Baseline = BaselineInfo{
		Name: in.Baseline.Name(), Label: in.Baseline.Label(), Source: in.Baseline.Source(), Published: in.Baseline.Published(),
		Note: in.BaselineNote, Advice: c.advice.Label(),
	}
	if in.Practice {
		c.out.Caution = "Practice round, still in play. In a competition round this page stays shut until the card is returned (Rules of Golf 4.3a)."
	}
	return c
}

// adviseBy settles what advice compares with. A table of professionals tells everybody
// else that they are none; so it is, in this order, the baseline matched to the
// handicap, the club's own, the baseline stretched to the player's own level, and
// only where too little is logged for that the one asked for.
func (c *composer) adviseBy() {
	asked := c.in.Baseline
	c.advice, c.against = asked, "against "+asked.Label()
	switch {
	case asked.Name() == "matched":
		c.against = "against what your handicap predicts"
	case asked.Name() == "club":
		c.against = "against the players of this club"
	case c.in.Matched != nil:
		c.advice, c.against = c.in.Matched, "against what your handicap predicts"
	default:
		if own := level(asked, c.plan); own != nil {
			c.advice, c.against = own, "against the rest of your own game"
		}
	}
	c.same = c.advice == asked
	for _, g := range slices.Concat(c.own, c.past) {
		g.advised = g.gains
		if c.same || len(g.gains) == 0 {
			continue
		}
		advised, err := shots.GainedRound(g.round, c.advice)
		if err != nil || len(advised) != len(g.gains) {
			// The other baseline lacks a lie that this one has.
			advised = nil
		}
		g.advised = advised
	}
}

func (c *composer) title() {
	t := Title{One: c.one, Rounds: len(c.own)}
	score, par := 0, 0
	strokes, onlyPutts := false, true
	whole := true
	for _, g := range c.own {
		s, p, n := toPar(g.round)
		score, par, t.Scored = score+s, par+p, t.Scored+n
		strokes = strokes || len(g.gains) > 0 || hasStrokes(g.round)
		onlyPutts = onlyPutts && g.logged[kindRest] == 0
		whole = whole && len(g.round.Holes) > 0 && g.whole == len(g.round.Holes)
		if t.To == "" || g.round.Date > t.To {
			t.To = g.round.Date
		}
		if t.From == "" || g.round.Date < t.From {
			t.From = g.round.Date
		}
	}
	t.Logged, t.Putts = strokes, strokes && onlyPutts
	if c.one && len(c.own) == 1 {
		t.Card, t.Ball, t.Whole = c.own[0].round.ID, c.own[0].round.Ball, whole
		if t.Scored > 0 {
			over := score - par
			t.Score, t.ToPar = &score, &over
		}
	}
	c.out.Title = t
}

func hasStrokes(r shots.Round) bool {
	return slices.ContainsFunc(r.Holes, func(h shots.Hole) bool { return len(h.Strokes) > 0 })
}

func roundsOf(grounds []*ground) []shots.Round {
	out := make([]shots.Round, len(grounds))
	for i, g := range grounds {
		out[i] = g.round
	}
	return out
}

// finite is a pointer to a number that JSON can hold, nil for any other.
func finite(v float64) *float64 {
	if math.IsNaN(v) || math.IsInf(v, 0) {
		return nil
	}
	return &v
}
