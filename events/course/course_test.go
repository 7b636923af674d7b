package course_test

import (
	"fmt"
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"marram.example/events"
	"marram.example/events/course"
	"marram.example/events/decidertest"
)

var decider = decidertest.Decider[course.State, course.Command]{
	New: course.New, Clone: course.Clone, Evolve: course.Evolve, Decide: course.Decide,
}

type rule = decidertest.Case[course.Command]

// The words of the tables.
var (
	invalid = decidertest.Invalid
)

const (
	marram     = "Marram"
	unsourced  = "common practice, no source"
	strokeRule = "Rules of Handicapping, Appendix E"
)

// tee is an invented tee of 18 or 9 holes that can be played and rated.
func tee(name string, holes int) events.TeeDefinition {
	t := events.TeeDefinition{Tee: name, CourseRatingTenths: 39 * holes, SlopeRating: 120}
	for i := range holes {
		t.Holes = append(t.Holes, events.Hole{Number: i + 1, Par: 3 + i%3, StrokeIndex: (i*5)%holes + 1, LengthM: 130 + 20*i})
	}
	return t
}

// with is a tee after a change.
func with(t events.TeeDefinition, change func(*events.TeeDefinition)) events.TeeDefinition {
	t.Holes = slices.Clone(t.Holes)
	change(&t)
	return t
}

func defined(ts ...events.TeeDefinition) []events.Event {
	out := []events.Event{events.CourseDefined{Name: "Sandholm"}}
	for _, t := range ts {
		out = append(out, events.TeeDefined{TeeDefinition: t})
	}
	return out
}

func define(ts ...events.TeeDefinition) course.Define {
	return course.Define{Name: "Sandholm", Tees: ts}
}

func TestDefine(t *testing.T) {
	t.Parallel()
	white, red := tee("White", 18), tee("Red", 18)
	longer := with(white, func(t *events.TeeDefinition) { t.Holes[6].LengthM += 12 })
	decider.Check(t, []rule{
		{Rule: "a course has a name and tees", Source: marram, When: define(white, red), Then: defined(white, red)},
		{Rule: "spaces around the name are not part of it", Source: marram, When: course.Define{Name: " Sandholm ", Tees: []events.TeeDefinition{white}}, Then: defined(white)},
		{Rule: "a name of 100 characters fits, whatever bytes they take", Source: marram,
			When: course.Define{Name: strings.Repeat("ü", 100), Tees: []events.TeeDefinition{white}},
			Then: []events.Event{events.CourseDefined{Name: strings.Repeat("ü", 100)}, events.TeeDefined{TeeDefinition: white}}},
		{Rule: "a name of 101 characters does not fit", Source: marram,
			When: course.Define{Name: strings.Repeat("u", 101), Tees: []events.TeeDefinition{white}}, Refused: invalid("required", "name")},
		{Rule: "a course needs a name", Source: marram, When: course.Define{Name: "  ", Tees: []events.TeeDefinition{white}}, Refused: invalid("required", "name")},
		{Rule: "a course needs a tee", Source: marram, When: define(), Refused: invalid("required", "tees")},
		{Rule: "a tee stands once", Source: marram, When: define(white, red, white), Refused: invalid("duplicate", "tees[2].tee")},
		{Rule: "the same again changes nothing", Source: marram, Given: defined(white, red), When: define(red, white)},
		{Rule: "only the tee that changed is defined again", Source: marram, Given: defined(white, red), When: define(longer, red),
			Then: []events.Event{events.TeeDefined{TeeDefinition: longer}}},
		{Rule: "a tee may be added alone", Source: marram, Given: defined(white), When: define(red), Then: []events.Event{events.TeeDefined{TeeDefinition: red}}},
		{Rule: "a course may get another name, and says why", Source: marram, Given: defined(white),
			When: course.Define{Name: "Old Sandholm", Tees: []events.TeeDefinition{white}, Reason: "a second course opens"},
			Then: []events.Event{events.CourseRevised{Name: "Old Sandholm", Reason: "a second course opens"}}},
		{Rule: "a fault in the second tee stores nothing of the first", Source: "promise 6", Given: defined(white),
			When: define(longer, with(red, func(t *events.TeeDefinition) { t.SlopeRating = 0 })), Refused: invalid("out_of_range", "tees[1].slope_rating")},
	})
}

