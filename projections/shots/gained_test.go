package shots

import (
	"fmt"
	"math"
	"testing"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"marram.example/events"
)

// invented is a hole: strokes from these positions and, last, where the ball was picked up, or holed.
func invented(par int, positions ...Position) Hole {
	h := Hole{Number: 1, Par: par}
	for _, p := range positions[:len(positions)-1] {
		h.Strokes = append(h.Strokes, Stroke{From: p})
	}
	if last := positions[len(positions)-1]; last == holed {
		h.Holed = true
	} else {
		h.Strokes[len(h.Strokes)-1].Finish = &last
	}
	return h
}

// holed stands for the hole among positions.
var holed = Position{}

func gainedOf(t *testing.T, h Hole, b *Baseline) []float64 {
	t.Helper()
	gains, err := Gained(h, b)
	require.NoError(t, err)
	values := make([]float64, len(gains))
	for i, g := range gains {
		values[i] = g.Gained
	}
	return values
}

// lines is a baseline of a few rows, as a publication quotes them.
func lines(t *testing.T, rows string) *Baseline {
	t.Helper()
	b, err := ParseBaseline("quoted", small+rows)
	require.NoError(t, err)
	return b
}

func TestPublishedGains(t *testing.T) {
	t.Parallel()
	b := broadie(t)

	// Review of M. Broadie's book of 2014, golfblogger.com: 14 drives 20 yards longer, one of them from fairway into rough.
	longer := 13*(strokesFrom(t, b, yards("fairway", 160))-strokesFrom(t, b, yards("fairway", 140))) +
		strokesFrom(t, b, yards("fairway", 160)) - strokesFrom(t, b, yards("rough", 140))
	require.InDelta(t, 0.74, longer, 1e-9)

	// R. Minton, Roanoke College: 150 yards of fairway to 10 feet, by that author's own averages.
	minton := lines(t, "fairway,140,yd,2.86\nfairway,150,yd,2.93\ngreen,10,ft,1.68\ngreen,20,ft,1.9\n")
	require.InDelta(t, 0.25, gainedOf(t, invented(4, yards("fairway", 150), feet(10), holed), minton)[0], 1e-9)

	// buffalogolfer.com on M. Broadie's Putts Gained: 33 feet in one, two and three putts.
	note := lines(t, "green,8,ft,1.5\ngreen,33,ft,2\n")
	for putts, want := range map[int]float64{1: 1, 2: 0, 3: -1} {
		h := Hole{Par: 4, Holed: true, Strokes: make([]Stroke, putts)}
		for i := range h.Strokes {
			h.Strokes[i].From = feet(33 / float64(i*i*20+1))
		}
		total := 0.0
		for _, g := range gainedOf(t, h, note) {
			total += g
		}
		require.InDelta(t, want, total, 1e-9, "%d putts", putts)
	}
	require.InDelta(t, 0.5, gainedOf(t, invented(4, feet(8), holed), note)[0], 1e-9)
	require.InDelta(t, 0.5, gainedOf(t, invented(4, feet(8), holed), b)[0], 1e-9)

	// subpargolfblog.com on the book of 2014.
	book := lines(t, "green,3,ft,1.04\ngreen,20,ft,1.87\n")
	require.InDelta(t, 0.04, gainedOf(t, invented(4, feet(3), holed), book)[0], 1e-9)
	require.InDelta(t, 0.87, gainedOf(t, invented(4, feet(20), holed), book)[0], 1e-9)

	// Stroke and distance costs two strokes exactly, whatever the baseline.
	again := invented(4, yards("tee", 420), yards("tee", 420), holed)
	again.Strokes[0].Penalty = 1
	require.InDelta(t, -2.0, gainedOf(t, again, b)[0], 0)
}

func TestGainsSayWhereTheyComeFrom(t *testing.T) {
	t.Parallel()
	finish := yards("fairway", 90)
	h := Hole{Number: 7, Par: 5, Strokes: []Stroke{
		{ID: "a", From: yards("tee", 640), Penalty: 1, Club: "driver"},
		{ID: "b", From: yards("rough", 300)},
		{ID: "c", From: yards("recovery", 200), Finish: &finish},
	}}
	gains, err := GainedRound(Round{ID: "card", Holes: []Hole{{Number: 6, Par: 4}, h}}, broadie(t))
	require.NoError(t, err)
	require.Len(t, gains, 3)
	require.Equal(t, "card", gains[0].Round)
	require.Equal(t, 7, gains[0].Hole)
	require.Equal(t, "a", gains[0].StrokeID)
	require.Equal(t, 1, gains[0].Penalty)
	require.Equal(t, "driver", gains[0].Stroke.Club)
	require.True(t, gains[0].Extrapolated)
	require.False(t, gains[1].Extrapolated)
	require.Equal(t, yards("rough", 300), *gains[0].To)
	require.Equal(t, finish, *gains[2].To)
	before := gains[0].Expected
	require.InDelta(t, strokesFrom(t, broadie(t), yards("tee", 640)), before, 1e-12)

	h.Strokes[2].Finish = nil // logging broke off: nothing is said of the last stroke
	gains, err = Gained(h, broadie(t))
	require.NoError(t, err)
	require.Len(t, gains, 2)
	require.Empty(t, gains[0].Round)

	h.Holed = true
	gains, err = Gained(h, broadie(t))
	require.NoError(t, err)
	require.Nil(t, gains[2].To)

	gains, err = Gained(Hole{Number: 1, Par: 4, Score: 5}, broadie(t))
	require.NoError(t, err)
	require.Empty(t, gains)
}

