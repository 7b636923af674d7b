package handicap_test

import (
	"slices"
	"testing"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"marram.example/projections/handicap"
)

func ranked(t require.TestingT, ranks ...int) []handicap.HoleDifficulty {
	holes, err := handicap.HolesByRank(pars, ranks)
	require.NoError(t, err)
	return holes
}

func kinds(advice []handicap.Advice) []handicap.AdviceKind {
	found := make([]handicap.AdviceKind, len(advice))
	for i, a := range advice {
		found[i] = a.Kind
		if len(a.Holes) == 0 || a.Text == "" || a.Rule == "" {
			panic("an advice names its holes, says what it is about and by which rule")
		}
	}
	return found
}

func TestProposeStrokeIndexes(t *testing.T) {
	t.Parallel()
	// Worked by hand. Front: hole 5 (rank 1) is the hardest of the middle triad, hole 2 (rank 3) of the first and third, and
	// hole 7 (rank 5) of the triad left.
	holes := ranked(t, 11, 3, 15, 7, 1, 13, 5, 9, 17, 12, 4, 16, 8, 2, 14, 6, 10, 18)
	proposal, err := handicap.ProposeStrokeIndexes(holes, false)
	require.NoError(t, err)
	// Holes 4 (rank 7), 8 (9) and 1 (11) are the harder ones left and take 7, 9 and 11; then 6 (13), 3 (15) and 9 (17).
	require.Equal(t, []int{11, 3, 15, 7, 1, 13, 5, 9, 17}, proposal.Indexes[:9])
	require.Equal(t, []int{12, 4, 16, 8, 2, 14, 6, 10, 18}, proposal.Indexes[9:])
	require.Contains(t, proposal.Holes[4].Reason, "hardest hole of the middle triad")
	require.Equal(t, "hole 5, ranked 1 in difficulty: the lowest of its nine: the hardest hole of the middle triad", proposal.Explanation[1].Arithmetic)
	require.Len(t, proposal.Explanation, 19)

	swapped, err := handicap.ProposeStrokeIndexes(holes, true)
	require.NoError(t, err)
	require.Equal(t, []int{12, 4, 16, 8, 2, 14, 6, 10, 18}, swapped.Indexes[:9])
	require.Contains(t, swapped.Explanation[0].Arithmetic, "clearly harder")
}

func TestLowestIndexLeavesTheMiddleTriad(t *testing.T) {
	t.Parallel()
	// The front middle triad ranks 13 to 15; hole 7 ranks 2 and hole 3 ranks 3.
	holes := ranked(t, 7, 8, 3, 13, 14, 15, 2, 9, 10, 4, 11, 12, 16, 1, 17, 5, 6, 18)
	proposal, err := handicap.ProposeStrokeIndexes(holes, false)
	require.NoError(t, err)
	require.Equal(t, 1, proposal.Indexes[6])
	require.Contains(t, proposal.Holes[6].Reason, "adjoining")
	require.Equal(t, 3, proposal.Indexes[2], "the second lowest is in the first triad")
	require.Equal(t, 5, proposal.Indexes[4], "hole 4 and hole 6 have low neighbours")

	// Neither the middle triad nor an adjoining hole is among the hardest six: the lowest stays in the middle.
	holes = ranked(t, 1, 2, 7, 13, 14, 15, 8, 3, 4, 9, 10, 11, 16, 5, 17, 6, 12, 18)
	proposal, err = handicap.ProposeStrokeIndexes(holes, false)
	require.NoError(t, err)
	require.Equal(t, 1, proposal.Indexes[3])
	require.Contains(t, proposal.Holes[3].Reason, "though neither")
}

func drawDifficulty(t *rapid.T) []handicap.HoleDifficulty {
	holes := make([]handicap.HoleDifficulty, 18)
	for i := range holes {
		holes[i] = handicap.HoleDifficulty{
			Par: rapid.IntRange(3, 6).Draw(t, "par"),
			Num: rapid.Int64Range(-50, 100).Draw(t, "strokes over par"),
			Den: rapid.Int64Range(1, 100).Draw(t, "scores"),
		}
	}
	return holes
}

func TestProposalFollowsTheRecommendation(t *testing.T) {
	t.Parallel()
	rapid.Check(t, func(t *rapid.T) {
		holes, backHarder := drawDifficulty(t), rapid.Bool().Draw(t, "back harder")
		before := slices.Clone(holes)
		proposal, err := handicap.ProposeStrokeIndexes(holes, backHarder)
		require.NoError(t, err)
		require.Equal(t, before, holes)
		require.NoError(t, handicap.ValidateStrokeIndexes(proposal.Indexes), "a permutation of 1 to 18")
		for i, index := range proposal.Indexes {
			require.Equal(t, (i < 9) != backHarder, index%2 == 1, "hole %d has index %d", i+1, index)
			require.Equal(t, index, proposal.Holes[i].Index)
			require.NotEmpty(t, proposal.Holes[i].Reason)
		}
		again, err := handicap.ProposeStrokeIndexes(holes, backHarder)
		require.NoError(t, err)
		require.Equal(t, proposal, again)
		advice, err := handicap.CheckStrokeIndexes(proposal.Indexes, holes, backHarder)
		require.NoError(t, err)
		for _, kind := range kinds(advice) {
			require.Equal(t, handicap.AdviceDifficulty, kind, "only the spread may part an index from its difficulty: %v", advice)
		}
	})
}

