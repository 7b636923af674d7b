package api

import (
	"cmp"
	"context"
	"slices"
	"strconv"
	"time"

	"marram.example/api/command"
	"marram.example/events"
	"marram.example/events/competition"
	"marram.example/projections/breakdown"
	"marram.example/projections/standing"
)

// history reads the events of a card that who asks may see, with its competition.
// Reasons, receipts and who acted are for the committee and who holds the card. The
// breakdown leaves strokes out; the events still have them.
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
	others, err := r.otherRounds(ctx, k, c)
	if err != nil {
		return breakdown.Breakdown{}, nil, err
	}
	b, err := breakdown.Of(k.ID, c, all, others...)
	return b, all, err
}

// otherRounds are the scored cards of the same entry in other rounds.
func (r reading) otherRounds(ctx context.Context, k command.CardView, c *competition.State) ([]*standing.Scored, error) {
	var out []*standing.Scored
	for round := 1; round <= c.Round; round++ {
		if round == k.State.Round {
			continue
		}
		o, err := r.api.Commands.Card(ctx, command.CardID(k.State.CompetitionID, k.State.EntryID, round))
		if e := events.AsError(err); e != nil && e.Kind == events.KindNotFound {
			continue
		}
		if err != nil {
			return nil, err
		}
		scored, err := standing.Score(o.ID, o.Sequence, o.State)
		if err != nil {
			return nil, err
		}
		out = append(out, &scored)
	}
	return out, nil
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
	case events.MatchArranged:
		f.Reason = ""
		e.Event = f
	case events.MatchHoleCorrected:
		f.Reason = ""
		e.Event = f
	case events.MatchHoleRemoved:
		f.Reason = ""
		e.Event = f
	case events.MatchConceded:
		f.Reason = ""
		e.Event = f
	case events.MatchRuled:
		f.Reason = ""
		e.Event = f
	case events.MatchReopened:
		f.Reason = ""
		e.Event = f
	}
	return e
}

// Figures is everything behind the figures of a card.
type Figures struct {
	breakdown.Breakdown
	seen events.Sequence // of all that it was read from, added up
}

func (f Figures) version() events.Sequence { return f.seen }

func getFigures(ctx context.Context, r reading) (Figures, error) {
	seen := r.seen(ctx)
	b, _, err := r.history(ctx)
	if err != nil {
		return Figures{}, err
	}
	b.Countbacks = countbacks(b.Countbacks)
	return Figures{Breakdown: b, seen: seen}, nil
}

// seen is the version of all that the figures of a card may depend on: itself, its
// competition with terms, cut and result, and the entry's cards of other rounds. It
// is read before them, so that it is never newer.
func (r reading) seen(ctx context.Context) events.Sequence {
	k, err := r.api.Commands.Card(ctx, r.Param("card"))
	if err != nil {
		return 0 // what follows says why
	}
	c, seq, err := r.api.Commands.Competition(ctx, k.State.CompetitionID)
	if err != nil {
		return 0
	}
	for round := 1; round <= c.Round; round++ {
		if o, err := r.api.Commands.Card(ctx, command.CardID(k.State.CompetitionID, k.State.EntryID, round)); err == nil {
			seq += o.Sequence
		}
	}
	return seq
}

// withoutSealed leaves out of an event what nobody can read there: the words of a
// stroke are opened where its player reads strokes.
func withoutSealed(e events.Event) events.Event {
	switch e := e.(type) {
	case events.StrokeRecorded:
		e.Words = nil
		return e
	case events.StrokeAmended:
		e.Words = nil
		return e
	default:
		return e
	}
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

// listCardEvents lists the events of a card, those about strokes for its player
// alone.
func listCardEvents(ctx context.Context, r reading) (Page[CardEvent], error) {
	b, all, err := r.history(ctx)
	if err != nil {
		return Page[CardEvent]{}, err
	}
	if r.who.Role != events.RolePlayer || r.who.CardID != r.Param("card") {
		all = slices.DeleteFunc(all, func(e events.Recorded) bool { return events.AboutStrokes(e.Event) })
	}
	words := make(map[events.Sequence]string, len(b.Events))
	for _, l := range b.Events {
		words[l.Sequence] = l.Words
	}
	out := make([]CardEvent, len(all))
	for i, e := range all {
		out[i] = CardEvent{
			Position: e.Position, Sequence: e.Sequence, ID: e.ID, Type: e.Type, Time: e.Time.UTC(), Actor: e.Actor,
			CommandID: e.CommandID, CorrelationID: e.CorrelationID, Words: cmp.Or(words[e.Sequence], breakdown.Words(e.Event)), Data: withoutSealed(e.Event),
		}
		if !e.RecordedAt.IsZero() {
			at := e.RecordedAt
			out[i].RecordedAt = &at
		}
	}
	return pageOf(r, out, func(e CardEvent) string { return strconv.FormatUint(uint64(e.Sequence), 10) })
}
