package events

import (
	"math/big"
	"testing"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"
)

// exactHalfUp is floor(num/den + 1/2) in exact arithmetic.
func exactHalfUp(num, den int64) int64 {
	sum := new(big.Rat).Add(big.NewRat(num, den), big.NewRat(1, 2))
	// Div is Euclidean; with a positive denominator that is the floor.
	return new(big.Int).Div(sum.Num(), sum.Denom()).Int64()
}

func TestRoundHalfUp(t *testing.T) {
	t.Parallel()
	for _, c := range []struct{ num, den, want int64 }{
		{0, 1, 0}, {1, 2, 1}, {-1, 2, 0}, {3, 2, 2}, {-3, 2, -1}, {-5, 2, -2}, {11, 2, 6}, {95, 10, 10}, {-105, 10, -10},
		{49, 100, 0}, {51, 100, 1}, {-49, 100, 0}, {-51, 100, -1}, {-250, 100, -2}, {-251, 100, -3}, {7, 1, 7}, {-7, 1, -7},
	} {
		require.Equal(t, c.want, exactHalfUp(c.num, c.den), "the reference on %d/%d", c.num, c.den)
		require.Equal(t, c.want, roundHalfUp(c.num, c.den), "%d/%d", c.num, c.den)
	}
}

func TestRoundHalfUpAgreesWithExactArithmetic(t *testing.T) {
	t.Parallel()
	for den := int64(1); den <= 60; den++ {
		for num := -5 * den; num <= 5*den; num++ {
			require.Equal(t, exactHalfUp(num, den), roundHalfUp(num, den), "%d/%d", num, den)
		}
	}
	rapid.Check(t, func(t *rapid.T) {
		den := rapid.Int64Range(1, 1<<30).Draw(t, "den")
		num := rapid.OneOf(
			rapid.Int64Range(-1<<40, 1<<40),
			rapid.Map(rapid.Int64Range(-1<<20, 1<<20), func(k int64) int64 { return (2*k + 1) * den / 2 }), // at or beside a half
		).Draw(t, "num")
		require.Equal(t, exactHalfUp(num, den), roundHalfUp(num, den), "%d/%d", num, den)
	})
}
