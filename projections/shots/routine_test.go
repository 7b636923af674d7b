package shots_test

import (
	"encoding/json"
	"fmt"
	"math"
	"testing"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"marram.example/projections/shots"
)

func timed(lie string, distance, seconds float64) shots.Stroke {
	return shots.Stroke{From: shots.Position{Lie: lie, Distance: distance}, Seconds: &seconds, Intent: true}
}

func holes(strokes ...shots.Stroke) (hs []shots.Hole) {
	for i, s := range strokes {
		hs = append(hs, shots.Hole{Number: i + 1, Par: 4, Strokes: []shots.Stroke{s}})
	}
	return hs
}

func TestRoutineClasses(t *testing.T) {
	t.Parallel()
	const yard, foot = 0.9144, 0.3048
	untimed := shots.Stroke{From: shots.Position{Lie: "fairway", Distance: 150}}
	negative := timed("fairway", 150, -4)
	never := timed("fairway", 150, math.Inf(1))
	r := shots.Round{ID: "r", Holes: holes(
		timed("tee", 400, 22), timed("fairway", 51*yard, 25), timed("rough", 150, 19), timed("tee", 120, 24), timed("sand", 140, 30),
		timed("sand", 50*yard, 41), timed("tee", 40, 40), // 50 yards are short, a short tee stroke too
		timed("green", 6*foot, 12), timed("green", 20*foot, 15), timed("green", 20.1*foot, 70), untimed, negative, never,
	)}
	got := shots.RoutineOf([]shots.Round{r}, nil)
	full := got.Classes[0]
	require.Equal(t, "full", full.Key)
	require.Equal(t, 8, full.Strokes)
	require.Equal(t, 5, full.Timed)
	require.InDelta(t, 24, full.Mean, 1e-9)
	require.InDelta(t, 4.062019, full.SD, 1e-6)
	require.InDelta(t, 0.169251, full.Variation, 1e-6)
	require.InDelta(t, 24, full.Median, 0)
	require.InDelta(t, 2, full.MAD, 0)
	require.InDelta(t, 1.4826022*2/24, full.Robust, 1e-6)
	require.Equal(t, shots.Count{Done: 7, Chances: 8}, full.WithIntent)
	require.Equal(t, 2, got.Classes[1].Timed)
	require.Equal(t, shots.Count{Done: 1, Chances: 2}, got.Classes[1].Over40, "40 seconds are not above 40")
	for i := 2; i < 5; i++ {
		require.Equal(t, 1, got.Classes[i].Timed, got.Classes[i].Key)
	}
	require.Equal(t, shots.Count{Done: 2, Chances: 10}, got.Over40)
	require.Equal(t, shots.Count{Done: 12, Chances: 13}, got.WithIntent)
	require.Equal(t, 13, got.Attention.Strokes)
	require.Equal(t, 10, got.Attention.Timed)
	require.InDelta(t, 298.0/60, got.Attention.Minutes, 1e-9)
	require.Equal(t, 1, got.Attention.LeftOut)
	require.Nil(t, got.Attention.Share, "there are no stamps")
	require.Contains(t, got.Rule, "recommend")
	require.Contains(t, got.Rule, "no breach")
	require.NotEmpty(t, got.Effect.TooFew)
	require.Equal(t, shots.SureTooFew, got.Effect.HowSure)
}

// TestAttention is the plain reckoning as a log: 36 full strokes of 45 seconds in four hours are 27 minutes, 11.25 %.
func TestAttention(t *testing.T) {
	t.Parallel()
	check := shots.CheckAttention(45, 36, 240)
	require.InDelta(t, 27, check.Minutes, 1e-12)
	require.InDelta(t, 0.1125, check.Share, 1e-12)
	require.Equal(t, "common practice, no source", check.Source)
	require.Zero(t, shots.CheckAttention(45, 36, 0).Share)

	var strokes []shots.Stroke
	const start = int64(1_935_000_000_000)
	for i := range 36 {
		s := timed("fairway", 150, 45)
		// The strike of the first comes 45 seconds after its intent, that of the last four hours after it.
		s.At = start + 45_000 + int64(math.Round(float64(i)*(240*60_000-45_000)/35))
		strokes = append(strokes, s)
	}
	round := shots.Round{ID: "r", Holes: holes(strokes...)}
	got := shots.RoutineOf([]shots.Round{round}, nil)
	require.Equal(t, check, got.Check)
	require.InDelta(t, 240, got.Attention.RoundMinutes, 1e-6)
	require.InDelta(t, 27, got.Attention.Minutes, 1e-9)
	require.InDelta(t, 0.1125, *got.Attention.Share, 1e-9)
	require.Equal(t, 1, got.Attention.Rounds)
	require.InDelta(t, 0, got.Trend.Slope, 1e-12)

	// A round completed a day later has no length of its own, and does not thin out the share of the other.
	late := shots.Round{ID: "late", Holes: holes(append([]shots.Stroke(nil), strokes...)...)}
	late.Holes[35].Strokes[0].At += 24 * 3_600_000
	both := shots.RoutineOf([]shots.Round{round, late}, nil)
	require.Equal(t, 1, both.Attention.Rounds)
	require.InDelta(t, 54, both.Attention.Minutes, 1e-9)
	require.InDelta(t, 0.1125, *both.Attention.Share, 1e-9)
}

