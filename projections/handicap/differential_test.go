package handicap_test

import (
	"math"
	"math/big"
	"testing"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"marram.example/projections/handicap"
)

func TestScoreDifferential(t *testing.T) {
	t.Parallel()
	for _, c := range []struct {
		gross  int
		rating handicap.Rating
		slope  handicap.Slope
		pcc    int
		want   string
	}{
		{88, 715, 125, 0, "14.9"},
		{69, 715, 125, 0, "-2.3"},
		{82, 704, 131, 1, "9.1"},
		{82, 704, 131, -1, "10.9"},
		{82, 704, 131, 3, "7.4"},
		{70, 700, 113, 0, "0.0"},
	} {
		exact, lines, err := handicap.ScoreDifferential(18, c.gross, c.rating, c.slope, c.pcc)
		require.NoError(t, err)
		require.Equal(t, c.want, exact.Rounded().String())
		require.Len(t, lines, 2)
	}
	exact, lines, err := handicap.ScoreDifferential(9, 45, 352, 121, 2)
	require.NoError(t, err)
	require.Equal(t, handicap.ExactDifferential{Num: 452, Den: 55}, exact) // 8.21818...
	require.Equal(t, handicap.Explanation{{
		Label: "Score differential of nine holes, left unrounded", Arithmetic: "113/121 x (45 - 35.2 - 0.5 x 2) = 8.218", Rule: "Rules of Handicapping 5.1b",
	}}, lines)
	_, lines, err = handicap.ScoreDifferential(18, 82, 704, 131, -1)
	require.NoError(t, err)
	require.Equal(t, "113/131 x (82 - 70.4 - (-1)) = 10.869", lines[0].Arithmetic)
	require.Equal(t, "10.869 to a tenth, a half goes up: 10.9", lines[1].Arithmetic)
}

func TestScoreDifferentialAgainstBig(t *testing.T) {
	t.Parallel()
	rapid.Check(t, func(t *rapid.T) {
		holes := rapid.SampledFrom([]int{9, 18}).Draw(t, "holes")
		gross := rapid.IntRange(3*holes, 8*holes).Draw(t, "gross")
		rating := rapid.IntRange(600*holes/18, 780*holes/18).Draw(t, "rating")
		slope := rapid.IntRange(55, 155).Draw(t, "slope")
		pcc := rapid.IntRange(-1, 3).Draw(t, "pcc")
		exact, _, err := handicap.ScoreDifferential(holes, gross, handicap.Rating(rating), handicap.Slope(slope), pcc)
		require.NoError(t, err)
		want := new(big.Rat).Sub(big.NewRat(int64(gross), 1), big.NewRat(int64(rating), 10))
		want.Sub(want, big.NewRat(int64(pcc*holes), 18))
		want.Mul(want, big.NewRat(113, int64(slope)))
		require.Zero(t, want.Cmp(big.NewRat(exact.Num, exact.Den)))
		require.Equal(t, halfUp(want.Mul(want, big.NewRat(10, 1))), int64(exact.Rounded()))
	})
}

func TestScoreDifferentialRefuses(t *testing.T) {
	t.Parallel()
	for _, c := range []struct {
		holes, gross int
		rating       handicap.Rating
		slope        handicap.Slope
		pcc          int
		field        string
	}{
		{10, 50, 400, 113, 0, "holes"},
		{18, 88, 715, 54, 0, "slope"},
		{18, 88, 715, 156, 0, "slope"},
		{18, 88, 0, 113, 0, "course_rating"},
		{18, 88, 352, 113, 0, "course_rating"},
		{9, 44, 715, 113, 0, "course_rating"},
		{18, 17, 715, 113, 0, "adjusted_gross"},
		{18, 199, 715, 113, 0, "adjusted_gross"},
		{9, 100, 352, 113, 0, "adjusted_gross"},
		{18, 88, 715, 113, 4, "pcc"},
		{18, 88, 715, 113, -2, "pcc"},
	} {
		_, lines, err := handicap.ScoreDifferential(c.holes, c.gross, c.rating, c.slope, c.pcc)
		requireField(t, err, c.field)
		require.Nil(t, lines)
	}
	for _, c := range [][2]int64{{1, 0}, {1, -3}, {1, 1e9}, {251, 1}, {-61, 1}, {math.MinInt64, 1}, {math.MaxInt64, 3}} {
		_, err := handicap.NewExactDifferential(c[0], c[1])
		requireField(t, err, "differential")
	}
	requireField(t, handicap.Differential(2501).Validate(), "differential")
	require.Equal(t, "0", handicap.ExactDifferential{}.String())
	require.Equal(t, handicap.ExactDifferential{Num: -31, Den: 20}, mustExact(t, -155, 100))
	require.Equal(t, handicap.Differential(-15), mustExact(t, -155, 100).Rounded())
}

