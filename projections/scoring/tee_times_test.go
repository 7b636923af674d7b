package scoring_test

import (
	"testing"

	"github.com/stretchr/testify/require"

	"marram.example/projections/scoring"
)

func TestTeeTimes(t *testing.T) {
	t.Parallel()
	for _, c := range []struct {
		first, interval, groups, emptyAfter int
		want                                []string
	}{
		{450, 10, 3, 0, []string{"07:30", "07:40", "07:50"}},
		{450, 10, 5, 2, []string{"07:30", "07:40", "08:00", "08:10", "08:30"}},
		{0, 8, 1, 1, []string{"00:00"}},
		{1430, 9, 2, 0, []string{"23:50", "23:59"}},
	} {
		times, err := scoring.TeeTimes(c.first, c.interval, c.groups, c.emptyAfter)
		require.NoError(t, err)
		shown := make([]string, len(times))
		for i, minutes := range times {
			shown[i] = scoring.ClockText(minutes)
			back, err := scoring.ParseClock(shown[i])
			require.NoError(t, err)
			require.Equal(t, minutes, back)
		}
		require.Equal(t, c.want, shown)
	}
}

func TestTeeTimesRefuse(t *testing.T) {
	t.Parallel()
	for _, c := range []struct {
		first, interval, groups, emptyAfter int
		field                               string
	}{
		{-1, 10, 3, 0, "first"}, {1440, 10, 3, 0, "first"}, {450, 0, 3, 0, "interval_minutes"}, {450, -10, 3, 0, "interval_minutes"},
		{450, 1441, 1, 0, "interval_minutes"}, {450, 10, 0, 0, "groups"}, {450, 10, 100, 0, "groups"}, {450, 10, 1 << 40, 0, "groups"}, {450, 10, 3, -1, "empty_interval_after"},
	} {
		times, err := scoring.TeeTimes(c.first, c.interval, c.groups, c.emptyAfter)
		requireField(t, err, c.field)
		require.Nil(t, times)
	}
	for _, text := range []string{"", "7:30", "24:00", "07:60", "0730", "07:30:00", "noon", " 07:30"} {
		_, err := scoring.ParseClock(text)
		requireField(t, err, "first")
	}
}
