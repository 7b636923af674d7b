package handicap

import (
	"fmt"
	"strconv"
)

// Line is one step of a sum, ready to be shown: what it yields, the arithmetic with its result, and the rule behind it.
// Plus handicaps keep their mathematical sign (negative) inside Arithmetic, so that the sum can be followed.
type Line struct {
	Label      string `json:"label"`
	Arithmetic string `json:"arithmetic"`
	Rule       string `json:"rule"`
}

// Explanation is a sum from its inputs to its result, in order.
type Explanation []Line

// plusNote names a negative handicap the way golfers write it; it is empty for others.
func plusNote(shown string, negative bool) string {
	if !negative {
		return ""
	}
	return ", a plus handicap: " + shown
}

// signedTenths writes tenths with their mathematical sign: -23 is "-2.3".
func signedTenths(tenths int) string {
	sign := ""
	if tenths < 0 {
		sign, tenths = "-", -tenths
	}
	return sign + strconv.Itoa(tenths/10) + "." + strconv.Itoa(tenths%10)
}

// percentText writes hundredths of a percent without needless zeros: 9500 is "95%", 8750 is "87.5%".
func percentText(hundredths int) string {
	whole, rest := hundredths/100, hundredths%100
	switch {
	case rest == 0:
		return fmt.Sprintf("%d%%", whole)
	case rest%10 == 0:
		return fmt.Sprintf("%d.%d%%", whole, rest/10)
	default:
		return fmt.Sprintf("%d.%02d%%", whole, rest)
	}
}
