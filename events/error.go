package events

import (
	"errors"
	"fmt"
)

// Kind sorts domain errors by what the caller can do about them.
type Kind string

// The kinds. The api layer alone maps them to HTTP.
const (
	KindInvalid   Kind = "invalid"   // the input breaks a rule; changing it helps
	KindNotFound  Kind = "not_found" // the thing named does not exist
	KindConflict  Kind = "conflict"  // something else happened first; read again
	KindForbidden Kind = "forbidden" // this person may not do this
	KindNotNow    Kind = "not_now"   // right input, wrong moment: the state forbids it
)

// Error is the one domain error: what a person and a machine need to know about
// a refused command. Nothing has been stored when one is returned.
type Error struct {
	Kind   Kind   // what the caller can do about it
	Code   string // stable name for machines, snake_case
	Field  string // the field at fault, as the API spells it; empty where none is
	Detail string // a sentence for people
	Rule   string // the rule behind it and its source, where there is one
}

func (e *Error) Error() string {
	if e.Field == "" {
		return e.Detail
	}
	return fmt.Sprintf("%s: %s", e.Field, e.Detail)
}

// WithRule returns a copy that names the rule behind the refusal.
func (e *Error) WithRule(rule string) *Error {
	c := *e
	c.Rule = rule
	return &c
}

// WithField returns a copy that names another field, for callers that know a
// longer path to it than the decider does.
func (e *Error) WithField(field string) *Error {
	c := *e
	c.Field = field
	return &c
}

// Invalid says that field breaks a rule.
func Invalid(field, code, detail string) *Error {
	return &Error{Kind: KindInvalid, Code: code, Field: field, Detail: detail}
}

// NotFound says that what field names does not exist.
func NotFound(field, detail string) *Error {
	return &Error{Kind: KindNotFound, Code: "not_found", Field: field, Detail: detail}
}

// NotNow says that the state forbids the command.
func NotNow(field, code, detail string) *Error {
	return &Error{Kind: KindNotNow, Code: code, Field: field, Detail: detail}
}

// Forbidden says that the person may not do this.
func Forbidden(code, detail string) *Error {
	return &Error{Kind: KindForbidden, Code: code, Detail: detail}
}

// Conflict says that something else happened first.
func Conflict(field, code, detail string) *Error {
	return &Error{Kind: KindConflict, Code: code, Field: field, Detail: detail}
}

// AsError finds the domain error in a chain, or nil.
func AsError(err error) *Error {
	var e *Error
	if errors.As(err, &e) {
		return e
	}
	return nil
}
