package scoring

import (
	"fmt"

	"marram.example/events"
	"marram.example/projections/handicap"
)

const strokePlayRule = "Rules of Golf 3.3"

// StrokePlay is stroke play: the lowest total wins, and every hole must be holed out (Rules of Golf 3.3). Net is gross
// less the playing handicap, which equals the sum of the net hole scores once all holes are played.
func StrokePlay() Format {
	return Format{
		Name:           events.StrokePlay,
		Rule:           "Rules of Golf 3.3",
		Direction:      Low,
		Unit:           UnitStrokes,
		EveryHole:      true,
		SharesHandicap: true,
		Figure:         func(h HoleResult) int { return h.Net },
		Level:          func(h HoleResult) int { return h.Par },
		ExplainHole:    explainStrokes,
		ExplainTotal:   explainStrokePlay,
	}
}

func explainStrokes(h HoleResult) handicap.Line {
	line := holeLine(h, strokePlayRule)
	switch h.Score.State {
	case Excluded:
	case Holed:
		line.Arithmetic = netText(h)
	default:
		line.Arithmetic = h.Score.String() + ": no total without a score on this hole"
	}
	return line
}

func explainStrokePlay(r Result) handicap.Explanation {
	if r.Lacking != 0 {
		return handicap.Explanation{{Label: "No total", Arithmetic: fmt.Sprintf("hole %d has no score", r.Lacking), Rule: "Rules of Golf 3.3c"}}
	}
	return explainStrokeTotal(r)
}

// explainStrokeTotal adds up strokes, of a player or of the balls of a side that count.
func explainStrokeTotal(r Result) handicap.Explanation {
	lines := handicap.Explanation{{Label: "Gross", Arithmetic: halves(r.Out.Gross, r.In.Gross, r), Rule: strokePlayRule}}
	lines = append(lines, roundPenaltyLines(r, r.Total.Gross)...)
	if r.Basis == Net {
		received := r.Total.Gross - r.Total.Net
		line := handicap.Line{
			Label:      "Net on the holes played",
			Arithmetic: fmt.Sprintf("%s = %d", lessText(r.Total.Gross, received), r.Total.Net),
			Rule:       "Rules of Handicapping, Appendix E: strokes received on these holes",
		}
		switch {
		case !r.Complete:
		case r.Total.Excluded > 0:
			line.Label = "Net on the holes that count"
		case r.Balls != nil:
			line.Label, line.Rule = "Net", "Rules of Handicapping, Appendix E: strokes received with the scores that count"
		default:
			line.Label, line.Rule = "Net", "Rules of Golf 3.3: gross less the playing handicap"
		}
		lines = append(lines, line)
	}
	return append(lines, handicap.Line{
		Label:      "To par",
		Arithmetic: fmt.Sprintf("%d - par %d on %s = %s", r.Total.Figure, r.Total.Par, holesText(r.HolesPlayed-r.Total.Excluded), ToPar(r.Total.Figure-r.Total.Par)),
		Rule:       strokePlayRule,
	})
}
