package shots

import (
	"fmt"
	"math"
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"marram.example/events"
)

// clubLevel is how much harder than for the published players the game of the invented clubs here is, about.
const clubLevel = 1.35

// inventedTruth is what the invented clubs truly need. It is no stretch of the published curve: it rises from 1.1 times near the hole
// to 1.6 times far away, and on the green from 1.2 to 1.5, with a bump of 0.1 strokes at 120 yards.
func inventedTruth(t require.TestingT) *Baseline {
	b := broadie(t)
	truth := &Baseline{name: "truth"}
	for lie, c := range b.curves {
		y := make([]float64, len(c.y))
		for i := range y {
			m := 1.1 + 0.5*min(1, c.x[i]/250)
			if lie == green {
				m = 1.2 + 0.3*min(1, c.x[i]/30)
			}
			y[i] = 1 + m*(c.y[i]-1)
			if lie != green {
				y[i] += 0.1 * math.Exp(-(c.x[i]-120)*(c.x[i]-120)/625)
			}
		}
		truth.curves[lie] = newCurve(c.unit, c.x, y)
	}
	truth.joinTee()
	return truth
}

func fit(t require.TestingT, obs []Observation) *Fit {
	b, err := Named("broadie-2012")
	require.NoError(t, err)
	f, err := FitClub(b, obs, 0)
	require.NoError(t, err)
	return f
}

// clubStrokes draws strokes of an invented club: players differ by skill (sd, as a share of the strokes beyond the first), every
// observation is a whole number of strokes around the player's expectation.
func clubStrokes(random *rand.Rand, truth *Baseline, players, each int, skill float64, places ...string) []Observation {
	obs := make([]Observation, 0, players*each)
	for p := range players {
		own := max(0, 1+skill*random.NormFloat64())
		for range each {
			lie := places[random.IntN(len(places))]
			distance := 0.4 + 14*random.Float64()*random.Float64() // metres, short ones more often
			if lie != events.LieGreen {
				distance = 15 + 200*random.Float64()
			}
			e, _, _ := truth.Expected(Position{lie, distance})
			obs = append(obs, Observation{Lie: lie, Distance: distance, Strokes: whole(random, 1+own*(e-1)), Player: fmt.Sprint("p", p)})
		}
	}
	return obs
}

// whole draws a whole number of strokes, at least 1, with that mean.
func whole(random *rand.Rand, mean float64) float64 {
	low := math.Floor(mean)
	strokes := low
	if random.Float64() < mean-low {
		strokes++
	}
	if low >= 2 { // as often a stroke better as one worse
		strokes += float64(random.IntN(3) - 1)
	}
	return strokes
}

// rms is the root mean square error of a fit over the lies' middle distances.
func rms(f *Fit, truth *Baseline, lie string, from, to float64) float64 {
	sum, n := 0.0, 0
	for d := from; d <= to; d += (to - from) / 100 {
		want, _, _ := truth.Expected(Position{lie, d})
		got, _, _ := f.Baseline().Expected(Position{lie, d})
		sum += (got - want) * (got - want)
		n++
	}
	return math.Sqrt(sum / float64(n))
}

// TestFitConverges: with a hundred times the strokes the error is a fraction, and small.
func TestFitConverges(t *testing.T) {
	t.Parallel()
	truth := inventedTruth(t)
	places := []string{events.LieFairway, events.LieRough, events.LieGreen}
	reach := map[string][2]float64{events.LieFairway: {20, 210}, events.LieRough: {20, 210}, events.LieGreen: {0.5, 10}}
	errors := map[string][]float64{}
	for _, players := range []int{15, 150, 1500} {
		means := map[string]float64{}
		const seeds = 5
		for seed := range uint64(seeds) {
			obs := clubStrokes(rand.New(rand.NewPCG(seed, uint64(players))), truth, players, 80, 0.08, places...)
			f := fit(t, obs)
			for _, lie := range places {
				require.True(t, f.Enough(lie))
				means[lie] += rms(f, truth, lie, reach[lie][0], reach[lie][1]) / seeds
			}
		}
		for _, lie := range places {
			errors[lie] = append(errors[lie], means[lie])
		}
	}
	for _, lie := range places {
		e := errors[lie]
		t.Logf("%s: mean error %.3f, %.3f, %.3f strokes with 1,200, 12,000 and 120,000 strokes of all lies", lie, e[0], e[1], e[2])
		require.Less(t, e[1], e[0]*0.6, lie)
		require.Less(t, e[2], e[1]*0.7, lie)
		require.Less(t, e[2], 0.03, lie)
	}
}

