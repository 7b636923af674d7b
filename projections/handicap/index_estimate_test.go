package handicap_test

import (
	"math/big"
	"slices"
	"testing"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"marram.example/projections/handicap"
)

func low(index handicap.Index) *handicap.Index { return &index }

// twenty is the record of the reference's example of rule 5.2b.
var twenty = []handicap.Differential{142, 168, 129, 184, 155, 133, 171, 196, 149, 160, 121, 203, 152, 138, 188, 177, 144, 165, 210, 135}

func TestEstimateIndex(t *testing.T) {
	t.Parallel()
	for _, c := range []struct {
		name          string
		differentials []handicap.Differential
		low           *handicap.Index
		uncapped      handicap.Index
		index         handicap.Index
		cap           handicap.Cap
	}{
		{"three", []handicap.Differential{153, 152, 166}, nil, 132, 132, handicap.NoCap},
		{"four", []handicap.Differential{224, 198, 251, 206}, nil, 188, 188, handicap.NoCap},
		{"five", []handicap.Differential{224, 198, 251, 206, 189}, nil, 189, 189, handicap.NoCap},
		{"six", []handicap.Differential{253, 264, 232, 209, 278, 305}, nil, 211, 211, handicap.NoCap},
		{"eight", []handicap.Differential{224, 198, 251, 206, 189, 240, 193, 217}, nil, 191, 191, handicap.NoCap},
		{"twenty", twenty, nil, 136, 136, handicap.NoCap},
		{"only the last twenty", append([]handicap.Differential{-50, -50}, twenty...), nil, 136, 136, handicap.NoCap},
		{"up to 3.0", twenty, low(106), 136, 136, handicap.NoCap},
		{"soft cap", twenty, low(105), 136, 136, handicap.SoftCap},                    // 10.5 + 3.0 + 0.05 = 13.55
		{"soft cap, almost to the full", twenty, low(67), 136, 117, handicap.SoftCap}, // 6.7 + 3.0 + 1.95 = 11.65
		{"hard cap from 7.0", twenty, low(66), 136, 116, handicap.HardCap},
		{"hard cap", twenty, low(65), 136, 115, handicap.HardCap},
		{"no cap before twenty", twenty[1:], low(20), 136, 136, handicap.NoCap},
		{"maximum", []handicap.Differential{581, 600, 572}, nil, 552, 540, handicap.NoCap},
		{"below scratch", []handicap.Differential{-3, 12, 10}, nil, -23, -23, handicap.NoCap},
		{"a half below scratch goes up", []handicap.Differential{-20, -31, 0, 0, 0, 0, 0}, nil, -25, -25, handicap.NoCap},
	} {
		t.Run(c.name, func(t *testing.T) {
			t.Parallel()
			before := slices.Clone(c.differentials)
			got, err := handicap.EstimateIndex(c.differentials, c.low)
			require.NoError(t, err)
			require.Equal(t, c.uncapped, got.Uncapped)
			require.Equal(t, c.index, got.Index)
			require.Equal(t, c.cap, got.Cap)
			require.Equal(t, before, c.differentials)
			lines, err := handicap.ExplainIndex(c.differentials, c.low)
			require.NoError(t, err)
			require.Equal(t, c.index.String(), lines[len(lines)-1].Arithmetic)
			require.Contains(t, lines[len(lines)-1].Label, "unofficial estimate")
		})
	}
}

func TestExplainIndex(t *testing.T) {
	t.Parallel()
	lines, err := handicap.ExplainIndex([]handicap.Differential{253, 264, 232, 209, 278, 305}, nil)
	require.NoError(t, err)
	require.Equal(t, handicap.Explanation{
		{Label: "Average of the lowest 2 of 6 differentials", Arithmetic: "(20.9 + 23.2) / 2 = 22.05", Rule: "Rules of Handicapping 5.2a"},
		{Label: "Adjustment for 6 differentials", Arithmetic: "22.05 - 1.0 = 21.05", Rule: "Rules of Handicapping 5.2a"},
		{Label: "Rounded to a tenth", Arithmetic: "21.05, a half goes up: 21.1", Rule: "Rules of Handicapping 5.2a"},
		{Label: "Handicap index, unofficial estimate", Arithmetic: "21.1", Rule: "official indexes are issued by the national association"},
	}, lines)
	lines, err = handicap.ExplainIndex(twenty, low(80))
	require.NoError(t, err)
	require.Equal(t, "8.0 + 3.0 + (5.6 - 3.0) / 2 = 12.3, to a tenth 12.3", lines[2].Arithmetic)
	lines, err = handicap.ExplainIndex(twenty, low(30))
	require.NoError(t, err)
	require.Equal(t, "3.0 + 3.0 + (10.6 - 3.0) / 2 = 9.8, never above 3.0 + 5.0 = 8.0", lines[2].Arithmetic)
	lines, err = handicap.ExplainIndex([]handicap.Differential{581, 600, 572}, nil)
	require.NoError(t, err)
	require.Equal(t, "55.2 becomes 54.0", lines[3].Arithmetic)
}

