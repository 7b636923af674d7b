package web

import (
	"fmt"
	"net/http"
	"net/url"
	"strconv"

	"github.com/labstack/echo/v4"

	"marram.example/api/command"
	"marram.example/events"
	"marram.example/events/course"
	"marram.example/projections/courses"
)

// deskCoursesPage lists the club's courses.
type deskCoursesPage struct {
	Courses []courses.Course
	Done    string
}

func (w *Web) deskCourses(c echo.Context) error {
	all, err := w.api.Models.Courses.List(c.Request().Context())
	if err != nil {
		return err
	}
	return w.deskPage(c, http.StatusOK, "desk_courses.html", "Courses", deskCoursesPage{all, doneWord(c)})
}

// deskCoursePage shows one course with its tees and holes.
type deskCoursePage struct {
	ID     string
	Course *course.State
	Tees   []drawnTee
	Done   string
}

// drawnTee is a tee with its holes to be drawn.
type drawnTee struct {
	events.TeeDefinition
	Holes  []drawnHole
	Wide   int // units of the drawing
	Out    int // par of the first nine
	In     int // par of the second; 0 on nine holes
	Length int // metres, all holes; 0 where one is unknown
	Checks []deskCheck
}

// drawnHole is one hole: a bar as long as it plays.
type drawnHole struct {
	events.Hole
	X        int     // units from the left
	Y, H     float64 // top and height of the fairway
	HardWide float64 // stripe: the lower the stroke index, the longer
}

// deskCheck is one thing that was looked at.
type deskCheck struct {
	OK    bool
	Words string
}

func (w *Web) deskCourse(c echo.Context) error {
	id := c.Param("course")
	s, _, err := w.api.Commands.Course(c.Request().Context(), id)
	if err != nil {
		return err
	}
	p := deskCoursePage{ID: id, Course: s, Done: doneWord(c)}
	for _, name := range s.TeeOrder {
		p.Tees = append(p.Tees, drawTee(s.Tees[name]))
	}
	return w.deskPage(c, http.StatusOK, "desk_course.html", s.Name, p)
}

// Measures of the drawing, in its own units.
const (
	holeUnits    = 26
	fairwayUnits = 90
)

func drawTee(t events.TeeDefinition) drawnTee {
	d := drawnTee{TeeDefinition: t}
	longest, known := 0, true
	for _, h := range t.Holes {
		longest = max(longest, h.LengthM)
		known = known && h.LengthM > 0
		d.Length += h.LengthM
		if h.Number <= 9 {
			d.Out += h.Par
		} else {
			d.In += h.Par
		}
	}
	if !known {
		d.Length = 0
	}
	n := len(t.Holes)
	d.Wide = n * holeUnits
	for i, h := range t.Holes {
		x := drawnHole{Hole: h, X: i * holeUnits, HardWide: 18 * float64(n+1-h.StrokeIndex) / float64(n), H: 20}
		if longest > 0 {
			x.H = max(20, fairwayUnits*float64(h.LengthM)/float64(longest))
		}
		x.Y = 100 - x.H
		d.Holes = append(d.Holes, x)
	}
	d.Checks = checkIndexes(t)
	return d
}

// deskTeePage states a tee, on a new course or on one that is known.
type deskTeePage struct {
	ID     string // of the course; empty for a new one
	Course string
	Tee    string // that is changed; empty for a new one
	Form   *form
	Holes  []int
}

func (w *Web) deskTee(c echo.Context) error { return w.deskShowTee(c, nil) }

