// Package cards is the read model of the players' cards, without the strokes that
// players log: those are in projections/strokes.
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
		Name: "cards", Version: 2, Aggregate: events.Card, New: card.New, Evolve: card.EvolveScores,
		Columns: []projections.Column[card.State]{
			{Name: "competition", Value: func(c *Card) any { return c.State.CompetitionID }},
			{Name: "entry", Value: func(c *Card) any { return c.State.EntryID }},
			{Name: "player", Value: func(c *Card) any { return c.State.PlayerID }},
			{Name: "player2", Value: partner(1)},
			{Name: "player3", Value: partner(2)},
			{Name: "player4", Value: partner(3)},
			{Name: "status", Value: func(c *Card) any { return c.State.Status() }},
		},
	})}
}

// partner is the n-th player of a card's side, the first being 0; empty where there
// are fewer.
func partner(n int) func(c *Card) any {
	return func(c *Card) any {
		if all := c.State.Players(); n < len(all) {
			return all[n]
		}
		return ""
	}
}

// Get reads one card, or a not-found *events.Error.
func (c *Cards) Get(ctx context.Context, id string) (*Card, error) {
	return c.Documents.Get(ctx, "card_id", id)
}

// ByCompetition reads all cards of a competition, ordered by id; none is an
// empty list.
func (c *Cards) ByCompetition(ctx context.Context, competitionID string) ([]Card, error) {
	return c.Select(ctx, "WHERE competition = ? ORDER BY "+c.store.Bytewise("id"), store.Text(competitionID))
}

// ByPlayer reads all cards of a player, those of a side too, ordered by id; none is
// an empty list.
func (c *Cards) ByPlayer(ctx context.Context, playerID string) ([]Card, error) {
	id := store.Text(playerID)
	if id == "" {
		return []Card{}, nil // the mark of a side with fewer players
	}
	return c.Select(ctx, "WHERE player = ? OR player2 = ? OR player3 = ? OR player4 = ? ORDER BY "+c.store.Bytewise("id"), id, id, id, id)
}
