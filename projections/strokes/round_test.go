package strokes_test

import (
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"marram.example/events"
	"marram.example/events/card"
	"marram.example/projections/shots"
	"marram.example/projections/strokes"
)

func fold(es ...events.Event) *card.State {
	s := card.New()
	for _, e := range es {
		card.Evolve(s, e)
	}
	return s
}

// three is an invented card of three holes that begins on the second.
func three() events.CardIssued {
	return events.CardIssued{
		CompetitionID: "c", Round: 1, EntryID: "e", PlayerID: "ann", CourseID: "links", Tee: "white", StartingHole: 2, Format: "stroke_play", Date: "2026-05-02",
		Holes:   []events.Hole{{Number: 1, Par: 4, LengthM: 350}, {Number: 2, Par: 3, LengthM: 150}, {Number: 3, Par: 5}},
		Figures: events.Figures{CourseRatingTenths: 713, CourseHandicapNum: 25, CourseHandicapDen: 2, StrokesByHole: []int{1, 0, -1}},
	}
}

func recorded(id string, hole int, x events.Stroke) events.StrokeRecorded {
	return events.StrokeRecorded{StrokeID: id, Hole: hole, Stroke: x}
}

func scored(hole, n int, by events.Role) events.HoleScored {
	return events.HoleScored{Hole: hole, Score: events.Score{Strokes: n}, By: by}
}

func TestARoundIsWhatTheAnalysisReads(t *testing.T) {
	t.Parallel()
	yes, seconds := true, 31.5
	intent := time.Date(2026, 5, 2, 9, 0, 0, 0, time.UTC)
	k := fold(three(),
		scored(2, 4, events.RolePlayer), scored(2, 5, events.RoleMarker), // the marker's counts
		events.PenaltyAdded{PenaltyID: "p", Hole: 2, Strokes: 2, Reason: "invented"}, events.PenaltyAdded{PenaltyID: "q", Strokes: 1, Reason: "of the round"},
		events.HoleScored{Hole: 3, Score: events.Score{None: events.PickedUp}, By: events.RolePlayer},
		recorded("b", 2, events.Stroke{Lie: events.LieGreen, DistanceM: 3, Finish: &events.Finish{Holed: true}, StruckAt: intent}),
		events.StrokeRecorded{StrokeID: "a", Hole: 2, Before: "b", Stroke: events.Stroke{
			Lie: events.LieTee, DistanceM: 150, Club: "iron-7", Target: events.TargetAt, Shape: events.ShapeDraw, Commitment: 5,
			IntentAt: intent, StruckAt: intent.Add(31500 * time.Millisecond), Strike: events.StrikeGood, Penalty: 1, GoodEnough: &yes,
			Finish: &events.Finish{Lie: events.LieGreen, DistanceM: 3}, Words: []byte("sealed"),
			Miss: events.Miss{Side: events.MissLeft, SideM: 2.5, Length: events.MissShort, LengthM: 4},
		}},
		recorded("c", 3, events.Stroke{Lie: events.LieTee, DistanceM: 480, IntentAt: intent, Miss: events.Miss{Side: events.MissRight, SideM: 7, Length: events.MissLong, LengthM: 1}}),
	)
	require.Equal(t, shots.Round{
		ID: "card", Date: "2026-05-02", CourseRating: 71.3, CourseHandicap: 12.5,
		Holes: []shots.Hole{
			{Number: 2, Par: 3, Length: 150, Score: 7, Holed: true, Strokes: []shots.Stroke{
				{
					ID: "a", From: shots.Position{Lie: "tee", Distance: 150}, Penalty: 1, Club: "iron-7", Target: "at", Shape: "draw", Commitment: 5, Strike: "good",
					Finish: &shots.Position{Lie: "green", Distance: 3}, GoodEnough: &yes, Intent: true, Seconds: &seconds, At: intent.UnixMilli() + 31500,
					Miss: shots.Miss{Side: "left", Across: -2.5, Length: "short", Along: -4},
				},
				{ID: "b", From: shots.Position{Lie: "green", Distance: 3}, At: intent.UnixMilli()},
			}},
			{Number: 3, Par: 5, Received: -1, Strokes: []shots.Stroke{{
				ID: "c", From: shots.Position{Lie: "tee", Distance: 480}, Intent: true, At: intent.UnixMilli(),
				Miss: shots.Miss{Side: "right", Across: 7, Length: "long", Along: 1},
			}}},
			{Number: 1, Par: 4, Length: 350, Received: 1},
		},
	}, strokes.OfCard(k, "card", 0))
	require.Equal(t, shots.Round{ID: "card", Ball: 1, Date: "2026-05-02"}, strokes.OfCard(k, "card", 1), "there is no such ball")
	require.Equal(t, shots.Round{ID: "card"}, strokes.OfCard(card.New(), "card", 0), "nor is there a card")
}

// A side that plays one ball has a rating and a handicap of several players, which
// say nothing about a ball.
func TestARoundOfASidesOneBallHasNoHandicap(t *testing.T) {
	t.Parallel()
	issued := three()
	issued.Figures.Shares = []events.Share{{PlayerID: "ann"}, {PlayerID: "ben"}}
	r := strokes.OfCard(fold(issued), "card", 0)
	require.Len(t, r.Holes, 3)
	require.Zero(t, r.CourseRating)
	require.Zero(t, r.CourseHandicap)
}
