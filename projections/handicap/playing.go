package handicap

import (
	"fmt"
	"strconv"
)

// Playing is a playing handicap in whole strokes. A plus handicap is negative: the player gives strokes back.
type Playing int

// Limits of a playing handicap: three strokes given back and nine received on each of 18 holes, beyond what any rated
// tee yields (a bound against mistyped figures, common practice, no source).
const (
	LowestPlaying  Playing = -54
	HighestPlaying Playing = 162
)

// highestParDifference bounds the difference of two tees' pars on one course (common practice, no source).
const highestParDifference = 18

// String shows whole strokes, a plus handicap with a leading plus: "13", "0", "+2".
func (p Playing) String() string {
	if p < 0 {
		return "+" + strconv.Itoa(-int(p))
	}
	return strconv.Itoa(int(p))
}

// Validate refuses a playing handicap outside +54 to 162 with an [InputError].
func (p Playing) Validate() error {
	if p < LowestPlaying || p > HighestPlaying {
		return refuse("playing_handicap", "plausible range, common practice, no source", "%s is outside %s to %s", p, LowestPlaying, HighestPlaying)
	}
	return nil
}

// PlayingHandicap applies the allowance to the unrounded course handicap, adds the difference in par and rounds once, a
// half going up (Rules of Handicapping 6.2, Appendix C). parDifference is the par of the player's tee less the lowest
// par in the competition, in strokes and never negative: it is for formats compared by strokes, 0 for all others
// (6.2b). The error is an [InputError].
func PlayingHandicap(course Course, allowance Allowance, parDifference int) (Playing, Explanation, error) {
	unrounded, err := allowance.Of(course)
	if err != nil {
		return 0, nil, err
	}
	if err := validateParDifference(parDifference); err != nil {
		return 0, nil, err
	}
	lines := Explanation{{
		Label:      "Allowance on the unrounded course handicap",
		Arithmetic: allowance.sum(course, unrounded),
		Rule:       "Rules of Handicapping 6.2a and Appendix C",
	}}
	playing, lines := roundedPlaying(unrounded, parDifference, lines)
	return playing, lines, nil
}

func validateParDifference(parDifference int) error {
	if parDifference < 0 || parDifference > highestParDifference {
		return refuse("par_difference", "Rules of Handicapping 6.2b",
			"%d is outside 0 to %d; it is the par of the player's tee less the lowest par", parDifference, highestParDifference)
	}
	return nil
}

// roundedPlaying adds the difference in par and rounds, once, and appends both steps to lines.
func roundedPlaying(unrounded Unrounded, parDifference int, lines Explanation) (Playing, Explanation) {
	if parDifference != 0 {
		with := unrounded.plus(parDifference)
		lines = append(lines, Line{
			Label:      "Difference in par of the tees",
			Arithmetic: fmt.Sprintf("%s + %d = %s", unrounded.signed(), parDifference, with.signed()),
			Rule:       "Rules of Handicapping 6.2b",
		})
		unrounded = with
	}
	playing := unrounded.Rounded()
	lines = append(lines, Line{
		Label:      "Playing handicap",
		Arithmetic: fmt.Sprintf("%s to the nearest whole number, a half goes up: %d%s", unrounded.signed(), int(playing), plusNote(playing.String(), playing < 0)),
		Rule:       "Rules of Handicapping 6.2",
	})
	return playing, lines
}
