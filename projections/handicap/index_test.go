package handicap_test

import (
	"testing"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"marram.example/projections/handicap"
)

// requireField checks that an input was refused and that the error names it.
func requireField(t require.TestingT, err error, field string) {
	var refused *handicap.InputError
	require.ErrorAs(t, err, &refused)
	require.Equal(t, field, refused.Field)
	require.NotEmpty(t, refused.Problem)
}

func TestParseIndex(t *testing.T) {
	t.Parallel()
	for text, want := range map[string]handicap.Index{
		"12.4": 124, "12,4": 124, "12": 120, "0": 0, "0.0": 0, "+2.3": -23, "+2,3": -23, " 54.0 ": 540, "+10.0": -100, "+0.1": -1, "04.5": 45,
	} {
		got, err := handicap.ParseIndex(text)
		require.NoError(t, err, text)
		require.Equal(t, want, got, text)
	}
}

func TestParseIndexRefuses(t *testing.T) {
	t.Parallel()
	for _, text := range []string{
		"", " ", "-2.3", "\u22122.3", "54.1", "+10.1", "12.45", "12.", ".4", "12.4.1", "12,4,1", "twelve", "1e1", "++2", "+-2", "120", "1 2", "+", "١٢",
	} {
		got, err := handicap.ParseIndex(text)
		requireField(t, err, "handicap_index")
		require.Zero(t, got, text)
	}
	_, err := handicap.ParseIndex("-2.3")
	require.ErrorContains(t, err, "write a plus handicap as +2.3")
}

func TestIndexReadsBackWhatItShows(t *testing.T) {
	t.Parallel()
	for index := handicap.LowestIndex; index <= handicap.HighestIndex; index++ {
		got, err := handicap.ParseIndex(index.String())
		require.NoError(t, err)
		require.Equal(t, index, got)
	}
}

func FuzzParseIndex(f *testing.F) {
	for _, seed := range []string{"12.4", "+2,3", "-1", "54.0", "", "9999999999999999999"} {
		f.Add(seed)
	}
	f.Fuzz(func(t *testing.T, text string) {
		index, err := handicap.ParseIndex(text)
		if err != nil {
			requireField(t, err, "handicap_index")
			return
		}
		require.NoError(t, index.Validate())
		again, err := handicap.ParseIndex(index.String())
		require.NoError(t, err)
		require.Equal(t, index, again)
	})
}

func TestParseRating(t *testing.T) {
	t.Parallel()
	for text, want := range map[string]handicap.Rating{"71.3": 713, "71,3": 713, "71": 710, "100.5": 1005} {
		got, err := handicap.ParseRating(text)
		require.NoError(t, err, text)
		require.Equal(t, want, got)
	}
	require.Equal(t, "71.3", handicap.Rating(713).String())
	for _, text := range []string{"", "-71.3", "71.35", "x"} {
		_, err := handicap.ParseRating(text)
		requireField(t, err, "course_rating")
	}
}

func TestParseAllowance(t *testing.T) {
	t.Parallel()
	for text, want := range map[string]handicap.Allowance{"95": 9500, "95%": 9500, "95 %": 9500, "87.5": 8750, "87,5": 8750, "33.33": 3333, "0": 0, "200": 20000} {
		got, err := handicap.ParseAllowance(text)
		require.NoError(t, err, text)
		require.Equal(t, want, got)
	}
	for _, text := range []string{"", "%", "-5", "201", "95.", "9500", "95.123", "a", "9a"} {
		_, err := handicap.ParseAllowance(text)
		requireField(t, err, "allowance")
	}
	rapid.Check(t, func(t *rapid.T) {
		allowance := handicap.Allowance(rapid.IntRange(0, 20000).Draw(t, "hundredths"))
		got, err := handicap.ParseAllowance(allowance.String())
		require.NoError(t, err)
		require.Equal(t, allowance, got)
	})
	require.Equal(t, "-5%", handicap.Percent(-5).String())
}

func TestInputErrorNamesFieldAndRule(t *testing.T) {
	t.Parallel()
	err := handicap.Slope(200).Validate()
	require.EqualError(t, err, "slope: 200 is outside 55 to 155 (Rules of Handicapping, definition of slope rating)")
	require.EqualError(t, &handicap.InputError{Field: "par", Problem: "is missing"}, "par: is missing")
}
