package course

import (
	"fmt"
	"reflect"
	"strings"
	"unicode/utf8"

	"marram.example/events"
)

// Limits of a tee. The slope range is the published one (Rules of Handicapping,
// definitions); the others only catch slips of the pen.
const (
	minSlope, maxSlope         = 55, 155
	minPar, maxPar             = 3, 6
	minRatingTenths18          = 400 // 40.0: common practice, no source
	maxRatingTenths18          = 900
	maxHoleMetres              = 900
	ruleSlope                  = "Rules of Handicapping, definition of Slope Rating: 55 to 155"
	ruleStrokeIndex            = "Rules of Handicapping, Appendix E: every stroke index once"
	holesOfARound, holesOfNine = 18, 9
)

// CheckTee says whether a tee could be played and rated; field is where it
// stands in the input.
func CheckTee(field string, t events.TeeDefinition) error {
	if n := strings.TrimSpace(t.Tee); n == "" || n != t.Tee || utf8.RuneCountInString(n) > 40 {
		return events.Invalid(field+".tee", "required", "a tee needs a name of 1 to 40 characters without spaces around it")
	}
	n := len(t.Holes)
	if n != holesOfARound && n != holesOfNine {
		return events.Invalid(field+".holes", "hole_count", fmt.Sprintf("a tee has 18 or 9 holes, not %d", n))
	}
	lo, hi := minRatingTenths18, maxRatingTenths18
	if n == holesOfNine {
		lo, hi = lo/2, hi/2
	}
	if t.CourseRatingTenths < lo || t.CourseRatingTenths > hi {
		return events.Invalid(field+".course_rating", "out_of_range",
			fmt.Sprintf("a course rating over %d holes lies between %d.0 and %d.0", n, lo/10, hi/10))
	}
	if err := checkSlope(field+".slope_rating", t.SlopeRating); err != nil {
		return err
	}
	if err := checkNine(field+".front", n, t.Front); err != nil {
		return err
	}
	if err := checkNine(field+".back", n, t.Back); err != nil {
		return err
	}
	return checkHoles(field, t.Holes)
}

func checkSlope(field string, slope int) error {
	if slope < minSlope || slope > maxSlope {
		return events.Invalid(field, "out_of_range", fmt.Sprintf("a slope rating lies between 55 and 155, not %d", slope)).WithRule(ruleSlope)
	}
	return nil
}

func checkNine(field string, holes int, r *events.NineRating) error {
	if r == nil {
		return nil
	}
	if holes != holesOfARound {
		return events.Invalid(field, "not_applicable", "ratings of a nine belong to a tee with 18 holes")
	}
	if r.CourseRatingTenths < minRatingTenths18/2 || r.CourseRatingTenths > maxRatingTenths18/2 {
		return events.Invalid(field+".course_rating", "out_of_range", "a course rating over nine holes lies between 20.0 and 45.0")
	}
	return checkSlope(field+".slope_rating", r.SlopeRating)
}

func checkHoles(field string, holes []events.Hole) error {
	index := map[int]int{}
	for i, h := range holes {
		f := fmt.Sprintf("%s.holes[%d]", field, i)
		if h.Number != i+1 {
			return events.Invalid(f+".number", "out_of_order", fmt.Sprintf("holes stand in order: hole %d is missing or misplaced", i+1))
		}
		if h.Par < minPar || h.Par > maxPar {
			return events.Invalid(f+".par", "out_of_range", fmt.Sprintf("the par of hole %d is %d; it lies between 3 and 6", h.Number, h.Par))
		}
		if h.StrokeIndex < 1 || h.StrokeIndex > len(holes) {
			return events.Invalid(f+".stroke_index", "out_of_range",
				fmt.Sprintf("the stroke index of hole %d is %d; it lies between 1 and %d", h.Number, h.StrokeIndex, len(holes))).WithRule(ruleStrokeIndex)
		}
		if other, dup := index[h.StrokeIndex]; dup {
			return events.Invalid(f+".stroke_index", "duplicate",
				fmt.Sprintf("holes %d and %d both have stroke index %d", other, h.Number, h.StrokeIndex)).WithRule(ruleStrokeIndex)
		}
		index[h.StrokeIndex] = h.Number
		if h.LengthM < 0 || h.LengthM > maxHoleMetres {
			return events.Invalid(f+".length_m", "out_of_range", fmt.Sprintf("the length of hole %d is %d m; it lies between 0 and %d", h.Number, h.LengthM, maxHoleMetres))
		}
	}
	return nil
}

func equalTee(a, b events.TeeDefinition) bool { return reflect.DeepEqual(a, b) }
