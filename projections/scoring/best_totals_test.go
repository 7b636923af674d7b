package scoring_test

import (
	"testing"

	"github.com/stretchr/testify/require"

	"marram.example/projections/scoring"
)

func some(totals ...int) []*int {
	out := make([]*int, len(totals))
	for i := range totals {
		if totals[i] >= 0 {
			out[i] = &totals[i]
		}
	}
	return out
}

func TestBestTotals(t *testing.T) {
	t.Parallel()
	byRound, total, err := scoring.BestTotals([][]*int{some(74, -1, 71, 79, 76), some(70, 70, 70, 69, 70)}, 3, scoring.Low)
	require.NoError(t, err)
	require.Equal(t, []int{221, 209, 430}, []int{*byRound[0].Total, *byRound[1].Total, *total})
	require.Equal(t, []int{0, 2, 4}, byRound[0].Counting)
	require.Equal(t, []int{0, 1, 3}, byRound[1].Counting, "of equal totals the first ones")

	byRound, total, err = scoring.BestTotals([][]*int{some(74, -1, -1, 79), some(70, 70, 70, 69)}, 3, scoring.Low)
	require.NoError(t, err)
	require.Nil(t, total)
	require.Nil(t, byRound[0].Total)
	require.Equal(t, 209, *byRound[1].Total)

	_, total, err = scoring.BestTotals([][]*int{some(30, 36, 33)}, 2, scoring.High)
	require.NoError(t, err)
	require.Equal(t, 69, *total)

	_, _, err = scoring.BestTotals([][]*int{some(70)}, 0, scoring.Low)
	requireField(t, err, "count")
	_, _, err = scoring.BestTotals(nil, 2, scoring.Low)
	requireField(t, err, "rounds")
}
