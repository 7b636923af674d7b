package scoring

import (
	"fmt"
	"strconv"
)

// ToPar writes a number relative to par, or to two points a hole, with its sign: "−1", "E", "+2".
func ToPar(n int) string {
	switch {
	case n < 0:
		return "\u2212" + strconv.Itoa(-n)
	case n == 0:
		return "E"
	default:
		return "+" + strconv.Itoa(n)
	}
}

// lessText writes a subtraction; taking away a negative number reads as adding.
func lessText(from, taken int) string {
	if taken < 0 {
		return fmt.Sprintf("%d + %d", from, -taken)
	}
	return fmt.Sprintf("%d - %d", from, taken)
}

// halves writes out + in = total, or the one half that the card has.
func halves(out, in int, r Result) string {
	switch {
	case r.In.Holes == 0:
		return fmt.Sprintf("%d on %s", out, holesText(r.HolesPlayed))
	case r.Out.Holes == 0:
		return fmt.Sprintf("%d on %s", in, holesText(r.HolesPlayed))
	default:
		return fmt.Sprintf("%d out + %d in = %d", out, in, out+in)
	}
}

func holesText(n int) string {
	if n == 1 {
		return "1 hole"
	}
	return strconv.Itoa(n) + " holes"
}

// fractionText writes num/den in lowest terms, for a positive den: "65/2", "34", "-3/2".
func fractionText(num, den int) string {
	a, b := den, num%den
	if b < 0 {
		b = -b
	}
	for b != 0 {
		a, b = b, a%b
	}
	if den == a {
		return strconv.Itoa(num / a)
	}
	return strconv.Itoa(num/a) + "/" + strconv.Itoa(den/a)
}
