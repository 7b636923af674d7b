package api

import (
	"context"
	"errors"
	"fmt"

	"marram.example/api/command"
	"marram.example/events"
	"marram.example/projections"
	"marram.example/projections/board"
	"marram.example/projections/cards"
	"marram.example/projections/competitions"
	"marram.example/projections/courses"
	"marram.example/projections/players"
	"marram.example/projections/results"
	"marram.example/projections/store"
	"marram.example/projections/strokes"
)

// ReadModels are the read models that queries use.
type ReadModels struct {
	Courses      *courses.Courses
	Players      *players.Players
	Competitions *competitions.Competitions
	Cards        *cards.Cards
	Results      *results.Results
	Strokes      *strokes.Strokes
}

// NewReadModels returns the read models in a store. Names are opened with the
// keys of the use cases.
func NewReadModels(s *store.Store, commands *command.Service) ReadModels {
	open := func(ctx context.Context, playerID string, sealed []byte) (events.Personal, error) {
		p, err := commands.OpenPersonal(ctx, playerID, sealed)
		if errors.Is(err, command.ErrErased) {
			err = fmt.Errorf("%w: %w", players.ErrErased, err)
		}
		return p, err
	}
	return ReadModels{
		Courses: courses.New(s), Players: players.New(s, open), Competitions: competitions.New(s), Cards: cards.New(s), Results: results.New(s),
		Strokes: strokes.New(s),
	}
}

// Projections lists the read models for the runner.
func (m ReadModels) Projections() []projections.Projection {
	return []projections.Projection{m.Courses, m.Players, m.Competitions, m.Cards, m.Results, m.Strokes}
}

// NamesOf finds names for the boards in the log, which is never behind what the
// boards ask about and does not need the read store.
func NamesOf(commands *command.Service) board.Namer {
	return func(ctx context.Context, ids []string, _ events.Position) (map[string]string, error) {
		return commands.Names(ctx, ids)
	}
}