func TestCheckStrokeIndexes(t *testing.T) {
	t.Parallel()
	recommended := []int{11, 3, 15, 7, 1, 13, 5, 9, 17, 12, 4, 16, 8, 2, 14, 6, 10, 18}
	holes := ranked(t, 11, 3, 15, 7, 1, 13, 5, 9, 17, 12, 4, 16, 8, 2, 14, 6, 10, 18)
	swap := func(a, b int) []int {
		changed := slices.Clone(recommended)
		changed[a-1], changed[b-1] = changed[b-1], changed[a-1]
		return changed
	}
	for name, c := range map[string]struct {
		indexes []int
		holes   []handicap.HoleDifficulty
		back    bool
		want    []handicap.AdviceKind
	}{
		"as recommended":            {recommended, holes, false, []handicap.AdviceKind{}},
		"without difficulties":      {recommended, nil, false, []handicap.AdviceKind{}},
		"harder back nine":          {recommended, holes, true, []handicap.AdviceKind{handicap.AdviceOddEven}},
		"odd and even":              {swap(1, 10), holes, false, []handicap.AdviceKind{handicap.AdviceOddEven}},
		"second in the middle":      {swap(2, 5), nil, false, []handicap.AdviceKind{handicap.AdviceLowest, handicap.AdviceSecond}},
		"lowest in adjoining hole":  {swap(5, 7), nil, false, []handicap.AdviceKind{}},
		"though the middle is hard": {swap(5, 7), holes, false, []handicap.AdviceKind{handicap.AdviceLowest}},
		"low indexes side by side":  {swap(4, 7), nil, false, []handicap.AdviceKind{handicap.AdviceSpread, handicap.AdviceSpread, handicap.AdviceConsecutive}},
		"against the difficulty":    {swap(5, 9), holes, false, []handicap.AdviceKind{handicap.AdviceLowest, handicap.AdviceSpread, handicap.AdviceSpread, handicap.AdviceDifficulty, handicap.AdviceDifficulty}},
	} {
		advice, err := handicap.CheckStrokeIndexes(c.indexes, c.holes, c.back)
		require.NoError(t, err)
		require.Equal(t, c.want, kinds(advice), "%s: %v", name, advice)
	}
	advice, err := handicap.CheckStrokeIndexes(swap(4, 7), nil, false)
	require.NoError(t, err)
	require.Equal(t, []int{4, 5}, advice[2].Holes)
	require.Equal(t, "indexes 5 and 1 are on consecutive holes; of indexes up to 6 this is to be avoided", advice[2].Text)
}

func TestStrokeIndexAdviceRefuses(t *testing.T) {
	t.Parallel()
	order := slices.Clone(eighteen)
	good := ranked(t, order...)
	with := func(edit func([]handicap.HoleDifficulty)) []handicap.HoleDifficulty {
		changed := slices.Clone(good)
		edit(changed)
		return changed
	}
	for name, c := range map[string]struct {
		holes []handicap.HoleDifficulty
		field string
	}{
		"none":          {nil, "difficulty"},
		"nine":          {good[:9], "difficulty"},
		"par":           {with(func(h []handicap.HoleDifficulty) { h[3].Par = 2 }), "par"},
		"no fraction":   {with(func(h []handicap.HoleDifficulty) { h[3].Den = 0 }), "difficulty"},
		"beyond reason": {with(func(h []handicap.HoleDifficulty) { h[3].Num = -101 }), "difficulty"},
	} {
		_, err := handicap.ProposeStrokeIndexes(c.holes, false)
		requireField(t, err, c.field)
		if c.holes != nil {
			_, err = handicap.CheckStrokeIndexes(eighteen, c.holes, false)
			requireField(t, err, c.field)
		}
		require.NotEmpty(t, name)
	}
	for _, indexes := range [][]int{nil, eighteen[:9], slices.Repeat([]int{1}, 18)} {
		_, err := handicap.CheckStrokeIndexes(indexes, nil, false)
		requireField(t, err, "stroke_index")
	}
	_, err := handicap.HolesByRank(pars[:9], order)
	requireField(t, err, "par")
	_, err = handicap.HolesByRank(pars, order[:9])
	requireField(t, err, "rank")
	_, err = handicap.HolesByRank(pars, slices.Repeat([]int{1}, 18))
	requireField(t, err, "rank")
	_, err = handicap.HolesByRank(slices.Repeat([]int{7}, 18), order)
	requireField(t, err, "par")
}
