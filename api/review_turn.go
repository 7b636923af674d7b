package api

import (
	"context"
	"runtime"
)

// turns lets so many reviews be worked out at a time. Composing one is work, and a
// whole field may ask for theirs while others still play: however many wait, some hand
// stays free for the scores that come in.
type turns chan struct{}

func newTurns() turns { return make(turns, max(1, runtime.GOMAXPROCS(0)/2)) }

// take waits for a turn, which the caller gives back. It fails where ctx ends first.
func (t turns) take(ctx context.Context) (giveBack func(), err error) {
	select {
	case t <- struct{}{}:
		return func() { <-t }, nil
	case <-ctx.Done():
		return nil, ctx.Err()
	}
}
