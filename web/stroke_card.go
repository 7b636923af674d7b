package web

import "marram.example/events"

// strokesSay marks the holes of a card whose strokes say another score than the card
// does. Strokes are the player's: nobody else sees that.
func (p *cardPage) strokesSay() {
	if p.Role != events.RolePlayer {
		return
	}
	for b := range p.Balls {
		for i := range p.Balls[b].Holes {
			h := &p.Balls[b].Holes[i]
			if n, _ := p.State.StrokesScore(b, h.Number); p.State.StrokesDiffer(b, h.Number) {
				h.StrokesSay = n
				p.Unsettled = append(p.Unsettled, *h)
			}
		}
	}
}

// Logs reports whether the visitor logs strokes on the card.
func (p *cardPage) Logs() bool { return p.Role == events.RolePlayer }
