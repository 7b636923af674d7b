package draw_test

import (
	"testing"

	"github.com/stretchr/testify/require"

	"marram.example/events"
	"marram.example/projections/draw"
)

func TestMatches(t *testing.T) {
	t.Parallel()
	terms := events.Terms{Holes: []int{1, 2, 3, 4, 5, 6, 7, 8, 9}, Start: events.StartTerms{Kind: "one_tee", FirstTime: "09:00", IntervalMinutes: 10}}
	groups, err := draw.Matches([][2]string{{"a", ""}, {"b", "c"}, {"d", "e"}}, terms)
	require.NoError(t, err)
	require.Len(t, groups, 3)
	require.Equal(t, []events.GroupSlot{{EntryID: "a"}}, groups[0].Places, "a bye is a group of one")
	require.Equal(t, []events.GroupSlot{{EntryID: "b"}, {EntryID: "c"}}, groups[1].Places, "nobody marks a match")
	require.Equal(t, []any{2, "09:00", 3, "09:10", 1}, []any{groups[1].Number, groups[1].Time, groups[2].Number, groups[2].Time, groups[2].StartingHole})
	terms.Start.FirstTime = "nine"
	_, err = draw.Matches([][2]string{{"b", "c"}}, terms)
	require.Error(t, err)
}
