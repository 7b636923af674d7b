package handicap

import (
	"fmt"
	"slices"
)

const mostLikelyRule = "Rules of Handicapping 3.3"

// BallPosition is where the ball lay when a player stopped on a hole that was started.
type BallPosition int

// The positions of Rules of Handicapping 3.3. The zero value is no position, and is refused.
const (
	// OnGreenWithinFiveFeet is on the green, not more than 5 ft (1.5 m) from the hole: one stroke to finish.
	OnGreenWithinFiveFeet BallPosition = iota + 1
	// WithinTwentyYards is farther than that, up to 20 yd (20 m in the rule's metric wording): two or three strokes.
	WithinTwentyYards
	// BeyondTwentyYards is farther still: three or four strokes.
	BeyondTwentyYards
)

// StrokesToFinish are the numbers of strokes among which the player chooses, by judgement, for the position (Rules of
// Handicapping 3.3). It is empty for an unknown position.
func (p BallPosition) StrokesToFinish() []int {
	switch p {
	case OnGreenWithinFiveFeet:
		return []int{1}
	case WithinTwentyYards:
		return []int{2, 3}
	case BeyondTwentyYards:
		return []int{3, 4}
	default:
		return nil
	}
}

// String names the position.
func (p BallPosition) String() string {
	switch p {
	case OnGreenWithinFiveFeet:
		return "on the green, within 5 ft (1.5 m)"
	case WithinTwentyYards:
		return "within 20 yd (20 m)"
	case BeyondTwentyYards:
		return "beyond 20 yd (20 m)"
	default:
		return "an unknown position"
	}
}

// MostLikelyScore returns the score that a player would most likely have made on a hole started and not finished: strokes
// taken, plus penalty strokes, plus the strokes to finish that the player chose among those of the position (Rules of
// Handicapping 3.3). It is not limited yet: the score that counts is the lower of it and net double bogey. A choice that
// the position does not offer (field "to_finish") and impossible numbers are refused with an [InputError].
func MostLikelyScore(taken, penalties int, position BallPosition, toFinish int) (int, Explanation, error) {
	choices := position.StrokesToFinish()
	if choices == nil {
		return 0, nil, refuse("position", mostLikelyRule, "%d is not a position", int(position))
	}
	if !slices.Contains(choices, toFinish) {
		return 0, nil, refuse("to_finish", mostLikelyRule, "%d is not among %v, the strokes to finish from %s", toFinish, choices, position)
	}
	if taken < 1 || taken > mostHoleStrokes {
		return 0, nil, refuse("taken", mostLikelyRule, "%d is outside 1 to %d strokes; a hole is started with its first stroke", taken, mostHoleStrokes)
	}
	if penalties < 0 || penalties > mostHoleStrokes-taken {
		return 0, nil, refuse("penalties", mostLikelyRule, "%d penalty strokes are outside what a hole can hold", penalties)
	}
	score := taken + penalties + toFinish
	return score, Explanation{{
		Label:      "Most likely score",
		Arithmetic: fmt.Sprintf("%d taken + %d penalty + %d to finish from %s = %d", taken, penalties, toFinish, position, score),
		Rule:       mostLikelyRule,
	}}, nil
}
