package scoring

import (
	"fmt"
	"strconv"

	"marram.example/projections/handicap"
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
		return fmt.Sprintf("%d on %s", out, holesText(r.HolesPlayed-r.Total.Excluded))
	case r.Out.Holes == 0:
		return fmt.Sprintf("%d on %s", in, holesText(r.HolesPlayed-r.Total.Excluded))
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

// signed writes a number with its sign, and 0 without one: "+1", "0", "−1".
func signed(n int) string {
	if n == 0 {
		return "0"
	}
	return ToPar(n)
}

// holeLine begins the line that explains a hole; that an excluded hole adds nothing is said already.
func holeLine(h HoleResult, rule string) handicap.Line {
	line := handicap.Line{Label: fmt.Sprintf("Hole %d", h.Hole), Rule: rule}
	if h.Score.State == Excluded {
		line.Arithmetic, line.Rule = "the hole counts for nobody", "the committee's decision"
	}
	return line
}

// strokesText writes the strokes of a hole that was holed, with a penalty beside them.
func strokesText(h HoleResult) string {
	switch h.Penalty {
	case 0:
		return strconv.Itoa(h.Score.Strokes)
	case 1:
		return fmt.Sprintf("%d + 1 penalty stroke", h.Score.Strokes)
	default:
		return fmt.Sprintf("%d + %d penalty strokes", h.Score.Strokes, h.Penalty)
	}
}

// netOnly writes strokes, penalty and strokes received of a hole, and what they come to.
func netOnly(h HoleResult) string {
	text := strokesText(h)
	switch {
	case h.Received < 0:
		text += fmt.Sprintf(" + %d", -h.Received)
	case h.Received > 0:
		text += fmt.Sprintf(" - %d", h.Received)
	case h.Penalty == 0:
		return text
	}
	return fmt.Sprintf("%s = %d", text, h.Net)
}

// netText is netOnly with where it stands to par.
func netText(h HoleResult) string {
	return fmt.Sprintf("%s, %s to par %d", netOnly(h), ToPar(h.NetToPar), h.Par)
}

// roundPenaltyLines explains what counts against the round: nothing where there is none.
func roundPenaltyLines(r Result, total int) handicap.Explanation {
	if r.RoundPenalty == 0 {
		return nil
	}
	before, sign := total-r.RoundPenalty, "+"
	if r.Unit != UnitStrokes {
		before, sign = total+r.RoundPenalty, "-"
	}
	return handicap.Explanation{{
		Label: "Against the round", Arithmetic: fmt.Sprintf("%d %s %d = %d", before, sign, r.RoundPenalty, total), Rule: "the committee's policy",
	}}
}
