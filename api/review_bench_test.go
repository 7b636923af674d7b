package api_test

import (
	"encoding/json"
	"fmt"
	"math/rand/v2"
	"net/http"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"marram.example/api"
	"marram.example/api/apitest"
	"marram.example/events"
	"marram.example/events/log/logtest"
	"marram.example/projections/review"
	"marram.example/projections/shots"
	"marram.example/projections/store"
)

// Years of a keen player: rounds of 85 strokes, every one with all that can be said of
// it.
const (
	yearsOfRounds = 500
	aRound        = 85
)

// years puts a player's rounds into the read model of strokes, with a generator of a
// fixed seed; invented.
func years(b *testing.B, s *apitest.Server, playerID string) {
	b.Helper()
	rng := rand.New(rand.NewPCG(4, 85))
	first := time.Date(2024, 1, 2, 9, 0, 0, 0, time.UTC)
	var batch []events.Recorded
	position := events.Position(0)
	for n := range yearsOfRounds {
		day := first.AddDate(0, 0, 5*n)
		stream := events.CardStream(logtest.Club, "c", fmt.Sprintf("card-%04d", n))
		sequence := events.Sequence(0)
		add := func(e events.Event) {
			position, sequence = position+1, sequence+1
			batch = append(batch, events.Recorded{
				Envelope: events.Envelope{ID: fmt.Sprint(position), Type: e.EventType(), Time: day, Sequence: sequence}, Stream: stream, Position: position, Event: e,
			})
		}
		issued := events.CardIssued{
			CompetitionID: "c", Round: 1, EntryID: fmt.Sprint("e", n), PlayerID: playerID, CourseID: "k", Tee: "White", Date: day.Format(time.DateOnly),
			StartingHole: 1, Format: events.StrokePlay, Holes: apitest.Tee().Holes,
			Figures: events.Figures{CourseRatingTenths: 712, SlopeRating: 125, Par: 72, CourseHandicapNum: 27, CourseHandicapDen: 2, StrokesByHole: make([]int, 18)},
		}
		add(issued)
		left := aRound
		for i, h := range issued.Holes {
			strokes := left / (18 - i)
			left -= strokes
			add(events.HoleScored{Hole: h.Number, Score: events.Score{Strokes: strokes}, By: events.RoleMarker})
			for at, x := range invented(rng, h, strokes, day.Add(time.Duration(i)*13*time.Minute)) {
				add(events.StrokeRecorded{StrokeID: fmt.Sprintf("%d-%d", h.Number, at), Hole: h.Number, Stroke: x})
			}
		}
		add(events.CardReturned{Receipt: "ABCDEF"})
	}
	tx, err := s.Store.DB().BeginTxx(b.Context(), nil)
	require.NoError(b, err)
	require.NoError(b, s.API.Models.Strokes.Apply(b.Context(), tx, batch))
	require.NoError(b, tx.Commit())
}

// invented are the strokes of a hole: from the tee to the green, then putts.
func invented(rng *rand.Rand, h events.Hole, n int, at time.Time) []events.Stroke {
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

// BenchmarkPlayerReview is the review of a player with 500 logged rounds on SQLite:
// the whole answer over HTTP, and its parts.
func BenchmarkPlayerReview(b *testing.B) {
	s := apitest.MustServe(b, apitest.On(store.SQLite))
	c := s.Committee(b)
	m := apitest.MustOpenRound(b, c)
	player := s.Bearer(apitest.MustLink(b, c, m.Cards[0], events.RolePlayer))
	id := m.Players[0]
	years(b, s, id)
	played, err := s.API.Models.Strokes.ByPlayer(b.Context(), id, "", 0)
	require.NoError(b, err)
	require.Len(b, played, yearsOfRounds)
	require.Equal(b, aRound, played[0].Logged)
	rounds := make([]shots.Round, len(played))
	for i, p := range played {
		rounds[i] = p.Round
	}
	table, err := shots.Named("broadie-2012")
	require.NoError(b, err)
	matched, err := shots.Matched(table, rounds[0].Holes, 88)
	require.NoError(b, err)
	of := func(b *testing.B, own, past []shots.Round) review.Review {
		r, err := review.Of(review.Input{Own: own, Past: past, Baseline: matched, Matched: matched})
		if err != nil || len(r.Sentences) != 3 {
			b.Fatal(err, len(r.Sentences))
		}
		return r
	}
	all := of(b, rounds, nil)

	answer := func(query string) func(*testing.B) {
		return func(b *testing.B) {
			for b.Loop() {
				r, err := http.NewRequestWithContext(b.Context(), http.MethodGet, s.URL+api.Root+"/players/"+id+"/review"+query, nil)
				if err != nil {
					b.Fatal(err)
				}
				r.Header.Set("Authorization", "Bearer "+player.Token())
				a, err := http.DefaultClient.Do(r)
				if err != nil || a.StatusCode != http.StatusOK || a.Body.Close() != nil {
					b.Fatal(err, a)
				}
			}
		}
	}
	b.Run("answer as it opens", answer(""))
	b.Run("answer of all years", answer("?last=0"))
	b.Run("review", func(b *testing.B) {
		for b.Loop() {
			if r, err := s.API.PlayerReview(b.Context(), id, api.ReviewOptions{}); err != nil || r.Counted.Rounds != yearsOfRounds {
				b.Fatal(err, r.Counted.Rounds)
			}
		}
	})
	b.Run("read", func(b *testing.B) {
		for b.Loop() {
			if _, err := s.API.Models.Strokes.ByPlayer(b.Context(), id, "", 0); err != nil {
				b.Fatal(err)
			}
		}
	})
	b.Run("compute", func(b *testing.B) {
		for b.Loop() {
			of(b, rounds, nil)
		}
	})
	b.Run("compute last 20", func(b *testing.B) {
		for b.Loop() {
			of(b, rounds[:20], rounds[20:])
		}
	})
	b.Run("encode", func(b *testing.B) {
		for b.Loop() {
			text, err := json.Marshal(all)
			if err != nil {
				b.Fatal(err)
			}
			b.ReportMetric(float64(len(text)), "bytes")
		}
	})
}