// TestFitFromHolesPutted goes the whole way, from holes through Observations, with strokes of one hole that depend on each other. The
// truth follows from the recursion that the putts are drawn by.
func TestFitFromHolesPutted(t *testing.T) {
	t.Parallel()
	share := func(d float64) float64 { return OnePuttShare(1.25 * d) } // as from a quarter further away
	left := func(d float64) float64 { return max(0.3, d/8) }
	var truth func(d float64) float64
	truth = func(d float64) float64 {
		if d <= 0.3 {
			return 1 / share(d)
		}
		return 1 + (1-share(d))*truth(left(d))
	}
	random := rand.New(rand.NewPCG(4, 4)) // any seed
	var obs []Observation
	for player := range 200 {
		var r Round
		for range 150 {
			h := Hole{Number: 1, Par: 4, Holed: true}
			for d := 0.5 + 12*random.Float64(); ; d = left(d) {
				h.Strokes = append(h.Strokes, Stroke{From: Position{events.LieGreen, d}})
				if random.Float64() < share(d) {
					break
				}
			}
			r.Holes = append(r.Holes, h)
		}
		own, leftOut := Observations([]Round{r}, fmt.Sprint(player))
		require.Zero(t, leftOut)
		obs = append(obs, own...)
	}
	f := fit(t, obs)
	worst := 0.0
	for d := 0.7; d < 12; d += 0.05 {
		worst = max(worst, math.Abs(truth(d)-strokesFrom(t, f.Baseline(), Position{events.LieGreen, d})))
	}
	t.Logf("worst error %.3f strokes from %d putts", worst, len(obs))
	require.Less(t, worst, 0.05)
}

// TestBandHoldsTheTruth: 300 invented clubs of 20 players with 60 strokes each, leaning on the published curve, which is up to 0.3
// strokes easier on the green and 0.9 from the fairway, and on one that is nearly of their level. Players of a club err together, so
// that the 21 positions of one club count as one: with 300 clubs the binomial error of 0.95 is 0.013, and three of these are allowed.
func TestBandHoldsTheTruth(t *testing.T) {
	t.Parallel()
	published := broadie(t)
	truth := inventedTruth(t)
	near := published.Stretched("near", "near (derived)", clubLevel)
	for _, c := range []struct {
		name          string
		lean          *Baseline
		lie           string
		skill         float64
		from, to      float64
		playersSpread float64
	}{
		{"fairway, published", published, events.LieFairway, 0.08, 25, 205, 0.08 * clubLevel},
		{"fairway, stretched", near, events.LieFairway, 0.08, 25, 205, 0.08},
		{"green, published", published, events.LieGreen, 0.25, 0.8, 8, 0.25 * clubLevel},
		{"green, stretched", near, events.LieGreen, 0.25, 0.8, 8, 0.25},
	} {
		inside, all, spread := 0, 0, 0.0
		const clubs = 300
		for seed := range uint64(clubs) {
			f, err := FitClub(c.lean, clubStrokes(rand.New(rand.NewPCG(seed, 99)), truth, 20, 60, c.skill, c.lie), 0)
			require.NoError(t, err)
			for d := c.from; d <= c.to; d += (c.to - c.from) / 20 {
				p := Position{c.lie, d}
				low, high := f.Band(p)
				require.Less(t, low, high)
				if want := strokesFrom(t, truth, p); low <= want && want <= high {
					inside++
				}
				all++
			}
			between := f.Lies[lieIndex(c.lie)].Between
			spread += between * between / clubs
		}
		share := float64(inside) / float64(all)
		t.Logf("%s: %.3f of positions within the 95 %% band; players differ by %.3f, %.3f drawn", c.name, share, math.Sqrt(spread), c.playersSpread)
		require.Greater(t, share, 0.91, c.name)
		require.Less(t, share, 0.99, c.name)
		require.InEpsilon(t, c.playersSpread, math.Sqrt(spread), 0.1, c.name)
	}
}

