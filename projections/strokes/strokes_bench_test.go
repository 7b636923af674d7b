package strokes_test

import (
	"fmt"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"marram.example/events"
	"marram.example/projections/projectiontest"
	"marram.example/projections/store"
	"marram.example/projections/store/storetest"
	"marram.example/projections/strokes"
)

// Years of one player's golf, every stroke with all that can be said of one.
const rounds, strokesARound = 500, 85

func years(b *testing.B) (m *strokes.Strokes, bytesARound float64) {
	b.Helper()
	w := projectiontest.NewWriter()
	first := time.Date(2020, 1, 1, 9, 0, 0, 0, time.UTC)
	for r := range rounds {
		k, good := eighteen(), r%3 > 0
		k.Date = first.AddDate(0, 0, 4*r).Format(time.DateOnly)
		stream := events.CardStream(club, "c", fmt.Sprintf("card-%04d", r))
		w.Add(stream, k)
		for h := 1; h <= 18; h++ {
			w.Add(stream, events.HoleScored{Hole: h, Score: events.Score{Strokes: 5}, By: events.RoleMarker})
		}
		for i := range strokesARound {
			at := first.Add(time.Duration(r*200+i) * time.Minute)
			w.Add(stream, recorded(fmt.Sprintf("%013d", i), 1+i*18/strokesARound, events.Stroke{
				Lie: events.LieFairway, DistanceM: 137.1234 + float64(i), Club: "pitching-wedge", Target: events.TargetRight, Shape: events.ShapeStraight, Commitment: 4,
				IntentAt: at, StruckAt: at.Add(32500 * time.Millisecond), Strike: events.StrikeGood, GoodEnough: &good,
				Finish: &events.Finish{Lie: events.LieGreen, DistanceM: 12.1234},
				Miss:   events.Miss{Side: events.MissRight, SideM: 7.1234, Length: events.MissShort, LengthM: 5.4321},
			}))
		}
		w.Add(stream, returned)
	}
	s := storetest.Open(b, store.SQLite)
	m = strokes.New(s)
	projectiontest.MustCatchUp(b, s, projectiontest.NewLog(w.All, 5000), m)
	var bytes int64
	require.NoError(b, s.DB().Get(&bytes, "SELECT SUM(LENGTH(doc)) FROM strokes"))
	return m, float64(bytes) / rounds
}

// eighteen is the invented card over as many holes.
func eighteen() events.CardIssued {
	k := three()
	k.Holes, k.StartingHole, k.Figures.StrokesByHole = nil, 1, make([]int, 18)
	for h := 1; h <= 18; h++ {
		k.Holes = append(k.Holes, events.Hole{Number: h, Par: 4, StrokeIndex: h, LengthM: 300 + h})
	}
	return k
}

// BenchmarkAPlayersYears reads 500 rounds of 85 strokes of one player from SQLite.
func BenchmarkAPlayersYears(b *testing.B) {
	m, bytesARound := years(b)
	for b.Loop() {
		found, err := m.ByPlayer(b.Context(), "ann", "", 0)
		if err != nil || len(found) != rounds || found[0].Logged != strokesARound {
			b.Fatal(err, len(found))
		}
	}
	b.ReportMetric(bytesARound, "bytes/round")
}