func TestTeesThatCanBePlayed(t *testing.T) {
	t.Parallel()
	nines := func(t *events.TeeDefinition) {
		t.Front = &events.NineRating{CourseRatingTenths: 350, SlopeRating: 55}
		t.Back = &events.NineRating{CourseRatingTenths: 352, SlopeRating: 155}
	}
	slope := "Rules of Handicapping, definition of Slope Rating"
	var cases []rule
	for _, c := range []struct {
		rule, source string
		tee          events.TeeDefinition
	}{
		{"nine holes make a course", "Rules of Golf 5.1", tee("White", 9)},
		{"slope 55 is the lowest", slope, with(tee("White", 18), func(t *events.TeeDefinition) { t.SlopeRating = 55 })},
		{"slope 155 is the highest", slope, with(tee("White", 18), func(t *events.TeeDefinition) { t.SlopeRating = 155 })},
		{"each nine may have its rating", "Rules of Handicapping 6.1b", with(tee("White", 18), nines)},
		{"course rating 40.0 is taken", unsourced, with(tee("White", 18), func(t *events.TeeDefinition) { t.CourseRatingTenths = 400 })},
		{"course rating 90.0 is taken", unsourced, with(tee("White", 18), func(t *events.TeeDefinition) { t.CourseRatingTenths = 900 })},
		{"a length may be unknown", marram, with(tee("White", 18), func(t *events.TeeDefinition) { t.Holes[3].LengthM = 0 })},
		{"a par of 6 exists", unsourced, with(tee("White", 18), func(t *events.TeeDefinition) { t.Holes[3].Par = 6 })},
		{"a tee's name may have 40 characters of any alphabet", marram, tee(strings.Repeat("é", 40), 18)},
	} {
		cases = append(cases, rule{Rule: c.rule, Source: c.source, When: define(c.tee), Then: defined(c.tee)})
	}
	decider.Check(t, cases)
}

func TestTeesThatCannotBePlayed(t *testing.T) {
	t.Parallel()
	change := func(f func(*events.TeeDefinition)) events.TeeDefinition { return with(tee("White", 18), f) }
	front := func(rating, slope int) events.TeeDefinition {
		return change(func(t *events.TeeDefinition) {
			t.Front = &events.NineRating{CourseRatingTenths: rating, SlopeRating: slope}
		})
	}
	slope := "Rules of Handicapping, definition of Slope Rating"
	var cases []rule
	for _, c := range []struct {
		rule, source, code, field string
		tee                       events.TeeDefinition
	}{
		{"a tee needs a name", marram, "required", "tee", tee("", 18)},
		{"a tee's name has no spaces around it", marram, "required", "tee", tee("White ", 18)},
		{"a tee's name has at most 40 characters", marram, "required", "tee", tee(strings.Repeat("x", 41), 18)},
		{"seventeen holes are no round", "Rules of Golf 5.1", "hole_count", "holes", tee("White", 17)},
		{"no holes are no round", "Rules of Golf 5.1", "hole_count", "holes", tee("White", 0)},
		{"course rating 39.9 is a slip", unsourced, "out_of_range", "course_rating", change(func(t *events.TeeDefinition) { t.CourseRatingTenths = 399 })},
		{"course rating 90.1 is a slip", unsourced, "out_of_range", "course_rating", change(func(t *events.TeeDefinition) { t.CourseRatingTenths = 901 })},
		{"a rating of 18 holes does not suit nine", unsourced, "out_of_range", "course_rating", with(tee("White", 9), func(t *events.TeeDefinition) { t.CourseRatingTenths = 713 })},
		{"slope 54 is too low", slope, "out_of_range", "slope_rating", change(func(t *events.TeeDefinition) { t.SlopeRating = 54 })},
		{"slope 156 is too high", slope, "out_of_range", "slope_rating", change(func(t *events.TeeDefinition) { t.SlopeRating = 156 })},
		{"a nine's slope has the same limits", slope, "out_of_range", "front.slope_rating", front(350, 156)},
		{"a nine's rating is half of a round's", unsourced, "out_of_range", "front.course_rating", front(713, 120)},
		{"a back nine is checked like the front", unsourced, "out_of_range", "back.course_rating", change(func(t *events.TeeDefinition) { t.Back = &events.NineRating{SlopeRating: 120} })},
		{"a course of nine has no front nine", "Rules of Handicapping 6.1b", "not_applicable", "front", with(tee("White", 9), func(t *events.TeeDefinition) { t.Front = &events.NineRating{CourseRatingTenths: 350, SlopeRating: 120} })},
		{"holes stand in order", marram, "out_of_order", "holes[4].number", change(func(t *events.TeeDefinition) { t.Holes[4].Number = 6 })},
		{"a par is at least 3", unsourced, "out_of_range", "holes[2].par", change(func(t *events.TeeDefinition) { t.Holes[2].Par = 2 })},
		{"a par is at most 6", unsourced, "out_of_range", "holes[2].par", change(func(t *events.TeeDefinition) { t.Holes[2].Par = 7 })},
		{"stroke index starts at 1", strokeRule, "out_of_range", "holes[2].stroke_index", change(func(t *events.TeeDefinition) { t.Holes[2].StrokeIndex = 0 })},
		{"stroke index ends at 18", strokeRule, "out_of_range", "holes[2].stroke_index", change(func(t *events.TeeDefinition) { t.Holes[2].StrokeIndex = 19 })},
		{"stroke index ends at 9 on nine holes", strokeRule, "out_of_range", "holes[2].stroke_index", with(tee("White", 9), func(t *events.TeeDefinition) { t.Holes[2].StrokeIndex = 10 })},
		{"a stroke index stands once", strokeRule, "duplicate", "holes[5].stroke_index", change(func(t *events.TeeDefinition) { t.Holes[5].StrokeIndex = t.Holes[0].StrokeIndex })},
		{"a length is not negative", marram, "out_of_range", "holes[8].length_m", change(func(t *events.TeeDefinition) { t.Holes[8].LengthM = -1 })},
		{"a hole of 901 m is a slip", unsourced, "out_of_range", "holes[8].length_m", change(func(t *events.TeeDefinition) { t.Holes[8].LengthM = 901 })},
	} {
		cases = append(cases, rule{Rule: c.rule, Source: c.source, When: define(c.tee), Refused: invalid(c.code, "tees[0]."+c.field)})
	}
	decider.Check(t, cases)
}

