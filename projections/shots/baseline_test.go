package shots

import (
	"fmt"
	"math"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"marram.example/events"
)

func named(t require.TestingT, name string) *Baseline {
	b, err := Named(name)
	require.NoError(t, err)
	return b
}

func broadie(t require.TestingT) *Baseline { return named(t, "broadie-2012") }

func yards(lie string, distance float64) Position { return Position{lie, distance * Yard} }
func feet(distance float64) Position              { return Position{events.LieGreen, distance * Foot} }

func strokesFrom(t require.TestingT, b *Baseline, p Position) float64 {
	e, _, err := b.Expected(p)
	require.NoError(t, err)
	return e
}

// TestEveryFileHasItsName keeps the list of baselines and the folder the same.
func TestEveryFileHasItsName(t *testing.T) {
	t.Parallel()
	files, err := filepath.Glob("baselines/*.csv")
	require.NoError(t, err)
	names := make([]string, len(files))
	for i, file := range files {
		names[i] = strings.TrimSuffix(filepath.Base(file), ".csv")
	}
	require.ElementsMatch(t, names, Names())
	for _, name := range Names() {
		b := named(t, name)
		require.Equal(t, name, b.Name())
		require.NotEmpty(t, b.Source())
		require.Equal(t, name == "broadie-2012", b.Published(), name)
		require.Equal(t, b.Published(), strings.Contains(b.Label(), "(published)"), name)
		if strings.HasPrefix(name, "course-rating-") {
			require.Equal(t, []string{events.LieTee}, b.Lies())
		} else {
			require.Len(t, b.Lies(), int(lies))
		}
	}
	_, err = Named("nobody-1900")
	var refused *InputError
	require.ErrorAs(t, err, &refused)
	require.Equal(t, "baseline", refused.Field)
}

// TestPublishedTableIsAsPublished fails when a published file was changed: these are all the places where it falls.
func TestPublishedTableIsAsPublished(t *testing.T) {
	t.Parallel()
	b := broadie(t)
	var falls []string
	rows := 0
	for lie, c := range b.curves {
		rows += len(c.x)
		for i := 1; i < len(c.x); i++ {
			if c.y[i] < c.y[i-1] {
				falls = append(falls, fmt.Sprintf("%s %v→%v (%.2f→%.2f)", lieNames[lie], c.x[i-1], c.x[i], c.y[i-1], c.y[i]))
			}
		}
	}
	require.Equal(t, 182, rows)
	require.Equal(t, []string{
		"tee 120→140 (2.99→2.97)",
		"sand 90→100 (3.24→3.23)", "sand 100→120 (3.23→3.21)",
		"recovery 80→90 (3.84→3.82)", "recovery 90→100 (3.82→3.80)", "recovery 100→120 (3.80→3.78)",
	}, falls)
	require.Less(t, strokesFrom(t, b, yards("sand", 20)), strokesFrom(t, b, yards("rough", 20)))
	require.Less(t, strokesFrom(t, b, yards("recovery", 440)), strokesFrom(t, b, yards("sand", 440)))
	require.Greater(t, strokesFrom(t, b, yards("tee", 160)), strokesFrom(t, b, yards("fairway", 160)))
	require.InDelta(t, strokesFrom(t, b, yards("tee", 560)), strokesFrom(t, b, yards("fairway", 560)), 1e-9)
}

func TestExpectedFollowsTheConventions(t *testing.T) {
	t.Parallel()
	b := broadie(t)
	for _, c := range []struct {
		name         string
		at           Position
		want         float64
		extrapolated bool
	}{
		{"a row", yards("fairway", 160), 2.98, false},
		{"the first row", yards("tee", 100), 2.92, false},
		{"the last row", yards("rough", 600), 5.25, false},
		{"the last row, as stored", Position{"rough", 548.64}, 5.25, false},
		{"between rows", yards("fairway", 150), 2.945, false},
		{"between feet", feet(8.5), 1.53, false},
		{"green before its first row", feet(1), 1.005, false},
		{"tee before its first row", yards("tee", 80), 2.87, false},
		{"tee far before its first row", yards("tee", 5), 2.30, false},
		{"flat before the first row", yards("sand", 6), 2.43, false},
		{"beyond the last row", yards("tee", 620), 4.85, true},
		{"beyond the last putt", feet(100), 2.36 + 10*0.15/30, true},
	} {
		e, extrapolated, err := b.Expected(c.at)
		require.NoError(t, err, c.name)
		require.InDelta(t, c.want, e, 1e-9, c.name)
		require.Equal(t, c.extrapolated, extrapolated, c.name)
	}
	teeOnly := named(t, "course-rating-scratch-men")
	e, extrapolated, err := teeOnly.Expected(yards("tee", 80))
	require.NoError(t, err)
	require.InDelta(t, 80.0/220+40.9/18, e, 0.002) // its rows are rounded
	require.True(t, extrapolated)
}

