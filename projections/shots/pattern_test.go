package shots_test

import (
	"encoding/json"
	"fmt"
	"math"
	"testing"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"marram.example/events"
	"marram.example/projections/shots"
)

// drive is a tee stroke with the driver on a hole of 400 m that went length metres along the line and finished angle degrees
// from it, along metres beyond its target. What is left follows from the geometry.
func drive(id string, length, angle, along float64) shots.Hole {
	across := length * math.Tan(angle*math.Pi/180)
	s := shots.Stroke{
		ID: id, Club: "driver", From: shots.Position{Lie: events.LieTee, Distance: 400},
		Finish: &shots.Position{Lie: events.LieFairway, Distance: math.Hypot(400-length, across)},
		Miss:   shots.Miss{Side: events.MissOnLine, Length: events.MissLevel},
	}
	if across != 0 {
		s.Miss.Across, s.Miss.Side = across, side(across)
	}
	switch {
	case along > 0:
		s.Miss.Along, s.Miss.Length = along, events.MissLong
	case along < 0:
		s.Miss.Along, s.Miss.Length = along, events.MissShort
	}
	return shots.Hole{Number: 1, Par: 4, Strokes: []shots.Stroke{s}}
}

func side(across float64) string {
	if across < 0 {
		return events.MissLeft
	}
	return events.MissRight
}

func drives(round, date string, angles ...float64) shots.Round {
	r := shots.Round{ID: round, Date: date}
	for i, angle := range angles {
		r.Holes = append(r.Holes, drive(fmt.Sprintf("%s-%d", round, i), 220, angle, 0))
	}
	return r
}

func TestGroupOf(t *testing.T) {
	t.Parallel()
	want := map[string]string{
		"driver": "driver", "wood-2": "woods", "wood-9": "woods", "hybrid-7": "hybrids", "iron-1": "long irons", "iron-4": "long irons",
		"iron-5": "mid irons", "iron-7": "mid irons", "iron-8": "short irons", "iron-9": "short irons", "pitching-wedge": "wedges",
		"gap-wedge": "wedges", "sand-wedge": "wedges", "lob-wedge": "wedges", "putter": "putter",
		"": "", "iron": "", "iron-12": "", "mashie": "", "wedge": "",
	}
	for club, group := range want {
		require.Equal(t, group, shots.GroupOf(club), club)
	}
	for _, club := range events.Clubs() {
		require.Contains(t, shots.Groups(), shots.GroupOf(club), club)
	}
}

