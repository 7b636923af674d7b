// Package competitions is the read model of competitions: terms, entries, draw,
// rounds and result.
package competitions

import (
	"context"

	"marram.example/events"
	"marram.example/events/competition"
	"marram.example/projections"
	"marram.example/projections/store"
)

// Competition is a competition as it stands, with where it comes from.
type Competition = projections.Document[competition.State]

// Competitions is the projection and its queries.
type Competitions struct {
	*projections.Documents[competition.State]
	store *store.Store
}

// New returns the read model of competitions in a store.
func New(s *store.Store) *Competitions {
	return &Competitions{store: s, Documents: projections.NewDocuments(s, projections.Spec[competition.State]{
		Name: "competitions", Version: 2, Aggregate: events.Competition, New: competition.New, Evolve: competition.Evolve,
		Columns: []projections.Column[competition.State]{
			{Name: "date", Value: func(c *Competition) any { return c.State.Date }},
		},
	})}
}

// Get reads one competition, or a not-found *events.Error.
func (c *Competitions) Get(ctx context.Context, id string) (*Competition, error) {
	return c.Documents.Get(ctx, "competition_id", id)
}

// List reads a page of competitions, the newest date first, and the cursor of
// the next page, empty on the last. Cursor is empty for the first page; a
// malformed one is an invalid *events.Error.
func (c *Competitions) List(ctx context.Context, limit int, cursor string) (page []Competition, next string, err error) {
	limit = projections.PageSize(limit)
	date, id := c.store.Bytewise("date"), c.store.Bytewise("id")
	where, args := "", []any{}
	if cursor != "" {
		after, err := projections.ParseCursor(cursor, 2)
		if err != nil {
			return nil, "", err
		}
		where = "WHERE (" + date + ", " + id + ") < (?, ?) "
		args = append(args, after[0], after[1])
	}
	page, err = c.Select(ctx, where+"ORDER BY "+date+" DESC, "+id+" DESC LIMIT ?", append(args, limit+1)...)
	if err != nil || len(page) <= limit {
		return page, "", err
	}
	page = page[:limit]
	last := page[limit-1]
	return page, projections.Cursor(store.Text(last.State.Date), last.ID), nil
}
