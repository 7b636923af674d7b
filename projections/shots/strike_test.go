package shots_test

import (
	"encoding/json"
	"testing"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"marram.example/projections/shots"
)

func judged(strike string, enough bool, gained float64) shots.Gain {
	return shots.Gain{Phase: shots.PhaseApproach, Gained: gained, Stroke: shots.Stroke{Strike: strike, GoodEnough: &enough}}
}

func times(n int, g shots.Gain) (gains []shots.Gain) {
	for range n {
		gains = append(gains, g)
	}
	return gains
}

// TestStrikeAndOutcome is the worked 2 x 2 of 18, 4 / 9, 11, four of the poor strikes being fair ones.
func TestStrikeAndOutcome(t *testing.T) {
	t.Parallel()
	var gains []shots.Gain
	gains = append(gains, times(18, judged("good", true, 0.2))...)
	gains = append(gains, times(4, judged("good", false, -0.3))...)
	gains = append(gains, times(2, judged("fair", true, 0.1))...)
	gains = append(gains, times(7, judged("poor", true, 0))...)
	gains = append(gains, times(2, judged("fair", false, -0.2))...)
	gains = append(gains, times(9, judged("poor", false, -0.8))...)
	// One of which the outcome was not said counts towards the cost alone, one without a strike nowhere.
	gains = append(gains, shots.Gain{Phase: shots.PhaseApproach, Gained: -1.2, Stroke: shots.Stroke{Strike: "poor"}}, judged("", true, 9))

	s := shots.StrikeAndOutcome(gains)
	require.Equal(t, 42, s.N)
	require.Equal(t, []int{18, 4, 9, 11}, []int{s.GoodEnough.N, s.Plan.N, s.Forgiven.N, s.StrikeItself.N})
	require.InDelta(t, 0.2, s.Forgiven.Total, 1e-12)
	require.InDelta(t, 0.2/9, s.Forgiven.Mean, 1e-12)
	require.InDelta(t, 0.023103, s.Fisher, 1e-6)
	require.Equal(t, shots.SureClear, s.HowSure)
	require.InDelta(t, 0.368182, s.Difference, 1e-6)
	require.InDelta(t, 0.077357, s.DifferenceInterval.Low, 1e-6)
	require.InDelta(t, 0.588669, s.DifferenceInterval.High, 1e-6)
	require.Equal(t, shots.Count{Done: 9, Chances: 20}, s.Saved)
	require.InDelta(t, 0.45, s.SavedShare, 1e-12)
	require.Equal(t, shots.Wilson(9, 20), s.SavedInterval)
	require.Empty(t, s.TooFew)

	require.Len(t, s.Strikes, 3)
	require.Equal(t, "poor", s.Strikes[0].Strike)
	require.Equal(t, 17, s.Strikes[0].N)
	require.Equal(t, shots.Count{Done: 7, Chances: 16}, s.Strikes[0].GoodEnough)
	require.Equal(t, 4, s.Strikes[1].N)
	good, poor := (18*0.2-4*0.3)/22, (-9*0.8-1.2)/17
	require.InDelta(t, good-poor, s.Cost.Value, 1e-12)
	require.InDelta(t, 17*(good-poor), s.CostTotal, 1e-9)
	require.InDelta(t, good-poor, s.CostTest.Statistic, 1e-12)
	require.Equal(t, shots.SureClear, s.Cost.HowSure)
	require.Equal(t, shots.Seed, s.Cost.Seed)
	require.Equal(t, shots.Seed, s.CostTest.Seed)
}

// TestStrikeWithinPhase: poor strikes that all were drives, where everyone loses more, are not judged against good putts.
func TestStrikeWithinPhase(t *testing.T) {
	t.Parallel()
	var gains []shots.Gain
	for range 10 {
		drive, putt := judged("poor", false, -1), judged("good", true, 0.1)
		drive.Phase, putt.Phase = shots.PhaseOffTheTee, shots.PhasePutting
		gains = append(gains, drive, putt)
	}
	s := shots.StrikeAndOutcome(gains)
	require.InDelta(t, 1.1, s.Cost.Value, 1e-12)
	require.InDelta(t, 1, s.CostTest.P, 0, "no phase has both")
}