// TestMissLength: where a stroke's length comes from, and which direction follows.
func TestMissLength(t *testing.T) {
	t.Parallel()
	at := func(lie string, d float64) shots.Position { return shots.Position{Lie: lie, Distance: d} }
	left := func(lie string, d float64) *shots.Position { p := at(lie, d); return &p }
	right10 := shots.Miss{Side: events.MissRight, Across: 10}
	for name, c := range map[string]struct {
		par    int
		stroke shots.Stroke
		played float64
	}{
		"a drive leaves 150 of 400":                    {4, shots.Stroke{From: at("tee", 400), Finish: left("rough", 150), Miss: right10}, 400 - math.Sqrt(150*150-100)},
		"side without amount":                          {4, shots.Stroke{From: at("tee", 400), Finish: left("rough", 150), Miss: shots.Miss{Side: events.MissLeft}}, 250},
		"pin high":                                     {4, shots.Stroke{From: at("fairway", 150), Finish: left("green", 10), Miss: right10}, 150},
		"level, what is left says a little more":       {4, shots.Stroke{From: at("fairway", 150), Finish: left("green", 12), Miss: shots.Miss{Side: events.MissRight, Across: 10, Length: events.MissLevel}}, 150},
		"short of the hole":                            {4, shots.Stroke{From: at("fairway", 150), Finish: left("green", 13), Miss: shots.Miss{Side: events.MissRight, Across: 5, Length: events.MissShort, Along: -12}}, 138},
		"past the hole":                                {4, shots.Stroke{From: at("fairway", 150), Finish: left("green", 13), Miss: shots.Miss{Side: events.MissRight, Across: 5, Length: events.MissLong, Along: 12}}, 162},
		"a drive that was long has not passed it":      {4, shots.Stroke{From: at("tee", 240), Finish: left("fairway", 13), Miss: shots.Miss{Side: events.MissRight, Across: 5, Length: events.MissLong, Along: 12}}, 228},
		"a tee stroke on a par 3 may have":             {3, shots.Stroke{From: at("tee", 150), Finish: left("green", 13), Miss: shots.Miss{Side: events.MissRight, Across: 5, Length: events.MissLong, Along: 12}}, 162},
		"a lay-up that was long has not":               {5, shots.Stroke{From: at("fairway", 220), Finish: left("fairway", 80), Miss: shots.Miss{Side: events.MissRight, Length: events.MissLong, Along: 12}}, 140},
		"unfinished, with an amount short of the hole": {4, shots.Stroke{From: at("fairway", 150), Miss: shots.Miss{Side: events.MissRight, Across: 5, Length: events.MissShort, Along: -12}}, 138},
		"unfinished, with nothing along":               {4, shots.Stroke{From: at("fairway", 150), Miss: right10}, 0},
		"unfinished off the tee":                       {4, shots.Stroke{From: at("tee", 400), Miss: shots.Miss{Side: events.MissRight, Across: 5, Length: events.MissShort, Along: -12}}, 0},
		"went backwards":                               {4, shots.Stroke{From: at("recovery", 80), Finish: left("rough", 90), Miss: right10}, 0},
	} {
		c.stroke.Club = "iron-7"
		points := shots.Misses([]shots.Round{{ID: "r", Holes: []shots.Hole{{Number: 1, Par: c.par, Strokes: []shots.Stroke{c.stroke}}}}}, "mid irons")
		require.Len(t, points, 1, name)
		p := points[0]
		require.InDelta(t, c.played, p.Played, 1e-9, name)
		require.Equal(t, c.played > 0 && p.AcrossKnown, p.AngleKnown, name)
		if p.AngleKnown {
			require.InDelta(t, math.Atan(p.Across/c.played)*180/math.Pi, p.Angle, 1e-9, name)
		}
	}
}

// TestMissesOutOfBounds: a stroke and distance penalty says nothing of the length, and yet the stroke stays in the pattern.
func TestMissesOutOfBounds(t *testing.T) {
	t.Parallel()
	r := drives("r", "2031-05-02", 1, 2, 3)
	lost := drive("lost", 220, 12, 0)
	again := lost.Strokes[0]
	lost.Strokes[0].Penalty, lost.Strokes[0].Finish = 1, nil
	again.ID, again.Miss = "again", shots.Miss{}
	lost.Strokes = append(lost.Strokes, again)
	r.Holes = append(r.Holes, lost)
	points := shots.Misses([]shots.Round{r}, "driver")
	require.Len(t, points, 4, "nothing was said of the second ball")
	require.True(t, points[3].PlayedTypical)
	require.InDelta(t, 220, points[3].Played, 1e-9)
	require.InDelta(t, 12, points[3].Angle, 1e-9)
	require.False(t, points[0].PlayedTypical)
	require.InDelta(t, 220, shots.PatternOf(points, "").Length, 1e-9)
}

