package projections_test

import (
	"slices"
	"testing"

	"github.com/stretchr/testify/require"

	"marram.example/events"
	"marram.example/projections/projectiontest"
)

// The other tests mean something only if the history holds everything.
func TestHistoryHoldsEveryTypeOfEvent(t *testing.T) {
	seen := map[string]bool{}
	for _, e := range projectiontest.History(1, 2, 4) {
		seen[e.Type] = true
	}
	for _, name := range events.NewCodec().Types() {
		require.True(t, seen[name], "the history lacks %s", name)
	}
	once, again := projectiontest.History(7, 2, 4), projectiontest.History(7, 2, 4)
	require.Equal(t, once, again)
	require.False(t, slices.EqualFunc(once, projectiontest.History(8, 2, 4), func(a, b events.Recorded) bool { return a.Type == b.Type }))
}
