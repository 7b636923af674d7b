package web

import (
	"encoding/json"
	"fmt"

	"github.com/labstack/echo/v4"

	"marram.example/api/command"
	"marram.example/events"
	"marram.example/projections/courses"
)

// deskTermsPage states the terms of a competition.
type deskTermsPage struct {
	*deskComp
	Form      *form
	Courses   []courses.Course
	Formats   []choice
	Published string // the allowance that is published for the format chosen, with its source
	Divisions []int  // rows of the editor
	Prizes    []int
	Fixed     bool // cards are out
}

// choice is one line of a list to choose from.
type choice struct{ Value, Label string }

// formats are what can be played, in words.
func formats() []choice {
	return []choice{{"stroke_play", "Stroke play (medal)"}, {"stableford", "Stableford"}}
}

// blankRows is how many empty rows an editor offers beyond those in use.
const blankRows = 2

func rowNumbers(used, atLeast int) []int {
	out := make([]int, max(used+blankRows, atLeast))
	for i := range out {
		out[i] = i
	}
	return out
}

func (w *Web) deskTerms(c echo.Context) error { return w.deskShowTerms(c, nil) }

func (w *Web) deskShowTerms(c echo.Context, f *form) error {
	k, err := w.deskComp(c, "terms")
	if err != nil {
		return err
	}
	p := deskTermsPage{deskComp: k, Formats: formats(), Fixed: !k.Is("planned", "drawn")}
	if p.Courses, err = w.api.Models.Courses.List(c.Request().Context()); err != nil {
		return err
	}
	now := k.State.Terms
	if now == nil {
		preset := command.PresetTerms("")
		if len(p.Courses) == 1 {
			preset.CourseID, preset.Tees = p.Courses[0].ID, p.Courses[0].State.TeeOrder
		}
		now = &preset
	}
	if f == nil {
		f = newForm(k.Seq, termsValues(now))
	}
	f.again(k.Seq, termsValues(now))
	p.Form = f
	p.Published = publishedAllowance(f.V("format"))
	p.Divisions = rowNumbers(countRows(f.Values, "divisions"), 3)
	p.Prizes = rowNumbers(countRows(f.Values, "prizes"), 6)
	return w.deskPage(c, f.Status(), "desk_terms.html", "Terms of "+k.State.Name, p, "desk.js")
}

// publishedAllowance says what is published for a format, and where.
func publishedAllowance(format string) string {
	t := command.PresetTerms(format)
	if t.AllowanceSource == byCommittee {
		return ""
	}
	return fmt.Sprintf("%d%% (%s)", t.AllowancePercent, t.AllowanceSource)
}

// byCommittee is the source of an allowance that nobody published.
const byCommittee = "committee"

// Allowances are the published allowances by format, for the script that fills
// the field in when another format is chosen.
func (p deskTermsPage) Allowances() (string, error) {
	out := map[string]map[string]any{}
	for _, f := range p.Formats {
		t := command.PresetTerms(f.Value)
		out[f.Value] = map[string]any{"percent": t.AllowancePercent, "says": publishedAllowance(f.Value), "par_difference": t.ParDifference}
	}
	b, err := json.Marshal(out)
	return string(b), err
}

// Tee is how a tee is named in the form: tees of several courses stand there.
func (p deskTermsPage) Tee(course, tee string) string { return course + "/" + tee }

func (w *Web) deskTermsSet(c echo.Context) error {
	f, err := readForm(c)
	if err != nil {
		return err
	}
	tidyRows(f.Values, "divisions", "name", "from", "to")
	tidyRows(f.Values, "prizes", "name", "ranking", "division", "places")
	if f.V("preset") != "" { // not sent yet, only another format looked at
		t := command.PresetTerms(f.V("format"))
		f.Values.Set("allowance_percent", fmt.Sprint(t.AllowancePercent))
		f.Values.Del("par_difference")
		if t.ParDifference {
			f.Values.Set("par_difference", "1")
		}
		f.Values.Del("preset")
		return w.deskShowTerms(c, f)
	}
	ctx, id := c.Request().Context(), c.Param("competition")
	tees, err := w.teeOrder(c, f.V("course_id"))
	if err != nil {
		return err
	}
	r := &cells{v: f.Values}
	t := termsOf(r, tees)
	if r.refused(f) {
		return w.deskShowTerms(c, f)
	}
	if _, err := w.api.Commands.SetTerms(ctx, w.request(c, f), id, t); err != nil {
		if err = f.refuse(err); err != nil {
			return err
		}
		return w.deskShowTerms(c, f)
	}
	return done(c, "/desk/competitions/"+id, "terms")
}

// teeOrder lists the tees of a course; none where there is no such course.
func (w *Web) teeOrder(c echo.Context, course string) ([]string, error) {
	if course == "" {
		return nil, nil
	}
	s, _, err := w.api.Commands.Course(c.Request().Context(), course)
	switch {
	case err == nil:
		return s.TeeOrder, nil
	case events.AsError(err) != nil:
		return nil, nil //nolint:nilerr // the terms are refused with the field's name
	default:
		return nil, err
	}
}
