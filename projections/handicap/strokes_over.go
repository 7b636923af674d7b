package handicap

import "fmt"

// StrokesOver returns the strokes received on each hole of a match or round of the given number of holes. Nine and
// eighteen holes are [StrokesReceived]. Thirty-six holes are the same course played twice: each eighteen is allocated as
// one round with the full number of strokes, so that the 36 entries add up to twice playing (Rules of Handicapping,
// Appendix E, read for two rounds). strokeIndexes belong to the nine holes in play, or to the eighteen. Other lengths,
// and indexes that do not fit the length, are refused with an [InputError].
func StrokesOver(length int, playing Playing, strokeIndexes []int) ([]int, error) {
	course := length
	switch length {
	case 9, 18:
	case 36:
		course = 18
	default:
		return nil, refuse("length", strokesRule, "a match or round has 9, 18 or 36 holes, not %d", length)
	}
	if len(strokeIndexes) != course {
		return nil, refuse("stroke_index", strokesRule, "%d holes need %d indexes, not %d", length, course, len(strokeIndexes))
	}
	strokes, err := StrokesReceived(playing, strokeIndexes)
	if err != nil {
		return nil, err
	}
	if length == 36 {
		strokes = append(strokes, strokes...)
	}
	return strokes, nil
}

// ExplainStrokesOver says in words how [StrokesOver] spreads the strokes; it refuses the same inputs.
func ExplainStrokesOver(length int, playing Playing, strokeIndexes []int) (Explanation, error) {
	if _, err := StrokesOver(length, playing, strokeIndexes); err != nil {
		return nil, err
	}
	lines, err := ExplainStrokes(playing, strokeIndexes)
	if err != nil || length != 36 {
		return lines, err
	}
	return append(lines, Line{
		Label:      "Second round of eighteen",
		Arithmetic: fmt.Sprintf("the same again on holes 19 to 36: 2 x %d = %d strokes in all", int(playing), 2*int(playing)),
		Rule:       strokesRule,
	}), nil
}
