package command

import (
	"context"

	"marram.example/events"
)

// PreviewDraw is the start sheet that Draw would publish. Nothing is stored.
func (s *Service) PreviewDraw(ctx context.Context, r Request, id string, in Draw) ([]events.Group, error) {
	if err := s.committee(r); err != nil {
		return nil, err
	}
	c, _, err := s.Competition(ctx, id)
	if err != nil {
		return nil, err
	}
	if c.Terms == nil {
		return nil, events.NotNow("terms", "no_terms", "state the terms before the draw")
	}
	if c, _, err = s.recounted(ctx, id, c); err != nil {
		return nil, err
	}
	return s.drawn(ctx, id, c, in)
}
