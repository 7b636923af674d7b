package handicap_test

import (
	"testing"

	"github.com/stretchr/testify/require"

	"marram.example/projections/handicap"
)

func TestPlayingHandicapExplains(t *testing.T) {
	t.Parallel()
	course, err := handicap.NewCourse(142, 10)
	require.NoError(t, err)
	playing, lines, err := handicap.PlayingHandicap(course, handicap.Percent(95), 1)
	require.NoError(t, err)
	require.Equal(t, handicap.Playing(14), playing)
	require.Equal(t, handicap.Explanation{
		{Label: "Allowance on the unrounded course handicap", Arithmetic: "14.2 x 95% = 13.49", Rule: "Rules of Handicapping 6.2a and Appendix C"},
		{Label: "Difference in par of the tees", Arithmetic: "13.49 + 1 = 14.49", Rule: "Rules of Handicapping 6.2b"},
		{Label: "Playing handicap", Arithmetic: "14.49 to the nearest whole number, a half goes up: 14", Rule: "Rules of Handicapping 6.2"},
	}, lines)
}

// A plus player moves toward zero, and an exact half goes up there too.
func TestPlayingHandicapOfPlusPlayers(t *testing.T) {
	t.Parallel()
	for _, c := range []struct {
		num, den  int64
		allowance handicap.Allowance
		want      handicap.Playing
		text      string
	}{
		{-5623, 1000, 9500, -5, "+5"},
		{-5623, 1000, 8500, -5, "+5"},
		{-5, 1, 9000, -4, "+4"}, // -4.5
		{5, 1, 9000, 5, "5"},    // 4.5
		{-1, 2, 10000, 0, "0"},
		{-3, 1, 0, 0, "0"},
		{-4, 1, 8750, -3, "+3"}, // -3.5
	} {
		course, err := handicap.NewCourse(c.num, c.den)
		require.NoError(t, err)
		playing, lines, err := handicap.PlayingHandicap(course, c.allowance, 0)
		require.NoError(t, err)
		require.Equal(t, c.want, playing)
		require.Equal(t, c.text, playing.String())
		require.Len(t, lines, 2)
	}
}

// The order matters: rounding the course handicap first would give 10.
func TestAllowanceGoesOnTheUnroundedCourseHandicap(t *testing.T) {
	t.Parallel()
	course, _, err := handicap.CourseHandicap18(82, 131, 726, 71, handicap.WithRatingLessPar)
	require.NoError(t, err)
	unrounded, err := handicap.Percent(95).Of(course)
	require.NoError(t, err)
	require.Equal(t, "10.551", unrounded.String())
	require.Equal(t, handicap.Playing(11), unrounded.Rounded())
	require.Equal(t, 11, course.Rounded())
}

func TestPlayingHandicapRefuses(t *testing.T) {
	t.Parallel()
	course := handicap.Course{Num: 13, Den: 1}
	for _, c := range []struct {
		course     handicap.Course
		allowance  handicap.Allowance
		difference int
		field      string
	}{
		{course, -1, 0, "allowance"},
		{course, 20001, 0, "allowance"},
		{course, 9500, -1, "par_difference"},
		{course, 9500, 19, "par_difference"},
		{handicap.Course{Num: 1, Den: -1}, 9500, 0, "course_handicap"},
		{handicap.Course{Num: 500, Den: 1}, 9500, 0, "course_handicap"},
	} {
		_, lines, err := handicap.PlayingHandicap(c.course, c.allowance, c.difference)
		requireField(t, err, c.field)
		require.Nil(t, lines)
	}
	playing, _, err := handicap.PlayingHandicap(handicap.Course{}, 9500, 0)
	require.NoError(t, err)
	require.Zero(t, playing)
}

func TestAllowancesTable(t *testing.T) {
	t.Parallel()
	seen := map[string]bool{}
	for _, row := range handicap.Allowances() {
		found, err := handicap.AllowanceFor(row.Format, row.Count, row.Of)
		require.NoError(t, err)
		require.Equal(t, row, found)
		key := row.Format + string(rune('0'+row.Count)) + string(rune('0'+row.Of))
		require.False(t, seen[key], key)
		seen[key] = true
		require.Equal(t, 2024, row.Year)
		require.NotEmpty(t, row.Source)
		for _, percent := range row.Percents {
			require.NoError(t, percent.Validate())
		}
		if len(row.Percents) > 1 {
			require.Len(t, row.Percents, row.Of)
			require.IsNonIncreasing(t, row.Percents)
		}
	}
	require.Len(t, seen, 24)
}

func TestAllowanceForRefuses(t *testing.T) {
	t.Parallel()
	_, err := handicap.AllowanceFor("croquet", 0, 0)
	requireField(t, err, "format")
	_, err = handicap.AllowanceFor("", 0, 0)
	requireField(t, err, "format")
	for _, c := range []struct {
		format    string
		count, of int
	}{{"scramble", 0, 5}, {"scramble", 0, 0}, {"best_of_stroke_play", 5, 4}, {"best_of_stroke_play", 1, 3}, {"stroke_play", 1, 0}, {"foursomes", 0, 3}, {"scramble", 0, -2}} {
		_, err := handicap.AllowanceFor(c.format, c.count, c.of)
		requireField(t, err, "of")
	}
}
