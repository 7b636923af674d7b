package draw_test

import (
	"testing"

	"github.com/stretchr/testify/require"

	"marram.example/projections/draw"
)

func TestRoundRobin(t *testing.T) {
	t.Parallel()
	six, err := draw.RoundRobin(6)
	require.NoError(t, err)
	require.Equal(t, [][]draw.Pair{
		{{1, 6}, {2, 5}, {3, 4}}, {{1, 5}, {6, 4}, {2, 3}}, {{1, 4}, {5, 3}, {6, 2}}, {{1, 3}, {4, 2}, {5, 6}}, {{1, 2}, {3, 6}, {4, 5}},
	}, six)
	five, err := draw.RoundRobin(5)
	require.NoError(t, err)
	require.Equal(t, [][]draw.Pair{
		{{1, 0}, {2, 5}, {3, 4}}, {{1, 5}, {4, 0}, {2, 3}}, {{1, 4}, {5, 3}, {2, 0}}, {{1, 3}, {4, 2}, {5, 0}}, {{1, 2}, {3, 0}, {4, 5}},
	}, five)
	for _, players := range []int{-1, 0, 1, 65} {
		_, err := draw.RoundRobin(players)
		requireField(t, err, "players")
	}
}

// Everybody plays or sits out once a round, and every two meet once.
func TestRoundRobinIsWhole(t *testing.T) {
	t.Parallel()
	for players := 2; players <= 64; players++ {
		rounds, err := draw.RoundRobin(players)
		require.NoError(t, err)
		require.Len(t, rounds, players-1+players%2)
		met, byes := map[draw.Pair]bool{}, map[int]bool{}
		for _, round := range rounds {
			busy := map[int]bool{}
			for _, p := range round {
				for _, n := range []int{p.A, p.B} {
					require.False(t, n != 0 && busy[n], "%d players: %d plays twice in a round", players, n)
					busy[n] = true
				}
				if p.Bye() {
					require.False(t, byes[p.A])
					byes[p.A] = true
					continue
				}
				pair := draw.Pair{A: min(p.A, p.B), B: max(p.A, p.B)}
				require.False(t, met[pair])
				met[pair] = true
			}
			delete(busy, 0)
			require.Len(t, busy, players)
		}
		require.Len(t, met, players*(players-1)/2)
		require.Len(t, byes, players%2*players)
	}
}

func TestExplainRoundRobin(t *testing.T) {
	t.Parallel()
	lines := draw.ExplainRoundRobin(5)
	require.Len(t, lines, 3)
	require.Equal(t, "5 players: 5 rounds, player 1 stays and the others move one place each round", lines[0].Arithmetic)
	require.Equal(t, "5 x 4 / 2 = 10, each pair once", lines[1].Arithmetic)
	require.Len(t, draw.ExplainRoundRobin(6), 2)
}
