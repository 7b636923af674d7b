package events

import "fmt"

// Check makes sure that figures fit together and to the holes that they are for.
// Where they came from is the command's business; that they agree is the decider's.
// Fields in errors are named after at.
func (f Figures) Check(at string, holes []Hole) error {
	if len(holes) != 18 && len(holes) != 9 {
		return Invalid(at+"holes", "hole_count", fmt.Sprintf("a card has 18 or 9 holes, not %d", len(holes)))
	}
	if len(f.StrokesByHole) != len(holes) {
		return Invalid(at+"strokes_by_hole", "hole_count", "strokes are allocated to every hole in play")
	}
	sum, par := 0, 0
	for i, n := range f.StrokesByHole {
		if i > 0 && holes[i].Number <= holes[i-1].Number {
			return Invalid(fmt.Sprintf("%sholes[%d].number", at, i), "out_of_order", "the holes of a card stand in order, each once")
		}
		sum += n
		par += holes[i].Par
	}
	if sum != f.PlayingHandicap {
		return Invalid(at+"strokes_by_hole", "sum", fmt.Sprintf("strokes by hole add up to %d, the playing handicap is %d", sum, f.PlayingHandicap))
	}
	if par != f.Par {
		return Invalid(at+"par", "sum", fmt.Sprintf("the holes' pars add up to %d, not %d", par, f.Par))
	}
	if f.CourseHandicapDen <= 0 {
		return Invalid(at+"course_handicap_den", "out_of_range", "a denominator is positive")
	}
	if r := roundHalfUp(f.CourseHandicapNum, f.CourseHandicapDen); r != int64(f.CourseHandicap) {
		return Invalid(at+"course_handicap", "rounding", fmt.Sprintf("%d/%d rounds to %d, not %d", f.CourseHandicapNum, f.CourseHandicapDen, r, f.CourseHandicap))
	}
	playing := roundHalfUp(f.CourseHandicapNum*int64(f.AllowancePercent), f.CourseHandicapDen*100) + int64(f.ParDifference)
	if playing != int64(f.PlayingHandicap) {
		return Invalid(at+"playing_handicap", "rounding", fmt.Sprintf("%d%% of the course handicap and %d for par make %d, not %d",
			f.AllowancePercent, f.ParDifference, playing, f.PlayingHandicap)).WithRule("Rules of Handicapping 6.2, Appendix C")
	}
	return nil
}

// roundHalfUp rounds num/den to a whole number, halves towards plus infinity
// (Rules of Handicapping 5.1c); den is positive.
func roundHalfUp(num, den int64) int64 {
	n, d := 2*num+den, 2*den
	q := n / d
	if n%d < 0 {
		q--
	}
	return q
}
