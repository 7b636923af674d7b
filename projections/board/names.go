package board

import (
	"context"
	"strings"
	"sync"
	"time"
	"unicode"

	"marram.example/events"
)

// Namer finds the names of players, as they were at a position of the log or
// later: who reads a table that follows the log waits for it to get there. A
// player who is left out of the answer is asked for again. It must come back
// when ctx ends.
type Namer func(ctx context.Context, playerIDs []string, asOf events.Position) (map[string]string, error)

const (
	nameWait       = 250 * time.Millisecond // longest that a board waits for names
	nameRetry      = time.Second            // before asking again, doubled up to nameRetryLimit
	nameRetryLimit = 10 * time.Second
)

// names keeps what the Namer said, until an event says that it is no longer true.
type names struct {
	look Namer

	mu      sync.Mutex
	known   map[string]string
	erased  map[string]bool
	changed map[string]events.Position // of the last change of a player's details
	pause   time.Duration              // after a failure
	resume  time.Time                  // not asked before
}

func newNames(look Namer) *names {
	return &names{look: look, known: map[string]string{}, erased: map[string]bool{}, changed: map[string]events.Position{}}
}

// fold takes in an event of a player and reports whether the name may be another.
func (n *names) fold(r events.Recorded) bool {
	n.mu.Lock()
	defer n.mu.Unlock()
	id := r.Stream.ID
	switch r.Event.(type) {
	case events.PlayerErased:
		n.erased[id] = true
	case events.PlayerRegistered, events.PlayerDetailsChanged:
	default:
		return false
	}
	n.changed[id] = r.Position
	delete(n.known, id)
	return true
}

// of returns the names of players and whether all could be found. Somebody who
// was erased has none, and nobody is asked for it.
func (n *names) of(ctx context.Context, ids []string) (map[string]string, bool) {
	out := make(map[string]string, len(ids))
	if n.look == nil {
		return out, true
	}
	want, asOf, ask := n.take(ids, out)
	if len(want) == 0 {
		return out, true
	}
	if !ask {
		return out, false
	}
	ctx, cancel := context.WithTimeout(ctx, nameWait)
	defer cancel()
	found, err := n.look(ctx, want, asOf)
	if err != nil {
		found = nil
	}
	return out, n.put(want, found, asOf, out)
}

// take moves what is known to out and lists the rest.
func (n *names) take(ids []string, out map[string]string) (want []string, asOf events.Position, ask bool) {
	n.mu.Lock()
	defer n.mu.Unlock()
	for _, id := range ids {
		if name, ok := n.known[id]; ok {
			out[id] = name
		} else if !n.erased[id] {
			want, asOf = append(want, id), max(asOf, n.changed[id])
		}
	}
	return want, asOf, !time.Now().Before(n.resume)
}

// put keeps an answer. A name that changed while it was looked up is not kept.
func (n *names) put(want []string, found map[string]string, asOf events.Position, out map[string]string) (all bool) {
	n.mu.Lock()
	defer n.mu.Unlock()
	all = true
	for _, id := range want {
		name, ok := found[id]
		switch {
		case n.erased[id]:
		case !ok || n.changed[id] > asOf:
			all = false
		default:
			n.known[id], out[id] = name, name
		}
	}
	if all {
		n.pause, n.resume = 0, time.Time{}
	} else {
		n.pause = min(max(2*n.pause, nameRetry), nameRetryLimit)
		n.resume = time.Now().Add(n.pause)
	}
	return all
}

// initials writes "A. B." for "Ada Brook"; hyphenated parts count as one.
func initials(name string) string {
	var parts []string
	for _, word := range strings.Fields(name) {
		for _, r := range word {
			if unicode.IsLetter(r) {
				parts = append(parts, string(unicode.ToUpper(r))+".")
				break
			}
		}
	}
	return strings.Join(parts, " ")
}
