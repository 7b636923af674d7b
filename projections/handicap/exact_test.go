package handicap_test

import (
	"math/big"
	"testing"

	"github.com/stretchr/testify/require"

	"marram.example/projections/handicap"
)

// halfUp rounds with math/big alone: floor(x + 1/2).
func halfUp(x *big.Rat) int64 {
	shifted := new(big.Rat).Add(x, big.NewRat(1, 2))
	// Euclidean division by a positive number is the floor.
	return new(big.Int).Div(shifted.Num(), shifted.Denom()).Int64()
}

// TestGridAgainstBig works out course and playing handicaps a second time with arbitrary precision, over a dense grid of
// indexes and slopes and a spread of ratings, allowances and pars.
func TestGridAgainstBig(t *testing.T) {
	t.Parallel()
	ratings := []handicap.Rating{612, 698, 705, 713, 720, 759}
	pars := []int{68, 71, 72}
	allowances := []handicap.Allowance{0, 5000, 8500, 8750, 9500, 10000}
	cases := 0
	for index := handicap.LowestIndex; index <= handicap.HighestIndex; index++ {
		// Every third slope, another third at every index.
		for slope := handicap.LowestSlope + handicap.Slope(cases%3); slope <= handicap.HighestSlope; slope += 3 {
			rating := ratings[cases%len(ratings)]
			par := pars[cases/7%len(pars)]
			allowance := allowances[cases/11%len(allowances)]
			cases++
			want := new(big.Rat).Mul(big.NewRat(int64(index), 10), big.NewRat(int64(slope), 113))
			want.Add(want, new(big.Rat).Sub(big.NewRat(int64(rating), 10), big.NewRat(int64(par), 1)))
			course, _, err := handicap.CourseHandicap18(index, slope, rating, par, handicap.WithRatingLessPar)
			if err != nil {
				t.Fatal(err)
			}
			if want.Num().Int64() != course.Num || want.Denom().Int64() != course.Den || halfUp(want) != int64(course.Rounded()) {
				t.Fatalf("index %s slope %d rating %s par %d: %s, want %s", index, slope, rating, par, course, want)
			}
			difference := cases % 3
			playing, _, err := handicap.PlayingHandicap(course, allowance, difference)
			if err != nil {
				t.Fatal(err)
			}
			want.Mul(want, big.NewRat(int64(allowance), 10000)).Add(want, big.NewRat(int64(difference), 1))
			if halfUp(want) != int64(playing) {
				t.Fatalf("course %s at %s plus %d: %s, want %s", course, allowance, difference, playing, want)
			}
		}
	}
	require.Greater(t, cases, 20_000)
}

// TestNineHoleGridAgainstBig does the same for nine holes, where half the index is rounded first.
func TestNineHoleGridAgainstBig(t *testing.T) {
	t.Parallel()
	for index := handicap.LowestIndex; index <= handicap.HighestIndex; index++ {
		for slope := handicap.LowestSlope; slope <= handicap.HighestSlope; slope += 7 {
			half := halfUp(new(big.Rat).Mul(big.NewRat(int64(index), 20), big.NewRat(10, 1)))
			want := new(big.Rat).Mul(big.NewRat(half, 10), big.NewRat(int64(slope), 113))
			want.Add(want, big.NewRat(346-350, 10))
			course, _, err := handicap.CourseHandicap9(index, slope, 346, 35, handicap.WithRatingLessPar)
			if err != nil {
				t.Fatal(err)
			}
			if want.Num().Int64() != course.Num || want.Denom().Int64() != course.Den {
				t.Fatalf("index %s slope %d: %s, want %s", index, slope, course, want)
			}
		}
	}
}

func TestRoundTenthAgainstBig(t *testing.T) {
	t.Parallel()
	for _, den := range []int64{1, 2, 3, 7, 8, 9, 10, 18, 20, 100, 113, 155, 1130} {
		for num := int64(-700); num <= 700; num++ {
			got, err := handicap.RoundTenth(num, den)
			if err != nil {
				t.Fatal(err)
			}
			if want := halfUp(big.NewRat(10*num, den)); want != got {
				t.Fatalf("%d/%d: %d, want %d", num, den, got, want)
			}
		}
	}
	got, err := handicap.RoundTenth(1<<58-1, 1<<58-1)
	require.NoError(t, err)
	require.EqualValues(t, 10, got)
	for _, bad := range [][2]int64{{1, 0}, {1, -2}, {1 << 58, 1}, {-1 << 63, 1}, {1, 1 << 58}} {
		_, err := handicap.RoundTenth(bad[0], bad[1])
		requireField(t, err, "value")
	}
}