func mustExact(t require.TestingT, num, den int64) handicap.ExactDifferential {
	exact, err := handicap.NewExactDifferential(num, den)
	require.NoError(t, err)
	return exact
}

// The figures of this table are invented: the association's are not published.
func inventedTable(t require.TestingT) *handicap.ExpectedTable {
	table, err := handicap.NewExpectedTable("invented for this test", []handicap.ExpectedRow{
		{Index: -10, Expected: mustExact(t, 6, 10)},
		{Index: 140, Expected: mustExact(t, 84, 10)},
		{Index: 141, Expected: mustExact(t, 845, 100)},
		{Index: 200, Expected: mustExact(t, 115, 10)},
	})
	require.NoError(t, err)
	return table
}

func TestExpectedTableCompletes(t *testing.T) {
	t.Parallel()
	table := inventedTable(t)
	require.Equal(t, "invented for this test", table.Source())
	sum, lines, ok := table.Complete(mustExact(t, 72, 10), 141)
	require.True(t, ok)
	require.Equal(t, mustExact(t, 1565, 100), sum)
	require.Equal(t, handicap.Differential(157), sum.Rounded())
	require.Len(t, lines, 3)
	require.Equal(t, "7.2 + 8.45 = 15.65", lines[1].Arithmetic)
	require.Contains(t, lines[0].Rule, "invented for this test")

	for _, index := range []handicap.Index{142, 139, 201, -11, 0} {
		_, lines, ok := table.Complete(mustExact(t, 72, 10), index)
		require.False(t, ok, "nothing is read between rows")
		require.Contains(t, lines[0].Arithmetic, handicap.AwaitingAssociation)
	}
	var none *handicap.ExpectedTable
	_, _, ok = none.Complete(mustExact(t, 72, 10), 140)
	require.False(t, ok)
	require.Empty(t, none.Source())
}

func TestExpectedTableRefuses(t *testing.T) {
	t.Parallel()
	row := func(index handicap.Index, tenths int64) handicap.ExpectedRow {
		return handicap.ExpectedRow{Index: index, Expected: mustExact(t, tenths, 10)}
	}
	for name, c := range map[string]struct {
		source string
		rows   []handicap.ExpectedRow
	}{
		"no source":         {" ", []handicap.ExpectedRow{row(10, 20)}},
		"no rows":           {"association", nil},
		"same index":        {"association", []handicap.ExpectedRow{row(10, 20), row(10, 20)}},
		"falling index":     {"association", []handicap.ExpectedRow{row(10, 20), row(9, 20)}},
		"falling value":     {"association", []handicap.ExpectedRow{row(10, 20), row(11, 19)}},
		"index over 54":     {"association", []handicap.ExpectedRow{row(541, 20)}},
		"value too high":    {"association", []handicap.ExpectedRow{row(540, 601)}},
		"value too low":     {"association", []handicap.ExpectedRow{row(540, -201)}},
		"no fraction":       {"association", []handicap.ExpectedRow{{Index: 1, Expected: handicap.ExactDifferential{Num: 1, Den: -1}}}},
		"too many decimals": {"association", []handicap.ExpectedRow{{Index: 1, Expected: handicap.ExactDifferential{Num: 1, Den: 100_000}}}},
	} {
		table, err := handicap.NewExpectedTable(c.source, c.rows)
		requireField(t, err, "expected_table")
		require.Nil(t, table, name)
	}
	rows := []handicap.ExpectedRow{row(10, 20), row(11, 20)}
	table, err := handicap.NewExpectedTable("association", rows)
	require.NoError(t, err)
	rows[0].Index = 500
	_, ok := table.For(10)
	require.True(t, ok, "the table keeps a copy")
}