func TestTeesKeepTheOrderOfTheirFirstDefinition(t *testing.T) {
	t.Parallel()
	white, red := tee("White", 18), tee("Red", 18)
	s := decider.Fold(defined(white, red, with(white, func(t *events.TeeDefinition) { t.SlopeRating = 130 }))...)
	require.Equal(t, []string{"White", "Red"}, s.TeeOrder)
	require.Equal(t, 130, s.Tees["White"].SlopeRating)
}

func TestParIsTheSumOfTheHoles(t *testing.T) {
	t.Parallel()
	require.Equal(t, 72, tee("White", 18).Par())
	require.Equal(t, 36, tee("White", 9).Par())
}

func TestUnknownCommandIsAFaultOfTheProgram(t *testing.T) {
	t.Parallel()
	_, err := course.Decide(course.New(), nil)
	require.ErrorContains(t, err, "unknown command")
	require.Nil(t, events.AsError(err))
}

// TestAnyDefinitionsOfACourse: see decidertest.Run.Do for what holds at every step.
func TestAnyDefinitionsOfACourse(t *testing.T) {
	t.Parallel()
	rapid.Check(t, func(t *rapid.T) {
		run := decider.Start(t)
		for range rapid.IntRange(1, 8).Draw(t, "commands") {
			c := course.Define{Name: rapid.SampledFrom([]string{"Sandholm", "Old Sandholm", ""}).Draw(t, "name")}
			for i := range rapid.IntRange(0, 3).Draw(t, "tees") {
				d := tee(fmt.Sprintf("Tee %d", rapid.IntRange(i, 3).Draw(t, "tee")), rapid.SampledFrom([]int{9, 18}).Draw(t, "holes"))
				d.SlopeRating = rapid.IntRange(54, 156).Draw(t, "slope")
				c.Tees = append(c.Tees, d)
			}
			if out, err := run.Do(t, c); err == nil && len(out) > 0 {
				again, err := run.Do(t, c)
				require.NoError(t, err)
				require.Empty(t, again, "a definition repeated changes nothing")
				for _, d := range c.Tees {
					require.Equal(t, d, run.State.Tees[d.Tee])
				}
			}
		}
	})
}

func TestTwoClonesLiveApart(t *testing.T) {
	t.Parallel()
	three := defined(tee("White", 18), tee("Yellow", 18), tee("Red", 18)) // three, so that the order has room to grow
	decider.Siblings(t, three, events.TeeDefined{TeeDefinition: tee("Blue", 18)}, events.TeeDefined{TeeDefinition: tee("Black", 18)})
}