func (w *Web) deskShowTee(c echo.Context, f *form) error {
	p := deskTeePage{ID: c.Param("course"), Tee: c.QueryParam("tee"), Form: f}
	var at events.Sequence
	values := url.Values{}
	if p.ID != "" {
		s, seq, err := w.api.Commands.Course(c.Request().Context(), p.ID)
		if err != nil {
			return err
		}
		p.Course, at = s.Name, seq
		if t, ok := s.Tees[p.Tee]; ok {
			values = teeValues(t)
		} else if len(s.TeeOrder) > 0 { // holes and indexes are often the same
			values = teeValues(s.Tees[s.TeeOrder[0]])
			for _, own := range []string{"tees[0].tee", "tees[0].course_rating", "tees[0].slope_rating"} {
				values.Del(own)
			}
		}
	}
	if f == nil {
		p.Form = newForm(at, values)
	}
	p.Form.again(at, values)
	for i := range 18 {
		p.Holes = append(p.Holes, i)
	}
	title := "New course"
	if p.ID != "" {
		title = "Tee of " + p.Course
	}
	return w.deskPage(c, p.Form.Status(), "desk_tee.html", title, p)
}

func teeValues(t events.TeeDefinition) url.Values {
	v := url.Values{
		"tees[0].tee": {t.Tee}, "tees[0].course_rating": {ratingText(t.CourseRatingTenths)}, "tees[0].slope_rating": {strconv.Itoa(t.SlopeRating)},
	}
	for name, nine := range map[string]*events.NineRating{"front": t.Front, "back": t.Back} {
		if nine != nil {
			v.Set("tees[0]."+name+".course_rating", ratingText(nine.CourseRatingTenths))
			v.Set("tees[0]."+name+".slope_rating", strconv.Itoa(nine.SlopeRating))
		}
	}
	for i, h := range t.Holes {
		v.Set(holeField(i, "par"), strconv.Itoa(h.Par))
		v.Set(holeField(i, "stroke_index"), strconv.Itoa(h.StrokeIndex))
		v.Set(holeField(i, "length_m"), positive(h.LengthM))
	}
	return v
}

// Columns are what is stated of a hole.
func (deskTeePage) Columns() []string { return []string{"par", "stroke_index", "length_m"} }

// Field is the name of a hole's field.
func (deskTeePage) Field(i int, name string) string { return holeField(i, name) }

func holeField(i int, name string) string { return fmt.Sprintf("tees[0].holes[%d].%s", i, name) }

func teeOf(r *cells) events.TeeDefinition {
	rating := func(name string) int {
		n, err := parseTenths(r.text(name))
		if err != nil {
			r.wrong(events.Invalid(name, "malformed", err.Error()))
		}
		return n
	}
	t := events.TeeDefinition{
		Tee: r.text("tees[0].tee"), CourseRatingTenths: rating("tees[0].course_rating"), SlopeRating: r.whole("tees[0].slope_rating", 0),
	}
	nine := func(at string) *events.NineRating {
		if r.text(at+".course_rating") == "" && r.text(at+".slope_rating") == "" {
			return nil
		}
		return &events.NineRating{CourseRatingTenths: rating(at + ".course_rating"), SlopeRating: r.whole(at+".slope_rating", 0)}
	}
	t.Front, t.Back = nine("tees[0].front"), nine("tees[0].back")
	holes := 9
	for i := 9; i < 18; i++ {
		for _, name := range []string{"par", "stroke_index", "length_m"} {
			if r.text(holeField(i, name)) != "" {
				holes = 18
			}
		}
	}
	for i := range holes {
		t.Holes = append(t.Holes, events.Hole{
			Number: i + 1, Par: r.whole(holeField(i, "par"), 0), StrokeIndex: r.whole(holeField(i, "stroke_index"), 0),
			LengthM: r.whole(holeField(i, "length_m"), 0),
		})
	}
	return t
}

func (w *Web) deskTeeSave(c echo.Context) error {
	f, err := readForm(c)
	if err != nil {
		return err
	}
	id, r := c.Param("course"), &cells{v: f.Values}
	in := command.DefineCourse{Name: r.text("name"), Tees: []events.TeeDefinition{teeOf(r)}, Reason: r.text("reason")}
	if r.refused(f) {
		return w.deskShowTee(c, f)
	}
	made, err := w.api.Commands.DefineCourse(c.Request().Context(), w.request(c, f), id, in)
	if err != nil {
		if err = f.refuse(err); err != nil {
			return err
		}
		return w.deskShowTee(c, f)
	}
	w.settle(c, made.Position)
	return done(c, "/desk/courses/"+made.ID, "tee")
}
