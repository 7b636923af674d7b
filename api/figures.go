package api

import (
	"context"
	"strconv"
	"time"

	"marram.example/events"
	"marram.example/projections/breakdown"
)

// history reads the events of a card that who asks may see, with its competition.
// Reasons, receipts and who acted are for the committee and who holds the card.
func (r reading) history(ctx context.Context) (breakdown.Breakdown, []events.Recorded, error) {
	k, c, err := r.card(ctx)
	if err != nil {
		return breakdown.Breakdown{}, nil, err
	}
	all, err := r.api.Log.Stream(ctx, events.CardStream(r.api.Club, k.State.CompetitionID, k.ID))
	if err != nil {
		return breakdown.Breakdown{}, nil, err
	}
	if !r.holds(k.ID) {
		for i := range all {
			all[i] = inPublic(all[i])
		}
	}
	b, err := breakdown.Of(k.ID, c, all)
	return b, all, err
}

// inPublic leaves out of an event what is not everybody's business.
func inPublic(e events.Recorded) events.Recorded {
	e.Actor.ID, e.CommandID, e.CorrelationID = "", "", ""
	switch f := e.Event.(type) {
	case events.CardReissued:
		f.Reason = ""
		e.Event = f
	case events.MarkerAssigned:
		f.Reason = ""
		e.Event = f
	case events.HoleScoreCorrected:
		f.Reason = ""
		e.Event = f
	case events.CardReturned:
		f.Receipt = ""
		e.Event = f
	case events.PenaltyAdded:
		f.Reason = ""
		e.Event = f
	case events.PenaltyRemoved:
		f.Reason = ""
		e.Event = f
	case events.CardReopened:
		f.Reason = ""
		e.Event = f
	case events.CardStatusRuled:
		f.Reason = ""
		e.Event = f
	}
	return e
}

// Figures is everything behind the figures of a card.
type Figures struct{ breakdown.Breakdown }

func (f Figures) version() events.Sequence { return f.Sequence }

func getFigures(ctx context.Context, r reading) (Figures, error) {
	b, _, err := r.history(ctx)
	if err != nil {
		return Figures{}, err
	}
	b.Handicap, b.Strokes, b.Total, b.GrossTotal = orEmpty(b.Handicap), orEmpty(b.Strokes), orEmpty(b.Total), orEmpty(b.GrossTotal)
	b.Countbacks = countbacks(b.Countbacks)
	for i := range b.Holes {
		b.Holes[i].Positions = orEmpty(b.Holes[i].Positions)
	}
	return Figures{b}, nil
}

// CardEvent is one event of a card.
type CardEvent struct {
	Position      events.Position `json:"position"`
	Sequence      events.Sequence `json:"sequence"`
	ID            string          `json:"id"`
	Type          string          `json:"type"`
	Time          time.Time       `json:"time"`
	RecordedAt    *time.Time      `json:"recorded_at"` // the device's clock; null where it said nothing
	Actor         events.Actor    `json:"actor"`
	CommandID     string          `json:"command_id"`
	CorrelationID string          `json:"correlation_id"`
	Words         string          `json:"words"` // a sentence for people
	Data          events.Event    `json:"data"`  // as its type says
}

func listCardEvents(ctx context.Context, r reading) (Page[CardEvent], error) {
	_, all, err := r.history(ctx)
	if err != nil {
		return Page[CardEvent]{}, err
	}
	out := make([]CardEvent, len(all))
	for i, e := range all {
		out[i] = CardEvent{
			Position: e.Position, Sequence: e.Sequence, ID: e.ID, Type: e.Type, Time: e.Time.UTC(), Actor: e.Actor,
			CommandID: e.CommandID, CorrelationID: e.CorrelationID, Words: breakdown.Words(e.Event), Data: e.Event,
		}
		if !e.RecordedAt.IsZero() {
			at := e.RecordedAt
			out[i].RecordedAt = &at
		}
	}
	return pageOf(r, out, func(e CardEvent) string { return strconv.FormatUint(uint64(e.Sequence), 10) })
}
