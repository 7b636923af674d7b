package handicap

import (
	"fmt"
	"math/big"
	"slices"
)

const sideRule = "Rules of Handicapping, Appendix C"

// maxSideDenominator keeps a side's sum small enough to be rounded and shown within 64 bits.
const maxSideDenominator = 1_000_000_000_000

// SideAllowances returns the recommended percentages of a format in which the players of a side combine their handicaps
// (foursomes, greensomes, chapman, scramble), lowest handicap first. A format without such percentages (field "format")
// and a size without a recommendation (field "of") are refused with an [InputError].
func SideAllowances(format string, players int) ([]Allowance, error) {
	row, err := AllowanceFor(format, 0, players)
	if err != nil {
		return nil, err
	}
	if len(row.Percents) < 2 {
		return nil, refuse("format", sideRule, "%q does not combine the handicaps of a side", format)
	}
	return row.Percents, nil
}

// SidePlaying combines the unrounded course handicaps of a side's two, three or four players into its playing handicap:
// the lowest course handicap takes the first percentage, the next the second, and so on; the products are added and the
// sum is rounded once, a half going up (Rules of Handicapping, Appendix C). The lowest is the algebraically smallest, so
// a plus player comes first. The order of courses does not matter. parDifference is the par of the side's tee less the
// lowest par in the competition, in strokes, for formats compared by strokes, else 0 (6.2b).
//
// The first result is the sum of the products, before the difference in par and before rounding. A number of players
// that differs from the number of percentages (field "course_handicaps"), impossible handicaps, allowances and
// differences are refused with an [InputError].
func SidePlaying(courses []Course, percents []Allowance, parDifference int) (Unrounded, Playing, Explanation, error) {
	if len(percents) < 2 || len(percents) > 4 {
		return Unrounded{}, 0, nil, refuse("percents", sideRule, "a side has two to four players, not %d", len(percents))
	}
	if len(courses) != len(percents) {
		return Unrounded{}, 0, nil, refuse("course_handicaps", sideRule, "there are %d course handicaps for %d percentages", len(courses), len(percents))
	}
	if err := validateParDifference(parDifference); err != nil {
		return Unrounded{}, 0, nil, err
	}
	ordered := slices.Clone(courses)
	slices.SortStableFunc(ordered, compareCourses)
	sum, lines := new(big.Rat), make(Explanation, 0, len(courses)+3)
	for i, course := range ordered {
		part, err := percents[i].Of(course)
		if err != nil {
			return Unrounded{}, 0, nil, err
		}
		sum.Add(sum, big.NewRat(part.Num, part.denominator()))
		lines = append(lines, Line{
			Label:      fmt.Sprintf("Allowance of the player with the %s course handicap", places[i][len(ordered)-2]),
			Arithmetic: percents[i].sum(course, part),
			Rule:       sideRule,
		})
	}
	if !sum.Denom().IsInt64() || sum.Denom().Int64() > maxSideDenominator {
		return Unrounded{}, 0, nil, refuse("course_handicaps", "", "the course handicaps have too many decimals to be added exactly")
	}
	combined := Unrounded{Num: sum.Num().Int64(), Den: sum.Denom().Int64()}
	lines = append(lines, Line{
		Label:      "Handicap of the side, unrounded",
		Arithmetic: "the sum is " + combined.signed() + plusNote(combined.String(), combined.Num < 0),
		Rule:       sideRule,
	})
	playing, lines := roundedPlaying(combined, parDifference, lines)
	return combined, playing, lines, nil
}

// places names a player's place among a side of two, three or four: places[place][size-2].
var places = [4][3]string{
	{"lower", "lowest", "lowest"},
	{"higher", "second lowest", "second lowest"},
	{"", "highest", "third lowest"},
	{"", "", "highest"},
}

// compareCourses orders course handicaps from the algebraically smallest. Both are within the limits of [NewCourse] or
// refused afterwards; big fractions keep the comparison right for any input.
func compareCourses(a, b Course) int {
	if a.Den < 0 || b.Den < 0 { // refused later
		return 0
	}
	return big.NewRat(a.Num, a.denominator()).Cmp(big.NewRat(b.Num, b.denominator()))
}