// TestRoutineTrend: full strokes and putts both slow by two seconds a hole; the putts of the later holes being quicker than full
// strokes hides nothing, and one phone left in the bag changes nothing.
func TestRoutineTrend(t *testing.T) {
	t.Parallel()
	var r shots.Round
	for i := range 18 {
		h := float64(i)
		r.Holes = append(r.Holes, shots.Hole{Number: (i+9)%18 + 1, Par: 4, Strokes: []shots.Stroke{timed("tee", 380, 20+2*h), timed("green", 5, 8+2*h)}})
	}
	*r.Holes[3].Strokes[0].Seconds = 599
	got := shots.RoutineOf([]shots.Round{r}, nil)
	require.InDelta(t, 2, got.Trend.Slope, 0.15)
	require.Equal(t, shots.SureClear, got.Trend.HowSure)
	require.Nil(t, shots.RoutineOf([]shots.Round{{Holes: r.Holes[:3]}}, nil).Trend)
}

// TestTimeAgainstResult: slower strokes of the same class gained half a stroke less; between classes the opposite holds, and that
// is not looked at.
func TestTimeAgainstResult(t *testing.T) {
	t.Parallel()
	var gains []shots.Gain
	for i := range 20 {
		quick, slow := timed("fairway", 150, 20+float64(i)/10), timed("fairway", 150, 30+float64(i)/10)
		noise := float64(i%5-2) / 5
		putt := timed("green", 1, 6) // all alike: they cannot be told apart
		gains = append(gains,
			shots.Gain{Round: "r", From: quick.From, Gained: 0.5 + noise, Stroke: quick},
			shots.Gain{Round: "r", From: slow.From, Gained: noise, Stroke: slow},
			shots.Gain{Round: "r", From: putt.From, Gained: -1, Stroke: putt},
		)
	}
	e := shots.RoutineOf(nil, gains).Effect
	require.Equal(t, 20, e.Quicker)
	require.Equal(t, 20, e.Slower)
	require.InDelta(t, -0.5, e.Test.Statistic, 1e-9)
	require.Equal(t, shots.SureClear, e.HowSure)
	require.Equal(t, shots.Seed, e.Test.Seed)
	require.InDelta(t, 2.801585*e.Test.SD, e.SeenAbove, 1e-5)
	require.Greater(t, e.SeenAbove, 0.2)
	few := shots.RoutineOf(nil, gains[:20]).Effect
	require.NotEmpty(t, few.TooFew)
	require.Zero(t, few.SeenAbove)
}

func TestRoutineStaysFinite(t *testing.T) {
	t.Parallel()
	rapid.Check(t, func(t *rapid.T) {
		var rounds []shots.Round
		var gains []shots.Gain
		strokes := 0
		for i := range rapid.IntRange(0, 3).Draw(t, "rounds") {
			r := shots.Round{ID: fmt.Sprint(i)}
			for range rapid.IntRange(0, 20).Draw(t, "strokes") {
				s := timed(rapid.SampledFrom([]string{"tee", "rough", "green"}).Draw(t, "lie"), rapid.Float64Range(0.1, 400).Draw(t, "distance"),
					rapid.OneOf(rapid.Float64(), rapid.Float64Range(0, 90)).Draw(t, "seconds"))
				s.Intent = rapid.Bool().Draw(t, "intent")
				s.At = rapid.OneOf(rapid.Just(int64(0)), rapid.Int64(), rapid.Int64Range(1_900_000_000_000, 1_900_010_000_000)).Draw(t, "at")
				r.Holes = append(r.Holes, shots.Hole{Par: 4, Strokes: []shots.Stroke{s}})
				gains = append(gains, shots.Gain{Round: r.ID, From: s.From, Gained: rapid.Float64Range(-3, 2).Draw(t, "gained"), Stroke: s})
				strokes++
			}
			rounds = append(rounds, r)
		}
		got := shots.RoutineOf(rounds, gains)
		if _, err := json.Marshal(got); err != nil {
			t.Fatal(err)
		}
		if got.Attention.Strokes != strokes || got.WithIntent.Chances != strokes || got.Over40.Chances != got.Attention.Timed {
			t.Fatalf("%+v", got)
		}
	})
}