// TestAFitNeverFalls with distance, whatever was observed, and expects a stroke at least.
func TestAFitNeverFalls(t *testing.T) {
	t.Parallel()
	rapid.Check(t, func(t *rapid.T) {
		random := rand.New(rand.NewPCG(rapid.Uint64().Draw(t, "seed"), 1))
		reach := rapid.Float64Range(1, 600).Draw(t, "reach")
		upside := rapid.Bool().Draw(t, "further is easier")
		var obs []Observation
		for i := range rapid.IntRange(600, 3000).Draw(t, "strokes") {
			d := reach * (0.001 + random.Float64())
			strokes := 1 + 8*random.Float64()
			if upside {
				strokes = 1 + 8*(1-d/reach/1.1)*random.Float64()
			}
			obs = append(obs, Observation{lieNames[random.IntN(int(lies))], d, max(1, strokes), fmt.Sprint(i % 12)})
		}
		f := fit(t, obs)
		for _, l := range f.Lies {
			if !l.Enough {
				continue
			}
			previous := 0.0
			for d := 0.05; d < 800; d *= 1.02 {
				p := Position{l.Lie, d}
				e := strokesFrom(t, f.Baseline(), p)
				low, high := f.Band(p)
				require.True(t, 1 <= low && low <= e+1e-9 && e <= high+1e-9, "%s %v: %v in %v to %v", l.Lie, d, e, low, high)
				if l.Lie != events.LieTee || f.Enough(events.LieFairway) { // a tee this near leans on the fairway
					require.GreaterOrEqual(t, e, previous-1e-9, "%s falls at %v m", l.Lie, d)
				}
				previous = e
			}
		}
	})
}

// TestTooFewStrokesLeaveThePublishedValue, and the fit says so.
func TestTooFewStrokesLeaveThePublishedValue(t *testing.T) {
	t.Parallel()
	b := broadie(t)
	observe := func(lie string, n, players int) []Observation {
		obs := make([]Observation, n)
		for i := range obs {
			obs[i] = Observation{lie, 10 + float64(i%150), 4, fmt.Sprint(i % players)}
		}
		return obs
	}
	obs := append(observe("fairway", 299, 30), observe("rough", 3000, 9)...)
	obs = append(obs, observe("sand", 300, 10)...)
	f, err := FitClub(b, obs, 17)
	require.NoError(t, err)
	require.Equal(t, 17, f.LeftOut)
	require.Equal(t, 30, f.Players)
	require.Equal(t, len(obs), f.Strokes)
	enough := map[string]bool{}
	for _, l := range f.Lies {
		enough[l.Lie] = l.Enough
		require.Equal(t, l.Enough, f.Enough(l.Lie))
	}
	require.Equal(t, map[string]bool{"tee": false, "fairway": false, "rough": false, "sand": true, "recovery": false, "green": false}, enough)
	for _, lie := range []string{"tee", "fairway", "rough", "recovery", "green"} {
		for d := 1.0; d < 600; d += 7 {
			p := Position{lie, d}
			require.InDelta(t, strokesFrom(t, b, p), strokesFrom(t, f.Baseline(), p), 0)
			low, high := f.Band(p)
			require.InDelta(t, low, high, 0)
		}
	}
	require.Greater(t, strokesFrom(t, f.Baseline(), yards("sand", 60)), strokesFrom(t, b, yards("sand", 60)))
	low, high := f.Band(yards("sand", 60))
	require.Less(t, low, high)
	// Beyond the club's strokes the stretched value.
	require.InDelta(t, 1+5.10*f.Lies[sand].Stretch, strokesFrom(t, f.Baseline(), yards("sand", 600)), 1e-9)
	low, high = f.Band(yards("sand", 600))
	require.InDelta(t, low, high, 0)
	require.Equal(t, "club", f.Baseline().Name())
	require.False(t, f.Baseline().Published())
	require.Contains(t, f.Baseline().Source(), "for 1 of 6 lies")
	require.Contains(t, f.Baseline().Source(), "17 holes")

	none, err := FitClub(b, nil, 0)
	require.NoError(t, err)
	require.Contains(t, none.Baseline().Label(), b.Label())
	require.InDelta(t, 2.98, strokesFrom(t, none.Baseline(), yards("fairway", 160)), 1e-12)
}

