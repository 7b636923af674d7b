package review

import (
	"math"

	"marram.example/projections/shots"
)

// What a range of distances needs before the club's own value there is shown, so that
// no single player's strokes can be read from it (common practice, no source).
const (
	ClubMinStrokes = 10
	ClubMinPlayers = 5
)

// ClubFigure is the club's own baseline, with how far it may be off.
type ClubFigure struct {
	Published  string    `json:"published"` // label of the table beside it
	Strokes    int       `json:"strokes"`
	Players    int       `json:"players"`
	LeftOut    int       `json:"left_out"`    // holes not played out
	MinStrokes int       `json:"min_strokes"` // that a lie needs
	MinPlayers int       `json:"min_players"` // the same
	Lies       []ClubLie `json:"lies"`        // all that the table has, from the tee to the green

	// By about how much the comparison itself may be off, 95 of 100, over the strokes
	// under review: the value of one of them (mean over those with a band), and the sum
	// of a round, were the values of all its first strokes off the same way. Null where
	// no stroke, or not every first one, was played from where there is a band.
	OffStroke *float64 `json:"off_stroke"`
	OffRound  *float64 `json:"off_round"`
}

// ClubLie is one lie of the club's own baseline.
type ClubLie struct {
	Lie            string      `json:"lie"`
	Strokes        int         `json:"strokes"`
	Players        int         `json:"players"`
	Enough         bool        `json:"enough"` // false: it has no points, and the comparison uses published values
	MissingStrokes int         `json:"missing_strokes"`
	MissingPlayers int         `json:"missing_players"`
	Points         []ClubPoint `json:"points"` // the nearest first
}

// ClubPoint is one distance. Fitted, Low and High are null where the strokes or the
// players near it are fewer than ClubMinStrokes or ClubMinPlayers: then Distance is
// nobody's but the middle of a fixed range.
type ClubPoint struct {
	Distance  float64  `json:"distance"` // metres
	Published float64  `json:"published"`
	Fitted    *float64 `json:"fitted"`
	Low       *float64 `json:"low"` // 95 % band
	High      *float64 `json:"high"`
}

// club fills in the club's own baseline, where strokes are compared with it.
func (c *composer) club() {
	f, table := c.in.Club, c.in.Published
	if f == nil || table == nil {
		return
	}
	out := &ClubFigure{
		Published: table.Label(), Strokes: f.Strokes, Players: f.Players, LeftOut: f.LeftOut, MinStrokes: f.MinStrokes, MinPlayers: f.MinPlayers,
		Lies: make([]ClubLie, len(f.Lies)),
	}
	for i, l := range f.Lies {
		out.Lies[i] = ClubLie{
			Lie: l.Lie, Strokes: l.Strokes, Players: l.Players, Enough: l.Enough, Points: []ClubPoint{},
			MissingStrokes: max(0, f.MinStrokes-l.Strokes), MissingPlayers: max(0, f.MinPlayers-l.Players),
		}
		if l.Enough {
			out.Lies[i].Points = clubPoints(f, table, l)
		}
	}
	out.OffStroke, out.OffRound = c.clubOff(f)
	c.out.Club = out
}

// clubPoints are the ranges of distances from the first to the last one with enough
// strokes.
func clubPoints(f *shots.Fit, table *shots.Baseline, l shots.LieFit) []ClubPoint {
	out := []ClubPoint{}
	last := 0 // points up to the last one with a value
	for _, b := range l.Bins {
		at := shots.Position{Lie: l.Lie, Distance: b.Centre}
		own := b.N >= ClubMinStrokes && b.Players >= ClubMinPlayers
		if !own {
			if len(out) == 0 || b.To == 0 {
				continue
			}
			at.Distance = (b.From + b.To) / 2
		}
		published, _, err := table.Expected(at)
		if err != nil {
			continue
		}
		p := ClubPoint{Distance: at.Distance, Published: published}
		if own {
			low, high := f.Band(at)
			p.Fitted, p.Low, p.High = finite(b.Fitted), finite(low), finite(high)
		}
		out = append(out, p)
		if own {
			last = len(out)
		}
	}
	return out[:last]
}

// clubOff is by how much the values of the strokes under review may be off.
func (c *composer) clubOff(f *shots.Fit) (stroke, round *float64) {
	half := func(p shots.Position) float64 {
		low, high := f.Band(p)
		return (high - low) / 2
	}
	sum, n := 0.0, 0
	firsts, rounds, whole := 0.0, 0, true
	for _, g := range c.own {
		if len(g.gains) == 0 {
			continue
		}
		rounds++
		hole := math.MinInt
		for _, x := range g.gains {
			h := half(x.From)
			if h > 0 {
				sum, n = sum+h, n+1
			}
			if x.Hole != hole { // what is left after a stroke is what the next one begins with
				hole, firsts, whole = x.Hole, firsts+h, whole && h > 0
			}
		}
	}
	if n == 0 {
		return nil, nil
	}
	stroke = finite(sum / float64(n))
	if whole {
		round = finite(firsts / float64(rounds))
	}
	return stroke, round
}
