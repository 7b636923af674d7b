package handicap

import "fmt"

const maximumRule = "Rules of Handicapping 3.1b"

// mostAbovePar is the maximum above par on a hole before an index exists (Rules of Handicapping 3.1a). It is also
// what the maximum comes to where four or more strokes fall on a hole, which happens with a course handicap over 54 (note
// to 3.1b, seen in a secondary summary only).
const mostAbovePar = 5

// NetDoubleBogey returns the maximum score, for handicap purposes, on one hole of eighteen: par + 2 + the strokes
// received there, less those that a plus player gives back (Rules of Handicapping 3.1b). The strokes follow from the full
// course handicap rounded to a whole number, never from the playing handicap. course is nil before a player has an index:
// then the maximum is par + 5 (3.1a). strokeIndex is the hole's, 1 to 18; par is 3 to 6. Everything else is refused with
// an [InputError].
func NetDoubleBogey(course *Course, par, strokeIndex int) (int, Explanation, error) {
	if err := validatePar(par, 0); err != nil {
		return 0, nil, err
	}
	if strokeIndex < 1 || strokeIndex > 18 {
		return 0, nil, refuse("stroke_index", strokesRule, "%d is outside 1 to 18", strokeIndex)
	}
	if course == nil {
		return par + mostAbovePar, Explanation{maximumWithoutIndex(par)}, nil
	}
	rounded, err := roundedCourse(*course)
	if err != nil {
		return 0, nil, err
	}
	each := int(floorDiv(int64(rounded), 18))
	strokes := each
	if strokeIndex <= int(rounded)-18*each {
		strokes++
	}
	limit := netDoubleBogey(par, strokes)
	return limit, Explanation{roundedCourseLine(*course), maximumLine(par, strokes, limit)}, nil
}

// NetDoubleBogeys returns the maximum on each hole of a card of 18 or nine holes, in the order of par and strokeIndexes,
// by the rule of [NetDoubleBogey]. course is the full course handicap for those holes: the nine-hole one for nine holes,
// whose indexes are ranked among themselves. Impossible cards are refused with an [InputError].
func NetDoubleBogeys(course *Course, par, strokeIndexes []int) ([]int, error) {
	limits, _, err := maximumScores(course, par, strokeIndexes)
	return limits, err
}

// maximumScores also returns the strokes by the rounded course handicap, nil before an index exists.
func maximumScores(course *Course, par, strokeIndexes []int) (limits, strokes []int, err error) {
	if n := len(par); n != 18 && n != 9 {
		return nil, nil, refuse("par", "a card of 18 or 9 holes", "there must be 18 or 9 pars, not %d", n)
	}
	for i, p := range par {
		if err := validatePar(p, i+1); err != nil {
			return nil, nil, err
		}
	}
	if len(strokeIndexes) != len(par) {
		return nil, nil, refuse("stroke_index", strokesRule, "there are %d stroke indexes for %d holes", len(strokeIndexes), len(par))
	}
	if err := ValidateStrokeIndexes(strokeIndexes); err != nil {
		return nil, nil, err
	}
	limits = make([]int, len(par))
	if course == nil {
		for i, p := range par {
			limits[i] = p + mostAbovePar
		}
		return limits, nil, nil
	}
	rounded, err := roundedCourse(*course)
	if err != nil {
		return nil, nil, err
	}
	if strokes, err = StrokesReceived(rounded, strokeIndexes); err != nil {
		return nil, nil, err
	}
	for i, p := range par {
		limits[i] = netDoubleBogey(p, strokes[i])
	}
	return limits, strokes, nil
}

func netDoubleBogey(par, strokes int) int { return par + min(2+strokes, mostAbovePar) }

func validatePar(par, place int) error {
	if par >= 3 && par <= 6 {
		return nil
	}
	at := ""
	if place > 0 {
		at = fmt.Sprintf(" at place %d", place)
	}
	return refuse("par", "holes of par 3 to 6", "%d%s is outside 3 to 6", par, at)
}

// roundedCourse is the course handicap as a whole number of strokes to be spread over the holes.
func roundedCourse(course Course) (Playing, error) {
	checked, err := NewCourse(course.Num, course.denominator())
	if err != nil {
		return 0, err
	}
	rounded := Playing(checked.Rounded())
	if rounded.Validate() != nil {
		return 0, refuse("course_handicap", "plausible range, common practice, no source", "%s is outside %s to %s", checked, LowestPlaying, HighestPlaying)
	}
	return rounded, nil
}

func roundedCourseLine(course Course) Line {
	rounded := Playing(course.Rounded())
	return Line{
		Label: "Course handicap, rounded",
		Arithmetic: fmt.Sprintf("%s to the nearest whole number, a half goes up: %d%s",
			signedDecimal(course.Num, course.denominator()), int(rounded), plusNote(rounded.String(), rounded < 0)),
		Rule: "Rules of Handicapping 6.1, note: the full course handicap, never the playing handicap",
	}
}

func maximumLine(par, strokes, limit int) Line {
	line := Line{Label: "Net double bogey", Arithmetic: fmt.Sprintf("par %d + 2 + %d strokes received = %d", par, strokes, limit), Rule: maximumRule}
	switch {
	case 2+strokes > mostAbovePar:
		line.Arithmetic = fmt.Sprintf("par %d + %d, for %d strokes received = %d", par, mostAbovePar, strokes, limit)
		line.Rule = maximumRule + ", note on four or more strokes on a hole"
	case strokes < 0:
		line.Arithmetic = fmt.Sprintf("par %d + 2 - %d strokes given back = %d", par, -strokes, limit)
	}
	return line
}

func maximumWithoutIndex(par int) Line {
	return Line{
		Label:      "Maximum before an index exists",
		Arithmetic: fmt.Sprintf("par %d + %d = %d", par, mostAbovePar, par+mostAbovePar),
		Rule:       "Rules of Handicapping 3.1a",
	}
}
