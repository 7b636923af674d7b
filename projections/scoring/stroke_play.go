package scoring

import (
	"fmt"

	"marram.example/projections/handicap"
)

// StrokePlay is stroke play: the lowest total wins, and every hole must be holed out (Rules of Golf 3.3). Net is gross
// less the playing handicap, which equals the sum of the net hole scores once all holes are played.
func StrokePlay() Format {
	return Format{
		Name:           "stroke_play",
		Rule:           "Rules of Golf 3.3",
		Direction:      Low,
		EveryHole:      true,
		SharesHandicap: true,
		Figure:         func(h HoleResult) int { return h.Net },
		Level:          func(h HoleResult) int { return h.Par },
		ExplainHole:    explainStrokes,
		ExplainTotal:   explainStrokePlay,
	}
}

func explainStrokes(h HoleResult) handicap.Line {
	line := handicap.Line{Label: fmt.Sprintf("Hole %d", h.Hole), Rule: "Rules of Golf 3.3"}
	if h.Score.State != Holed {
		line.Arithmetic = h.Score.String() + ": no total without a score on this hole"
		return line
	}
	strokes := ""
	if h.Received != 0 {
		strokes = lessText(h.Score.Strokes, h.Received) + " = "
	}
	line.Arithmetic = fmt.Sprintf("%s%d, %s to par %d", strokes, h.Net, ToPar(h.NetToPar), h.Par)
	return line
}

func explainStrokePlay(r Result) handicap.Explanation {
	const rule = "Rules of Golf 3.3"
	if r.Lacking != 0 {
		return handicap.Explanation{{Label: "No total", Arithmetic: fmt.Sprintf("hole %d has no score", r.Lacking), Rule: "Rules of Golf 3.3c"}}
	}
	lines := handicap.Explanation{{Label: "Gross", Arithmetic: halves(r.Out.Gross, r.In.Gross, r), Rule: rule}}
	if !r.Complete {
		if r.Basis == Net {
			lines = append(lines, handicap.Line{
				Label:      "Net on the holes played",
				Arithmetic: fmt.Sprintf("%s = %d", lessText(r.Total.Gross, r.Total.Gross-r.Total.Net), r.Total.Net),
				Rule:       "Rules of Handicapping, Appendix E: strokes received on these holes",
			})
		}
	} else if r.Basis == Net {
		lines = append(lines, handicap.Line{
			Label:      "Net",
			Arithmetic: fmt.Sprintf("%s = %d", lessText(r.Total.Gross, int(r.Playing)), r.Total.Net),
			Rule:       "Rules of Golf 3.3: gross less the playing handicap",
		})
	}
	return append(lines, handicap.Line{
		Label:      "To par",
		Arithmetic: fmt.Sprintf("%d - par %d on %s = %s", r.Total.Figure, r.Total.Par, holesText(r.HolesPlayed), ToPar(r.Live)),
		Rule:       rule,
	})
}
