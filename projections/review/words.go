package review

import (
	"fmt"
	"math"
	"strings"

	"marram.example/events"
	"marram.example/projections/shots"
)

// strokesText is an amount of strokes with one decimal, without its sign.
func strokesText(v float64) string {
	return fmt.Sprintf("%.1f", math.Abs(round1(v)))
}

// amountText is it with its unit, "1.0 strokes" too.
func amountText(v float64) string { return strokesText(v) + " strokes" }

func round1(v float64) float64 { return math.Round(v*10) / 10 }

// lossText is an interval of gains said as a loss: "between 0.4 and 3.1", or with its
// sides named where it spans 0.
func lossText(gain shots.Interval) string {
	low, high := round1(-gain.High), round1(-gain.Low)
	switch {
	case low >= 0:
		return fmt.Sprintf("between %.1f and %.1f", math.Abs(low), high)
	case high <= 0:
		return fmt.Sprintf("between %.1f and %.1f gained", -high, -low)
	default:
		return fmt.Sprintf("between %.1f gained and %.1f lost", -low, high)
	}
}

// gainText is the same said as a gain.
func gainText(gain shots.Interval) string {
	low, high := round1(gain.Low), round1(gain.High)
	switch {
	case low >= 0:
		return fmt.Sprintf("between %.1f and %.1f", math.Abs(low), high)
	case high <= 0:
		return fmt.Sprintf("between %.1f and %.1f lost", -high, -low)
	default:
		return fmt.Sprintf("between %.1f lost and %.1f gained", -low, high)
	}
}

// upper begins a sentence.
func upper(s string) string {
	if s == "" {
		return s
	}
	return strings.ToUpper(s[:1]) + s[1:]
}

func counted(n int, one, many string) string {
	if n == 1 {
		return "1 " + one
	}
	return fmt.Sprintf("%d %s", n, many)
}

// distanceText is a distance from a lie in the units asked for: metres with one
// decimal on the green, else whole; or yards, and feet on the green.
func distanceText(metres float64, lie, units string) string {
	switch {
	case units == Yards && lie == events.LieGreen:
		return fmt.Sprintf("%.0f ft", math.Max(1, metres/shots.Foot))
	case units == Yards:
		return fmt.Sprintf("%.0f yd", math.Max(1, metres/shots.Yard))
	case lie == events.LieGreen:
		return fmt.Sprintf("%.1f m", math.Max(0.1, metres))
	default:
		return fmt.Sprintf("%.0f m", math.Max(1, metres))
	}
}

// acrossText is a length across the line of play.
func acrossText(metres float64, units string) string {
	if units == Yards {
		return fmt.Sprintf("%.0f yd", math.Abs(metres)/shots.Yard)
	}
	return fmt.Sprintf("%.0f m", math.Abs(metres))
}

// lieText says where a ball lies.
func lieText(lie string) string {
	switch lie {
	case events.LieTee:
		return "on the tee"
	case events.LieFairway:
		return "on the fairway"
	case events.LieRough:
		return "in the rough"
	case events.LieSand:
		return "in the sand"
	case events.LieRecovery:
		return "in trouble"
	default:
		return "on the green"
	}
}

// clubText is a club as a person says it: "8 iron", "sand wedge".
func clubText(club string) string {
	kind, number, has := strings.Cut(club, "-")
	if has && len(number) == 1 {
		return number + " " + kind
	}
	return strings.ReplaceAll(club, "-", " ")
}

// groupStrokes are the strokes with a group of clubs: "drives".
func groupStrokes(group string) string {
	switch group {
	case shots.GroupDriver:
		return "drives"
	case shots.GroupWoods:
		return "strokes with a wood"
	case shots.GroupHybrids:
		return "strokes with a hybrid"
	case shots.GroupLongIrons:
		return "strokes with a long iron"
	case shots.GroupMidIrons:
		return "strokes with a middle iron"
	case shots.GroupShortIrons:
		return "strokes with a short iron"
	case shots.GroupWedges:
		return "strokes with a wedge"
	default:
		return "putts"
	}
}

// groupLabel is a group of clubs as a heading.
func groupLabel(group string) string {
	switch group {
	case shots.GroupDriver:
		return "Driver"
	case shots.GroupMidIrons:
		return "Middle irons"
	default:
		return upper(group)
	}
}

func phaseLabel(phase shots.Phase) string {
	switch phase {
	case shots.PhaseOffTheTee:
		return "Off the tee"
	case shots.PhaseApproach:
		return "Approach"
	case shots.PhaseAroundTheGreen:
		return "Around the green"
	default:
		return "Putting"
	}
}

// phaseSubject begins a sentence about a phase; all of them are more than one.
func phaseSubject(phase shots.Phase) string {
	switch phase {
	case shots.PhaseOffTheTee:
		return "Tee shots"
	case shots.PhaseApproach:
		return "Approaches"
	case shots.PhaseAroundTheGreen:
		return "Shots around the green"
	default:
		return "Putts"
	}
}

// parText is a score to par.
func parText(n int) string {
	switch {
	case n == 0:
		return "level par"
	case n > 0:
		return fmt.Sprintf("%d over par", n)
	default:
		return fmt.Sprintf("%d under par", -n)
	}
}
