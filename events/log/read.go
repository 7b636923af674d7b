package log

import (
	"context"
	"errors"
	"fmt"

	"marram.example/events"
)

// Stream reads every event of one stream, in order.
func (l *Log) Stream(ctx context.Context, stream events.StreamID) ([]events.Recorded, error) {
	if err := l.check(stream); err != nil {
		return nil, err
	}
	return l.history(ctx, stream.Subject(), 0)
}

// Competition reads every event of one competition and its cards in the order
// of the log, up to a position (inclusive); all of them where upTo is 0.
func (l *Log) Competition(ctx context.Context, competition string, upTo events.Position) ([]events.Recorded, error) {
	if !events.ValidToken(competition) {
		return nil, events.Invalid("competition", "malformed_id", "a competition's id is 1 to 64 letters, digits, hyphens or underscores")
	}
	return l.history(ctx, "marram."+l.opts.Club+".*."+competition+".*", upTo)
}

func (l *Log) history(ctx context.Context, subject string, upTo events.Position) ([]events.Recorded, error) {
	ctx, done, err := l.begin(ctx)
	if err != nil {
		return nil, err
	}
	defer done()
	raw, err := l.fetch(ctx, subject, 1)
	if err != nil {
		return nil, err
	}
	all := make([]events.Recorded, 0, len(raw))
	for _, s := range raw {
		if upTo > 0 && s.position > upTo {
			break
		}
		r, err := l.decode(s)
		if err != nil {
			return nil, err
		}
		all = append(all, r)
	}
	return all, nil
}

// Last says how far the log reaches: the position and event id of its last
// event, or zero and nothing. A checkpoint that keeps both can tell whether the
// log is still the same one.
func (l *Log) Last(ctx context.Context) (events.Position, string, error) {
	ctx, done, err := l.begin(ctx)
	if err != nil {
		return 0, "", err
	}
	defer done()
	s, err := l.leaderGet(ctx, getRequest{LastFor: "marram." + l.opts.Club + ".>"})
	if errors.Is(err, ErrNotFound) {
		return 0, "", nil
	}
	if err != nil {
		return 0, "", fmt.Errorf("last event: %w", err)
	}
	return s.position, s.msg.Header.Get(headerID), nil
}

// At reads the event at a position, or ErrNotFound.
func (l *Log) At(ctx context.Context, at events.Position) (events.Recorded, error) {
	ctx, done, err := l.begin(ctx)
	if err != nil {
		return events.Recorded{}, err
	}
	defer done()
	if at == 0 {
		return events.Recorded{}, fmt.Errorf("position 0: %w", ErrNotFound)
	}
	s, err := l.leaderGet(ctx, getRequest{Seq: uint64(at)})
	if err != nil {
		return events.Recorded{}, fmt.Errorf("position %d: %w", at, err)
	}
	return l.decode(s)
}

func (l *Log) decode(s stored) (events.Recorded, error) {
	r, err := decode(l.codec, s.msg, s.position)
	if err != nil && !errors.Is(err, events.ErrUnknownType) {
		return r, fmt.Errorf("%w: %w", ErrDamaged, err)
	}
	return r, err
}

// check refuses a stream that is malformed or of another club.
func (l *Log) check(s events.StreamID) error {
	if err := s.Check(); err != nil {
		return err
	}
	if s.Club != l.opts.Club {
		return events.NotFound("club", "this log holds the events of another club")
	}
	return nil
}