func TestEstimateIndexRefuses(t *testing.T) {
	t.Parallel()
	for _, c := range []struct {
		differentials []handicap.Differential
		low           *handicap.Index
		field         string
	}{
		{nil, nil, "differentials"},
		{twenty[:2], nil, "differentials"},
		{[]handicap.Differential{100, 100, 2501}, nil, "differentials"},
		{[]handicap.Differential{100, 100, -601}, nil, "differentials"},
		{twenty, low(541), "low_index"},
		{twenty[:3], low(-101), "low_index"},
	} {
		_, err := handicap.EstimateIndex(c.differentials, c.low)
		requireField(t, err, c.field)
		_, err = handicap.ExplainIndex(c.differentials, c.low)
		requireField(t, err, c.field)
	}
	for _, n := range []int{-1, 0, 2, 21} {
		_, _, err := handicap.CountingDifferentials(n)
		requireField(t, err, "differentials")
	}
}

func TestTableOfCountingDifferentials(t *testing.T) {
	t.Parallel()
	lowest := []int{1, 1, 1, 2, 2, 2, 3, 3, 3, 4, 4, 4, 5, 5, 6, 6, 7, 8}
	adjustment := map[int]handicap.Differential{3: -20, 4: -10, 6: -10}
	for i, want := range lowest {
		got, tenths, err := handicap.CountingDifferentials(i + 3)
		require.NoError(t, err)
		require.Equal(t, want, got, i+3)
		require.Equal(t, adjustment[i+3], tenths, i+3)
	}
}

func drawRecord(t *rapid.T) []handicap.Differential {
	one := rapid.Map(rapid.IntRange(-80, 600), func(n int) handicap.Differential { return handicap.Differential(n) })
	return rapid.SliceOfN(one, 3, 30).Draw(t, "differentials")
}

func drawLow(t *rapid.T) *handicap.Index {
	if rapid.Bool().Draw(t, "without low index") {
		return nil
	}
	return low(handicap.Index(rapid.IntRange(-100, 540).Draw(t, "low index")))
}

// The same sum with sorted lists and arbitrary precision.
func TestEstimateIndexAgainstBig(t *testing.T) {
	t.Parallel()
	rapid.Check(t, func(t *rapid.T) {
		record, lowIndex := drawRecord(t), drawLow(t)
		got, err := handicap.EstimateIndex(record, lowIndex)
		require.NoError(t, err)

		recent := slices.Clone(record[max(0, len(record)-20):])
		slices.Sort(recent)
		count, adjustment, err := handicap.CountingDifferentials(len(recent))
		require.NoError(t, err)
		want := new(big.Rat)
		for _, d := range recent[:count] {
			want.Add(want, big.NewRat(int64(d), 1))
		}
		want.Quo(want, big.NewRat(int64(count), 1))
		want.Add(want, big.NewRat(int64(adjustment), 1))
		average := halfUp(want)
		require.Equal(t, average, int64(got.Uncapped))
		index := average
		if lowIndex != nil && len(recent) == 20 && average-int64(*lowIndex) > 30 {
			soft := new(big.Rat).Add(big.NewRat(int64(*lowIndex)+30, 1), big.NewRat(average-int64(*lowIndex)-30, 2))
			hard := big.NewRat(int64(*lowIndex)+50, 1)
			if soft.Cmp(hard) > 0 {
				soft = hard
			}
			index = halfUp(soft)
		}
		require.Equal(t, min(index, 540), int64(got.Index))

		// Which of the recent 20 came first does not matter to the average.
		shuffled := rapid.Permutation(record[max(0, len(record)-20):]).Draw(t, "other order")
		again, err := handicap.EstimateIndex(shuffled, lowIndex)
		require.NoError(t, err)
		require.Equal(t, got, again)
	})
}

