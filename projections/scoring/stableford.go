package scoring

import (
	"fmt"

	"marram.example/events"
	"marram.example/projections/handicap"
)

const stablefordRule = "Rules of Golf 21.1b"

// Stableford is Stableford against par: the most points win (Rules of Golf 21.1). A hole without a score is worth no
// points and the card stays valid. On the gross basis no strokes are received.
func Stableford() Format {
	return Format{
		Name:         events.Stableford,
		Rule:         "Rules of Golf 21.1",
		Direction:    High,
		Unit:         UnitPoints,
		Figure:       func(h HoleResult) int { return h.Points },
		Level:        func(HoleResult) int { return levelPoints },
		ExplainHole:  explainPoints,
		ExplainTotal: explainStableford,
	}
}

// levelPoints are the points for a hole played in the target.
const levelPoints = 2

// StablefordPoints returns the points for a hole of this par: 2 for the target (par plus strokes received), one more for
// each stroke fewer, one less for each more, never below 0 (Rules of Golf 21.1b). The published table ends at six points
// for four under; going on by one beyond it is common practice, no source.
func StablefordPoints(strokes, par, received int) int {
	return max(0, levelPoints+par+received-strokes)
}

func explainPoints(h HoleResult) handicap.Line {
	line := holeLine(h, stablefordRule)
	if h.Score.State == Excluded {
		return line
	}
	if h.Score.State != Holed {
		line.Arithmetic = h.Score.String() + ": 0 points"
		return line
	}
	target := fmt.Sprintf("par %d", h.Par)
	switch {
	case h.Received > 0:
		target += fmt.Sprintf(" + %d received", h.Received)
	case h.Received < 0:
		target += fmt.Sprintf(" - %d given back", -h.Received)
	}
	strokes, points := strokesText(h), levelPoints+h.Par+h.Received-h.Gross
	if h.Penalty != 0 {
		strokes = "(" + strokes + ")"
	}
	line.Arithmetic = fmt.Sprintf("%d + %s - %s = %d", levelPoints, target, strokes, points)
	if points < 0 {
		line.Arithmetic += ", not below 0"
	}
	return line
}

func explainStableford(r Result) handicap.Explanation {
	lines := handicap.Explanation{{Label: "Points", Arithmetic: halves(r.Out.Points, r.In.Points, r), Rule: stablefordRule}}
	lines = append(lines, roundPenaltyLines(r, r.Total.Points)...)
	return append(lines, handicap.Line{
		Label:      "Against two points a hole",
		Arithmetic: fmt.Sprintf("%d - %d x %d = %s", r.Total.Points, levelPoints, (r.Total.Points-r.Live)/levelPoints, ToPar(r.Live)),
		Rule:       "common practice, no source",
	})
}
