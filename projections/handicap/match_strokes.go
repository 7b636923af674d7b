package handicap

import "fmt"

const matchRule = "Rules of Handicapping, Appendix C"

// MatchStrokes returns the strokes that each player (or side) receives in a match, in the order of playing. The lowest
// playing handicap plays off zero and the others receive the difference between the rounded playing handicaps; in a
// four-ball all four are compared with the single lowest of the four (Rules of Handicapping, Appendix C). A plus
// player is the lowest: +2 against 5 gives 7. With offLowest false everyone receives the full playing handicap, as the
// terms of some matches say. The playing handicaps are given rounded, and a match has two to four of them; anything
// else is refused with an [InputError] of field "playing_handicaps".
func MatchStrokes(playing []Playing, offLowest bool) ([]Playing, Explanation, error) {
	const field = "playing_handicaps"
	if len(playing) < 2 || len(playing) > 4 {
		return nil, nil, refuse(field, matchRule, "a match has two to four players or sides, not %d", len(playing))
	}
	lowest := playing[0]
	for i, p := range playing {
		if err := p.Validate(); err != nil {
			return nil, nil, refuse(field, matchRule, "place %d: %v", i+1, err)
		}
		lowest = min(lowest, p)
	}
	strokes := make([]Playing, len(playing))
	if !offLowest {
		copy(strokes, playing)
		return strokes, Explanation{{
			Label:      "Strokes in the match",
			Arithmetic: "everyone receives the full playing handicap",
			Rule:       "the terms of the competition",
		}}, nil
	}
	lines := Explanation{{
		Label:      "Lowest playing handicap of the match",
		Arithmetic: fmt.Sprintf("%d%s; plays off 0", int(lowest), plusNote(lowest.String(), lowest < 0)),
		Rule:       matchRule,
	}}
	for i, p := range playing {
		strokes[i] = p - lowest
		lines = append(lines, Line{
			Label:      fmt.Sprintf("Strokes of player or side %d", i+1),
			Arithmetic: fmt.Sprintf("%d - %s = %d", int(p), bracketed(int(lowest)), int(strokes[i])),
			Rule:       matchRule,
		})
	}
	return strokes, lines, nil
}

// bracketed writes a number for the right of a sign: -2 becomes (-2).
func bracketed(n int) string {
	if n < 0 {
		return fmt.Sprintf("(%d)", n)
	}
	return fmt.Sprint(n)
}
