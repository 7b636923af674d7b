package shots_test

import (
	"math"
	"testing"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"marram.example/projections/shots"
)

func TestBestAim(t *testing.T) {
	t.Parallel()
	got, err := shots.BestAim(0, 20, 15, 25, 1.2, 0.3)
	require.NoError(t, err)
	require.InDelta(t, 18.8629, got.Mean, 1e-4)
	require.InDelta(t, 18.8629, got.Offset, 1e-4)
	require.InDelta(t, 0.16810, got.Cost, 1e-5)
	require.InDelta(t, 0.30365, got.CostNow, 1e-5)
	require.InDelta(t, 5, got.Widest, 1e-12)
	require.False(t, got.Bailout)
	centred, err := shots.BestAim(5, 20, 15, 25, 1.2, 0.3)
	require.NoError(t, err)
	require.InDelta(t, 0.23798, centred.CostNow, 1e-5)
	require.InDelta(t, 13.8629, centred.Offset, 1e-4)

	// A narrow corridor beside trouble: the middle of the pattern goes to the cheap edge and no further.
	got, err = shots.BestAim(-3, 20, 5, 5, 2, 0.2)
	require.NoError(t, err)
	require.True(t, got.Bailout)
	require.InDelta(t, 5, got.Mean, 0)
	require.InDelta(t, 8, got.Offset, 1e-12)
	// One side free: likewise; none dear: the middle.
	got, err = shots.BestAim(0, 10, 20, 20, 0, 1)
	require.NoError(t, err)
	require.InDelta(t, -20, got.Mean, 0)
	require.True(t, got.Bailout)
	got, err = shots.BestAim(4, 10, 20, 30, 0, 0)
	require.NoError(t, err)
	require.InDelta(t, 5, got.Mean, 0)
	require.Zero(t, got.Cost)
	require.False(t, got.Bailout)
}

func TestCorridor(t *testing.T) {
	t.Parallel()
	got, err := shots.CorridorOf(6, 18, 15, 20)
	require.NoError(t, err)
	require.InDelta(t, 0.6599774801, got.Inside, 1e-9)
	require.InDelta(t, 0.1216725046, got.Left, 1e-9)
	require.InDelta(t, 0.2183500154, got.Right, 1e-9)
	// A negative edge: the corridor lies from 5 to 20 to the right of the line, half a spread from the middle of the pattern.
	got, err = shots.CorridorOf(12.5, 15, -5, 20)
	require.NoError(t, err)
	require.InDelta(t, math.Erf(0.5/math.Sqrt2), got.Inside, 1e-12)
}

func TestCorridorRefuses(t *testing.T) {
	t.Parallel()
	nan, inf := math.NaN(), math.Inf(1)
	for _, c := range []struct {
		field                                          string
		bias, spread, left, right, costLeft, costRight float64
	}{
		{"bias", nan, 1, 1, 1, 1, 1},
		{"spread", 0, inf, 1, 1, 1, 1},
		{"spread", 0, 0, 1, 1, 1, 1},
		{"spread", 0, -2, 1, 1, 1, 1},
		{"left", 0, 1, nan, 1, 1, 1},
		{"right", 0, 1, 1, -inf, 1, 1},
		{"right", 0, 1, 5, -5, 1, 1},
		{"right", 0, 1, -5, 4, 1, 1},
		{"right", 0, 1, math.MaxFloat64, math.MaxFloat64, 1, 1},
		{"cost_left", 0, 1, 1, 1, -1, 1},
		{"cost_left", 0, 1, 1, 1, inf, 1},
		{"cost_right", 0, 1, 1, 1, 1, nan},
	} {
		_, err := shots.BestAim(c.bias, c.spread, c.left, c.right, c.costLeft, c.costRight)
		var refused *shots.InputError
		require.ErrorAs(t, err, &refused, "%+v", c)
		require.Equal(t, c.field, refused.Field)
		if c.field != "cost_left" && c.field != "cost_right" {
			_, err = shots.CorridorOf(c.bias, c.spread, c.left, c.right)
			require.ErrorAs(t, err, &refused, "%+v", c)
			require.Equal(t, c.field, refused.Field)
		}
	}
}

func TestCorridorAddsUpToOne(t *testing.T) {
	t.Parallel()
	rapid.Check(t, func(t *rapid.T) {
		bias, spread := rapid.Float64Range(-60, 60).Draw(t, "bias"), rapid.Float64Range(0.01, 80).Draw(t, "spread")
		left, width := rapid.Float64Range(-40, 60).Draw(t, "left"), rapid.Float64Range(0.01, 120).Draw(t, "width")
		c, err := shots.CorridorOf(bias, spread, left, width-left)
		if err != nil {
			t.Fatal(err)
		}
		if math.Abs(c.Inside+c.Left+c.Right-1) > 1e-12 || c.Inside < 0 || c.Left < 0 || c.Right < 0 {
			t.Fatalf("%+v", c)
		}
		mirrored, err := shots.CorridorOf(-bias, spread, width-left, left)
		if err != nil {
			t.Fatal(err)
		}
		if mirrored.Left != c.Right || mirrored.Right != c.Left {
			t.Fatalf("%+v mirrored is %+v", c, mirrored)
		}
	})
}

