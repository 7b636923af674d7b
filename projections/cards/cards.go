// Package cards is the read model of the players' cards.
package cards

import (
	"context"

	"marram.example/events"
	"marram.example/events/card"
	"marram.example/projections"
	"marram.example/projections/store"
)

// Card is a card as it stands, with where it comes from.
type Card = projections.Document[card.State]

// Cards is the projection and its queries.
type Cards struct {
	*projections.Documents[card.State]
	store *store.Store
}

// New returns the read model of cards in a store.
func New(s *store.Store) *Cards {
	return &Cards{store: s, Documents: projections.NewDocuments(s, projections.Spec[card.State]{
		Name: "cards", Version: 1, Aggregate: events.Card, New: card.New, Evolve: card.Evolve,
		Columns: []projections.Column[card.State]{
			{Name: "competition", Value: func(c *Card) any { return c.State.CompetitionID }},
			{Name: "entry", Value: func(c *Card) any { return c.State.EntryID }},
			{Name: "player", Value: func(c *Card) any { return c.State.PlayerID }},
			{Name: "status", Value: func(c *Card) any { return c.State.Status() }},
		},
	})}
}

// Get reads one card, or a not-found *events.Error.
func (c *Cards) Get(ctx context.Context, id string) (*Card, error) {
	return c.Documents.Get(ctx, "card_id", id)
}

// ByCompetition reads all cards of a competition, ordered by id; none is an
// empty list.
func (c *Cards) ByCompetition(ctx context.Context, competitionID string) ([]Card, error) {
	return c.by(ctx, "competition", competitionID)
}

// ByPlayer reads all cards of a player, ordered by id; none is an empty list.
func (c *Cards) ByPlayer(ctx context.Context, playerID string) ([]Card, error) {
	return c.by(ctx, "player", playerID)
}

func (c *Cards) by(ctx context.Context, column, id string) ([]Card, error) {
	return c.Select(ctx, "WHERE "+column+" = ? ORDER BY "+c.store.Bytewise("id"), store.Text(id))
}
