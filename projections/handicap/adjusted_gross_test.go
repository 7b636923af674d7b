package handicap_test

import (
	"slices"
	"testing"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"marram.example/projections/handicap"
)

var pars = []int{4, 4, 3, 5, 4, 4, 3, 4, 5, 4, 3, 4, 5, 4, 4, 3, 4, 5} // 72

func strokesOf(n int64) *handicap.Course { return &handicap.Course{Num: n, Den: 1} }

func TestNetDoubleBogey(t *testing.T) {
	t.Parallel()
	for _, c := range []struct {
		course     *handicap.Course
		par, index int
		want       int
	}{
		{strokesOf(15), 4, 10, 7},
		{strokesOf(15), 4, 16, 6},
		{strokesOf(-3), 5, 17, 6},
		{strokesOf(-3), 5, 15, 7},
		{strokesOf(-20), 3, 18, 3},
		{nil, 3, 9, 8},
		{strokesOf(54), 4, 18, 9},
		{strokesOf(55), 4, 1, 9}, // four strokes there: par + 5
		{strokesOf(55), 4, 2, 9},
		{&handicap.Course{Num: 29, Den: 2}, 4, 15, 7}, // 14.5 counts as 15
		{&handicap.Course{Num: 1449, Den: 100}, 4, 15, 6},
	} {
		got, lines, err := handicap.NetDoubleBogey(c.course, c.par, c.index)
		require.NoError(t, err)
		require.Equal(t, c.want, got)
		require.NotEmpty(t, lines)
	}
	_, lines, err := handicap.NetDoubleBogey(strokesOf(15), 4, 10)
	require.NoError(t, err)
	require.Equal(t, "par 4 + 2 + 1 strokes received = 7", lines[1].Arithmetic)
	_, lines, err = handicap.NetDoubleBogey(strokesOf(-3), 5, 17)
	require.NoError(t, err)
	require.Equal(t, "par 5 + 2 - 1 strokes given back = 6", lines[1].Arithmetic)
	require.Equal(t, "-3 to the nearest whole number, a half goes up: -3, a plus handicap: +3", lines[0].Arithmetic)
}

// The single hole and the whole card are worked out by different code.
func TestNetDoubleBogeyOfHoleAndCardAgree(t *testing.T) {
	t.Parallel()
	for strokes := int64(-20); strokes <= 80; strokes++ {
		limits, err := handicap.NetDoubleBogeys(strokesOf(strokes), pars, eighteen)
		require.NoError(t, err)
		for i := range pars {
			limit, _, err := handicap.NetDoubleBogey(strokesOf(strokes), pars[i], eighteen[i])
			require.NoError(t, err)
			require.Equal(t, limit, limits[i])
			require.LessOrEqual(t, limit, pars[i]+5)
		}
	}
}

func TestNetDoubleBogeyRefuses(t *testing.T) {
	t.Parallel()
	for _, c := range []struct {
		course     *handicap.Course
		par, index int
		field      string
	}{
		{strokesOf(10), 2, 1, "par"},
		{strokesOf(10), 7, 1, "par"},
		{nil, 0, 1, "par"},
		{strokesOf(10), 4, 0, "stroke_index"},
		{strokesOf(10), 4, 19, "stroke_index"},
		{strokesOf(201), 4, 1, "course_handicap"},
		{strokesOf(170), 4, 1, "course_handicap"},
	} {
		_, _, err := handicap.NetDoubleBogey(c.course, c.par, c.index)
		requireField(t, err, c.field)
	}
}

// holed is a card on which every hole was holed out.
func holed(strokes ...int) []handicap.HoleForHandicap {
	holes := make([]handicap.HoleForHandicap, len(strokes))
	for i, n := range strokes {
		holes[i] = handicap.HoleForHandicap{State: handicap.HoledOut, Strokes: n}
	}
	return holes
}

func TestAdjustedGross(t *testing.T) {
	t.Parallel()
	holes := holed(9, 4, 3, 5, 4, 4, 3, 4, 5, 4, 3, 4, 5, 4, 4, 3, 4, 5)
	holes[1] = handicap.HoleForHandicap{State: handicap.Started}              // index 15: maximum 6
	holes[2] = handicap.HoleForHandicap{State: handicap.Started, Strokes: 5}  // below the maximum of 6
	holes[3] = handicap.HoleForHandicap{State: handicap.Started, Strokes: 12} // above the maximum of 8
	score := handicap.ScoreForHandicap{Par: pars, StrokeIndex: eighteen, Course: &handicap.Course{Num: 114, Den: 10}, Holes: holes}
	result, err := score.Adjust()
	require.NoError(t, err)
	require.Equal(t, []int{7, 6, 5, 8}, []int{result.Holes[0].Counts, result.Holes[1].Counts, result.Holes[2].Counts, result.Holes[3].Counts})
	require.Equal(t, 7+6+5+8+56, *result.Total)
	require.Equal(t, 18, result.Played)
	require.Empty(t, result.Reason)
	require.Equal(t, "9 strokes; at most par 4 + 2 + 1 strokes received = 7", result.Holes[0].Why)
	require.Empty(t, result.Holes[4].Why)
	require.Len(t, result.Explanation, 6)
	require.Equal(t, "the sum of 18 holes is 82", result.Explanation[5].Arithmetic)

	score.Course = nil
	result, err = score.Adjust()
	require.NoError(t, err)
	require.Equal(t, []int{9, 9, 5, 10}, []int{result.Holes[0].Counts, result.Holes[1].Counts, result.Holes[2].Counts, result.Holes[3].Counts})
}

