package handicap

import "strings"

// Rating is a course rating in tenths of a stroke: 713 is 71.3. It belongs to the holes played, 18 or 9.
type Rating int

// Slope is a slope rating, a whole number from 55 to 155; 113 is a course of standard difficulty.
type Slope int

// Limits of a slope rating and its standard value (Rules of Handicapping, definitions; the range is from memory,
// unverified).
const (
	LowestSlope   Slope = 55
	StandardSlope Slope = 113
	HighestSlope  Slope = 155
)

// ParseRating reads a course rating such as "71.3", "71,3" or "71". The error is an [InputError] with field
// "course_rating".
func ParseRating(text string) (Rating, error) {
	tenths, ok := parseTenths(strings.TrimSpace(text), 3)
	if !ok {
		return 0, refuse("course_rating", "", "%q is not a course rating; write it with one decimal, such as 71.3", text)
	}
	return Rating(tenths), nil
}

// String shows the rating with one decimal.
func (r Rating) String() string { return signedTenths(int(r)) }

// Validate refuses a slope rating outside 55 to 155 with an [InputError].
func (s Slope) Validate() error {
	if s < LowestSlope || s > HighestSlope {
		return refuse("slope", "Rules of Handicapping, definition of slope rating", "%d is outside %d to %d", int(s), LowestSlope, HighestSlope)
	}
	return nil
}

// validateTee refuses what cannot be a rated set of holes. The limits for par follow from holes of par 3 to 6. Those for
// the course rating only catch mistyped figures, such as the rating of nine holes beside the par of eighteen (common
// practice, no source).
func validateTee(holes int, slope Slope, rating Rating, par int) error {
	if holes != 18 && holes != 9 {
		return refuse("holes", "Rules of Handicapping 6.1", "a course handicap is worked out for 18 or 9 holes, not %d", holes)
	}
	if err := slope.Validate(); err != nil {
		return err
	}
	if low, high := 3*holes, 6*holes; par < low || par > high {
		return refuse("par", "holes of par 3 to 6", "%d is outside %d to %d for %d holes", par, low, high, holes)
	}
	low, high := Rating(400), Rating(1000)
	if holes == 9 {
		low, high = low/2, high/2
	}
	if rating < low || rating > high {
		return refuse("course_rating", "plausible range, common practice, no source", "%s is outside %s to %s for %d holes", rating, low, high, holes)
	}
	return nil
}
