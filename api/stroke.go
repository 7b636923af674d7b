package api

import (
	"context"

	"marram.example/api/command"
	"marram.example/events"
)

// CardStrokes is what the players of a card logged on it, in their own words. It
// interprets nothing.
type CardStrokes struct {
	CardID string `json:"card_id"`
	view
	Balls []BallStrokes `json:"balls"`
}

// BallStrokes is what was logged of one ball.
type BallStrokes struct {
	Ball     int           `json:"ball"`
	PlayerID string        `json:"player_id"`
	Holes    []HoleStrokes `json:"holes"` // in the card's order
}

// HoleStrokes is what was logged of one ball on one hole.
type HoleStrokes struct {
	Hole    int                    `json:"hole"`
	Par     int                    `json:"par"`
	LengthM int                    `json:"length_m"` // 0 where not known
	Strokes []command.LoggedStroke `json:"strokes"`  // in order of play, distances in metres
	Count   int                    `json:"count"`    // strokes and penalty strokes logged
	Whole   bool                   `json:"whole"`    // they lead from the tee into the hole: count is the score
	Score   events.Score           `json:"score"`    // what the player entered; what counts where that is nothing, or the committee settled it
	Differs bool                   `json:"differs"`  // whole, and the score is another one
}

// CardStrokes reads the strokes of a card. Whether the visitor may is for who calls.
func (a *API) CardStrokes(ctx context.Context, k command.CardView) (CardStrokes, error) {
	out := CardStrokes{CardID: k.ID, view: view{k.Sequence}}
	for ball := range k.State.Balls() {
		b := BallStrokes{Ball: ball, PlayerID: k.State.BallPlayer(ball)}
		for _, h := range k.State.Lines(ball) {
			strokes, err := a.Commands.Logged(ctx, k.State, ball, h.Number)
			if err != nil {
				return CardStrokes{}, err
			}
			x := HoleStrokes{Hole: h.Number, Par: h.Par, LengthM: h.LengthM, Strokes: strokes, Score: command.ScoreBeside(h)}
			x.Count, x.Whole = k.State.StrokesScore(ball, h.Number)
			x.Differs = k.State.StrokesDiffer(ball, h.Number)
			b.Holes = append(b.Holes, x)
		}
		out.Balls = append(out.Balls, b)
	}
	return out, nil
}