func TestHolesNotPlayedAwaitTheAssociation(t *testing.T) {
	t.Parallel()
	holes := holed(pars...)
	for i := 10; i < 18; i++ {
		holes[i] = handicap.HoleForHandicap{}
	}
	score := handicap.ScoreForHandicap{Par: pars, StrokeIndex: eighteen, Course: strokesOf(10), Holes: holes}
	result, err := score.Adjust()
	require.NoError(t, err)
	require.Nil(t, result.Total)
	require.Equal(t, handicap.AwaitingAssociation, result.Reason)
	require.Equal(t, 10, result.Played)
	require.Equal(t, sum(pars[:10]), result.PlayedTotal)

	score.NetParApproved = true
	result, err = score.Adjust()
	require.NoError(t, err)
	received, err := handicap.StrokesReceived(10, eighteen)
	require.NoError(t, err)
	require.Equal(t, 72+sum(received[10:]), *result.Total)
	require.Empty(t, result.Reason)
	require.Equal(t, 10, result.Played)
}

func TestAdjustRefuses(t *testing.T) {
	t.Parallel()
	change := func(edit func(*handicap.ScoreForHandicap)) handicap.ScoreForHandicap {
		score := handicap.ScoreForHandicap{Par: slices.Clone(pars), StrokeIndex: slices.Clone(eighteen), Course: strokesOf(10), Holes: holed(pars...)}
		edit(&score)
		return score
	}
	nine := func(s *handicap.ScoreForHandicap) {
		s.Par, s.StrokeIndex, s.Holes = s.Par[:9], s.StrokeIndex[:9], s.Holes[:9]
	}
	for name, c := range map[string]struct {
		score handicap.ScoreForHandicap
		field string
	}{
		"nothing":             {handicap.ScoreForHandicap{}, "par"},
		"par 7":               {change(func(s *handicap.ScoreForHandicap) { s.Par[4] = 7 }), "par"},
		"index twice":         {change(func(s *handicap.ScoreForHandicap) { s.StrokeIndex[4] = 2 }), "stroke_index"},
		"indexes missing":     {change(func(s *handicap.ScoreForHandicap) { s.StrokeIndex = s.StrokeIndex[:9] }), "stroke_index"},
		"scores missing":      {change(func(s *handicap.ScoreForHandicap) { s.Holes = s.Holes[:17] }), "scores"},
		"no strokes":          {change(func(s *handicap.ScoreForHandicap) { s.Holes[0].Strokes = 0 }), "scores"},
		"negative":            {change(func(s *handicap.ScoreForHandicap) { s.Holes[0].Strokes = -4 }), "scores"},
		"three digits":        {change(func(s *handicap.ScoreForHandicap) { s.Holes[0].Strokes = 100 }), "scores"},
		"not played, strokes": {change(func(s *handicap.ScoreForHandicap) { s.Holes[0].State = handicap.NotPlayed }), "scores"},
		"unknown state":       {change(func(s *handicap.ScoreForHandicap) { s.Holes[0].State = 9 }), "scores"},
		"handicap":            {change(func(s *handicap.ScoreForHandicap) { s.Course = strokesOf(500) }), "course_handicap"},
		"nine holes of 18":    {change(func(s *handicap.ScoreForHandicap) { copy(s.Holes[9:], make([]handicap.HoleForHandicap, 9)) }), "scores"},
		"nine holes of 18, net par": {change(func(s *handicap.ScoreForHandicap) {
			s.NetParApproved = true
			copy(s.Holes[9:], make([]handicap.HoleForHandicap, 9))
		}), "scores"},
		"eight holes of nine": {change(func(s *handicap.ScoreForHandicap) { nine(s); s.Holes[8] = handicap.HoleForHandicap{} }), "scores"},
		"17 holes without an index": {change(func(s *handicap.ScoreForHandicap) {
			s.Course, s.Holes[8] = nil, handicap.HoleForHandicap{}
		}), "scores"},
	} {
		result, err := c.score.Adjust()
		requireField(t, err, c.field)
		require.Zero(t, result, name)
	}
	_, err := change(nine).Adjust()
	require.NoError(t, err)
}

