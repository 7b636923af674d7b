package command

import (
	"context"

	"marram.example/events"
	"marram.example/events/course"
	eventlog "marram.example/events/log"
)

// DefineCourse states a course with its tees, for the first time or again.
type DefineCourse struct {
	Name   string                 `json:"name"`
	Tees   []events.TeeDefinition `json:"tees"`
	Reason string                 `json:"reason"`
}

// DefineCourse is the use case of the same name. A course keeps its id while its
// name stays; id renames it.
func (s *Service) DefineCourse(ctx context.Context, r Request, id string, in DefineCourse) (Done, error) {
	if err := s.committee(r); err != nil {
		return Done{}, err
	}
	if id == "" {
		id = s.CourseID(in.Name)
	}
	return s.run(ctx, r, s.courseStep(id, in, r.expect()...))
}

func (s *Service) courseStep(id string, in DefineCourse, o ...eventlog.StepOption) eventlog.Step {
	return eventlog.Do(courses, events.CourseStream(s.club, id), course.Command(course.Define(in)), o...)
}

// Course reads a course from the log.
func (s *Service) Course(ctx context.Context, id string) (*course.State, events.Sequence, error) {
	c, v, err := eventlog.Load(ctx, s.log, courses, events.CourseStream(s.club, id))
	if err != nil {
		return nil, 0, err
	}
	if !c.Exists() {
		return nil, 0, events.NotFound("course_id", "no such course")
	}
	return c, v.Sequence, nil
}
