// Package courses is the read model of the club's courses and their tees.
package courses

import (
	"context"
	"slices"
	"strings"

	"marram.example/events"
	"marram.example/events/course"
	"marram.example/projections"
	"marram.example/projections/store"
)

// Course is a course as it stands, with where it comes from.
type Course = projections.Document[course.State]

// Courses is the projection and its queries.
type Courses struct {
	*projections.Documents[course.State]
}

// New returns the read model of courses in a store.
func New(s *store.Store) *Courses {
	return &Courses{projections.NewDocuments(s, projections.Spec[course.State]{
		Name: "courses", Version: 1, Aggregate: events.Course, New: course.New, Evolve: course.Evolve,
	})}
}

// Get reads one course, or a not-found *events.Error.
func (c *Courses) Get(ctx context.Context, id string) (*Course, error) {
	return c.Documents.Get(ctx, "course_id", id)
}

// List reads all courses, ordered by name without regard to case, then by id. A
// club has a handful.
func (c *Courses) List(ctx context.Context) ([]Course, error) {
	all, err := c.Select(ctx, "")
	if err != nil {
		return nil, err
	}
	slices.SortFunc(all, func(a, b Course) int {
		if byName := strings.Compare(strings.ToLower(a.State.Name), strings.ToLower(b.State.Name)); byName != 0 {
			return byName
		}
		return strings.Compare(a.ID, b.ID)
	})
	return all, nil
}