func TestGainedRefuses(t *testing.T) {
	t.Parallel()
	for field, h := range map[string]Hole{
		"lie":      invented(4, yards("tee", 400), yards("pond", 100), holed),
		"distance": invented(4, yards("tee", 400), yards("fairway", 0), holed),
		"penalty":  {Number: 1, Par: 4, Holed: true, Strokes: []Stroke{{From: yards("tee", 400), Penalty: -1}}},
	} {
		_, err := GainedRound(Round{Holes: []Hole{h}}, broadie(t))
		var refused *InputError
		require.ErrorAs(t, err, &refused, field)
		require.Equal(t, field, refused.Field)
		require.Contains(t, err.Error(), "hole 1, ")
	}
}

// drawHole draws any hole: penalties, strokes played again from the same place, holed, picked up or broken off.
func drawHole(t *rapid.T, number int) Hole {
	h := Hole{Number: number, Par: rapid.IntRange(3, 6).Draw(t, "par")}
	position := func(label string) Position {
		return Position{rapid.SampledFrom(lieNames[:]).Draw(t, label+" lie"), rapid.Float64Range(0.05, 650).Draw(t, label)}
	}
	at := Position{events.LieTee, rapid.Float64Range(60, 600).Draw(t, "length")}
	for i := range rapid.IntRange(1, 12).Draw(t, "strokes") {
		s := Stroke{ID: fmt.Sprint(i), From: at}
		switch rapid.IntRange(0, 5).Draw(t, "what") {
		case 0: // stroke and distance
			s.Penalty = 1
		case 1: // a drop elsewhere
			s.Penalty = rapid.IntRange(1, 2).Draw(t, "penalty")
			at = position("drop")
		default:
			at = position("next")
		}
		h.Strokes = append(h.Strokes, s)
	}
	switch rapid.IntRange(0, 2).Draw(t, "end") {
	case 0:
		h.Holed = true
	case 1:
		h.Strokes[len(h.Strokes)-1].Finish = &at
	}
	return h
}

// TestGainsAddUp is the additive identity: over the strokes whose end is known, expected strokes at the start, less those at the end,
// less all strokes and penalties, and the same by phase, club, hole and band.
func TestGainsAddUp(t *testing.T) {
	t.Parallel()
	rapid.Check(t, func(t *rapid.T) {
		b := broadie(t).Stretched("x", "x (derived)", rapid.Float64Range(0.8, 2).Draw(t, "m"))
		want := 0.0
		round := Round{ID: "r"}
		for number := range rapid.IntRange(1, 4).Draw(t, "holes") {
			h := drawHole(t, number+1)
			round.Holes = append(round.Holes, h)
			n := len(h.Strokes)
			cost, end := h.Counted(), 0.0
			switch last := h.Strokes[n-1]; {
			case h.Holed:
			case last.Finish != nil:
				end = strokesFrom(t, b, *last.Finish)
			default:
				cost -= 1 + last.Penalty
				end = strokesFrom(t, b, last.From)
			}
			total := 0.0
			gains, err := Gained(h, b)
			require.NoError(t, err)
			for _, g := range gains {
				total += g.Gained
			}
			identity := strokesFrom(t, b, h.Strokes[0].From) - end - float64(cost)
			require.InDelta(t, identity, total, 1e-9)
			if h.Whole() {
				require.InDelta(t, strokesFrom(t, b, h.Strokes[0].From)-float64(h.Counted()), total, 1e-9)
			}
			want += identity
		}
		gains, err := GainedRound(round, b)
		require.NoError(t, err)
		for name, sums := range map[string][]Sum{
			"phase": ByPhase(gains), "club": ByClub(gains), "hole": ByHole(gains), "band": ByBand(gains),
		} {
			total, n := 0.0, 0
			for _, s := range sums {
				total, n = total+s.Total, n+s.N
				require.LessOrEqual(t, s.Low, s.Mean)
				require.GreaterOrEqual(t, s.High, s.Mean)
			}
			require.InDelta(t, want, total, 1e-9, name)
			require.Equal(t, len(gains), n, name)
		}
	})
}

