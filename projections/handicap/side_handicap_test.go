package handicap_test

import (
	"math/big"
	"slices"
	"testing"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"marram.example/projections/handicap"
)

// tenthsOfStrokes are course handicaps given in tenths.
func tenthsOfStrokes(t require.TestingT, tenths ...int64) []handicap.Course {
	courses := make([]handicap.Course, len(tenths))
	for i, n := range tenths {
		var err error
		courses[i], err = handicap.NewCourse(n, 10)
		require.NoError(t, err)
	}
	return courses
}

func TestSidePlaying(t *testing.T) {
	t.Parallel()
	for _, c := range []struct {
		name, format string
		tenths       []int64
		unrounded    string
		playing      handicap.Playing
	}{
		{"foursomes", "foursomes", []int64{97, 184}, "14.05", 14},
		{"greensomes", "greensomes", []int64{97, 184}, "13.18", 13},
		{"chapman, given highest first", "chapman", []int64{184, 97}, "13.18", 13},
		{"scramble of four", "scramble", []int64{38, 101, 166, 240}, "7.86", 8},
		{"scramble of three", "scramble", []int64{38, 101, 166}, "4.82", 5},
		{"scramble of two", "scramble", []int64{101, 38}, "2.845", 3},
		{"a plus player is the low one", "greensomes", []int64{100, -20}, "2.8", 3},
		{"two plus players, an exact half", "foursomes", []int64{-30, -20}, "+2.5", -2},
		{"an exact half goes up", "foursomes", []int64{50, 60}, "5.5", 6},
		{"equal handicaps", "greensomes", []int64{100, 100}, "10", 10},
	} {
		t.Run(c.name, func(t *testing.T) {
			t.Parallel()
			percents, err := handicap.SideAllowances(c.format, len(c.tenths))
			require.NoError(t, err)
			unrounded, playing, lines, err := handicap.SidePlaying(tenthsOfStrokes(t, c.tenths...), percents, 0)
			require.NoError(t, err)
			require.Equal(t, c.unrounded, unrounded.String())
			require.Equal(t, c.playing, playing)
			require.Len(t, lines, len(c.tenths)+2)
		})
	}
}

func TestSidePlayingExplains(t *testing.T) {
	t.Parallel()
	percents := []handicap.Allowance{handicap.Percent(60), handicap.Percent(40)}
	_, playing, lines, err := handicap.SidePlaying(tenthsOfStrokes(t, 184, 97), percents, 1)
	require.NoError(t, err)
	require.Equal(t, handicap.Playing(14), playing)
	require.Equal(t, handicap.Explanation{
		{Label: "Allowance of the player with the lower course handicap", Arithmetic: "9.7 x 60% = 5.82", Rule: "Rules of Handicapping, Appendix C"},
		{Label: "Allowance of the player with the higher course handicap", Arithmetic: "18.4 x 40% = 7.36", Rule: "Rules of Handicapping, Appendix C"},
		{Label: "Handicap of the side, unrounded", Arithmetic: "the sum is 13.18", Rule: "Rules of Handicapping, Appendix C"},
		{Label: "Difference in par of the tees", Arithmetic: "13.18 + 1 = 14.18", Rule: "Rules of Handicapping 6.2b"},
		{Label: "Playing handicap", Arithmetic: "14.18 to the nearest whole number, a half goes up: 14", Rule: "Rules of Handicapping 6.2"},
	}, lines)
}

func TestSidePlayingAgainstBig(t *testing.T) {
	t.Parallel()
	rapid.Check(t, func(t *rapid.T) {
		players := rapid.IntRange(2, 4).Draw(t, "players")
		courses, percents := make([]handicap.Course, players), make([]handicap.Allowance, players)
		for i := range courses {
			var err error
			courses[i], err = handicap.NewCourse(rapid.Int64Range(-10*1130, 76*1130).Draw(t, "num"), 1130)
			require.NoError(t, err)
			percents[i] = handicap.Allowance(rapid.IntRange(0, 10000).Draw(t, "allowance"))
		}
		before := slices.Clone(courses)
		unrounded, playing, _, err := handicap.SidePlaying(courses, percents, 0)
		require.NoError(t, err)
		require.Equal(t, before, courses)

		exact := make([]*big.Rat, players)
		for i, course := range courses {
			exact[i] = big.NewRat(course.Num, course.Den)
		}
		slices.SortFunc(exact, (*big.Rat).Cmp)
		want := new(big.Rat)
		for i, value := range exact {
			want.Add(want, new(big.Rat).Mul(value, big.NewRat(int64(percents[i]), 10000)))
		}
		require.Zero(t, want.Cmp(big.NewRat(unrounded.Num, unrounded.Den)))
		require.Equal(t, halfUp(want), int64(playing))

		shuffled := rapid.Permutation(courses).Draw(t, "other order")
		again, _, _, err := handicap.SidePlaying(shuffled, percents, 0)
		require.NoError(t, err)
		require.Equal(t, unrounded, again, "the order of the players does not matter")
	})
}

func TestSidePlayingRefuses(t *testing.T) {
	t.Parallel()
	two := []handicap.Allowance{5000, 5000}
	good := tenthsOfStrokes(t, 97, 184)
	for name, c := range map[string]struct {
		courses    []handicap.Course
		percents   []handicap.Allowance
		difference int
		field      string
	}{
		"nobody":           {nil, nil, 0, "percents"},
		"one":              {good[:1], two[:1], 0, "percents"},
		"five":             {append(good, good...), []handicap.Allowance{1, 1, 1, 1, 1}, 0, "percents"},
		"one for two":      {good[:1], two, 0, "course_handicaps"},
		"three for two":    {tenthsOfStrokes(t, 1, 2, 3), two, 0, "course_handicaps"},
		"negative percent": {good, []handicap.Allowance{-1, 5000}, 0, "allowance"},
		"beyond 200":       {[]handicap.Course{{Num: 201, Den: 1}, good[0]}, two, 0, "course_handicap"},
		"no fraction":      {[]handicap.Course{good[0], {Num: 1, Den: -1}}, two, 0, "course_handicap"},
		"par difference":   {good, two, -1, "par_difference"},
		"too fine":         {[]handicap.Course{{Num: 1, Den: 99999989}, {Num: 1, Den: 99999971}}, two, 0, "course_handicaps"},
	} {
		_, _, lines, err := handicap.SidePlaying(c.courses, c.percents, c.difference)
		requireField(t, err, c.field)
		require.Nil(t, lines, name)
	}
	for format, players := range map[string]int{"foursomes": 3, "scramble": 5, "greensomes": 1} {
		_, err := handicap.SideAllowances(format, players)
		requireField(t, err, "of")
	}
	for _, format := range []string{"four_ball_match", "rota"} {
		_, err := handicap.SideAllowances(format, 2)
		requireField(t, err, "format")
	}
}
