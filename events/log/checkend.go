package log

import (
	"context"
	"errors"
	"fmt"

	"marram.example/events"
)

// checkEnd looks at the last event for the trace of a crash in the middle of an
// atomic batch. Such a batch was never acknowledged. A cut between commands does
// no harm; a cut inside one leaves half of it, which nobody should build on
// without knowing.
func (l *Log) checkEnd(ctx context.Context) error {
	counted := events.Position(l.stream.CachedInfo().State.LastSeq)
	s, err := l.leaderGet(ctx, getRequest{LastFor: "marram." + l.opts.Club + ".>"})
	if err != nil && !errors.Is(err, ErrNotFound) {
		return fmt.Errorf("last event: %w", err)
	}
	if s.position < counted {
		return fmt.Errorf("%w: the last event, position %d, cannot be read", ErrDamaged, counted)
	}
	if s.position == 0 {
		return nil
	}
	h := s.msg.Header
	switch {
	case h.Get(headerRemaining) != "" && (l.opts.AcceptIncomplete || l.remote()):
		l.opts.Logger.Error("the event log ends in the middle of a command", "position", uint64(s.position), "missing", h.Get(headerRemaining))
	case h.Get(headerRemaining) != "":
		return fmt.Errorf("%w: position %d, command %s, %s events missing; nobody was told that it succeeded: restore a backup, or open the log as it is",
			ErrIncomplete, s.position, h.Get(headerCausation), h.Get(headerRemaining))
	case h.Get(headerBatchID) != "" && h.Get(headerBatchCommit) == "":
		l.opts.Logger.Warn("the last group of events was cut off by a crash; no acknowledged event is missing from it", "position", uint64(s.position))
	}
	return nil
}