func TestIndexIsMonotoneAndCapped(t *testing.T) {
	t.Parallel()
	rapid.Check(t, func(t *rapid.T) {
		record, lowIndex := drawRecord(t), drawLow(t)
		got, err := handicap.EstimateIndex(record, lowIndex)
		require.NoError(t, err)
		require.LessOrEqual(t, got.Index, handicap.HighestIndex)
		if lowIndex != nil && len(record) >= 20 {
			require.LessOrEqual(t, got.Index, *lowIndex+50)
		}
		worse := slices.Clone(record)
		worse[rapid.IntRange(0, len(worse)-1).Draw(t, "place")] += handicap.Differential(rapid.IntRange(0, 300).Draw(t, "more"))
		after, err := handicap.EstimateIndex(worse, lowIndex)
		require.NoError(t, err)
		require.GreaterOrEqual(t, after.Index, got.Index)
		require.GreaterOrEqual(t, after.Uncapped, got.Uncapped)
	})
}

func TestCapIndex(t *testing.T) {
	t.Parallel()
	for _, c := range []struct {
		average handicap.Index
		low     *handicap.Index
		want    handicap.Index
		cap     handicap.Cap
	}{
		{116, low(65), 106, handicap.SoftCap},
		{134, low(100), 132, handicap.SoftCap},
		{130, low(100), 130, handicap.NoCap},
		{131, low(100), 131, handicap.SoftCap},
		{169, low(100), 150, handicap.SoftCap},
		{170, low(100), 150, handicap.HardCap},
		{171, low(100), 150, handicap.HardCap},
		{40, low(-12), 29, handicap.SoftCap},
		{50, low(100), 50, handicap.NoCap},
		{580, low(520), 540, handicap.SoftCap},
		{580, nil, 540, handicap.NoCap},
		{-5, low(-60), -17, handicap.SoftCap}, // -1.75, and a half goes up
	} {
		got, limit, lines, err := handicap.CapIndex(c.average, c.low)
		require.NoError(t, err)
		require.Equal(t, c.want, got, "%s over %v", c.average, c.low)
		require.Equal(t, c.cap, limit)
		require.NotEmpty(t, lines)
	}
	for _, c := range []struct {
		average handicap.Index
		low     *handicap.Index
		field   string
	}{{2501, nil, "average"}, {-601, nil, "average"}, {100, low(541), "low_index"}, {100, low(-101), "low_index"}} {
		_, _, _, err := handicap.CapIndex(c.average, c.low)
		requireField(t, err, c.field)
	}
}

func TestExceptionalReduction(t *testing.T) {
	t.Parallel()
	for _, c := range []struct {
		index    handicap.Index
		num, den int64
		basis    handicap.ExceptionalBasis
		want     int
	}{
		{148, 68, 10, handicap.UnroundedDifferential, -1},
		{148, 784, 100, handicap.UnroundedDifferential, 0}, // 6.96
		{148, 784, 100, handicap.RoundedDifferential, -1},  // 7.8, so 7.0
		{200, 10, 1, handicap.UnroundedDifferential, -2},
		{200, 13, 1, handicap.UnroundedDifferential, -1},
		{200, 1004, 100, handicap.UnroundedDifferential, -1},
		{200, 1004, 100, handicap.RoundedDifferential, -2},
		{200, 1301, 100, handicap.UnroundedDifferential, 0},
		{-10, -8, 1, handicap.UnroundedDifferential, -1},
		{200, 25, 1, handicap.UnroundedDifferential, 0},
	} {
		got, lines, err := handicap.ExceptionalReduction(c.index, mustExact(t, c.num, c.den), c.basis)
		require.NoError(t, err)
		require.Equal(t, c.want, got, "%s and %d/%d", c.index, c.num, c.den)
		require.Len(t, lines, 1)
	}
	_, lines, err := handicap.ExceptionalReduction(148, mustExact(t, 784, 100), handicap.UnroundedDifferential)
	require.NoError(t, err)
	require.Equal(t, "14.8 - 7.84 = 6.96, less than 7.0: no reduction", lines[0].Arithmetic)
	_, _, err = handicap.ExceptionalReduction(541, mustExact(t, 1, 1), handicap.UnroundedDifferential)
	requireField(t, err, "handicap_index")
	_, _, err = handicap.ExceptionalReduction(100, handicap.ExactDifferential{Num: 900, Den: 1}, handicap.UnroundedDifferential)
	requireField(t, err, "differential")
	_, _, err = handicap.ExceptionalReduction(100, mustExact(t, 1, 1), 7)
	requireField(t, err, "exceptional_basis")
}

