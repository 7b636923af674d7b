package api

import (
	"context"

	"marram.example/api/command"
	"marram.example/events"
	"marram.example/events/card"
	"marram.example/projections/scoring"
	"marram.example/projections/shots"
	"marram.example/projections/strokes"
)

// fieldOf are the rounds of everybody who played the same round of the competition as
// a card, that card's own balls among them, from scores alone. A hole that was not
// finished has none; disqualified cards are left out.
func (a *API) fieldOf(ctx context.Context, k command.CardView) ([]shots.Round, error) {
	all, err := a.Models.Cards.ByCompetition(ctx, k.State.CompetitionID)
	if err != nil {
		return nil, fromStore(err)
	}
	var field []shots.Round
	for _, x := range all {
		if x.State.Round != k.State.Round || x.State.Ruled == events.StatusDisqualified {
			continue
		}
		for ball := range x.State.Balls() {
			field = append(field, scoresOf(x.State, x.ID, ball))
		}
	}
	return field, nil
}

// scoresOf is a round of a ball without its strokes. Where a format lets players pick
// up, a score counts at most what the hole can cost in it, and that where they did:
// the maximum of a maximum score, net double bogey (no point) in stableford. So scores
// are capped in the same way for everybody.
func scoresOf(k *card.State, cardID string, ball int) shots.Round {
	r := strokes.OfCard(k, cardID, ball)
	lines := k.Lines(ball)
	for i := range r.Holes {
		h := &r.Holes[i]
		h.Strokes, h.Holed = nil, false
		at, ok := k.Line(h.Number)
		most, capped := mostOn(k, h.Par, h.Received)
		if !ok || !capped {
			continue
		}
		switch v := lines[at].Counting(); {
		case v.None == events.PickedUp:
			h.Score = most
		case h.Score > 0:
			h.Score = min(h.Score, most)
		}
	}
	return r
}

// mostOn is the most strokes that a hole can cost in the card's format.
func mostOn(k *card.State, par, received int) (most int, capped bool) {
	switch k.Format {
	case events.MaximumScore:
		return scoring.MaximumOf(k.Maximum, par, received), true
	case events.Stableford:
		return scoring.MaximumOf(events.Maximum{Kind: events.NetDoubleBogey}, par, received), true
	default:
		return 0, false
	}
}