func TestMissesCollects(t *testing.T) {
	t.Parallel()
	stroke := func(id, club string, miss shots.Miss) shots.Stroke {
		return shots.Stroke{ID: id, Club: club, From: shots.Position{Lie: "fairway", Distance: 120}, Miss: miss}
	}
	right := shots.Miss{Side: events.MissRight}
	r := shots.Round{ID: "r", Date: "2031-05-02", Holes: []shots.Hole{{Number: 4, Par: 4, Strokes: []shots.Stroke{
		stroke("a", "iron-8", right), stroke("b", "iron-9", right), stroke("c", "iron-9", shots.Miss{}), stroke("d", "", right),
		stroke("e", "putter", right), stroke("f", "iron-9", shots.Miss{Length: events.MissShort}), stroke("g", "iron-9", shots.Miss{Across: -3}),
		stroke("h", "iron-9", shots.Miss{Side: events.MissLeft, Across: 3, Length: events.MissLevel, Along: 2}),
	}}}}
	ids := func(group string) (found string) {
		for _, p := range shots.Misses([]shots.Round{r}, group) {
			found += p.StrokeID
		}
		return found
	}
	require.Equal(t, "abfgh", ids("short irons"))
	require.Equal(t, "bfgh", ids("iron-9"))
	require.Equal(t, "abdfgh", ids(""))
	require.Equal(t, "e", ids("putter"))
	require.Empty(t, ids("woods"))
	points := shots.Misses([]shots.Round{r}, "iron-9")
	require.Equal(t, "left", points[2].Side, "an amount tells its side")
	require.InDelta(t, -3, points[3].Across, 0, "the side that was said wins over the sign")
	require.Zero(t, points[3].Along)
	require.True(t, points[3].Measured)
	require.Equal(t, 4, points[0].Hole)
}

// TestOnlySides: without any amount the one-sided test still speaks, and nothing else is claimed.
func TestOnlySides(t *testing.T) {
	t.Parallel()
	r := shots.Round{ID: "r"}
	for i := range 12 {
		miss := shots.Miss{Side: events.MissRight}
		if i == 0 {
			miss.Side = events.MissLeft
		}
		r.Holes = append(r.Holes, shots.Hole{Par: 4, Strokes: []shots.Stroke{{Club: "driver", From: shots.Position{Lie: "tee", Distance: 380}, Miss: miss}}})
	}
	p := shots.PatternOf(shots.Misses([]shots.Round{r}, "driver"), "r")
	require.Equal(t, 12, p.N)
	require.Equal(t, 11, p.Right)
	require.Equal(t, shots.SureClear, p.OneSided.HowSure)
	require.InDelta(t, 2*13.0/4096, p.OneSided.P, 1e-12)
	require.Contains(t, p.TooFew, "0 strokes with an amount")
	require.Nil(t, p.Ellipse)
	require.NotEmpty(t, p.NoEllipse)
	require.Nil(t, p.Today)
	require.Nil(t, p.BiasInterval)
	_, _, known := p.At(200)
	require.False(t, known)
}

// TestPatternFrom8: seven strokes are dots, eight are a pattern.
func TestPatternFrom8(t *testing.T) {
	t.Parallel()
	angles := []float64{-2, 5, 1, 3, -4, 6, 2, 4}
	r := drives("r", "2031-05-02", angles...)
	for i := range r.Holes {
		along := float64(i*7%5) - 1.5
		r.Holes[i] = drive(fmt.Sprint(i), 220, angles[i], along)
	}
	all := shots.Misses([]shots.Round{r}, "driver")
	few := shots.PatternOf(all[:7], "r")
	require.Nil(t, few.Ellipse)
	require.Contains(t, few.TooFew, "7 strokes")
	require.Zero(t, few.BiasAngle)
	require.Zero(t, few.Covariance)
	require.Zero(t, few.Predictive)
	eight := shots.PatternOf(all, "r")
	require.Empty(t, eight.TooFew)
	require.NotNil(t, eight.Ellipse)
	require.InDelta(t, 2.0/3, eight.Ellipse.Share, 1e-12)
	require.InDelta(t, 2.5, eight.BiasAngle, 1e-9)
	require.InDelta(t, 220*math.Tan(2.5*math.Pi/180), eight.BiasAcross, 0.05)
	require.Equal(t, "driver", eight.Group)
	require.NotNil(t, eight.Today)
	require.InDelta(t, 1, eight.Today.Weight, 0, "there is no usual yet")
	require.Nil(t, eight.Usual)
}

