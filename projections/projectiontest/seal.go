package projectiontest

import (
	"bytes"
	"context"
	"fmt"
	"sync"

	"marram.example/events"
	"marram.example/projections/players"
)

var seal = []byte("sealed:")

// Seal stands for the encryption of a name: only Keys opens it.
func Seal(name string) []byte { return append(bytes.Clone(seal), name...) }

// Keys opens what Seal sealed, unless the player's key was destroyed or Broken is set.
type Keys struct {
	mu     sync.Mutex
	gone   map[string]bool
	broken error
}

// Open is the players.Opener.
func (k *Keys) Open(_ context.Context, playerID string, sealed []byte) (events.Personal, error) {
	k.mu.Lock()
	defer k.mu.Unlock()
	if k.broken != nil {
		return events.Personal{}, k.broken
	}
	if k.gone[playerID] {
		return events.Personal{}, fmt.Errorf("key of %s: %w", playerID, players.ErrErased)
	}
	name, ok := bytes.CutPrefix(sealed, seal)
	if !ok {
		return events.Personal{}, fmt.Errorf("seal of %s does not open", playerID)
	}
	return events.Personal{Name: string(name)}, nil
}

// Destroy destroys a player's key.
func (k *Keys) Destroy(playerID string) {
	k.mu.Lock()
	defer k.mu.Unlock()
	if k.gone == nil {
		k.gone = map[string]bool{}
	}
	k.gone[playerID] = true
}

// Break makes Open fail with err, until it is nil again.
func (k *Keys) Break(err error) {
	k.mu.Lock()
	defer k.mu.Unlock()
	k.broken = err
}
