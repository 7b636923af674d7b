package scoring

import (
	"fmt"

	"marram.example/events"
	"marram.example/projections/handicap"
)

const maximumRule = "Rules of Golf 21.2b"

// MaximumScore is stroke play with a maximum on every hole: the lowest total wins, a hole of more strokes counts the
// maximum and so does a hole without a score, so that the card stays valid (Rules of Golf 21.2). The maximum is one of
// gross strokes; strokes received are taken after it.
func MaximumScore() Format {
	return Format{
		Name:         events.MaximumScore,
		Rule:         "Rules of Golf 21.2",
		Direction:    Low,
		Unit:         UnitStrokes,
		Capped:       true,
		Figure:       func(h HoleResult) int { return h.Net },
		Level:        func(h HoleResult) int { return h.Par },
		ExplainHole:  explainMaximum,
		ExplainTotal: explainStrokeTotal,
	}
}

// ValidateMaximum refuses a maximum of a kind that is unknown, and fixed strokes outside 1 to 99, with an error of field
// "maximum".
func ValidateMaximum(m events.Maximum) error {
	switch m.Kind {
	case events.NetDoubleBogey, events.DoublePar:
		return nil
	case events.FixedStrokes:
		if Impossible(m.Strokes) {
			return refuse("maximum", maximumRule, "%d is outside %d to %d strokes", m.Strokes, FewestStrokes, MostStrokes)
		}
		return nil
	default:
		return refuse("maximum", maximumRule, "%q is unknown; use %s, %s or %s", m.Kind, events.NetDoubleBogey, events.DoublePar, events.FixedStrokes)
	}
}

// MaximumOf returns the most gross strokes that count on a hole of this par: par + 2 + strokes received there for
// net_double_bogey, twice par, or the stated strokes (Rules of Golf 21.2). It is never below one stroke.
func MaximumOf(m events.Maximum, par, received int) int {
	switch m.Kind {
	case events.NetDoubleBogey:
		return max(FewestStrokes, par+2+received)
	case events.DoublePar:
		return 2 * par
	default:
		return max(FewestStrokes, m.Strokes)
	}
}

func explainMaximum(h HoleResult) handicap.Line {
	line := holeLine(h, maximumRule)
	if h.Score.State == Excluded {
		return line
	}
	var counts string
	switch {
	case h.Score.State != Holed:
		counts = fmt.Sprintf("%s: the maximum of %d counts", h.Score, h.Maximum)
	case h.Score.Strokes+h.Penalty > h.Maximum:
		counts = fmt.Sprintf("%s, reduced to the maximum of %d", strokesText(h), h.Maximum)
	default:
		line.Arithmetic = netText(h)
		return line
	}
	if h.Received != 0 {
		counts += fmt.Sprintf("; %s = %d", lessText(h.Gross, h.Received), h.Net)
	}
	line.Arithmetic = fmt.Sprintf("%s, %s to par %d", counts, ToPar(h.NetToPar), h.Par)
	return line
}
