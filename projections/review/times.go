package review

import (
	"marram.example/events"
)

// TimeLine is how long one stroke of the round took.
type TimeLine struct {
	Hole    int     `json:"hole"`
	Stroke  int     `json:"stroke"`  // of the hole, from 1
	Putt    bool    `json:"putt"`    // from the green
	Seconds float64 `json:"seconds"` // logged, from the intent entered to the strike confirmed
}

// times lists the seconds logged of one round, in the order of play.
func (c *composer) times() {
	c.out.Times = []TimeLine{}
	if !c.one || len(c.own) == 0 {
		return
	}
	for _, h := range c.own[0].round.Holes {
		for i, s := range h.Strokes {
			if s.Seconds == nil || finite(*s.Seconds) == nil || *s.Seconds <= 0 {
				continue
			}
			c.out.Times = append(c.out.Times, TimeLine{Hole: h.Number, Stroke: i + 1, Putt: s.From.Lie == events.LieGreen, Seconds: *s.Seconds})
		}
	}
}
