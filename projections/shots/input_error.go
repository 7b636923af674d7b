package shots

import "fmt"

// InputError says which input was refused and why. Field is the input's name in snake_case as it is written in JSON, Problem a
// sentence for people without the field's name, and Rule the rule or limit that was applied (may be empty).
type InputError struct {
	Field   string
	Problem string
	Rule    string
}

// Error returns the field, the problem and, where there is one, the rule.
func (e *InputError) Error() string {
	if e.Rule == "" {
		return e.Field + ": " + e.Problem
	}
	return e.Field + ": " + e.Problem + " (" + e.Rule + ")"
}

func refuse(field, rule, format string, args ...any) *InputError {
	return &InputError{Field: field, Problem: fmt.Sprintf(format, args...), Rule: rule}
}
