package command

import (
	"cmp"
	"context"
	"fmt"
	"slices"
	"strings"

	"marram.example/api/csvfile"
	"marram.example/events"
	"marram.example/events/course"
)

// courseRows are the rows of one course.
type courseRows struct {
	id, name string
	line     int // of the first row
	tees     []*teeRows
}

// teeRows are the rows of one tee, in the order of the file.
type teeRows struct {
	name string
	rows []csvfile.CourseRow
}

// courses plans a course file.
func (i *importing) courses(ctx context.Context, rows []csvfile.CourseRow) error {
	whole := len(i.problems.List()) == 0 // no row was left out for a problem of its own
	for _, c := range i.byCourse(rows) {
		define := course.Define{Name: c.name, Reason: "import of a course file"}
		sound := true
		for _, t := range c.tees {
			tee, ok, err := i.tee(t, whole)
			if err != nil {
				return err
			}
			sound = sound && ok
			define.Tees = append(define.Tees, tee)
		}
		if !sound {
			continue
		}
		if err := i.define(ctx, c, define); err != nil {
			return err
		}
	}
	return nil
}

func (i *importing) define(ctx context.Context, c *courseRows, define course.Define) error {
	stream := events.CourseStream(i.service.club, c.id)
	before, err := look(ctx, i.draft, courses, stream)
	if err != nil {
		return err
	}
	had := course.Clone(before)
	decided, err := decide(ctx, i.draft, courses, stream, course.Command(define))
	if err != nil {
		return i.refused(err, c.line, func(field string) string {
			if field == "name" {
				return "course"
			}
			return "tee"
		})
	}
	told := map[string]bool{}
	for _, e := range decided {
		switch e := e.(type) {
		case events.TeeDefined:
			told[e.Tee] = true
		case events.CourseRevised:
			i.note(c.line, "the course %s is from now on written %s", had.Name, e.Name)
		}
	}
	inFile := map[string]bool{}
	for _, t := range define.Tees {
		_, existed := had.Tees[t.Tee]
		i.count(existed, told[t.Tee])
		inFile[t.Tee] = true
	}
	for _, name := range had.TeeOrder {
		if !inFile[name] {
			i.note(0, "the tee %s of %s is not in the file and stays as it is", name, define.Name)
		}
	}
	return nil
}

// byCourse sorts the rows by course and tee, in the order in which they come.
func (i *importing) byCourse(rows []csvfile.CourseRow) []*courseRows {
	var out []*courseRows
	for _, r := range rows {
		id := i.service.CourseID(r.Course)
		at := slices.IndexFunc(out, func(c *courseRows) bool { return c.id == id })
		if at < 0 {
			at = len(out)
			out = append(out, &courseRows{id: id, name: r.Course, line: r.Line})
		}
		c := out[at]
		at = slices.IndexFunc(c.tees, func(t *teeRows) bool { return t.name == r.Tee })
		if at < 0 {
			at = len(c.tees)
			c.tees = append(c.tees, &teeRows{name: r.Tee})
		}
		c.tees[at].rows = append(c.tees[at].rows, r)
	}
	return out
}

// tee puts the rows of a tee together. It reports false where they do not fit.
func (i *importing) tee(t *teeRows, whole bool) (events.TeeDefinition, bool, error) {
	holes := i.holesFit(t, whole)
	ratings, agree := i.ratings(t)
	if !holes || !agree {
		return events.TeeDefinition{}, false, nil
	}
	rows := slices.SortedFunc(slices.Values(t.rows), func(a, b csvfile.CourseRow) int { return cmp.Compare(a.Hole.Number, b.Hole.Number) })
	def := events.TeeDefinition{Tee: t.name, CourseRatingTenths: ratings.Course, SlopeRating: ratings.Slope}
	for _, r := range rows {
		def.Holes = append(def.Holes, r.Hole)
	}
	var front, back bool
	def.Front, front = i.nine(t, "front", ratings.FrontCourse, ratings.FrontSlope)
	def.Back, back = i.nine(t, "back", ratings.BackCourse, ratings.BackSlope)
	if !front || !back {
		return def, false, nil
	}
	if err := course.CheckTee("tee", def); err != nil {
		e := events.AsError(err)
		if e == nil {
			return def, false, err
		}
		row, column := teeCell(e.Field, t, rows)
		i.problem(row, column, e.Code, e.Rule, "%s", e.Detail)
		return def, false, nil
	}
	return def, true, nil
}

// teeCell is the cell that a field of a tee comes from.
func teeCell(field string, t *teeRows, rows []csvfile.CourseRow) (row int, column string) {
	field = strings.TrimPrefix(field, "tee.")
	var at int
	var name string
	if n, _ := fmt.Sscanf(field, "holes[%d].%s", &at, &name); n == 2 && at < len(rows) {
		if name == "number" {
			name = "hole"
		}
		return rows[at].Line, name
	}
	switch field {
	case "holes":
		return 0, "hole"
	case "front", "back":
		field += ".course_rating"
	}
	return t.rows[0].Line, strings.ReplaceAll(field, ".", "_")
}

