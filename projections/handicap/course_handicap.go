package handicap

import "fmt"

// ParTerm says whether the course handicap contains the term (course rating - par).
type ParTerm int

// The zero value follows Rules of Handicapping 6.1. Leaving the term out serves competitions played where the national
// association had left it out (before April 2024 in England, Wales, Ireland and Scotland; from memory, unverified), so
// that they replay unchanged.
const (
	WithRatingLessPar ParTerm = iota
	WithoutRatingLessPar
)

// CourseHandicap18 returns index x slope/113 + (rating - par), unrounded, for 18 holes (Rules of Handicapping 6.1a).
// Rating and par are those of all 18 holes. Implausible inputs are refused with an [InputError].
func CourseHandicap18(index Index, slope Slope, rating Rating, par int, term ParTerm) (Course, Explanation, error) {
	if err := validateCourseHandicap(18, index, slope, rating, par, term); err != nil {
		return Course{}, nil, err
	}
	return courseHandicap(index, slope, rating, par, term, "Rules of Handicapping 6.1a", nil)
}

// CourseHandicap9 returns the course handicap for nine holes: half the index is rounded to a tenth first, then multiplied
// by slope/113, and (rating - par) added (Rules of Handicapping 6.1b). Slope, rating and par are those of the nine
// holes actually played (Clarification 6.1b/1). Implausible inputs are refused with an [InputError].
func CourseHandicap9(index Index, slope Slope, rating Rating, par int, term ParTerm) (Course, Explanation, error) {
	const rule = "Rules of Handicapping 6.1b"
	if err := validateCourseHandicap(9, index, slope, rating, par, term); err != nil {
		return Course{}, nil, err
	}
	half := Index(roundHalfUp(int64(index), 2))
	lines := Explanation{{
		Label:      "Half of the handicap index",
		Arithmetic: fmt.Sprintf("%s / 2 = %s, to a tenth %s", signedTenths(int(index)), signedDecimal(int64(index), 20), signedTenths(int(half))),
		Rule:       rule,
	}}
	return courseHandicap(half, slope, rating, par, term, rule, lines)
}

// CourseHandicap is [CourseHandicap18] or [CourseHandicap9], as the number of holes says; other numbers are refused.
func CourseHandicap(holes int, index Index, slope Slope, rating Rating, par int, term ParTerm) (Course, Explanation, error) {
	if holes == 9 {
		return CourseHandicap9(index, slope, rating, par, term)
	}
	if holes == 18 {
		return CourseHandicap18(index, slope, rating, par, term)
	}
	return Course{}, nil, validateTee(holes, slope, rating, par)
}

func validateCourseHandicap(holes int, index Index, slope Slope, rating Rating, par int, term ParTerm) error {
	if err := index.Validate(); err != nil {
		return err
	}
	if term != WithRatingLessPar && term != WithoutRatingLessPar {
		return refuse("par_term", "", "%d is unknown", term)
	}
	return validateTee(holes, slope, rating, par)
}

func courseHandicap(index Index, slope Slope, rating Rating, par int, term ParTerm, rule string, lines Explanation) (Course, Explanation, error) {
	// Everything over 1130: tenths over 10, slope over 113.
	num := int64(index) * int64(slope)
	sum := fmt.Sprintf("%s x %d/%d", signedTenths(int(index)), slope, StandardSlope)
	if term == WithRatingLessPar {
		num += (int64(rating) - 10*int64(par)) * int64(StandardSlope)
		sum += fmt.Sprintf(" + (%s - %d)", rating, par)
	}
	course, err := NewCourse(num, 10*int64(StandardSlope))
	if err != nil {
		return Course{}, nil, err
	}
	sum += " = " + signedDecimal(course.Num, course.Den) + plusNote(course.String(), course.Num < 0)
	if term == WithoutRatingLessPar {
		rule += ", without (course rating - par) as the competition's terms say"
	}
	return course, append(lines, Line{Label: "Course handicap, unrounded", Arithmetic: sum, Rule: rule}), nil
}