func TestStrikeTooFew(t *testing.T) {
	t.Parallel()
	s := shots.StrikeAndOutcome(append(times(9, judged("good", true, 1)), times(4, judged("poor", false, -1))...))
	require.Equal(t, shots.SureTooFew, s.HowSure)
	require.Contains(t, s.TooFew, "9 good strikes and 4 others")
	require.Equal(t, shots.SureTooFew, s.Cost.HowSure)
	require.Contains(t, s.Cost.TooFew, "9 strokes and 4 others")
	require.Zero(t, s.CostTotal)
	empty := shots.StrikeAndOutcome(nil)
	require.Zero(t, empty.N)
	require.Equal(t, shots.Interval{Low: 0, High: 1}, empty.SavedInterval)
	require.InDelta(t, 1, empty.Fisher, 0)
}

func TestCommitment(t *testing.T) {
	t.Parallel()
	said := func(level int, gained float64) shots.Gain {
		return shots.Gain{Phase: shots.PhaseApproach, Gained: gained, Stroke: shots.Stroke{Commitment: level}}
	}
	var gains []shots.Gain
	for i := range 6 {
		noise := float64(i%3-1) / 10
		gains = append(gains, said(2, -0.4+noise), said(3, -0.3+noise), said(4, 0.1+noise), said(5, 0.2+noise), said(0, 7), said(6, 7))
	}
	c := shots.CommitmentAgainstResult(gains)
	require.Equal(t, 24, c.N)
	require.Len(t, c.Levels, 5)
	require.Zero(t, c.Levels[0].N)
	require.InDelta(t, -0.3, c.Levels[2].Mean, 1e-12)
	require.Equal(t, 3, c.Levels[2].Commitment)
	require.Equal(t, 12, c.Low.N)
	require.Equal(t, 12, c.High.N)
	require.InDelta(t, 0.5, c.Effect.Value, 1e-12)
	require.Equal(t, 12, c.Effect.First, "high counts positive")
	require.Equal(t, shots.SureClear, c.Effect.HowSure)
	require.Greater(t, c.Rank.Statistic, 0.8)
	require.Less(t, c.Rank.P, 0.001)
	require.Less(t, c.Test.P, 0.001)
	require.InDelta(t, (1.959963984540054+0.8416212335729143)*c.Test.SD, c.SeenAbove, 1e-9)
	few := shots.CommitmentAgainstResult(gains[:6])
	require.NotEmpty(t, few.Effect.TooFew)
	require.Zero(t, few.SeenAbove)
	require.Zero(t, shots.CommitmentAgainstResult(nil).N)
}

// TestJudgedStaysFinite: whatever was said, every figure can be written and the counts add up.
func TestJudgedStaysFinite(t *testing.T) {
	t.Parallel()
	rapid.Check(t, func(t *rapid.T) {
		var gains []shots.Gain
		total, both := 0.0, 0
		for range rapid.IntRange(0, 30).Draw(t, "n") {
			g := shots.Gain{
				Phase: rapid.SampledFrom(shots.Phases()).Draw(t, "phase"), Gained: rapid.Float64Range(-4, 3).Draw(t, "gained"),
				Stroke: shots.Stroke{
					Strike:     rapid.SampledFrom([]string{"", "poor", "fair", "good"}).Draw(t, "strike"),
					Commitment: rapid.IntRange(0, 5).Draw(t, "commitment"),
				},
			}
			if rapid.Bool().Draw(t, "said") {
				enough := rapid.Bool().Draw(t, "enough")
				g.Stroke.GoodEnough = &enough
				if g.Stroke.Strike != "" {
					both++
					total += g.Gained
				}
			}
			gains = append(gains, g)
		}
		s, c := shots.StrikeAndOutcome(gains), shots.CommitmentAgainstResult(gains)
		if _, err := json.Marshal([]any{s, c}); err != nil {
			t.Fatal(err)
		}
		cells := s.GoodEnough.Total + s.Plan.Total + s.Forgiven.Total + s.StrikeItself.Total
		if s.N != both || cells-total > 1e-9 || total-cells > 1e-9 {
			t.Fatalf("%d strokes with %v, want %d with %v", s.N, cells, both, total)
		}
		if !(s.Fisher >= 0 && s.Fisher <= 1) || !(c.Rank.P >= 0 && c.Rank.P <= 1) || c.Low.N+c.High.N != c.N {
			t.Fatalf("%+v %+v", s, c)
		}
	})
}
