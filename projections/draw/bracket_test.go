package draw_test

import (
	"testing"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"marram.example/projections/draw"
	"marram.example/projections/handicap"
)

func requireField(t require.TestingT, err error, field string) {
	var refused *handicap.InputError
	require.ErrorAs(t, err, &refused)
	require.Equal(t, field, refused.Field)
	require.NotEmpty(t, refused.Problem)
}

func TestSeeded(t *testing.T) {
	t.Parallel()
	for entries, want := range map[int][]draw.Pair{
		2:  {{1, 2}},
		3:  {{1, 0}, {2, 3}},
		8:  {{1, 8}, {4, 5}, {2, 7}, {3, 6}},
		11: {{1, 0}, {8, 9}, {4, 0}, {5, 0}, {2, 0}, {7, 10}, {3, 0}, {6, 11}},
		16: {{1, 16}, {8, 9}, {4, 13}, {5, 12}, {2, 15}, {7, 10}, {3, 14}, {6, 11}},
	} {
		got, err := draw.Seeded(entries)
		require.NoError(t, err)
		require.Equal(t, want, got, "%d entries", entries)
	}
	for _, entries := range []int{-1, 0, 1, 1025} {
		_, err := draw.Seeded(entries)
		requireField(t, err, "entries")
	}
}

// Every seed is in it once, byes are those of the highest seeds, and when every better seed wins the best so many meet in
// pairs that add up, round after round, until 1 plays 2.
func TestSeededIsABracket(t *testing.T) {
	t.Parallel()
	rapid.Check(t, func(t *rapid.T) {
		entries := rapid.IntRange(2, 200).Draw(t, "entries")
		pairs, err := draw.Seeded(entries)
		require.NoError(t, err)
		size := 2 * len(pairs)
		require.Equal(t, 1<<draw.KnockoutRounds(entries), size)
		require.Less(t, size/2, entries)
		seen := map[int]bool{}
		var through []int
		for _, p := range pairs {
			require.Equal(t, p.A <= size-entries, p.Bye(), "seed %d", p.A)
			if !p.Bye() {
				require.Equal(t, size+1, p.A+p.B)
				require.False(t, seen[p.B])
				seen[p.B] = true
			}
			require.False(t, seen[p.A])
			seen[p.A] = true
			through = append(through, p.A)
		}
		require.Len(t, seen, entries)
		for len(through) > 1 {
			var next []int
			for i := 0; i < len(through); i += 2 {
				require.Equal(t, len(through)+1, through[i]+through[i+1])
				next = append(next, min(through[i], through[i+1]))
			}
			through = next
		}
		require.Equal(t, []int{1}, through)
	})
}

func TestNextRound(t *testing.T) {
	t.Parallel()
	pairs, err := draw.NextRound([]string{"a", "b", "c", "d"})
	require.NoError(t, err)
	require.Equal(t, [][2]string{{"a", "b"}, {"c", "d"}}, pairs)
	for _, winners := range [][]string{nil, {"a"}, {"a", "b", "c"}} {
		_, err := draw.NextRound(winners)
		requireField(t, err, "winners")
	}
}

func TestExplainSeeded(t *testing.T) {
	t.Parallel()
	texts := func(lines handicap.Explanation) (out []string) {
		for _, l := range lines {
			require.NotEmpty(t, l.Rule)
			out = append(out, l.Arithmetic)
		}
		return out
	}
	require.Equal(t, []string{
		"11 entries need a bracket of 16, 4 rounds; seeds 1 and 2 are in opposite halves",
		"the two seeds of every first match add up to 16 + 1 = 17; neighbouring matches meet next",
		"16 - 11 = 5, to seeds 1 to 5",
	}, texts(draw.ExplainSeeded(11)))
	require.Equal(t, "4 - 3 = 1, to seed 1", texts(draw.ExplainSeeded(3))[2])
	require.Len(t, draw.ExplainSeeded(8), 2)
	require.Contains(t, texts(draw.ExplainSeeded(2))[0], "one round;")
}