// TestShankMovesNothing: one stroke 45 degrees off moves bias, spread and aim by less than a degree each.
func TestShankMovesNothing(t *testing.T) {
	t.Parallel()
	rounds := []shots.Round{
		drives("a", "2031-05-01", 1.3, 4.1, -2.2, 3.7, 0.4, 5.2), drives("b", "2031-05-02", 2.6, -1.1, 4.4, 6.3, 3.2, 1.8),
		drives("c", "2031-05-03", 0.9, 2.3, -3.4, 1.6, 5.5, 2.1), drives("d", "2031-05-04", 3.4, 1.1, 5.8, 2.7, -0.6, 6.5),
	}
	before := shots.PatternOf(shots.Misses(rounds, "driver"), "d")
	for _, day := range []int{1, 3} {
		shanked := append([]shots.Round(nil), rounds...)
		shanked[day].Holes = append(append([]shots.Hole(nil), rounds[day].Holes...), drive("shank", 220, 45, 0))
		after := shots.PatternOf(shots.Misses(shanked, "driver"), "d")
		require.InDelta(t, before.BiasAngle, after.BiasAngle, 0.5)
		require.InDelta(t, before.SpreadAngle, after.SpreadAngle, 1)
		require.InDelta(t, before.Usual.Mean, after.Usual.Mean, 0.5)
		require.InDelta(t, before.Today.Mean, after.Today.Mean, 0.5)
		a, _, _ := before.At(220)
		b, _, _ := after.At(220)
		require.InDelta(t, a, b, 2, "metres at 220 m")
	}
	// The same with so few strokes today that they cannot tell a stray themselves.
	one := append(append([]shots.Round(nil), rounds[:3]...), drives("d", "2031-05-04", 45))
	shank := shots.PatternOf(shots.Misses(one, "driver"), "d")
	require.InDelta(t, before.Usual.Mean, shank.Today.Mean, 2.5)
}

