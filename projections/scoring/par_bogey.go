package scoring

import (
	"fmt"

	"marram.example/events"
	"marram.example/projections/handicap"
)

const parBogeyRule = "Rules of Golf 21.3b"

// What a hole against the target comes to.
const (
	won  = 1
	tied = 0
	lost = -1
)

// ParBogey is par/bogey: each hole is won, tied or lost against par, and the most holes won less holes lost win (Rules
// of Golf 21.3). A hole without a score is lost and the card stays valid; no penalty makes a hole worse than lost.
func ParBogey() Format {
	return Format{
		Name:         events.ParBogey,
		Rule:         "Rules of Golf 21.3",
		Direction:    High,
		Unit:         UnitHoles,
		Figure:       func(h HoleResult) int { return h.ParBogey },
		Level:        func(HoleResult) int { return tied },
		ExplainHole:  explainParBogey,
		ExplainTotal: explainParBogeyTotal,
	}
}

// ParBogeyResult returns 1 for a hole won, 0 for one tied and -1 for one lost: strokes less strokes received against
// par (Rules of Golf 21.3b).
func ParBogeyResult(strokes, par, received int) int {
	switch net := strokes - received; {
	case net < par:
		return won
	case net == par:
		return tied
	default:
		return lost
	}
}

func explainParBogey(h HoleResult) handicap.Line {
	line := holeLine(h, parBogeyRule)
	switch h.Score.State {
	case Excluded:
	case Holed:
		line.Arithmetic = fmt.Sprintf("%s against par %d: %s", netOnly(h), h.Par, wonText(h.ParBogey))
	default:
		line.Arithmetic = h.Score.String() + ": lost, " + signed(lost)
	}
	return line
}

func wonText(result int) string {
	return [...]string{"lost, ", "tied, ", "won, "}[result+1] + signed(result)
}

func explainParBogeyTotal(r Result) handicap.Explanation {
	lines := handicap.Explanation{{
		Label: "Holes won less holes lost", Arithmetic: halves(r.Out.ParBogey, r.In.ParBogey, r), Rule: parBogeyRule,
	}}
	return append(lines, roundPenaltyLines(r, r.Total.ParBogey)...)
}
