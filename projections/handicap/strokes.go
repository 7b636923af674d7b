package handicap

import "fmt"

const strokesRule = "Rules of Handicapping, Appendix E"

// StrokesReceived returns the strokes received on each hole, in the order of strokeIndexes, which are the published
// indexes of the 18 or 9 holes in play. One stroke a hole goes out in ascending order of index, again and again until
// all are given; a plus player gives back from the highest index down, and those entries are negative (Rules of
// Handicapping, Appendix C and E). Nine holes are ranked among themselves, whether they keep their indexes of the
// eighteen or are renumbered. The sum of the result is the playing handicap. Wrong numbers of holes, and indexes that
// are missing, repeated or out of range, are refused with an [InputError].
func StrokesReceived(playing Playing, strokeIndexes []int) ([]int, error) {
	if err := playing.Validate(); err != nil {
		return nil, err
	}
	if err := ValidateStrokeIndexes(strokeIndexes); err != nil {
		return nil, err
	}
	holes := len(strokeIndexes)
	each := int(floorDiv(int64(playing), int64(holes)))
	// With floor division both signs read alike: -2 on 18 holes is -1 on every hole and one stroke more on ranks 1 to 16.
	more := int(playing) - each*holes
	strokes := make([]int, holes)
	for i, index := range strokeIndexes {
		strokes[i] = each
		if rank(index, strokeIndexes) <= more {
			strokes[i]++
		}
	}
	return strokes, nil
}

// ExplainStrokes says in words how [StrokesReceived] spreads the playing handicap; it refuses the same inputs.
func ExplainStrokes(playing Playing, strokeIndexes []int) (Explanation, error) {
	if _, err := StrokesReceived(playing, strokeIndexes); err != nil {
		return nil, err
	}
	holes := len(strokeIndexes)
	count, verb := int(playing), "receives"
	if playing < 0 {
		count, verb = -count, "gives back"
	}
	each, more := count/holes, count%holes
	unit := "strokes"
	if count == 1 {
		unit = "stroke"
	}
	lines := Explanation{{
		Label:      "Strokes on every hole",
		Arithmetic: fmt.Sprintf("%d %s on %d holes = %d on every hole, %d left over", count, unit, holes, each, more),
		Rule:       strokesRule,
	}}
	if more == 0 {
		return lines, nil
	}
	first := 1
	if playing < 0 {
		first = holes - more + 1
	}
	where := fmt.Sprintf("each of the %d holes ranked %d to %d", more, first, first+more-1)
	if more == 1 {
		where = fmt.Sprintf("the hole ranked %d", first)
	}
	return append(lines, Line{
		Label:      "Strokes left over",
		Arithmetic: fmt.Sprintf("the player %s one more on %s by stroke index", verb, where),
		Rule:       strokesRule,
	}), nil
}

// ValidateStrokeIndexes refuses anything but 18 holes with the indexes 1 to 18, or nine holes with nine different
// indexes of 1 to 18, with an [InputError] of field "stroke_index".
func ValidateStrokeIndexes(strokeIndexes []int) error {
	const field = "stroke_index"
	if n := len(strokeIndexes); n != 18 && n != 9 {
		return refuse(field, strokesRule, "there must be 18 or 9 indexes, not %d", n)
	}
	var seen [19]bool
	for i, index := range strokeIndexes {
		if index < 1 || index > 18 {
			return refuse(field, strokesRule, "%d at place %d is outside 1 to 18", index, i+1)
		}
		if seen[index] {
			return refuse(field, strokesRule, "%d appears twice", index)
		}
		seen[index] = true
	}
	return nil
}

// rank is the place of a stroke index among those in play, 1 for the lowest.
func rank(index int, strokeIndexes []int) int {
	place := 1
	for _, other := range strokeIndexes {
		if other < index {
			place++
		}
	}
	return place
}