func (i *importing) nine(t *teeRows, which string, rating, slope int) (*events.NineRating, bool) {
	switch {
	case rating == 0 && slope == 0:
		return nil, true
	case rating == 0:
		i.problem(t.rows[0].Line, which+"_course_rating", "required", "", "the %s nine of tee %s has a slope rating without a course rating", which, t.name)
		return nil, false
	case slope == 0:
		i.problem(t.rows[0].Line, which+"_slope_rating", "required", "", "the %s nine of tee %s has a course rating without a slope rating", which, t.name)
		return nil, false
	}
	return &events.NineRating{CourseRatingTenths: rating, SlopeRating: slope}, true
}

const ruleHoles = "a tee has holes 1 to 18, or 1 to 9"

// holesFit checks that every hole and every stroke index stands once.
func (i *importing) holesFit(t *teeRows, whole bool) bool {
	count := 9
	for _, r := range t.rows {
		if r.Hole.Number > 9 {
			count = 18
		}
	}
	missing := missingFrom(count, t.rows, func(r csvfile.CourseRow) int { return r.Hole.Number })
	ok := i.once(t, "hole", "hole %d of tee %s stands on line %d already", ruleHoles, missing, func(r csvfile.CourseRow) int { return r.Hole.Number })
	if !ok || len(missing) > 0 {
		if ok && whole {
			i.problem(0, "hole", "hole_missing", ruleHoles, "tee %s has no hole %s", t.name, join(missing))
		}
		return false
	}
	missing = missingFrom(count, t.rows, func(r csvfile.CourseRow) int { return r.Hole.StrokeIndex })
	return i.once(t, "stroke_index", "stroke index %d of tee %s stands on line %d already", "Rules of Handicapping, Appendix E: every stroke index once",
		missing, func(r csvfile.CourseRow) int { return r.Hole.StrokeIndex })
}

// once refuses a number that stands twice on a tee, and says which are missing
// in its place.
func (i *importing) once(t *teeRows, column, sentence, rule string, missing []int, number func(csvfile.CourseRow) int) bool {
	seen, ok := map[int]int{}, true
	for _, r := range t.rows {
		n := number(r)
		line, twice := seen[n]
		if !twice {
			seen[n] = r.Line
			continue
		}
		ok = false
		detail := fmt.Sprintf(sentence, n, t.name, line)
		if len(missing) > 0 {
			detail += "; missing: " + join(missing)
		}
		i.problem(r.Line, column, "duplicate", rule, "%s", detail)
	}
	return ok
}

func missingFrom(count int, rows []csvfile.CourseRow, number func(csvfile.CourseRow) int) []int {
	var out []int
	for n := 1; n <= count; n++ {
		if !slices.ContainsFunc(rows, func(r csvfile.CourseRow) bool { return number(r) == n }) {
			out = append(out, n)
		}
	}
	return out
}

func join(numbers []int) string {
	words := make([]string, len(numbers))
	for i, n := range numbers {
		words[i] = fmt.Sprint(n)
	}
	return strings.Join(words, ", ")
}

// ratings takes what most rows of a tee say and refuses the others.
func (i *importing) ratings(t *teeRows) (csvfile.Ratings, bool) {
	var out csvfile.Ratings
	ok := true
	for _, x := range []struct {
		column string
		of     func(*csvfile.Ratings) *int
		tenths bool
	}{
		{"course_rating", func(r *csvfile.Ratings) *int { return &r.Course }, true},
		{"slope_rating", func(r *csvfile.Ratings) *int { return &r.Slope }, false},
		{"front_course_rating", func(r *csvfile.Ratings) *int { return &r.FrontCourse }, true},
		{"front_slope_rating", func(r *csvfile.Ratings) *int { return &r.FrontSlope }, false},
		{"back_course_rating", func(r *csvfile.Ratings) *int { return &r.BackCourse }, true},
		{"back_slope_rating", func(r *csvfile.Ratings) *int { return &r.BackSlope }, false},
	} {
		said, most, best := map[int]int{}, 0, 0
		for _, r := range t.rows {
			said[*x.of(&r.Ratings)]++
		}
		for _, r := range t.rows { // the first of those said most often
			if v := *x.of(&r.Ratings); said[v] > best {
				most, best = v, said[v]
			}
		}
		for _, r := range t.rows {
			if v := *x.of(&r.Ratings); v != most {
				ok = false
				i.problem(r.Line, x.column, "disagree", "the ratings of a tee are the same on all its rows",
					"%s here, %s on other rows of tee %s", shown(v, x.tenths), shown(most, x.tenths), t.name)
			}
		}
		*x.of(&out) = most
	}
	return out, ok
}

func shown(v int, tenths bool) string {
	switch {
	case v == 0:
		return "nothing"
	case tenths:
		return fmt.Sprintf("%d.%d", v/10, v%10)
	default:
		return fmt.Sprint(v)
	}
}