// TestTheBandReachesAsFarAsTheStrokes: to the edges of the outermost ranges of distances with strokes, not to their centres alone. On
// one course the shortest and the longest tees lie beyond these.
func TestTheBandReachesAsFarAsTheStrokes(t *testing.T) {
	t.Parallel()
	var obs []Observation
	for i := range 400 {
		obs = append(obs, Observation{"tee", []float64{301, 305, 350, 382, 385}[i%5] * Yard, 4 + float64(i%2), fmt.Sprint(i % 12)})
	}
	f := fit(t, obs)
	for _, at := range []float64{300.1, 301, 303, 350, 384, 385, 399.9} {
		low, high := f.Band(yards("tee", at))
		require.Less(t, low, high, "%v yd", at)
	}
	for _, at := range []float64{299, 401} {
		low, high := f.Band(yards("tee", at))
		require.InDelta(t, low, high, 0, "%v yd", at)
	}
}

// TestShrinking is the worked bin: n 12, mean 3.4, reference 3.02, sigma 0.9, tau 0.3, so that k is 9.
func TestShrinking(t *testing.T) {
	t.Parallel()
	value, sd := shrunk(3.4, 3.02, 0.9*0.9/12, 0.3*0.3)
	require.InDelta(t, 3.237143, value, 1e-6)
	require.InDelta(t, 0.196396, sd, 1e-6)
}

// TestIsotonicOnOpenData: professionals' putts of Berry 1995 (in Gelman and Nolan, Teaching Statistics 2002), the share holed by feet,
// non-increasing; computed values of another implementation.
func TestIsotonicOnOpenData(t *testing.T) {
	t.Parallel()
	berry := [][3]float64{
		{2, 1443, 1346}, {3, 694, 577}, {4, 455, 337}, {5, 353, 208}, {6, 272, 149}, {7, 256, 136}, {8, 240, 111}, {9, 217, 69},
		{10, 200, 67}, {11, 237, 75}, {12, 202, 52}, {13, 192, 46}, {14, 174, 54}, {15, 167, 28}, {16, 201, 27}, {17, 195, 31},
		{18, 191, 33}, {19, 147, 20}, {20, 152, 24},
	}
	given := make([]block, len(berry))
	for i, row := range berry {
		given[i] = block{weight: row[1], x: row[0], y: -row[2] / row[1], own: 0.01, shared: 0.2}
	}
	got := poolAdjacentViolators(given)
	require.Len(t, got, 13)
	for i := range 7 {
		require.InDelta(t, berry[i][2]/berry[i][1], -got[i].y, 1e-12)
	}
	for i, want := range []float64{0.326139, 0.316456, 0.267606, 0.167665, 0.155026, 0.147157} {
		require.InDelta(t, want, -got[7+i].y, 1e-6)
	}
	require.InDelta(t, (9*217+10*200)/417.0, got[7].x, 1e-9, "a block's centre is its strokes' mean distance")
	require.InDelta(t, 0.2, got[7].shared, 1e-12, "what two bins share does not average out")
	require.InDelta(t, 0.01*(217*217+200*200)/417/417, got[7].own, 1e-12, "what they do not does")
}

