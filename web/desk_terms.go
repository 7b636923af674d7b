package web

import (
	"encoding/json"
	"net/url"
	"strconv"

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
	Published string // the allowance that is published for what is chosen, with its source
	Rounds    []int  // rows of the editor
	Divisions []int
	Prizes    []int
	Fixed     bool // cards are out
}

// choice is one line of a list to choose from.
type choice struct{ Value, Label string }

// formats are how the holes of a ball can count, in words.
func formats() []choice {
	return []choice{
		{events.StrokePlay, "Stroke play (medal)"}, {events.Stableford, "Stableford"}, {events.ParBogey, "Par/bogey"},
		{events.MaximumScore, "Maximum score"}, {events.MatchPlay, "Match play"},
	}
}

// sides are who can play together, in words.
func sides() []choice {
	return []choice{
		{"", "One player"}, {events.SideFourBall, "Four-ball: pairs, the better ball counts"},
		{events.SideFoursomes, "Foursomes: pairs, one ball, alternate strokes"},
		{events.SideGreensomes, "Greensomes: pairs, both drive, one ball is played on"},
		{events.SideChapman, "Chapman: pairs, both drive, swap, then one ball"},
		{events.SideScramble, "Scramble: teams, everybody plays from the chosen spot"},
		{events.SideBestOf, "Best so many of the team"}, {events.SideAggregate, "All scores of the side added up"},
	}
}

// Formats are the choices of how holes count.
func (deskTermsPage) Formats() []choice { return formats() }

// Sides are the choices of who plays together.
func (deskTermsPage) Sides() []choice { return sides() }

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
	p := deskTermsPage{deskComp: k, Rounds: []int{0, 1, 2, 3}, Fixed: k.State.Begun()}
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
	if found, ok := playedOf(f.Values).published(); ok {
		p.Published = found.Says()
	}
	p.Divisions = rowNumbers(countRows(f.Values, "divisions"), 3)
	p.Prizes = rowNumbers(countRows(f.Values, "prizes"), 6)
	return w.deskPage(c, f.Status(), "desk_terms.html", "Terms of "+k.State.Name, p, "desk.js")
}

// playedOf is what the form says is played.
func playedOf(v url.Values) played {
	size, _ := strconv.Atoi(v.Get("side_size")) // nothing readable is the fewest
	p := played{Format: v.Get("format"), Side: v.Get("side")}
	p.Size = sizeOf(p.Side, size)
	if counting := numbersIn(v.Get("count")); len(counting) == 1 && p.Side == events.SideBestOf {
		p.Count = counting[0]
	}
	return p
}

// Allowances are the published allowances for the script.
func (deskTermsPage) Allowances() (string, error) {
	b, err := json.Marshal(everyPublished())
	return string(b), err
}

// Tee is how a tee is named in the form: tees of several courses stand there.
func (deskTermsPage) Tee(course, tee string) string { return course + "/" + tee }

// What the button beside the choices asks for.
const presetFill = "1" // show the fields of what is chosen and fill in what is published

func (w *Web) deskTermsSet(c echo.Context) error {
	f, err := readForm(c)
	if err != nil {
		return err
	}
	tidyRows(f.Values, "divisions", "name", "from", "to")
	tidyRows(f.Values, "prizes", "name", "ranking", "division", "places")
	if asked := f.V("preset"); asked != "" { // not sent yet, only looked at
		f.Values.Del("preset")
		if asked == presetFill {
			fillPublished(f.Values)
		}
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

// fillPublished fills in what is published for what is chosen, and what goes with
// it by itself.
func fillPublished(v url.Values) {
	p := playedOf(v)
	if p.Side == events.SideBestOf && v.Get("count") == "" {
		v.Set("count", strconv.Itoa(max(1, p.Size/2)))
		p = playedOf(v)
	}
	if found, ok := p.published(); ok && events.OneBall(p.Side) {
		for i, n := range found.Percents {
			v.Set(item("side_allowances", i), strconv.Itoa(n))
		}
	} else if ok {
		v.Set("allowance_percent", strconv.Itoa(found.Percents[0]))
	}
	v.Del("par_difference")
	if byStrokes(p.Format) {
		v.Set("par_difference", "1")
	}
	if p.Size == 2 || p.Size == 4 {
		v.Set("start.group_size", "4")
	}
	if p.Size == 3 {
		v.Set("start.group_size", "3")
	}
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
