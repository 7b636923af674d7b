package card_test

import (
	"time"

	"marram.example/events"
	"marram.example/events/card"
)

const notOurBusiness = "Rules of Golf 4.3a" // recording is allowed during a round

var (
	clock = time.Date(2026, 5, 2, 9, 0, 0, 0, time.UTC)

	drive    = events.Stroke{Lie: events.LieTee, DistanceM: 360, Club: "driver"}
	approach = events.Stroke{Lie: events.LieFairway, DistanceM: 120, Club: "iron-8", Commitment: 4}
	putt     = events.Stroke{Lie: events.LieGreen, DistanceM: 6}
	tapIn    = finished(events.Stroke{Lie: events.LieGreen, DistanceM: 0.3}, events.Finish{Holed: true})
)

func finished(x events.Stroke, f events.Finish) events.Stroke {
	x.Finish = &f
	return x
}

// saying is a stroke after a change.
func saying(x events.Stroke, change func(*events.Stroke)) events.Stroke {
	change(&x)
	return x
}

func penalised(x events.Stroke, n int) events.Stroke {
	return saying(x, func(x *events.Stroke) { x.Penalty = n })
}

func logged(id string, x events.Stroke) events.StrokeRecorded {
	return events.StrokeRecorded{StrokeID: id, Hole: 1, Stroke: x}
}

func record(id string, x events.Stroke) card.RecordStroke {
	return card.RecordStroke{StrokeID: id, Hole: 1, Stroke: x, Score: true}
}

func amend(id string, x events.Stroke) card.AmendStroke {
	return card.AmendStroke{StrokeID: id, Stroke: x, Score: true}
}

func hole(strokes ...any) card.LogHole {
	c := card.LogHole{Hole: 1, Score: true}
	for i := 0; i < len(strokes); i += 2 {
		c.Strokes = append(c.Strokes, card.StrokeLine{ID: strokes[i].(string), Stroke: strokes[i+1].(events.Stroke)})
	}
	return c
}

// almost is hole 1 but for the last putt; four is the score that follows from it.
var (
	almost = given(logged("a", drive), logged("b", approach), logged("c", putt))
	four   = by(player, 1, strokes(4))
)
