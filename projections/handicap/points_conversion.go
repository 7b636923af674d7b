package handicap

import "fmt"

// StablefordToAdjustedGross returns the adjusted gross score behind a total of Stableford points: par + course handicap +
// 36 - points, with 18 in place of 36 for nine holes (Rules of Handicapping 5.1a, from memory; the identity follows from
// 3.1b, because a hole of no points is a net double bogey). It holds only for points counted with the whole course
// handicap, rounded: points counted with an allowance must be recounted from hole scores. par is the total of the holes.
//
// It refuses with an [InputError]: other numbers of holes, a par beyond holes of 3 to 6, points that would need fewer
// strokes than holes, and a course handicap of more than three strokes a hole, where the maximum stays at par + 5 and the
// identity ends.
func StablefordToAdjustedGross(par, holes int, course Course, points int) (int, Explanation, error) {
	if err := validateHoleCount(holes); err != nil {
		return 0, nil, err
	}
	if low, high := 3*holes, 6*holes; par < low || par > high {
		return 0, nil, refuse("par", "holes of par 3 to 6", "%d is outside %d to %d for %d holes", par, low, high, holes)
	}
	rounded, err := roundedCourse(course)
	if err != nil {
		return 0, nil, err
	}
	if int(rounded) > 3*holes {
		return 0, nil, refuse("course_handicap", maximumRule+", note on four or more strokes on a hole",
			"with %d strokes on %d holes points do not give the adjusted gross score; count it from the hole scores", int(rounded), holes)
	}
	base := par + int(rounded) + 2*holes
	if points < 0 || points > base-holes {
		return 0, nil, refuse("points", conversionRule, "%d points are outside 0 to %d", points, base-holes)
	}
	total := base - points
	return total, Explanation{
		roundedCourseLine(course),
		{
			Label:      "Adjusted gross score from points",
			Arithmetic: fmt.Sprintf("par %d + %s + %d - %d points = %d", par, bracketed(int(rounded)), 2*holes, points, total),
			Rule:       conversionRule,
		},
	}, nil
}

const conversionRule = "Rules of Handicapping 5.1a"

// ParBogeyToPoints returns the Stableford points that stand for a par/bogey result, for handicap purposes: 36 + result,
// or 18 + result for nine holes (Rules of Handicapping 5.1a, note). result is in holes, positive for up, negative for
// down. A hole won counts as net birdie and a hole lost as net bogey, so the figure may differ from one counted hole by
// hole. Other numbers of holes, and a result beyond them, are refused with an [InputError].
func ParBogeyToPoints(result, holes int) (int, Explanation, error) {
	if err := validateHoleCount(holes); err != nil {
		return 0, nil, err
	}
	if result < -holes || result > holes {
		return 0, nil, refuse("result", conversionRule, "%d is outside %d down to %d up", result, holes, holes)
	}
	points := 2*holes + result
	return points, Explanation{{
		Label:      "Points for a par/bogey result",
		Arithmetic: fmt.Sprintf("%d + %s = %d", 2*holes, bracketed(result), points),
		Rule:       conversionRule + ", note",
	}}, nil
}

func validateHoleCount(holes int) error {
	if holes != 18 && holes != 9 {
		return refuse("holes", "Rules of Handicapping 5.1", "a score is of 18 or 9 holes, not %d", holes)
	}
	return nil
}
