package standing_test

import (
	"testing"

	"github.com/stretchr/testify/require"

	"marram.example/projections/standing"
)

// BenchmarkCompare counts a field of 300 complete cards once more as Stableford,
// beside how it was played.
func BenchmarkCompare(b *testing.B) {
	courses := make([][]int, 300)
	for i := range courses {
		courses[i] = []int{i}
	}
	c := begin(b, plain(nil), courses...)
	for entry := range c.cards {
		c.returns(entry, 1, map[int]int{len(entry): 7})
	}
	cards := c.over().scored()
	b.ReportAllocs()
	for b.Loop() {
		_, err := standing.Compare(c.state, cards, standing.OtherTerms{Format: "stableford"})
		require.NoError(b, err)
	}
}
