package strokes

import (
	"context"
	"fmt"

	"marram.example/events"
)

// Extent says how much the returned rounds with strokes are, so that what was made of
// them can be told from what is to be made again.
type Extent struct {
	Cards int             `db:"cards"`
	Last  events.Position `db:"last"` // of what was said last about any of them; 0 for none
}

// Returned is the extent of all returned rounds with strokes.
func (s *Strokes) Returned(ctx context.Context) (Extent, error) {
	var e Extent
	err := s.store.DB().GetContext(ctx, &e, "SELECT COUNT(*) AS cards, COALESCE(MAX(position), 0) AS last FROM strokes WHERE logged > 0 AND returned")
	if err != nil {
		return Extent{}, fmt.Errorf("measure strokes: %w", err)
	}
	return e, nil
}

// TakenBack lists the cards of which something was said after a position and that are
// not returned now: those in play, and those that were reopened.
func (s *Strokes) TakenBack(ctx context.Context, after events.Position) ([]string, error) {
	var ids []string
	db := s.store.DB()
	err := db.SelectContext(ctx, &ids, db.Rebind("SELECT id FROM strokes WHERE NOT returned AND position > ?"), int64(after))
	if err != nil {
		return nil, fmt.Errorf("find cards not returned: %w", err)
	}
	return ids, nil
}
