package handicap

import (
	"encoding/json"
	"fmt"
	"strconv"
)

// Course is a course handicap in strokes, kept as the exact fraction Num/Den in lowest terms with a positive
// denominator. It stays unrounded until a rule asks for a whole number (note to Rules of Handicapping 6.1). A plus
// handicap is negative. Build one with [NewCourse]; the zero value stands for 0.
type Course struct {
	Num int64 `json:"num"`
	Den int64 `json:"den"`
}

// Limits within which all later arithmetic fits into 64 bits with room to spare. No rated tee comes near 200 strokes.
const (
	maxStrokes     = 200
	maxDenominator = 100_000_000
)

// NewCourse returns the course handicap num/den in lowest terms. It refuses a denominator that is not positive or needs
// more than eight decimals, and values beyond 200 strokes, with an [InputError] of field "course_handicap".
func NewCourse(num, den int64) (Course, error) {
	const field = "course_handicap"
	if den <= 0 {
		return Course{}, refuse(field, "", "the denominator must be positive, not %d", den)
	}
	divisor := gcd(num, den)
	n, d := num/divisor, den/divisor
	if d > maxDenominator {
		return Course{}, refuse(field, "", "%d/%d is finer than eight decimals", num, den)
	}
	if n < -maxStrokes*d || n > maxStrokes*d {
		return Course{}, refuse(field, "", "%d/%d is beyond %d strokes", num, den, maxStrokes)
	}
	return Course{Num: n, Den: d}, nil
}

// Rounded returns the nearest whole number, a half going up. It is for net double bogey, net par and differentials only
// (Rules of Handicapping 6.1, note); a playing handicap starts from the unrounded value.
func (c Course) Rounded() int { return int(roundHalfUp(c.Num, c.denominator())) }

// Compare is negative where c is the lower course handicap, algebraically; a plus handicap is the lowest.
func (c Course) Compare(other Course) int { return compareCourses(c, other) }

// String shows up to three decimals, a plus handicap with a leading plus: "13.346", "8", "+5.623".
func (c Course) String() string { return shownDecimal(c.Num, c.denominator()) }

// UnmarshalJSON reads the object with num and den, and refuses what [NewCourse] refuses.
func (c *Course) UnmarshalJSON(data []byte) error {
	var raw struct{ Num, Den int64 }
	if err := json.Unmarshal(data, &raw); err != nil {
		return fmt.Errorf("course handicap: %w", err)
	}
	parsed, err := NewCourse(raw.Num, raw.Den)
	if err != nil {
		return err
	}
	*c = parsed
	return nil
}

// MarshalJSON writes the object with num and den in lowest terms; the zero value becomes 0/1.
func (c Course) MarshalJSON() ([]byte, error) {
	return fmt.Appendf(nil, `{"num":%d,"den":%d}`, c.Num, c.denominator()), nil
}

func (c Course) denominator() int64 {
	if c.Den == 0 {
		return 1
	}
	return c.Den
}

// gcd is the greatest common divisor of a positive den and any num; the remainder's sign does not matter to it.
func gcd(num, den int64) int64 {
	a, b := den, num%den
	if b < 0 {
		b = -b
	}
	for b != 0 {
		a, b = b, a%b
	}
	return a
}

// signedDecimal writes num/den with up to three decimals and its mathematical sign, for sums.
func signedDecimal(num, den int64) string {
	thousandths := roundHalfUp(1000*num, den)
	sign := ""
	if thousandths < 0 {
		sign, thousandths = "-", -thousandths
	}
	text := strconv.FormatInt(thousandths/1000, 10)
	if rest := thousandths % 1000; rest != 0 {
		decimals := fmt.Sprintf("%03d", rest)
		for decimals[len(decimals)-1] == '0' {
			decimals = decimals[:len(decimals)-1]
		}
		text += "." + decimals
	}
	return sign + text
}

// shownDecimal is signedDecimal as golfers write it: a negative value gets a plus, a positive one no sign.
func shownDecimal(num, den int64) string {
	text := signedDecimal(num, den)
	if text[0] == '-' {
		return "+" + text[1:]
	}
	return text
}
