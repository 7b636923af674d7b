// Package results is the read model of published results: one row for every
// revision of every competition, with its grounds.
package results

import (
	"context"
	"encoding/json"
	"fmt"
	"time"

	"github.com/jmoiron/sqlx"

	"marram.example/events"
	"marram.example/projections"
	"marram.example/projections/store"
)

// Published is a result as it was published.
type Published struct {
	CompetitionID string          `json:"competition_id"`
	Revision      int             `json:"revision"`         // 0 as first published
	Reason        string          `json:"reason,omitempty"` // why it was revised
	Time          time.Time       `json:"time"`             // when, UTC
	Sequence      events.Sequence `json:"sequence"`         // of the competition's stream
	Position      events.Position `json:"position"`
	EventID       string          `json:"event_id"`
	Result        events.Result   `json:"result"`
}

// Results is the projection and its queries.
type Results struct{ store *store.Store }

// New returns the read model of results in a store.
func New(s *store.Store) *Results { return &Results{store: s} }

// Name implements projections.Projection.
func (*Results) Name() string { return "results" }

// Version implements projections.Projection.
func (*Results) Version() int { return 1 }

func key() []string { return []string{"competition", "revision"} }

// Tables implements projections.Projection.
func (*Results) Tables() []projections.Table {
	return []projections.Table{{Name: "results", Key: key()}}
}

// Apply implements projections.Projection.
func (*Results) Apply(ctx context.Context, tx *sqlx.Tx, batch []events.Recorded) error {
	type id struct {
		competition string
		revision    int
	}
	at := map[id]int{} // row of a revision, so that each stands once
	var rows [][]any
	for _, e := range batch {
		p, ok := published(e)
		if !ok {
			continue
		}
		doc, err := json.Marshal(p)
		if err != nil {
			return fmt.Errorf("write result of %s: %w", p.CompetitionID, err)
		}
		row := []any{p.CompetitionID, int64(p.Revision), int64(p.Position), string(doc)}
		k := id{p.CompetitionID, p.Revision}
		if i, twice := at[k]; twice {
			rows[i] = row
			continue
		}
		at[k] = len(rows)
		rows = append(rows, row)
	}
	return store.Upsert(ctx, tx, "results", key(), []string{"competition", "revision", "position", "doc"}, rows)
}

func published(e events.Recorded) (Published, bool) {
	p := Published{CompetitionID: e.Stream.ID, Time: e.Time.UTC(), Sequence: e.Sequence, Position: e.Position, EventID: e.ID}
	switch f := e.Event.(type) {
	case events.ResultPublished:
		p.Result = f.Result
	case events.ResultRevised:
		p.Result, p.Revision, p.Reason = f.Result, f.Revision, f.Reason
	default:
		return p, false
	}
	return p, true
}

// Latest reads the result that stands, or a not-found *events.Error where none
// was published.
func (r *Results) Latest(ctx context.Context, competitionID string) (*Published, error) {
	all, err := r.selectDocs(ctx, competitionID, "revision DESC LIMIT 1")
	if err != nil {
		return nil, err
	}
	if len(all) == 0 {
		return nil, events.NotFound("competition_id", "no result has been published for this competition")
	}
	return &all[0], nil
}

// History reads every result of a competition, the first one first; none is an
// empty list.
func (r *Results) History(ctx context.Context, competitionID string) ([]Published, error) {
	return r.selectDocs(ctx, competitionID, "revision")
}

func (r *Results) selectDocs(ctx context.Context, competitionID, order string) ([]Published, error) {
	db := r.store.DB()
	var stored []string
	err := db.SelectContext(ctx, &stored, db.Rebind("SELECT doc FROM results WHERE competition = ? ORDER BY "+order), store.Text(competitionID))
	if err != nil {
		return nil, fmt.Errorf("select results: %w", err)
	}
	all := make([]Published, len(stored))
	for i, s := range stored {
		if err := json.Unmarshal([]byte(s), &all[i]); err != nil {
			return nil, fmt.Errorf("read result: %w", err)
		}
	}
	return all, nil
}
