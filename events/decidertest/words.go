package decidertest

import "marram.example/events"

// Refused is how a command is turned down.
func Refused(kind events.Kind, code, field string) *Refusal {
	return &Refusal{Kind: kind, Code: code, Field: field}
}

// Invalid refuses what could never be.
func Invalid(code, field string) *Refusal { return Refused(events.KindInvalid, code, field) }

// NotNow refuses what cannot be at this moment.
func NotNow(code, field string) *Refusal { return Refused(events.KindNotNow, code, field) }

// Conflict refuses what stands against something else.
func Conflict(code, field string) *Refusal { return Refused(events.KindConflict, code, field) }

// Given joins events and lists of events.
func Given(parts ...any) []events.Event {
	var out []events.Event
	for _, p := range parts {
		switch p := p.(type) {
		case events.Event:
			out = append(out, p)
		case []events.Event:
			out = append(out, p...)
		}
	}
	return out
}
