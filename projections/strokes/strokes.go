// Package strokes is the read model of what players logged: one compact document a
// card with holes, scores and strokes, from which the analysis (projections/shots)
// reads a player's rounds. It keeps no words of theirs, no score of another player
// of the competition, and nothing personal beside ids.
package strokes

import (
	"context"
	"encoding/json"
	"fmt"
	"runtime"
	"time"

	"golang.org/x/sync/errgroup"

	"marram.example/events"
	"marram.example/events/card"
	"marram.example/projections"
	"marram.example/projections/shots"
	"marram.example/projections/store"
)

// Strokes is the projection and its queries.
type Strokes struct {
	*projections.Documents[State]
	store *store.Store
}

// Played is a round that one player played with a ball of their own.
type Played struct {
	CardID        string
	CompetitionID string
	Number        int    // of the round in its competition
	CourseID      string //
	Tee           string //
	Date          string // YYYY-MM-DD: the card's, else the day of its first event (UTC)
	PlayerID      string
	Ball          int
	Practice      bool
	Returned      bool
	Logged        int // strokes of this ball; 0 where scores alone are known
	Round         shots.Round
}

// document is a card's state with where it comes from.
type document = projections.Document[State]

// New returns the read model of strokes in a store.
func New(s *store.Store) *Strokes {
	return &Strokes{store: s, Documents: projections.NewDocuments(s, projections.Spec[State]{
		Name: "strokes", Version: 1, Aggregate: events.Card, New: newState, Evolve: evolve,
		Columns: []projections.Column[State]{
			{Name: "player", Value: own(0)},
			{Name: "player2", Value: own(1)},
			{Name: "player3", Value: own(2)},
			{Name: "player4", Value: own(3)},
			{Name: "date", Value: func(d *document) any { return dateOf(&d.State.card, d.Created) }},
			{Name: "round", Value: func(d *document) any { return int64(d.State.card.Round) }},
			{Name: "returned", Value: func(d *document) any { return d.State.card.Returned }},
			{Name: "practice", Value: func(d *document) any { return d.State.card.Practice }},
			{Name: "logged", Value: func(d *document) any { return int64(len(d.State.card.Strokes)) }},
		},
	})}
}

// own is who plays a ball of their own; empty where there is none, and where a side
// plays one ball together, whose strokes are nobody's alone.
func own(ball int) func(d *document) any {
	return func(d *document) any { return ownPlayer(&d.State.card, ball) }
}

func ownPlayer(k *card.State, ball int) string {
	if len(k.Figures.Shares) > 0 {
		return ""
	}
	return k.BallPlayer(ball)
}

func dateOf(k *card.State, first time.Time) string {
	if k.Date != "" {
		return k.Date
	}
	return first.UTC().Format(time.DateOnly)
}

// shown is which cards a history holds: those that are returned, and practice. What
// interprets any other round is withheld (Rules of Golf 4.3a).
const shown = "(returned OR practice)"

// ByPlayer reads a player's rounds that may be shown, those with scores alone too,
// the newest first: those up to a day (YYYY-MM-DD; empty for no end), and at most last
// of them, or all where last is 0. None is an empty list.
func (s *Strokes) ByPlayer(ctx context.Context, playerID, until string, last int) ([]Played, error) {
	id := store.Text(playerID)
	if id == "" {
		return []Played{}, nil // the mark of a ball that is nobody's alone
	}
	query, args := "WHERE (player = ? OR player2 = ? OR player3 = ? OR player4 = ?) AND "+shown, []any{id, id, id, id}
	if until != "" {
		query, args = query+" AND date <= ?", append(args, store.Text(until))
	}
	query += " ORDER BY date DESC, round DESC, " + s.store.Bytewise("id") + " DESC"
	if last > 0 {
		query, args = query+" LIMIT ?", append(args, last)
	}
	found, err := s.read(ctx, query, args...)
	if err != nil {
		return nil, err
	}
	out := make([]Played, 0, len(found))
	for _, d := range found {
		k := d.State.unpack()
		for ball := range k.Balls() {
			if ownPlayer(&k, ball) == playerID {
				out = append(out, played(&k, d.Meta, ball))
			}
		}
	}
	return out, nil
}

// cardsAtATime is how many cards Every reads at once: about 10 kB each.
const cardsAtATime = 200

// Every calls f with every round of every player that has strokes and may be shown,
// ordered by card and ball, until it fails. It holds no connection meanwhile.
func (s *Strokes) Every(ctx context.Context, f func(Played) error) error {
	id := s.store.Bytewise("id")
	for after := ""; ; {
		found, err := s.read(ctx, "WHERE logged > 0 AND "+shown+" AND "+id+" > ? ORDER BY "+id+" LIMIT ?", after, cardsAtATime)
		if err != nil {
			return err
		}
		for _, d := range found {
			k := d.State.unpack()
			for ball := range k.Balls() {
				p := played(&k, d.Meta, ball)
				if p.PlayerID == "" || p.Logged == 0 {
					continue
				}
				if err := f(p); err != nil {
					return err
				}
			}
			after = d.ID
		}
		if len(found) < cardsAtATime {
			return nil
		}
	}
}

// stored is a document as it is read for a query: unpacked once, without the way
// through State.
type stored struct {
	projections.Meta
	State packed `json:"state"`
}

// read is Documents.Select without its second pass over the JSON.
func (s *Strokes) read(ctx context.Context, where string, args ...any) ([]stored, error) {
	db := s.store.DB()
	var texts [][]byte
	if err := db.SelectContext(ctx, &texts, db.Rebind("SELECT doc FROM strokes "+where), args...); err != nil {
		return nil, fmt.Errorf("select strokes: %w", err)
	}
	out := make([]stored, len(texts))
	var work errgroup.Group
	work.SetLimit(runtime.GOMAXPROCS(0))
	for from := 0; from < len(texts); from += unpackedAtATime {
		work.Go(func() error {
			for i := from; i < min(from+unpackedAtATime, len(texts)); i++ {
				if err := json.Unmarshal(texts[i], &out[i]); err != nil {
					return fmt.Errorf("read strokes: %w", err)
				}
			}
			return nil
		})
	}
	return out, work.Wait()
}

// unpackedAtATime is how many documents one processor unpacks before another may take
// the next ones: it is most of the work of a query.
const unpackedAtATime = 25

func played(k *card.State, m projections.Meta, ball int) Played {
	p := Played{
		CardID: m.ID, CompetitionID: k.CompetitionID, Number: k.Round, CourseID: k.CourseID, Tee: k.BallTee(ball), Date: dateOf(k, m.Created),
		PlayerID: ownPlayer(k, ball), Ball: ball, Practice: k.Practice, Returned: k.Returned, Round: OfCard(k, m.ID, ball),
	}
	for _, h := range p.Round.Holes {
		p.Logged += len(h.Strokes)
	}
	p.Round.Date = p.Date
	return p
}
