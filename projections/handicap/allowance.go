package handicap

import (
	"fmt"
	"strings"
)

// Allowance is a handicap allowance in hundredths of a percent: 9500 is 95%, 8750 is 87.5%. The committee states it in
// the terms of the competition (Rules of Handicapping, Appendix C).
type Allowance int

// HighestAllowance is 200%. The published recommendations end at 100%; what lies beyond twice the handicap is taken for
// a slip of the finger (common practice, no source).
const HighestAllowance Allowance = 20000

// Percent returns an allowance of whole percents.
func Percent(whole int) Allowance { return Allowance(100 * whole) }

// ParseAllowance reads "95", "95%", "87.5" or "87,5", with up to two decimals. The error is an [InputError] with field
// "allowance".
func ParseAllowance(text string) (Allowance, error) {
	const field = "allowance"
	s := strings.TrimSpace(strings.TrimSuffix(strings.TrimSpace(text), "%"))
	whole, decimals, found := strings.Cut(strings.Replace(s, ",", ".", 1), ".")
	if whole == "" || len(whole) > 3 || len(decimals) > 2 || (found && decimals == "") {
		return 0, refuse(field, "", "%q is not a percentage; write 95 or 87.5", text)
	}
	for len(decimals) < 2 {
		decimals += "0"
	}
	value := 0
	for _, r := range whole + decimals {
		if r < '0' || r > '9' {
			return 0, refuse(field, "", "%q is not a percentage; write 95 or 87.5", text)
		}
		value = 10*value + int(r-'0')
	}
	allowance := Allowance(value)
	if err := allowance.Validate(); err != nil {
		return 0, err
	}
	return allowance, nil
}

// String shows the percentage without needless zeros: "95%", "87.5%".
func (a Allowance) String() string {
	if a < 0 {
		return "-" + percentText(-int(a))
	}
	return percentText(int(a))
}

// Validate refuses an allowance outside 0% to 200% with an [InputError].
func (a Allowance) Validate() error {
	if a < 0 || a > HighestAllowance {
		return refuse("allowance", "Rules of Handicapping, Appendix C; 0% to 200%", "%s is outside 0%% to %s", a, HighestAllowance)
	}
	return nil
}

// Of applies the allowance to the unrounded course handicap (Rules of Handicapping 2024, Appendix C). A plus handicap
// moves toward zero. The result is not rounded yet.
func (a Allowance) Of(course Course) (Unrounded, error) {
	if err := a.Validate(); err != nil {
		return Unrounded{}, err
	}
	checked, err := NewCourse(course.Num, course.denominator())
	if err != nil {
		return Unrounded{}, err
	}
	num, den := checked.Num*int64(a), checked.Den*10000
	divisor := gcd(num, den)
	return Unrounded{Num: num / divisor, Den: den / divisor}, nil
}

// Unrounded is a playing handicap before it is rounded, in strokes, as an exact fraction in lowest terms.
type Unrounded struct {
	Num int64 `json:"num"`
	Den int64 `json:"den"`
}

// Rounded returns the nearest whole number of strokes, a half going up (Rules of Handicapping 6.2).
func (u Unrounded) Rounded() Playing { return Playing(roundHalfUp(u.Num, u.denominator())) }

// String shows up to three decimals, a plus handicap with a leading plus.
func (u Unrounded) String() string { return shownDecimal(u.Num, u.denominator()) }

func (u Unrounded) denominator() int64 {
	if u.Den == 0 {
		return 1
	}
	return u.Den
}

func (u Unrounded) plus(strokes int) Unrounded {
	return Unrounded{Num: u.Num + int64(strokes)*u.denominator(), Den: u.denominator()}
}

func (u Unrounded) signed() string { return signedDecimal(u.Num, u.denominator()) }

func (a Allowance) sum(course Course, result Unrounded) string {
	return fmt.Sprintf("%s x %s = %s", signedDecimal(course.Num, course.denominator()), a, result.signed())
}