func TestExpectedRefusesWhatIsNoPosition(t *testing.T) {
	t.Parallel()
	b, teeOnly := broadie(t), named(t, "course-rating-scratch-men")
	for _, c := range []struct {
		b     *Baseline
		at    Position
		field string
	}{
		{b, Position{"water", 50}, "lie"},
		{b, Position{"", 50}, "lie"},
		{b, Position{"green", 0}, "distance"},
		{b, Position{"green", -1}, "distance"},
		{b, Position{"green", math.NaN()}, "distance"},
		{b, Position{"green", math.Inf(1)}, "distance"},
		{teeOnly, Position{"green", 3}, "lie"},
	} {
		_, _, err := c.b.Expected(c.at)
		var refused *InputError
		require.ErrorAs(t, err, &refused, "%v", c.at)
		require.Equal(t, c.field, refused.Field)
	}
}

// TestExpectedIsSound holds for every baseline: finite, at least 1, continuous; and the green, fairway and rough never fall.
func TestExpectedIsSound(t *testing.T) {
	t.Parallel()
	for _, name := range Names() {
		b := named(t, name)
		for _, lie := range b.Lies() {
			previous := 0.0
			step := 0.05
			for d := step; d < 700; d += step {
				e, _, err := b.Expected(Position{lie, d})
				sound := err == nil && e >= 1 && e < 100 // no number is neither
				still := previous == 0 || math.Abs(e-previous) < 0.04
				falls := e < previous-1e-12 && (lie == events.LieGreen || lie == events.LieFairway || lie == events.LieRough)
				if !sound || !still || falls {
					t.Fatalf("%s, %s, %v m: %v after %v (%v)", name, lie, d, e, previous, err)
				}
				previous = e
			}
		}
	}
}

// TestExpectedIsWhatASlowReadingSays compares with a search through the rows, at any distance and lie.
func TestExpectedIsWhatASlowReadingSays(t *testing.T) {
	t.Parallel()
	b := broadie(t)
	rapid.Check(t, func(t *rapid.T) {
		lie := rapid.IntRange(fairway, green).Draw(t, "lie")
		c := b.curves[lie]
		x := rapid.Float64Range(c.x[0], c.x[len(c.x)-1]).Draw(t, "x")
		want := c.y[len(c.y)-1]
		for i := 1; i < len(c.x); i++ {
			if x <= c.x[i] {
				want = c.y[i-1] + (x-c.x[i-1])*(c.y[i]-c.y[i-1])/(c.x[i]-c.x[i-1])
				break
			}
		}
		require.InDelta(t, want, strokesFrom(t, b, Position{lieNames[lie], x * c.unit}), 1e-9)
	})
}

// TestStretching holds at every position, interpolated or not, because straight lines stay straight lines.
func TestStretching(t *testing.T) {
	t.Parallel()
	b := broadie(t)
	rapid.Check(t, func(t *rapid.T) {
		m := rapid.Float64Range(0.5, 3).Draw(t, "m")
		p := Position{rapid.SampledFrom(lieNames[:]).Draw(t, "lie"), rapid.Float64Range(0.01, 700).Draw(t, "distance")}
		s := b.Stretched("x", "x (derived)", m)
		require.InDelta(t, 1+m*(strokesFrom(t, b, p)-1), strokesFrom(t, s, p), 1e-9)
		require.False(t, s.Published())
	})
	require.Panics(t, func() { b.Stretched("x", "x", 0) })
	require.Panics(t, func() { b.Stretched("x", "x", math.NaN()) })
}