func TestUsualAndToday(t *testing.T) {
	t.Parallel()
	// Three days whose strokes spread alike around 0, 3 and 6, and a day around 9.
	shape := []float64{-4, -2, 0, 2, 4}
	day := func(id, date string, around float64) shots.Round {
		var angles []float64
		for _, x := range shape {
			angles = append(angles, around+x)
		}
		return drives(id, date, angles...)
	}
	rounds := []shots.Round{day("d", "2031-05-04", 9), day("a", "2031-05-01", 0), day("b", "2031-05-02", 3), day("c", "2031-05-03", 6)}
	p := shots.PatternOf(shots.Misses(rounds, "driver"), "d")
	require.Len(t, p.Days, 4)
	require.Equal(t, "a", p.Days[0].Round, "by date")
	require.True(t, p.Days[3].Today)
	require.InDelta(t, 9, p.Days[3].Mean, 1e-6)
	// Differences of pairs within a day: 2 four times, 4 three times, 6 twice, 8 once: median 4.
	sigma := 4 / (math.Sqrt2 * 0.6744897501960817)
	require.InDelta(t, sigma, p.Within, 1e-6)
	// The means 0, 3, 6 have variance 9; strokes alone make σ²/5 of it.
	tau := math.Sqrt(9 - sigma*sigma/5)
	require.InDelta(t, tau, p.Between, 1e-6)
	require.InDelta(t, 3, p.Usual.Mean, 1e-6)
	// Usual and Today average over τ. Days of one size share the mean 3 whatever τ is, so that the variance of a coming day is the
	// average of τ² + (τ² + σ²/5)/3, here by a sum over a much finer grid.
	weights, variance, known := 0.0, 0.0, 0.0
	today, square, weight, evidence := 0.0, 0.0, 0.0, 0.0
	for i := range 30_000 {
		x := 3 * sigma * (float64(i) + 0.5) / 30_000
		v := x*x + sigma*sigma/5
		// Σ(d-3)² = 18 over three days; a flat prior of the mean takes one of the three factors away, and √3 that is the same for all.
		w := math.Exp(-9/v-x*x/(2*sigma*sigma)) / v
		weights, variance, known = weights+w, variance+w*(x*x+v/3), known+w*v/3
		prior := math.Sqrt(x*x + v/3)
		w *= math.Exp(-36/(2*(v+v/3))) / math.Sqrt(v+v/3)
		one, err := shots.BiasPosterior(3, prior, []float64{5, 7, 9, 11, 13}, sigma)
		require.NoError(t, err)
		evidence, today, weight = evidence+w, today+w*one.Mean, weight+w*one.Weight
		square += w * (one.SD*one.SD + one.Mean*one.Mean)
	}
	require.InEpsilon(t, math.Sqrt(variance/weights), p.Usual.SD, 0.002)
	require.InEpsilon(t, math.Sqrt(known/weights), p.UsualError, 0.002)
	require.InEpsilon(t, today/evidence, p.Today.Mean, 0.002)
	require.InEpsilon(t, weight/evidence, p.Today.Weight, 0.002)
	require.InEpsilon(t, math.Sqrt(square/evidence-today*today/evidence/evidence), p.Today.SD, 0.002)
	require.InDelta(t, math.Hypot(p.Within, p.Today.SD), p.Predictive, 1e-9)
	require.InDelta(t, 6, p.Different.By, 1e-6)
	require.InDelta(t, 6/math.Sqrt(p.Usual.SD*p.Usual.SD+sigma*sigma/5), p.Different.Unusual, 1e-6)
	require.InDelta(t, 6/math.Sqrt(p.UsualError*p.UsualError+sigma*sigma/5), p.Different.Differs, 1e-6)
	require.InDelta(t, math.Erfc(p.Different.Unusual/math.Sqrt2), p.Different.PUnusual, 1e-12)
	require.Equal(t, shots.SureLikely, p.Different.HowSure)

	// Without today's strokes the usual is what is held; without a day asked for there is no today.
	none := shots.PatternOf(shots.Misses(rounds[1:], "driver"), "d")
	require.InDelta(t, none.Usual.Mean, none.Today.Mean, 0)
	require.Zero(t, none.Today.Weight)
	require.Nil(t, none.Different)
	history := shots.PatternOf(shots.Misses(rounds, "driver"), "")
	require.Nil(t, history.Today)
	require.InDelta(t, 4.5, history.Usual.Mean, 1e-6)
	require.InDelta(t, math.Hypot(history.Within, history.Usual.SD), history.Predictive, 1e-9)
	// Two days before today are no usual.
	two := shots.PatternOf(shots.Misses(rounds[:3], "driver"), "d")
	require.Nil(t, two.Usual)
	require.InDelta(t, 1, two.Today.Weight, 0)
}

func TestPatternAt(t *testing.T) {
	t.Parallel()
	// 3.4 degrees at 280 yards are 16.6351 yards, and 16 yards are 3.2705 degrees.
	bias, spread, known := shots.Pattern{BiasAngle: 3.2705, Predictive: 3.4}.At(280)
	require.True(t, known)
	require.InDelta(t, 16, bias, 1e-3)
	require.InDelta(t, 16.6351, spread, 1e-4)
	bias, _, _ = shots.Pattern{BiasAngle: 9, Usual: &shots.Posterior{Mean: 3.2705}, Predictive: 3.4}.At(280)
	require.InDelta(t, 16, bias, 1e-3)
	bias, _, _ = shots.Pattern{BiasAngle: 9, Usual: &shots.Posterior{}, Today: &shots.Posterior{Mean: 3.2705}, Predictive: 3.4}.At(280)
	require.InDelta(t, 16, bias, 1e-3)
	for _, length := range []float64{0, -1, math.NaN(), math.Inf(1)} {
		_, _, known = shots.Pattern{Predictive: 3.4}.At(length)
		require.False(t, known)
	}
}

