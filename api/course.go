package api

import (
	"context"

	"github.com/labstack/echo/v4"

	"marram.example/api/command"
	"marram.example/events"
	"marram.example/events/course"
)

// Course is a course with its tees.
type Course struct {
	ID string `json:"course_id"`
	view
	Name string                 `json:"name"`
	Tees []events.TeeDefinition `json:"tees"` // in the order first defined
}

func courseView(id string, seq events.Sequence, s *course.State) Course {
	out := Course{ID: id, view: view{seq}, Name: s.Name, Tees: make([]events.TeeDefinition, 0, len(s.TeeOrder))}
	for _, name := range s.TeeOrder {
		out.Tees = append(out.Tees, s.Tees[name])
	}
	return out
}

func listCourses(ctx context.Context, r reading) (Page[Course], error) {
	all, err := r.api.Models.Courses.List(ctx)
	if err != nil {
		return Page[Course]{}, fromStore(err)
	}
	views := make([]Course, len(all))
	for i, d := range all {
		views[i] = courseView(d.ID, d.Sequence, d.State)
	}
	return pageOf(r, views, func(c Course) string { return c.ID })
}

func getCourse(ctx context.Context, r reading) (Course, error) {
	s, seq, err := r.api.Commands.Course(ctx, r.Param("course"))
	if err != nil {
		return Course{}, err
	}
	return courseView(r.Param("course"), seq, s), nil
}

func courseAt(_ echo.Context, d command.Done) string { return "/courses/" + d.ID }

func (a *API) addCourse(ctx context.Context, w writing[command.DefineCourse]) (command.Done, error) {
	return a.Commands.DefineCourse(ctx, w.request, "", w.in)
}

func (a *API) changeCourse(ctx context.Context, w writing[command.DefineCourse]) (command.Done, error) {
	id := w.Param("course")
	if _, _, err := a.Commands.Course(ctx, id); err != nil {
		return command.Done{}, err
	}
	return a.Commands.DefineCourse(ctx, w.request, id, w.in)
}
