package csvfile_test

import (
	"testing"

	"github.com/stretchr/testify/require"

	"marram.example/api/csvfile"
)

const expected = "handicap_index,expected_differential,source\n"

func TestExpectedScoresAreReadExactly(t *testing.T) {
	f, rows := csvfile.ReadExpected([]byte(expected + "+1.2,-0.35,a  letter\n0,\u22120.1,a letter\n14.0,8,a letter\n14.1,8.0525,a letter\n\"14,2\",\"8,06\",a letter\n"))
	require.Empty(t, f.List())
	require.Equal(t, []csvfile.ExpectedRow{
		{Line: 2, IndexTenths: -12, ExpectedNum: -35, ExpectedDen: 100, Source: "a letter"},
		{Line: 3, IndexTenths: 0, ExpectedNum: -1, ExpectedDen: 10, Source: "a letter"},
		{Line: 4, IndexTenths: 140, ExpectedNum: 8, ExpectedDen: 1, Source: "a letter"},
		{Line: 5, IndexTenths: 141, ExpectedNum: 80525, ExpectedDen: 10000, Source: "a letter"},
		{Line: 6, IndexTenths: 142, ExpectedNum: 806, ExpectedDen: 100, Source: "a letter"},
	}, rows)
	table, err := csvfile.Recognize([]byte(expected))
	require.NoError(t, err)
	require.Equal(t, "expected-scores", table.Name)
}

func TestExpectedScoresThatAreNone(t *testing.T) {
	for _, cell := range []string{"8.00001", "8.", ".5", "eight", "8,5,1", "1234", "+8", "8/2", "1e1", ""} {
		f, rows := csvfile.ReadExpected([]byte(expected + "14.0,\"" + cell + "\",a letter\n"))
		require.Empty(t, rows, cell)
		require.Len(t, f.List(), 1, cell)
		require.Equal(t, "expected_differential", f.List()[0].Column, cell)
	}
}
