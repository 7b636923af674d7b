package breakdown

import (
	"fmt"

	"marram.example/events"
	"marram.example/events/card"
	"marram.example/projections/handicap"
	"marram.example/projections/scoring"
)

// Hole is one hole of a ball with who entered what and what it comes to.
type Hole struct {
	Number      int               `json:"number"`
	Par         int               `json:"par"`
	StrokeIndex int               `json:"stroke_index"`
	Received    int               `json:"received"`
	Counting    events.Score      `json:"counting"`
	CountingBy  events.Role       `json:"counting_by,omitempty"`
	Player      events.Score      `json:"player"`
	Marker      events.Score      `json:"marker"`
	Committee   events.Score      `json:"committee"`
	Differs     bool              `json:"differs"`
	Penalty     int               `json:"penalty,omitempty"` // strokes that the committee put on the hole
	Maximum     int               `json:"maximum,omitempty"` // most gross strokes that count; 0 where the format has none
	MaximumSum  string            `json:"maximum_sum,omitempty"`
	Gross       *int              `json:"gross"` // strokes that count: with penalty, down to the maximum
	Net         *int              `json:"net"`
	Points      *int              `json:"points"`
	ParBogey    *int              `json:"par_bogey,omitempty"` // par/bogey: 1 won, 0 tied, -1 lost
	ToPar       *int              `json:"gross_to_par"`
	Excluded    string            `json:"excluded,omitempty"` // why the hole counts for nobody
	Sum         handicap.Line     `json:"sum"`
	Positions   []events.Position `json:"positions"` // of the events about this hole
}

// ballHole is a hole of a ball, for finding its events.
type ballHole struct{ ball, hole int }

// holes opens the holes of a ball; why says what the committee excluded.
func holes(c *card.State, ball int, net scoring.Result, format scoring.Format, at map[ballHole][]events.Position, why map[int]string) []Hole {
	lines := c.Lines(ball)
	out := make([]Hole, len(lines))
	for i, h := range lines {
		r := net.Holes[i]
		x := Hole{
			Number: h.Number, Par: h.Par, StrokeIndex: h.StrokeIndex, Received: h.Received, Counting: h.Counting(),
			Player: h.Player, Marker: h.Marker, Committee: h.Committee, Differs: h.Differs(),
			Penalty: r.Penalty, Maximum: r.Maximum, Positions: orNone(at[ballHole{ball, h.Number}]),
		}
		if r.Maximum > 0 {
			x.MaximumSum = maximumSum(c.Maximum, h.Par, h.Received)
		}
		if x.Counting.Entered() {
			x.CountingBy = h.CountingBy()
			x.Sum = format.ExplainHole(r)
		}
		switch {
		case h.Excluded():
			x.Excluded = why[h.Number]
		case x.Counting.Entered():
			x.Points = number(r.Points)
			if format.Unit == scoring.UnitHoles {
				x.ParBogey = number(r.ParBogey)
			}
		}
		if r.Counts() {
			x.Gross, x.Net, x.ToPar = number(r.Gross), number(r.Net), number(r.GrossToPar)
		}
		out[i] = x
	}
	return out
}

func number(n int) *int { return &n }

// orNone keeps a list from being null in JSON.
func orNone[T any](list []T) []T {
	if list == nil {
		return []T{}
	}
	return list
}

// maximumSum is the arithmetic of the most strokes on a hole (Rules of Golf 21.2).
func maximumSum(m events.Maximum, par, received int) string {
	most := scoring.MaximumOf(m, par, received)
	switch m.Kind {
	case events.NetDoubleBogey:
		sign, n := "+", received
		if n < 0 {
			sign, n = "-", -n
		}
		return fmt.Sprintf("par %d + 2 %s %d received = %d", par, sign, n, most)
	case events.DoublePar:
		return fmt.Sprintf("2 x par %d = %d", par, most)
	default:
		return fmt.Sprintf("%d strokes on every hole", most)
	}
}