// TestDerivedFilesAreStretched: the multipliers that their sources state, to the third decimal that they are written with.
func TestDerivedFilesAreStretched(t *testing.T) {
	t.Parallel()
	b := broadie(t)
	for name, m := range map[string]float64{
		"derived-scratch-men": 1.02, "derived-bogey-men": 1.43, "derived-scratch-women": 1.14, "derived-bogey-women": 1.72,
	} {
		derived := named(t, name)
		for lie, c := range derived.curves {
			for i := range c.x {
				require.InDelta(t, 1+m*(b.curves[lie].y[i]-1), c.y[i], 0.0005+1e-9, "%s %s %v", name, lieNames[lie], c.x[i])
			}
		}
	}
}

func TestMatchedTeesAddUpToTheTarget(t *testing.T) {
	t.Parallel()
	rapid.Check(t, func(t *rapid.T) {
		holes := make([]Hole, rapid.IntRange(1, 18).Draw(t, "holes"))
		for i := range holes {
			holes[i] = Hole{Number: i + 1, Par: 4, Length: rapid.Float64Range(60, 600).Draw(t, "length")}
		}
		target := float64(len(holes)) * rapid.Float64Range(2, 9).Draw(t, "a hole")
		b, err := Matched(broadie(t), holes, target)
		require.NoError(t, err)
		sum := 0.0
		for _, h := range holes {
			sum += strokesFrom(t, b, Position{events.LieTee, h.Length})
		}
		require.InDelta(t, target, sum, 1e-9)
		require.Equal(t, "matched", b.Name())
		require.Contains(t, b.Label(), "derived, not published")
		require.InDelta(t, 1.0, strokesFrom(t, b, Position{events.LieGreen, 0.001}), 0.01) // a tap-in stays one
	})
	hole := Hole{Number: 3, Par: 4, Length: 350}
	for _, c := range []struct {
		field  string
		holes  []Hole
		target float64
	}{
		{"holes", nil, 80},
		{"length", []Hole{hole, {Number: 4, Par: 3}}, 8},
		{"target", []Hole{hole}, 1},
		{"target", []Hole{hole}, math.NaN()},
		{"target", []Hole{hole}, math.Inf(1)},
	} {
		_, err := Matched(broadie(t), c.holes, c.target)
		var refused *InputError
		require.ErrorAs(t, err, &refused, c.field)
		require.Equal(t, c.field, refused.Field)
	}
}

// TestLengthLinesMeetTheStandardSlope: slope is 5.381 times bogey less scratch for men, 4.24 for women (Golf Association of Michigan,
// course rating procedure); the lines' constants are from memory. 18 rounded rows allow 0.05.
func TestLengthLinesMeetTheStandardSlope(t *testing.T) {
	t.Parallel()
	for _, c := range []struct {
		sex               string
		factor, yd, slope float64
	}{{"men", 5.381, 6600, 113.2701}, {"women", 4.24, 5500, 112.2658}} {
		hole := yards("tee", c.yd/18)
		difference := 18 * (strokesFrom(t, named(t, "course-rating-bogey-"+c.sex), hole) - strokesFrom(t, named(t, "course-rating-scratch-"+c.sex), hole))
		require.InDelta(t, c.slope, c.factor*difference, 18*0.001*c.factor)
	}
}

const small = sourceMark + "invented\n" + baselineHead + "\n"