func TestIndexAfterScore(t *testing.T) {
	t.Parallel()
	// The oldest of the twenty drops out; the exceptional one comes in; all twenty carry -1.
	ordinary, _, err := handicap.IndexAfterScore(twenty, mustExact(t, 68, 10), nil, nil, handicap.UnroundedDifferential)
	require.NoError(t, err)
	require.Zero(t, ordinary.Reduction)
	exceptional, lines, err := handicap.IndexAfterScore(twenty, mustExact(t, 68, 10), low(148), nil, handicap.UnroundedDifferential)
	require.NoError(t, err)
	require.Equal(t, -1, exceptional.Reduction)
	require.Equal(t, handicap.Differential(58), exceptional.Differential)
	require.Equal(t, ordinary.Estimate.Index-10, exceptional.Estimate.Index)
	require.Equal(t, 20, exceptional.Estimate.OnRecord)
	require.Equal(t, "14.8 - 6.8 = 8, 7.0 or more: -1 on each of the most recent 20", lines[1].Arithmetic)

	first, _, err := handicap.IndexAfterScore([]handicap.Differential{153, 166}, mustExact(t, 152, 10), nil, nil, handicap.UnroundedDifferential)
	require.NoError(t, err)
	require.Equal(t, handicap.Index(132), first.Estimate.Index)

	_, _, err = handicap.IndexAfterScore([]handicap.Differential{153}, mustExact(t, 152, 10), nil, nil, handicap.UnroundedDifferential)
	requireField(t, err, "differentials")
	_, _, err = handicap.IndexAfterScore(twenty, handicap.ExactDifferential{Num: 1, Den: -1}, nil, nil, handicap.UnroundedDifferential)
	requireField(t, err, "differential")
	_, _, err = handicap.IndexAfterScore(twenty, mustExact(t, 152, 10), low(600), nil, handicap.UnroundedDifferential)
	requireField(t, err, "handicap_index")
	_, _, err = handicap.IndexAfterScore(twenty, mustExact(t, 152, 10), nil, low(600), handicap.UnroundedDifferential)
	requireField(t, err, "low_index")
}

// An exceptional score lowers the index by exactly its reduction against the same score taken as ordinary, where no cap
// and no maximum takes part.
func TestReductionLowersTheIndexByItself(t *testing.T) {
	t.Parallel()
	rapid.Check(t, func(t *rapid.T) {
		record := drawRecord(t)
		score := mustExact(t, rapid.Int64Range(-50, 300).Draw(t, "tenths"), 10)
		inEffect := handicap.Index(rapid.IntRange(-50, 540).Draw(t, "index"))
		before := slices.Clone(record)
		ordinary, _, err := handicap.IndexAfterScore(record, score, nil, nil, handicap.UnroundedDifferential)
		require.NoError(t, err)
		reduced, _, err := handicap.IndexAfterScore(record, score, &inEffect, nil, handicap.UnroundedDifferential)
		require.NoError(t, err)
		require.Equal(t, before, record)
		require.Equal(t, ordinary.Estimate.Uncapped+handicap.Index(10*reduced.Reduction), reduced.Estimate.Uncapped)
	})
}

// BenchmarkHandicapIndex estimates the index of a million players in each operation, from 20 differentials each with a low
// index. It reports nanoseconds a record.
func BenchmarkHandicapIndex(b *testing.B) {
	const players = 1_000_000
	records := make([]handicap.Differential, 20*players)
	state := uint32(1)
	for i := range records {
		state = state*1664525 + 1013904223 // a fixed sequence, so that runs compare
		records[i] = handicap.Differential(100 + state>>24)
	}
	lowIndex := handicap.Index(90)
	b.ReportAllocs()
	for b.Loop() {
		for at := 0; at < len(records); at += 20 {
			if _, err := handicap.EstimateIndex(records[at:at+20], &lowIndex); err != nil {
				b.Fatal(err)
			}
		}
	}
	b.ReportMetric(float64(b.Elapsed().Nanoseconds())/float64(b.N)/players, "ns/record")
}
