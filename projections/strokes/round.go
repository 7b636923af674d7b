package strokes

import (
	"marram.example/events"
	"marram.example/events/card"
	"marram.example/projections/shots"
)

// OfCard is the round of a ball as the analysis sees it, its holes in the order of
// play: the card's date, empty where it has none, course rating and exact course
// handicap where they are one player's. A ball that the card does not have gives no
// holes.
func OfCard(k *card.State, cardID string, ball int) shots.Round {
	r := shots.Round{ID: cardID, Ball: ball, Date: k.Date}
	if f := k.BallFigures(ball); len(f.Shares) == 0 && f.CourseHandicapDen > 0 {
		r.CourseRating = float64(f.CourseRatingTenths) / 10
		r.CourseHandicap = float64(f.CourseHandicapNum) / float64(f.CourseHandicapDen)
	}
	lines := k.Lines(ball)
	if len(lines) == 0 {
		return r
	}
	byHole := strokesOf(k, ball)
	r.Holes = make([]shots.Hole, 0, len(lines))
	for _, i := range k.PlayOrder() {
		r.Holes = append(r.Holes, hole(lines[i], k.PenaltyOn(ball, lines[i].Number), byHole[i]))
	}
	return r
}

// strokesOf are the strokes of a ball by the index of their hole, in order of play.
func strokesOf(k *card.State, ball int) [][]card.StrokeLine {
	out := make([][]card.StrokeLine, len(k.Holes))
	for from := 0; from < len(k.Strokes); {
		x, to := k.Strokes[from], from+1
		for to < len(k.Strokes) && k.Strokes[to].Ball == x.Ball && k.Strokes[to].Hole == x.Hole {
			to++
		}
		if i, ok := k.Line(x.Hole); ok && x.Ball == ball {
			if out[i] == nil {
				out[i] = k.Strokes[from:to:to] // all of them, as the card keeps the strokes of a hole together
			} else {
				out[i] = append(out[i], k.Strokes[from:to]...)
			}
		}
		from = to
	}
	return out
}

func hole(l card.HoleLine, penalty int, strokes []card.StrokeLine) shots.Hole {
	h := shots.Hole{Number: l.Number, Par: l.Par, Length: float64(l.LengthM), Received: l.Received}
	if n := l.Counting().Strokes; n > 0 {
		h.Score = n + penalty
	}
	if len(strokes) == 0 {
		return h
	}
	h.Strokes = make([]shots.Stroke, len(strokes))
	for i := range strokes {
		h.Strokes[i] = stroke(&strokes[i])
	}
	last := strokes[len(strokes)-1].Finish
	h.Holed = last != nil && last.Holed
	return h
}

func stroke(x *card.StrokeLine) shots.Stroke {
	out := shots.Stroke{
		ID: x.ID, From: shots.Position{Lie: x.Lie, Distance: x.DistanceM}, Penalty: x.Penalty, Club: x.Club, Target: x.Target, Shape: x.Shape,
		Commitment: x.Commitment, Strike: x.Strike, GoodEnough: x.GoodEnough,
		Miss: shots.Miss{
			Side: x.Miss.Side, Across: signed(x.Miss.SideM, x.Miss.Side == events.MissLeft),
			Length: x.Miss.Length, Along: signed(x.Miss.LengthM, x.Miss.Length == events.MissShort),
		},
		Intent: x.Club != "" || x.Target != "" || x.Shape != "" || x.Commitment > 0 || !x.IntentAt.IsZero(),
	}
	if f := x.Finish; f != nil && !f.Holed {
		out.Finish = &shots.Position{Lie: f.Lie, Distance: f.DistanceM}
	}
	if !x.IntentAt.IsZero() && !x.StruckAt.IsZero() {
		seconds := float64(x.StruckAt.UnixMilli()-x.IntentAt.UnixMilli()) / 1000
		out.Seconds = &seconds
	}
	switch {
	case !x.StruckAt.IsZero():
		out.At = x.StruckAt.UnixMilli()
	case !x.IntentAt.IsZero():
		out.At = x.IntentAt.UnixMilli()
	}
	return out
}

// signed is an amount in metres, negative to the left and where it was short.
func signed(amount float64, negative bool) float64 {
	if negative {
		return -amount
	}
	return amount
}
