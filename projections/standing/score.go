// Package standing says how a field stands: cards scored net and gross, added up
// over rounds, ranked over the whole field and by division, live and final, with
// cut and prizes. It is pure; the live board, the result and the breakdown of a
// figure all use it, so that they cannot differ.
package standing

import (
	"fmt"

	"marram.example/events"
	"marram.example/events/card"
	"marram.example/events/competition"
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
	balls := Input(c)
	if out.Net, err = scoring.ScoreSide(format, c.Play, balls, scoring.Net); err != nil {
		return Scored{}, fmt.Errorf("score card %s: %w", cardID, err)
	}
	if out.Gross, err = scoring.ScoreSide(format, c.Play, balls, scoring.Gross); err != nil {
		return Scored{}, fmt.Errorf("score card %s: %w", cardID, err)
	}
	return out, nil
}

// Input is every ball of a card as the arithmetic takes it.
func Input(c *card.State) []scoring.Card {
	out := make([]scoring.Card, c.Balls())
	for ball := range out {
		out[ball] = input(c, ball)
	}
	return out
}

func input(c *card.State, ball int) scoring.Card {
	lines, f := c.Lines(ball), c.BallFigures(ball)
	n := len(lines)
	in := scoring.Card{
		Holes: make([]int, n), Par: make([]int, n), StrokeIndex: make([]int, n), Received: make([]int, n), Scores: make([]scoring.Score, n),
		Playing: handicap.Playing(f.PlayingHandicap), Course: handicap.Course{Num: f.CourseHandicapNum, Den: f.CourseHandicapDen},
		Maximum: c.Maximum, RoundPenalty: c.RoundPenalty(ball),
	}
	if _, ok := c.Line(c.StartingHole); ok {
		in.Start = c.StartingHole
	}
	if len(c.Penalties) > 0 {
		in.Penalties = make([]int, n)
	}
	for i, h := range lines {
		in.Holes[i], in.Par[i], in.StrokeIndex[i], in.Received[i] = h.Number, h.Par, h.StrokeIndex, h.Received
		in.Scores[i] = scoreOf(h.Counting())
		if in.Penalties != nil {
			in.Penalties[i] = c.PenaltyOn(ball, h.Number)
		}
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

// index is the mean handicap index of the players of a card, in tenths.
func index(c *card.State) int {
	if shares := c.Figures.Shares; len(shares) > 0 {
		sum := 0
		for _, s := range shares {
			sum += s.IndexTenths
		}
		return competition.MeanIndex(sum, len(shares))
	}
	sum := 0
	for ball := range c.Balls() {
		sum += c.BallFigures(ball).IndexTenths
	}
	return competition.MeanIndex(sum, c.Balls())
}
