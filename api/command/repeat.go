package command

import (
	"context"

	"marram.example/events"
	eventlog "marram.example/events/log"
)

// unlessKnown is the end of a command that is refused before it reaches the log,
// because of what has happened by now. Where the log knows the command already it
// is a repeat, and what it did the first time is the answer; else the refusal is.
func unlessKnown[S, C any](
	ctx context.Context, s *Service, r Request, d eventlog.Decider[S, C], stream events.StreamID, refusal error,
) (Done, error) {
	if events.AsError(refusal) == nil {
		return Done{}, refusal
	}
	var none C
	d.Decide = func(S, C) ([]events.Event, error) { return nil, refusal }
	return s.run(ctx, r, eventlog.Do(d, stream, none))
}
