package handicap_test

import (
	"encoding/json"
	"math"
	"testing"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"marram.example/projections/handicap"
)

func TestCourseHandicapExplains(t *testing.T) {
	t.Parallel()
	course, lines, err := handicap.CourseHandicap18(124, 128, 713, 72, handicap.WithRatingLessPar)
	require.NoError(t, err)
	require.Equal(t, "13.346", course.String())
	require.Equal(t, handicap.Explanation{{
		Label: "Course handicap, unrounded", Arithmetic: "12.4 x 128/113 + (71.3 - 72) = 13.346", Rule: "Rules of Handicapping 6.1a",
	}}, lines)

	_, lines, err = handicap.CourseHandicap9(-23, 118, 346, 35, handicap.WithRatingLessPar)
	require.NoError(t, err)
	require.Equal(t, handicap.Explanation{
		{Label: "Half of the handicap index", Arithmetic: "-2.3 / 2 = -1.15, to a tenth -1.1", Rule: "Rules of Handicapping 6.1b"},
		{Label: "Course handicap, unrounded", Arithmetic: "-1.1 x 118/113 + (34.6 - 35) = -1.549, a plus handicap: +1.549", Rule: "Rules of Handicapping 6.1b"},
	}, lines)
}

func TestCourseHandicapWithoutRatingLessPar(t *testing.T) {
	t.Parallel()
	course, lines, err := handicap.CourseHandicap18(124, 113, 713, 72, handicap.WithoutRatingLessPar)
	require.NoError(t, err)
	require.Equal(t, handicap.Course{Num: 62, Den: 5}, course)
	require.Equal(t, "12.4 x 113/113 = 12.4", lines[0].Arithmetic)
	require.Contains(t, lines[0].Rule, "without (course rating - par)")
}

func TestCourseHandicapHasNoCeiling(t *testing.T) {
	t.Parallel()
	course, _, err := handicap.CourseHandicap(18, 540, 155, 740, 72, handicap.WithRatingLessPar)
	require.NoError(t, err)
	require.Equal(t, 76, course.Rounded())
}

func TestCourseHandicapRefuses(t *testing.T) {
	t.Parallel()
	for _, c := range []struct {
		name   string
		holes  int
		index  handicap.Index
		slope  handicap.Slope
		rating handicap.Rating
		par    int
		term   handicap.ParTerm
		field  string
	}{
		{"slope below", 18, 124, 54, 713, 72, 0, "slope"},
		{"slope above", 18, 124, 156, 713, 72, 0, "slope"},
		{"index above", 18, 541, 113, 713, 72, 0, "handicap_index"},
		{"index below", 9, -101, 113, 356, 36, 0, "handicap_index"},
		{"no par", 18, 124, 113, 713, 0, 0, "par"},
		{"par of nine holes", 18, 124, 113, 713, 36, 0, "par"},
		{"par of eighteen holes", 9, 124, 113, 356, 72, 0, "par"},
		{"rating of nine holes", 18, 124, 113, 356, 72, 0, "course_rating"},
		{"rating of eighteen holes", 9, 124, 113, 713, 36, 0, "course_rating"},
		{"no rating", 18, 124, 113, 0, 72, 0, "course_rating"},
		{"ten holes", 10, 124, 113, 400, 40, 0, "holes"},
		{"no holes", 0, 124, 113, 713, 72, 0, "holes"},
		{"unknown term", 18, 124, 113, 713, 72, 7, "par_term"},
	} {
		t.Run(c.name, func(t *testing.T) {
			t.Parallel()
			course, lines, err := handicap.CourseHandicap(c.holes, c.index, c.slope, c.rating, c.par, c.term)
			requireField(t, err, c.field)
			require.Zero(t, course)
			require.Nil(t, lines)
		})
	}
}

func TestCourseShowsPlusAndDecimals(t *testing.T) {
	t.Parallel()
	for _, c := range []struct {
		num, den int64
		text     string
		rounded  int
	}{
		{0, 1, "0", 0}, {5, 2, "2.5", 3}, {-5, 2, "+2.5", -2}, {-5623, 1000, "+5.623", -6}, {1, 3, "0.333", 0}, {2, 3, "0.667", 1},
		{-1, 10000, "0", 0}, {8, 1, "8", 8}, {705, 100, "7.05", 7}, {-3, 2, "+1.5", -1}, {26, 4, "6.5", 7},
	} {
		course, err := handicap.NewCourse(c.num, c.den)
		require.NoError(t, err)
		require.Equal(t, c.text, course.String())
		require.Equal(t, c.rounded, course.Rounded(), c.text)
	}
	require.Equal(t, "0", handicap.Course{}.String())
}

func TestNewCourseRefuses(t *testing.T) {
	t.Parallel()
	for _, c := range [][2]int64{{1, 0}, {1, -1}, {201, 1}, {-201, 1}, {1, 1e9}, {math.MinInt64, 1}, {math.MaxInt64, 1}, {math.MinInt64, math.MaxInt64}} {
		_, err := handicap.NewCourse(c[0], c[1])
		requireField(t, err, "course_handicap")
	}
}

func TestCourseJSON(t *testing.T) {
	t.Parallel()
	rapid.Check(t, func(t *rapid.T) {
		den := rapid.Int64Range(1, 100_000).Draw(t, "den")
		course, err := handicap.NewCourse(rapid.Int64Range(-100*den, 100*den).Draw(t, "num"), den)
		require.NoError(t, err)
		data, err := json.Marshal(course)
		require.NoError(t, err)
		var got handicap.Course
		require.NoError(t, json.Unmarshal(data, &got))
		require.Equal(t, course, got)
	})
	data, err := json.Marshal(handicap.Course{})
	require.NoError(t, err)
	require.JSONEq(t, `{"num":0,"den":1}`, string(data))
	for _, bad := range []string{`{"num":1,"den":0}`, `{"num":1}`, `{"num":1.5,"den":2}`, `3`, `{"num":900,"den":1}`} {
		var got handicap.Course
		require.Error(t, json.Unmarshal([]byte(bad), &got), bad)
		require.Zero(t, got)
	}
}