// TestPatternsHolm: looking at three groups costs the first its certainty.
func TestPatternsHolm(t *testing.T) {
	t.Parallel()
	r := shots.Round{ID: "r"}
	add := func(club, where string, n int) {
		for range n {
			r.Holes = append(r.Holes, shots.Hole{Par: 4, Strokes: []shots.Stroke{{
				Club: club, From: shots.Position{Lie: "fairway", Distance: 150}, Miss: shots.Miss{Side: where},
			}}})
		}
	}
	add("iron-7", "left", 4)
	add("iron-6", "right", 4)
	add("driver", "right", 6)
	add("wood-3", "on_line", 3)
	add("sand-wedge", "left", 5)
	found := shots.Patterns([]shots.Round{r}, "r")
	require.Len(t, found, 4)
	require.Equal(t, []string{"driver", "woods", "mid irons", "wedges"}, []string{found[0].Group, found[1].Group, found[2].Group, found[3].Group})
	require.InDelta(t, 0.03125, found[0].OneSided.P, 1e-12)
	require.InDelta(t, 3*0.03125, found[0].OneSided.Adjusted, 1e-12)
	require.Equal(t, shots.SureLikely, found[0].OneSided.HowSure)
	require.InDelta(t, 1, found[1].OneSided.Adjusted, 0)
	require.InDelta(t, 2*0.0625, found[3].OneSided.Adjusted, 1e-12)
	require.Equal(t, shots.SureTooFew, found[3].OneSided.HowSure)
	require.Empty(t, shots.Patterns(nil, ""))
}

func TestBiasPosterior(t *testing.T) {
	t.Parallel()
	got, err := shots.BiasPosterior(0, 5, []float64{8, 12, 10, 6}, 10)
	require.NoError(t, err)
	require.InDelta(t, 4.5, got.Mean, 1e-9)
	require.InDelta(t, 3.5355339059, got.SD, 1e-9)
	require.InDelta(t, 0.5, got.Weight, 1e-12)
	none, err := shots.BiasPosterior(2, 5, nil, 10)
	require.NoError(t, err)
	require.Equal(t, shots.Posterior{Mean: 2, SD: 5}, none)
	nan, inf := math.NaN(), math.Inf(1)
	for _, c := range []struct {
		field       string
		mean, sd    float64
		xs          []float64
		observation float64
	}{
		{"prior_mean", inf, 5, nil, 10},
		{"prior_sd", 0, 0, nil, 10},
		{"prior_sd", 0, nan, nil, 10},
		{"observation_sd", 0, 5, nil, -1},
		{"observations", 0, 5, []float64{1, nan}, 10},
	} {
		_, err := shots.BiasPosterior(c.mean, c.sd, c.xs, c.observation)
		var refused *shots.InputError
		require.ErrorAs(t, err, &refused)
		require.Equal(t, c.field, refused.Field)
	}
	rapid.Check(t, func(t *rapid.T) {
		mean, sd := rapid.Float64Range(-20, 20).Draw(t, "mean"), rapid.Float64Range(0.01, 20).Draw(t, "sd")
		xs := rapid.SliceOfN(rapid.Float64Range(-60, 60), 0, 30).Draw(t, "xs")
		spread := rapid.Float64Range(0.01, 30).Draw(t, "spread")
		got, err := shots.BiasPosterior(mean, sd, xs, spread)
		if err != nil {
			t.Fatal(err)
		}
		own := mean
		if len(xs) > 0 {
			own = shots.Mean(xs)
		}
		if got.Mean < min(mean, own)-1e-9 || got.Mean > max(mean, own)+1e-9 {
			t.Fatalf("%v lies outside %v and %v", got.Mean, mean, own)
		}
		if got.SD > sd+1e-12 || got.Weight < 0 || got.Weight > 1 || (len(xs) > 0 && got.SD > spread/math.Sqrt(float64(len(xs)))+1e-12) {
			t.Fatalf("%+v", got)
		}
		// Precisions add up.
		precision := 1/(sd*sd) + float64(len(xs))/(spread*spread)
		if math.Abs(1/math.Sqrt(precision)-got.SD) > 1e-9*got.SD {
			t.Fatalf("sd %v, want %v", got.SD, 1/math.Sqrt(precision))
		}
	})
}

