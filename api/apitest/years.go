package apitest

import (
	"context"
	"fmt"
	"math/rand/v2"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"marram.example/events"
	"marram.example/events/log/logtest"
	"marram.example/projections/store"
	"marram.example/projections/strokes"
)

// ARound is how many strokes each of the rounds of PlayRounds has.
const ARound = 85

// Rounds are returned rounds of one player, every stroke with all that can be said of
// it; invented. The same figures make the same rounds.
type Rounds struct {
	PlayerID string
	From, To int    // which of the player's rounds, five days apart: From 0 is the first
	Seed     uint64 // of the generator
}

// MustPlayRounds puts rounds straight into the read model of strokes: years of them
// would take hours through the log. They stand where the log begins, before all that
// happens in a test.
func MustPlayRounds(t testing.TB, s *store.Store, model *strokes.Strokes, of ...Rounds) {
	t.Helper()
	var batch []events.Recorded
	for _, r := range of {
		rng := rand.New(rand.NewPCG(r.Seed, uint64(r.From)))
		for n := r.From; n < r.To; n++ {
			batch = append(batch, r.round(rng, n)...)
		}
	}
	ctx := context.Background()
	tx, err := s.DB().BeginTxx(ctx, nil)
	require.NoError(t, err)
	require.NoError(t, model.Apply(ctx, tx, batch))
	require.NoError(t, tx.Commit())
}

// round is one card of the player, from issue to return.
func (r Rounds) round(rng *rand.Rand, n int) []events.Recorded {
	day := time.Date(2024, 1, 2, 9, 0, 0, 0, time.UTC).AddDate(0, 0, 5*n)
	stream := events.CardStream(logtest.Club, "c", fmt.Sprintf("years-%s-%04d", r.PlayerID, n))
	var out []events.Recorded
	add := func(e events.Event) {
		n := len(out) + 1 // other cards have the same positions; a card's own rise
		out = append(out, events.Recorded{
			Envelope: events.Envelope{ID: fmt.Sprint(stream.ID, "-", n), Type: e.EventType(), Time: day, Sequence: events.Sequence(n)},
			Stream:   stream, Position: events.Position(n), Event: e,
		})
	}
	issued := events.CardIssued{
		CompetitionID: "c", Round: 1, EntryID: fmt.Sprint("e", n), PlayerID: r.PlayerID, CourseID: "k", Tee: "White", Date: day.Format(time.DateOnly),
		StartingHole: 1, Format: events.StrokePlay, Holes: Tee().Holes,
		Figures: events.Figures{CourseRatingTenths: 712, SlopeRating: 125, Par: 72, CourseHandicapNum: 27, CourseHandicapDen: 2, StrokesByHole: make([]int, 18)},
	}
	add(issued)
	left := ARound
	for i, h := range issued.Holes {
		strokes := left / (18 - i)
		left -= strokes
		add(events.HoleScored{Hole: h.Number, Score: events.Score{Strokes: strokes}, By: events.RoleMarker})
		for at, x := range onAHole(rng, h, strokes, day.Add(time.Duration(i)*13*time.Minute)) {
			add(events.StrokeRecorded{StrokeID: fmt.Sprintf("%d-%d", h.Number, at), Hole: h.Number, Stroke: x})
		}
	}
	add(events.CardReturned{Receipt: "ABCDEF"})
	return out
}

// onAHole are the strokes of a hole: from the tee to the green, then putts.
func onAHole(rng *rand.Rand, h events.Hole, n int, at time.Time) []events.Stroke {
	clubs := []string{"driver", "iron-5", "iron-8", "pitching-wedge", "sand-wedge"}
	lies := []string{events.LieFairway, events.LieRough, events.LieSand}
	out := make([]events.Stroke, n)
	left := float64(h.LengthM)
	for i := range out {
		good := rng.IntN(3) > 0
		begun := at.Add(time.Duration(i) * 150 * time.Second)
		x := events.Stroke{
			DistanceM: left, Target: events.TargetAt, Shape: events.ShapeDraw, Commitment: 1 + rng.IntN(5), IntentAt: begun, GoodEnough: &good,
			StruckAt: begun.Add(time.Duration(20+rng.IntN(30)) * time.Second), Strike: []string{events.StrikePoor, events.StrikeFair, events.StrikeGood}[rng.IntN(3)],
		}
		switch {
		case i >= n-2:
			x.Lie, x.Club = events.LieGreen, "putter"
			left = 0.3 + rng.Float64()
		case i == 0:
			x.Lie, x.Club = events.LieTee, clubs[0]
			left = max(20, left-200-15*rng.NormFloat64())
		default:
			x.Lie, x.Club = lies[rng.IntN(len(lies))], clubs[1+rng.IntN(len(clubs)-1)]
			left = max(8, left*(0.2+0.1*rng.Float64()))
		}
		if i == n-3 {
			left = 2 + 9*rng.Float64()
		}
		side, across := events.MissRight, 4+9*rng.NormFloat64()
		if across < 0 {
			side, across = events.MissLeft, -across
		}
		x.Miss = events.Miss{Side: side, SideM: across, Length: events.MissShort, LengthM: 5 * rng.Float64()}
		if i == n-1 {
			x.Finish, x.Miss = &events.Finish{Holed: true}, events.Miss{}
		}
		out[i] = x
	}
	return out
}