func TestPhases(t *testing.T) {
	t.Parallel()
	for _, c := range []struct {
		par  int
		at   Position
		want Phase
	}{
		{4, yards("tee", 400), PhaseOffTheTee},
		{5, yards("tee", 520), PhaseOffTheTee},
		{6, yards("tee", 700), PhaseOffTheTee},
		{4, yards("tee", 40), PhaseOffTheTee},
		{3, yards("tee", 180), PhaseApproach},
		{3, yards("tee", 45), PhaseApproach},
		{4, yards("fairway", 50), PhaseAroundTheGreen},
		{4, Position{"fairway", 45.72}, PhaseAroundTheGreen},
		{4, Position{"fairway", 45.7201}, PhaseApproach},
		{4, yards("fairway", 50.01), PhaseApproach},
		{4, yards("sand", 12), PhaseAroundTheGreen},
		{5, yards("recovery", 300), PhaseApproach},
		{4, feet(200), PhasePutting},
		{3, yards("green", 60), PhasePutting},
		{3, yards("fairway", 1), PhaseAroundTheGreen},
	} {
		require.Equal(t, c.want, PhaseOf(c.par, c.at), "%v on a par %d", c.at, c.par)
	}
}

func TestSums(t *testing.T) {
	t.Parallel()
	gain := func(phase Phase, club string, hole int, distance, gained float64) Gain {
		return Gain{
			Hole: hole, From: Position{Distance: distance}, Phase: phase, Gained: gained, StrokeID: fmt.Sprint(gained), Stroke: Stroke{Club: club},
		}
	}
	gains := []Gain{
		gain(PhaseOffTheTee, "driver", 10, 350, 0.1),
		gain(PhaseApproach, "iron-7", 10, 150*Yard, -0.3),
		gain(PhasePutting, "putter", 10, 3*Foot, 0.05),
		gain(PhaseOffTheTee, "driver", 11, 390, -0.5),
		gain(PhaseApproach, "", 11, 150.1*Yard, 0.2),
		gain(PhasePutting, "putter", 11, 60*Foot, 0.05),
		gain(PhaseOffTheTee, "driver", 1, 390, 0.7),
		gain(PhaseAroundTheGreen, "chipper", 1, 5, 0.3),
	}
	phases := ByPhase(gains)
	require.Len(t, phases, 4)
	require.Equal(t, "off_the_tee", phases[0].Key)
	require.Equal(t, 3, phases[0].N)
	require.InDelta(t, 0.3, phases[0].Total, 1e-12)
	require.InDelta(t, 0.1, phases[0].Mean, 1e-12)
	// sd 0.6, t with 2 degrees of freedom 4.302653 (tables of Student's t)
	require.InDelta(t, 0.1-4.302653*0.6/math.Sqrt(3), phases[0].Low, 1e-6)
	require.InDelta(t, 0.1+4.302653*0.6/math.Sqrt(3), phases[0].High, 1e-6)
	require.Equal(t, Sum{Key: "around_the_green", N: 1, Total: 0.3, Mean: 0.3, Low: 0.3, High: 0.3}, phases[2])
	require.Equal(t, []string{"off_the_tee", "approach", "around_the_green", "putting"}, keys(ByPhase(nil)))
	require.Equal(t, []string{"driver", "iron-7", "putter", "chipper", ""}, keys(ByClub(gains)))
	require.Equal(t, []string{"10", "11", "1"}, keys(ByHole(gains)))
	bands := ByBand(gains)
	require.Equal(t, []string{"off_the_tee", "150_to_200_yd", "100_to_150_yd", "up_to_50_yd", "putt_up_to_3_ft", "putt_beyond_40_ft"}, keys(bands))
	require.InDelta(t, 150*Yard, bands[1].From, 1e-9)
	require.InDelta(t, 200*Yard, bands[1].To, 1e-9)
	require.Zero(t, bands[5].To)

	require.Equal(t, []string{"0.7", "0.3"}, ids(Best(gains, 2)))
	require.Equal(t, []string{"-0.5", "-0.3", "0.05"}, ids(Worst(gains, 3)))
	require.Len(t, Best(gains, 100), len(gains))
	require.Empty(t, Best(gains, -1))
	require.Equal(t, "0.1", gains[0].StrokeID, "the gains given keep their order")
}

func keys(sums []Sum) []string {
	out := make([]string, len(sums))
	for i, s := range sums {
		out[i] = s.Key
	}
	return out
}

func ids(gains []Gain) []string {
	out := make([]string, len(gains))
	for i, g := range gains {
		out[i] = g.StrokeID
	}
	return out
}