// TestPatternStaysFinite: whatever is said of the strokes, the pattern can be written as JSON, its counts add up, and each figure
// keeps to its range.
func TestPatternStaysFinite(t *testing.T) {
	t.Parallel()
	rapid.Check(t, func(t *rapid.T) {
		number := rapid.OneOf(rapid.Float64Range(-60, 60), rapid.SampledFrom([]float64{0, 0, 5}))
		var rounds []shots.Round
		for i := range rapid.IntRange(0, 5).Draw(t, "rounds") {
			r := shots.Round{ID: fmt.Sprint(i), Date: fmt.Sprintf("2031-05-%02d", 1+i)}
			for range rapid.IntRange(0, 8).Draw(t, "strokes") {
				s := shots.Stroke{
					Club: "driver", Penalty: rapid.IntRange(0, 1).Draw(t, "penalty"), From: shots.Position{Lie: "tee", Distance: rapid.Float64Range(1, 500).Draw(t, "from")},
					Miss: shots.Miss{
						Side: rapid.SampledFrom([]string{"", "left", "right", "on_line"}).Draw(t, "side"), Across: number.Draw(t, "across"),
						Length: rapid.SampledFrom([]string{"", "short", "long", "level"}).Draw(t, "length"), Along: number.Draw(t, "along"),
					},
				}
				if rapid.Bool().Draw(t, "finished") {
					s.Finish = &shots.Position{Lie: "rough", Distance: rapid.Float64Range(0.1, 500).Draw(t, "left")}
				}
				r.Holes = append(r.Holes, shots.Hole{Par: rapid.IntRange(3, 5).Draw(t, "par"), Strokes: []shots.Stroke{s}})
			}
			rounds = append(rounds, r)
		}
		points := shots.Misses(rounds, "driver")
		for _, p := range points {
			if p.AngleKnown && (p.Angle <= -90 || p.Angle >= 90) {
				t.Fatalf("%+v", p)
			}
			if p.Measured != (p.AcrossKnown && p.AlongKnown) || (p.Side == "left" && p.Across > 0) || (p.Side == "right" && p.Across < 0) {
				t.Fatalf("%+v", p)
			}
		}
		p := shots.PatternOf(points, "2")
		if _, err := json.Marshal(p); err != nil {
			t.Fatal(err)
		}
		if p.N != len(points) || p.Left+p.Right+p.OnLine > p.N || p.Short+p.Long+p.Level > p.N || p.Measured > p.N {
			t.Fatalf("%+v", p)
		}
		if p.Measured < 8 && (p.Ellipse != nil || p.Covariance != [2][2]float64{}) {
			t.Fatalf("drawn from %d", p.Measured)
		}
		if (p.Ellipse == nil) != (p.NoEllipse != "") {
			t.Fatalf("%+v", p)
		}
		for _, held := range []*shots.Posterior{p.Today, p.Usual} {
			if held != nil && (held.SD <= 0 || held.Weight < 0 || held.Weight > 1) {
				t.Fatalf("%+v", held)
			}
		}
		if p.Predictive != 0 && p.Predictive < p.Within {
			t.Fatalf("%v < %v", p.Predictive, p.Within)
		}
	})
}
