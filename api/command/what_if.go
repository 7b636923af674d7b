package command

import (
	"context"

	"marram.example/events"
	"marram.example/events/competition"
	"marram.example/projections/standing"
)

// WhatIf counts the cards of a competition once more under other terms, from what
// the log holds now. Nothing is recorded.
func (s *Service) WhatIf(ctx context.Context, id string, other standing.OtherTerms) (standing.Comparison, *competition.State, error) {
	c, _, err := s.Competition(ctx, id)
	if err != nil {
		return standing.Comparison{}, nil, err
	}
	if c.Terms == nil || !c.Begun() {
		out, err := standing.Compare(c, nil, other)
		return out, c, err
	}
	if _, err := other.On(*c.Terms); err != nil {
		return standing.Comparison{}, c, err // before any card is read
	}
	all, err := s.AllCards(ctx, id, c)
	if err != nil {
		return standing.Comparison{}, c, err
	}
	cards, err := Scored(all)
	if err != nil {
		return standing.Comparison{}, c, err
	}
	out, err := standing.Compare(c, cards, other)
	return out, c, domain(err)
}

// MayCompare reports whether anybody may see a competition under other terms:
// before the result is published that is the committee's alone.
func MayCompare(c *competition.State) error {
	if c.Phase != competition.Published {
		return events.NotFound("competition_id", "no result has been published for this competition")
	}
	return nil
}