// A hole of no points with the whole course handicap is a net double bogey, so points and adjusted gross are one figure.
func TestStablefordPointsAndAdjustedGrossAgree(t *testing.T) {
	t.Parallel()
	rapid.Check(t, func(t *rapid.T) {
		indexes := drawIndexes(t)
		holes := len(indexes)
		strokes := rapid.IntRange(-10, 3*holes).Draw(t, "course handicap")
		scores := rapid.SliceOfN(rapid.IntRange(1, 15), holes, holes).Draw(t, "scores")
		received, err := handicap.StrokesReceived(handicap.Playing(strokes), indexes)
		require.NoError(t, err)
		points := 0
		for i := range scores {
			points += max(0, pars[i]+2+received[i]-scores[i])
		}
		score := handicap.ScoreForHandicap{Par: pars[:holes], StrokeIndex: indexes, Course: strokesOf(int64(strokes)), Holes: holed(scores...)}
		adjusted, err := score.Adjust()
		require.NoError(t, err)
		total, _, err := handicap.StablefordToAdjustedGross(sum(pars[:holes]), holes, *strokesOf(int64(strokes)), points)
		require.NoError(t, err)
		require.Equal(t, *adjusted.Total, total)
	})
}

func TestPointsConversions(t *testing.T) {
	t.Parallel()
	total, lines, err := handicap.StablefordToAdjustedGross(71, 18, *strokesOf(17), 33)
	require.NoError(t, err)
	require.Equal(t, 91, total)
	require.Equal(t, "par 71 + 17 + 36 - 33 points = 91", lines[1].Arithmetic)
	total, _, err = handicap.StablefordToAdjustedGross(36, 9, *strokesOf(-1), 17)
	require.NoError(t, err)
	require.Equal(t, 36, total)
	for _, c := range []struct{ result, holes, want int }{{0, 18, 36}, {3, 18, 39}, {-5, 18, 31}, {0, 9, 18}, {-9, 9, 9}} {
		points, lines, err := handicap.ParBogeyToPoints(c.result, c.holes)
		require.NoError(t, err)
		require.Equal(t, c.want, points)
		require.Len(t, lines, 1)
	}
	for _, c := range []struct{ result, holes int }{{19, 18}, {-19, 18}, {10, 9}} {
		_, _, err := handicap.ParBogeyToPoints(c.result, c.holes)
		requireField(t, err, "result")
	}
	_, _, err = handicap.ParBogeyToPoints(0, 12)
	requireField(t, err, "holes")
	for _, c := range []struct {
		par, holes int
		course     int64
		points     int
		field      string
	}{
		{71, 10, 17, 33, "holes"},
		{36, 18, 17, 33, "par"},
		{71, 18, 300, 33, "course_handicap"},
		{71, 18, 55, 33, "course_handicap"},
		{36, 9, 28, 13, "course_handicap"},
		{71, 18, 17, -1, "points"},
		{71, 18, 17, 107, "points"},
	} {
		_, _, err := handicap.StablefordToAdjustedGross(c.par, c.holes, *strokesOf(c.course), c.points)
		requireField(t, err, c.field)
	}
}

func TestMostLikelyScore(t *testing.T) {
	t.Parallel()
	for _, c := range []struct {
		taken, penalties int
		position         handicap.BallPosition
		toFinish, want   int
	}{
		{4, 0, handicap.WithinTwentyYards, 2, 6},
		{4, 0, handicap.WithinTwentyYards, 3, 7},
		{3, 1, handicap.OnGreenWithinFiveFeet, 1, 5},
		{2, 2, handicap.BeyondTwentyYards, 4, 8},
	} {
		score, lines, err := handicap.MostLikelyScore(c.taken, c.penalties, c.position, c.toFinish)
		require.NoError(t, err)
		require.Equal(t, c.want, score)
		require.Contains(t, lines[0].Arithmetic, c.position.String())
	}
	for _, c := range []struct {
		taken, penalties int
		position         handicap.BallPosition
		toFinish         int
		field            string
	}{
		{4, 0, 0, 1, "position"}, {4, 0, 4, 1, "position"},
		{4, 0, handicap.OnGreenWithinFiveFeet, 2, "to_finish"}, {4, 0, handicap.WithinTwentyYards, 4, "to_finish"}, {4, 0, handicap.BeyondTwentyYards, 2, "to_finish"},
		{0, 0, handicap.BeyondTwentyYards, 3, "taken"}, {100, 0, handicap.BeyondTwentyYards, 3, "taken"},
		{4, -1, handicap.BeyondTwentyYards, 3, "penalties"}, {4, 96, handicap.BeyondTwentyYards, 3, "penalties"},
	} {
		_, _, err := handicap.MostLikelyScore(c.taken, c.penalties, c.position, c.toFinish)
		requireField(t, err, c.field)
	}
}
