// Package players is the read model of the players, with the names opened from
// their sealed personal data. Nothing else in the read models holds a name.
package players

import (
	"context"
	"errors"
	"fmt"
	"sync"

	"golang.org/x/text/collate"
	"golang.org/x/text/language"

	"marram.example/events"
	"marram.example/events/player"
	"marram.example/projections"
	"marram.example/projections/store"
)

// ErrErased says that the key to a player's personal data was destroyed.
var ErrErased = errors.New("personal data was erased")

// Opener opens a player's sealed personal data. It returns ErrErased where the
// key is gone; any other error stops the read models until it works again.
type Opener func(ctx context.Context, playerID string, sealed []byte) (events.Personal, error)

// State is a player as it stands. Of somebody erased the name is empty and
// Erased is set.
type State struct {
	player.State
	Name string `json:"name"`
}

// Player is a player as it stands, with where it comes from.
type Player = projections.Document[State]

// Players is the projection and its queries.
type Players struct {
	*projections.Documents[State]
	store *store.Store
	open  Opener

	mu    sync.Mutex // a collator serves one at a time
	order *collate.Collator
}

// New returns the read model of players in a store.
func New(s *store.Store, open Opener) *Players {
	p := &Players{store: s, open: open, order: collate.New(language.Und, collate.IgnoreCase)}
	p.Documents = projections.NewDocuments(s, projections.Spec[State]{
		Name: "players", Version: 1, Aggregate: events.Player,
		New:    func() *State { return &State{State: *player.New()} },
		Evolve: evolve,
		Finish: p.finish,
		Columns: []projections.Column[State]{
			{Name: "member_no", Value: func(d *Player) any { return d.State.MemberNo }},
			{Name: "name", Value: func(d *Player) any { return d.State.Name }},
			{Name: "name_key", Value: func(d *Player) any { return p.nameKey(d.State.Name) }},
			{Name: "search", Value: func(d *Player) any { return fold(d.State.Name + " " + d.State.MemberNo) }},
			{Name: "erased", Value: func(d *Player) any { return d.State.Erased }},
		},
	})
	return p
}

// evolve leaves shares and notes out: they are between the player and a coach, and
// read from the player's stream.
func evolve(s *State, e events.Event) {
	switch e.(type) {
	case events.ReviewShared, events.ReviewShareWithdrawn, events.CoachNoteAdded, events.CoachNoteRemoved:
	default:
		player.Evolve(&s.State, e)
	}
}

// finish opens the name, or blanks it.
func (p *Players) finish(ctx context.Context, d *Player) error {
	d.State.Name = ""
	if d.State.Erased || len(d.State.Sealed) == 0 {
		return nil
	}
	personal, err := p.open(ctx, d.ID, d.State.Sealed)
	if errors.Is(err, ErrErased) {
		d.State.Erased = true
		return nil
	}
	if err != nil {
		return fmt.Errorf("open personal data: %w", err)
	}
	d.State.Name = personal.Name
	return nil
}

// afterAllNames sorts those without a name last.
const afterAllNames = "ff"

// nameKey orders names as people do: letters before case and accents, whatever
// the database thinks of it.
func (p *Players) nameKey(name string) string {
	if name == "" {
		return afterAllNames
	}
	p.mu.Lock()
	defer p.mu.Unlock()
	var b collate.Buffer
	return fmt.Sprintf("%x", p.order.KeyFromString(&b, name))
}
