package web

import (
	"slices"
	"strings"
)

// When reports whether a condition holds of what the form says. A field that does
// not apply is hidden by it: here when the page is written, by the script as soon
// as something else is chosen. Conditions are joined by "|" for any and ";" for
// all: "side=scramble,best_of;rounds!=1".
func (f *form) When(condition string) bool {
	return slices.ContainsFunc(strings.Split(condition, "|"), func(every string) bool {
		for clause := range strings.SplitSeq(every, ";") {
			name, values, _ := strings.Cut(clause, "=")
			name, not := strings.CutSuffix(name, "!")
			if slices.Contains(strings.Split(values, ","), f.V(name)) == not {
				return false
			}
		}
		return true
	})
}
