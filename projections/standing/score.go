// Package standing says how a field stands: cards scored net and gross, ranked
// over the whole field and by division, live and final, with prizes. It is pure;
// the live board, the result and the breakdown of a figure all use it, so that
// they cannot differ.
package standing

import (
	"fmt"

	"marram.example/events"
	"marram.example/events/card"
	"marram.example/projections/handicap"
	"marram.example/projections/scoring"
)

// Scored is one card with its arithmetic, net and gross.
type Scored struct {
	CardID   string
	Sequence events.Sequence // of the card's stream, as counted
	Card     *card.State
	Net      scoring.Result
	Gross    scoring.Result
}

// on is the card's arithmetic on a basis, Net or Gross.
func (s *Scored) on(basis string) *scoring.Result {
	if basis == Gross {
		return &s.Gross
	}
	return &s.Net
}

// Score scores a card under the format it was issued for.
func Score(cardID string, seq events.Sequence, c *card.State) (Scored, error) {
	format, err := scoring.FormatByName(c.Format)
	if err != nil {
		return Scored{}, err
	}
	out := Scored{CardID: cardID, Sequence: seq, Card: c}
	in := Input(c)
	if out.Net, err = format.Score(in, scoring.Net); err != nil {
		return Scored{}, fmt.Errorf("score card %s: %w", cardID, err)
	}
	if out.Gross, err = format.Score(in, scoring.Gross); err != nil {
		return Scored{}, fmt.Errorf("score card %s: %w", cardID, err)
	}
	return out, nil
}

// Input is a card as the arithmetic takes it.
func Input(c *card.State) scoring.Card {
	n := len(c.Holes)
	in := scoring.Card{
		Par: make([]int, n), StrokeIndex: make([]int, n), Received: make([]int, n),
		Scores: make([]scoring.Score, n), Playing: handicap.Playing(c.Figures.PlayingHandicap), Holes: make([]int, n),
	}
	for i, h := range c.Holes {
		in.Holes[i], in.Par[i], in.StrokeIndex[i], in.Received[i] = h.Number, h.Par, h.StrokeIndex, h.Received
		in.Scores[i] = scoreOf(h.Counting())
	}
	return in
}

func scoreOf(s events.Score) scoring.Score {
	switch s.None {
	case events.PickedUp:
		return scoring.Score{State: scoring.PickedUp}
	case events.NoScore:
		return scoring.Score{State: scoring.NoScore}
	case events.Excluded:
		return scoring.Score{State: scoring.Excluded}
	}
	if s.Strokes == 0 {
		return scoring.Score{}
	}
	return scoring.Strokes(s.Strokes)
}

// ruling is the status that takes a card out of the ranking, or none.
func ruling(c *card.State) scoring.Status { return scoring.Status(c.Ruled) }