// TestIsotonicIsTheNearest: weights and weighted sum are kept, values never fall, and no other non-decreasing values are nearer.
func TestIsotonicIsTheNearest(t *testing.T) {
	t.Parallel()
	rapid.Check(t, func(t *rapid.T) {
		given := make([]block, rapid.IntRange(1, 12).Draw(t, "n"))
		for i := range given {
			given[i] = block{weight: rapid.Float64Range(0.1, 50).Draw(t, "w"), x: float64(i), y: rapid.Float64Range(1, 6).Draw(t, "y")}
		}
		got := poolAdjacentViolators(given)
		fitted := make([]float64, 0, len(given))
		at := 0
		for _, b := range got {
			weight := 0.0
			for at < len(given) && weight < b.weight-1e-6 {
				weight += given[at].weight
				fitted = append(fitted, b.y)
				at++
			}
			require.InDelta(t, b.weight, weight, 1e-6)
		}
		require.Len(t, fitted, len(given))
		cost := func(values []float64) float64 {
			sum := 0.0
			for i := range values {
				sum += given[i].weight * (values[i] - given[i].y) * (values[i] - given[i].y)
			}
			return sum
		}
		least := cost(fitted)
		other := append([]float64(nil), fitted...)
		for i := range other {
			if i > 0 {
				require.GreaterOrEqual(t, fitted[i], fitted[i-1])
			}
			other[i] += rapid.Float64Range(-0.5, 0.5).Draw(t, "move")
		}
		for i := 1; i < len(other); i++ {
			other[i] = max(other[i], other[i-1])
		}
		require.GreaterOrEqual(t, cost(other), least-1e-9)
	})
}

func TestObservations(t *testing.T) {
	t.Parallel()
	again := invented(4, yards("tee", 400), yards("tee", 400), feet(9), holed)
	again.Strokes[0].Penalty = 1
	obs, leftOut := Observations([]Round{{Holes: []Hole{
		again,
		{Number: 2, Par: 4, Score: 5},           // no strokes: nothing left out
		invented(4, yards("tee", 300), feet(8)), // picked up
		broken(invented(4, yards("tee", 300), holed)),
		invented(4, feet(3), holed),
	}}}, "ada")
	require.Equal(t, 2, leftOut)
	require.Equal(t, []Observation{
		{"tee", 400 * Yard, 4, "ada"}, {"tee", 400 * Yard, 2, "ada"}, {"green", feet(9).Distance, 1, "ada"}, {"green", feet(3).Distance, 1, "ada"},
	}, obs)
}

func TestFitRefuses(t *testing.T) {
	t.Parallel()
	good := Observation{"fairway", 100, 3, "a"}
	for _, c := range []struct {
		field string
		b     *Baseline
		obs   []Observation
		left  int
	}{
		{"baseline", nil, nil, 0},
		{"left_out", broadie(t), nil, -1},
		{"lie", broadie(t), []Observation{good, {"water", 100, 3, "a"}}, 0},
		{"lie", named(t, "course-rating-scratch-men"), []Observation{good}, 0},
		{"distance", broadie(t), []Observation{{"fairway", 0, 3, "a"}}, 0},
		{"distance", broadie(t), []Observation{{"fairway", 1e9, 3, "a"}}, 0},
		{"strokes", broadie(t), []Observation{{"fairway", 100, 0, "a"}}, 0},
		{"strokes", broadie(t), []Observation{{"fairway", 100, math.NaN(), "a"}}, 0},
		{"strokes", broadie(t), []Observation{{"fairway", 100, math.Inf(1), "a"}}, 0},
	} {
		_, err := FitClub(c.b, c.obs, c.left)
		var refused *InputError
		require.ErrorAs(t, err, &refused, c.field)
		require.Equal(t, c.field, refused.Field)
	}
}
