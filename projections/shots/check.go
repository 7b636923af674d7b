package shots

import (
	"fmt"
	"math"
)

// Check makes sure that a hole's strokes can be worked with: every lie is one, every distance to the hole a finite number above 0,
// no penalty below 0. Counting (ClassicOf, PuttsByDistance) takes holes as they come, so whoever reads them from outside checks
// them first; Gained refuses such a hole by itself.
//
// It returns an error that wraps an *InputError with the field lie, distance or penalty.
func (h Hole) Check() error {
	for i := range h.Strokes {
		s := &h.Strokes[i]
		if err := s.From.check(); err != nil {
			return fmt.Errorf("hole %d, stroke %d: %w", h.Number, i+1, err)
		}
		if s.Penalty < 0 {
			return fmt.Errorf("hole %d, stroke %d: %w", h.Number, i+1, refuse("penalty", "", "%d is below 0", s.Penalty))
		}
	}
	if n := len(h.Strokes); n > 0 && !h.Holed && h.Strokes[n-1].Finish != nil {
		if err := h.Strokes[n-1].Finish.check(); err != nil {
			return fmt.Errorf("hole %d, end of stroke %d: %w", h.Number, n, err)
		}
	}
	return nil
}

func (p Position) check() error {
	if lieIndex(p.Lie) < 0 {
		return refuse("lie", "tee, fairway, rough, sand, recovery or green", "%q is not a lie", p.Lie)
	}
	if !(p.Distance > 0) || math.IsInf(p.Distance, 1) {
		return refuse("distance", "above 0", "%v is not a distance to the hole", p.Distance)
	}
	return nil
}
