// Package course decides what may become of a course and its tees.
package course

import (
	"fmt"
	"maps"
	"strings"
	"unicode/utf8"

	"marram.example/events"
)

// State is what is known of a course.
type State struct {
	Name string                          `json:"name"`
	Tees map[string]events.TeeDefinition `json:"tees"`
	// TeeOrder keeps the tees in the order in which they were first defined.
	TeeOrder []string `json:"tee_order"`
}

// New is a course of which nothing has happened yet.
func New() *State { return &State{Tees: map[string]events.TeeDefinition{}} }

// Clone copies a state so that evolving the copy leaves the original alone.
func Clone(s *State) *State {
	c := *s
	c.Tees = maps.Clone(s.Tees)
	c.TeeOrder = append([]string(nil), s.TeeOrder...)
	return &c
}

// Exists reports whether the course has been defined.
func (s *State) Exists() bool { return s.Name != "" }

// Command is what may be asked of a course.
type Command interface{ command() }

// Define states a course with all its tees, for the first time or again; what
// is the same as before leaves no event.
type Define struct {
	Name   string
	Tees   []events.TeeDefinition
	Reason string // why, when it changes an existing course
}

func (Define) command() {}

// Evolve adds an event to the state.
func Evolve(s *State, e events.Event) {
	switch e := e.(type) {
	case events.CourseDefined:
		s.Name = e.Name
	case events.CourseRevised:
		s.Name = e.Name
	case events.TeeDefined:
		if _, known := s.Tees[e.Tee]; !known {
			s.TeeOrder = append(s.TeeOrder, e.Tee)
		}
		s.Tees[e.Tee] = e.TeeDefinition
	}
}

// Decide turns a command into events, or refuses it with an *events.Error.
func Decide(s *State, c Command) ([]events.Event, error) {
	switch c := c.(type) {
	case Define:
		return define(s, c)
	default:
		return nil, fmt.Errorf("course: unknown command %T", c)
	}
}

func define(s *State, c Define) ([]events.Event, error) {
	name := strings.TrimSpace(c.Name)
	if name == "" || utf8.RuneCountInString(name) > 100 {
		return nil, events.Invalid("name", "required", "a course needs a name of 1 to 100 characters")
	}
	if len(c.Tees) == 0 {
		return nil, events.Invalid("tees", "required", "a course needs at least one tee")
	}
	var out []events.Event
	switch {
	case !s.Exists():
		out = append(out, events.CourseDefined{Name: name})
	case s.Name != name:
		out = append(out, events.CourseRevised{Name: name, Reason: c.Reason})
	}
	seen := map[string]bool{}
	for i, t := range c.Tees {
		field := fmt.Sprintf("tees[%d]", i)
		if err := CheckTee(field, t); err != nil {
			return nil, err
		}
		if seen[t.Tee] {
			return nil, events.Invalid(field+".tee", "duplicate", fmt.Sprintf("tee %q stands twice", t.Tee))
		}
		seen[t.Tee] = true
		if old, ok := s.Tees[t.Tee]; !ok || !equalTee(old, t) {
			out = append(out, events.TeeDefined{TeeDefinition: t})
		}
	}
	return out, nil
}