func TestParseBaselineRefuses(t *testing.T) {
	t.Parallel()
	for name, c := range map[string]struct{ text, field string }{
		"nothing":                 {"", "line 1"},
		"no source":               {baselineHead + "\nfairway,10,yd,2\nfairway,20,yd,3\n", "line 1"},
		"an empty source":         {sourceMark + " \n" + baselineHead + "\n", "line 1"},
		"no heading":              {sourceMark + "x\nfairway,10,yd,2\n", "line 2"},
		"another heading":         {sourceMark + "x\nlie,distance,strokes,unit\nfairway,10,2,yd\n", "line 2"},
		"no rows":                 {small, "line 3"},
		"one row":                 {small + "fairway,10,yd,2\n", "line 3"},
		"a blank line":            {small + "fairway,10,yd,2\n\nfairway,20,yd,3\n", "line 4"},
		"a blank line at the end": {small + "fairway,10,yd,2\nfairway,20,yd,3\n\n", "line 5"},
		"a carriage return":       {small + "fairway,10,yd,2\r\nfairway,20,yd,3\r\n", "line 3"},
		"an unknown lie":          {small + "water,10,yd,2\nwater,20,yd,3\n", "line 3"},
		"a lie in capitals":       {small + "Fairway,10,yd,2\nFairway,20,yd,3\n", "line 3"},
		"a space":                 {small + "fairway, 10,yd,2\nfairway,20,yd,3\n", "line 3"},
		"the wrong unit":          {small + "green,10,yd,2\ngreen,20,yd,3\n", "line 3"},
		"metres":                  {small + "fairway,10,m,2\nfairway,20,m,3\n", "line 3"},
		"a field too many":        {small + "fairway,10,yd,2,1\nfairway,20,yd,3,1\n", "line 3"},
		"a field too few":         {small + "fairway,10,yd\n", "line 3"},
		"no distance":             {small + "fairway,0,yd,2\nfairway,20,yd,3\n", "line 3"},
		"a negative distance":     {small + "fairway,-5,yd,2\nfairway,20,yd,3\n", "line 3"},
		"not a number":            {small + "fairway,NaN,yd,2\nfairway,20,yd,3\n", "line 3"},
		"infinite":                {small + "fairway,10,yd,2\nfairway,Inf,yd,3\n", "line 4"},
		"an exponent":             {small + "fairway,10,yd,2\nfairway,2e1,yd,3\n", "line 4"},
		"a point alone":           {small + "fairway,.,yd,2\nfairway,20,yd,3\n", "line 3"},
		"a thousand strokes":      {small + "fairway,10,yd,2\nfairway,20,yd,1000\n", "line 4"},
		"less than a stroke":      {small + "fairway,10,yd,0.99\nfairway,20,yd,2\n", "line 3"},
		"four decimals":           {small + "fairway,10,yd,2\nfairway,10.0001,yd,3\n", "line 4"},
		"a distance twice":        {small + "fairway,10,yd,2\nfairway,10,yd,3\n", "line 4"},
		"distances that descend":  {small + "fairway,20,yd,2\nfairway,10,yd,3\n", "line 4"},
		"a lie in two places":     {small + "fairway,10,yd,2\nrough,10,yd,2\nfairway,20,yd,3\n", "line 5"},
		"a fall at the end":       {small + "fairway,10,yd,2\nfairway,20,yd,1.9\n", "line 4"},
	} {
		_, err := ParseBaseline("invented", c.text)
		var refused *InputError
		require.ErrorAs(t, err, &refused, name)
		require.Equal(t, c.field, refused.Field, name)
		require.Contains(t, err.Error(), "baseline invented: ", name)
	}
	b, err := ParseBaseline("invented", small+"fairway,10,yd,2\nfairway,20.5,yd,1.5\nfairway,30,yd,3")
	require.NoError(t, err, "a fall within the table is taken as it is")
	require.Equal(t, "invented", b.Source())
	require.Equal(t, "invented", b.Name())
	require.InDelta(t, 1.5, strokesFrom(t, b, yards("fairway", 20.5)), 1e-9)
}

// FuzzParseBaseline: whatever is read without an error expects a finite number of strokes, at least 1, everywhere, and every row says
// what it was read as.
func FuzzParseBaseline(f *testing.F) {
	for _, name := range Names() {
		text, err := os.ReadFile("baselines/" + name + ".csv")
		require.NoError(f, err)
		f.Add(string(text))
	}
	f.Add(small + "fairway,10,yd,2\nfairway,20,yd,3\n")
	f.Add(small + "tee,100,yd,1\ntee,200,yd,3\nfairway,10,yd,2\nfairway,20,yd,3\n")
	f.Fuzz(func(t *testing.T, text string) {
		b, err := ParseBaseline("fuzz", text)
		if err != nil {
			var refused *InputError
			require.ErrorAs(t, err, &refused)
			return
		}
		lines := strings.Count(strings.TrimSuffix(text, "\n"), "\n") + 1
		rows := 0
		for lie, c := range b.curves {
			if c == nil {
				continue
			}
			rows += len(c.x)
			for i, x := range c.x {
				require.InDelta(t, c.y[i], strokesFrom(t, b, Position{lieNames[lie], x * c.unit}), 1e-6)
			}
			for _, d := range []float64{0.0001, 0.1, 1, 9.9, 45.72, 91.44, 123.4, 300, 548.64, 700, 2000} {
				e := strokesFrom(t, b, Position{lieNames[lie], d})
				require.False(t, math.IsNaN(e) || math.IsInf(e, 0) || e < 1, "%s %v m: %v", lieNames[lie], d, e)
			}
		}
		require.Equal(t, lines-2, rows)
	})
}