// TestAimIsTheMinimum: no aim on a grid over the corridor costs less than the one advised, and none beyond an edge is advised.
func TestAimIsTheMinimum(t *testing.T) {
	t.Parallel()
	rapid.Check(t, func(t *rapid.T) {
		bias, spread := rapid.Float64Range(-30, 30).Draw(t, "bias"), rapid.Float64Range(0.5, 60).Draw(t, "spread")
		left, width := rapid.Float64Range(-20, 40).Draw(t, "left"), rapid.Float64Range(1, 80).Draw(t, "width")
		cost := rapid.OneOf(rapid.Float64Range(0, 2), rapid.Just(0.0))
		cl, cr := cost.Draw(t, "cost left"), cost.Draw(t, "cost right")
		right := width - left
		aim, err := shots.BestAim(bias, spread, left, right, cl, cr)
		if err != nil {
			t.Fatal(err)
		}
		if aim.Mean < -left || aim.Mean > right || math.Abs(aim.Mean-aim.Offset-bias) > 1e-9 {
			t.Fatalf("%+v", aim)
		}
		if math.Abs(aim.Saved-(aim.CostNow-aim.Cost)) > 1e-12 {
			t.Fatalf("%+v", aim)
		}
		for i := range 401 {
			mean := -left + width*float64(i)/400
			c, err := shots.CorridorOf(mean, spread, left, right)
			if err != nil {
				t.Fatal(err)
			}
			if at := cl*c.Left + cr*c.Right; at < aim.Cost-1e-12 {
				t.Fatalf("%v costs %v, the aim advised %v: %+v", mean, at, aim.Cost, aim)
			}
		}
	})
}

func TestEllipse(t *testing.T) {
	t.Parallel()
	got, err := shots.EllipseOf([2]float64{1, -2}, [2][2]float64{{100, 30}, {30, 225}}, 0.95)
	require.NoError(t, err)
	require.InDelta(t, 37.2691, got.Major, 1e-4)
	require.InDelta(t, 23.6271, got.Minor, 1e-4)
	require.InDelta(t, 77.1795, got.Degrees, 1e-4)
	// λ themselves: share 1 - e^(-1/2) makes the semi-axes the standard deviations.
	got, err = shots.EllipseOf([2]float64{}, [2][2]float64{{100, 30}, {30, 225}}, 1-math.Exp(-0.5))
	require.NoError(t, err)
	require.InDelta(t, 231.8271, got.Major*got.Major, 1e-4)
	require.InDelta(t, 93.1729, got.Minor*got.Minor, 1e-4)
	// The factor of two thirds.
	got, err = shots.EllipseOf([2]float64{}, [2][2]float64{{1, 0}, {0, 1}}, shots.EllipseShare)
	require.NoError(t, err)
	require.InDelta(t, 1.4823, got.Major, 5e-5)
	require.True(t, got.Holds(1.48, 0))
	require.False(t, got.Holds(0, 1.49))
	nan := math.NaN()
	for field, c := range map[string]struct {
		centre [2]float64
		s      [2][2]float64
		share  float64
	}{
		"centre":     {[2]float64{nan, 0}, [2][2]float64{{1, 0}, {0, 1}}, 0.5},
		"covariance": {[2]float64{}, [2][2]float64{{1, 2}, {2, 1}}, 0.5},
		"share":      {[2]float64{}, [2][2]float64{{1, 0}, {0, 1}}, 1},
	} {
		_, err := shots.EllipseOf(c.centre, c.s, c.share)
		var refused *shots.InputError
		require.ErrorAs(t, err, &refused)
		require.Equal(t, field, refused.Field)
	}
	_, err = shots.EllipseOf([2]float64{}, [2][2]float64{{1, 0.1}, {0, 1}}, 0.5)
	require.Error(t, err)
	_, err = shots.EllipseOf([2]float64{}, [2][2]float64{{nan, 0}, {0, 1}}, 0.5)
	require.Error(t, err)
}

func TestOneSidedMiss(t *testing.T) {
	t.Parallel()
	for _, c := range []struct {
		left, right int
		p           float64
		side, sure  string
	}{
		{9, 1, 0.021484375, "left", shots.SureClear},
		{4, 4, 1, "", shots.SureHint},
		{0, 6, 0.03125, "right", shots.SureClear},
		{5, 0, 0.0625, "left", shots.SureTooFew},
		{0, 0, 1, "", shots.SureTooFew},
		{-3, 0, 1, "", shots.SureTooFew},
		{2, 7, 0.1796875, "right", shots.SureLikely}, // 2·(1+9+36)/512
	} {
		got := shots.OneSidedMiss(c.left, c.right)
		require.InDelta(t, c.p, got.P, 1e-12, "%+v", c)
		require.InDelta(t, c.p, got.Adjusted, 1e-12)
		require.Equal(t, c.side, got.Side)
		require.Equal(t, c.sure, got.HowSure)
	}
	eleven := shots.OneSidedMiss(9, 11)
	require.InDelta(t, 0.55, eleven.Share, 1e-12)
	require.InDelta(t, 0.342085, eleven.Interval.Low, 1e-6)
	require.InDelta(t, 0.741802, eleven.Interval.High, 1e-6)
}
