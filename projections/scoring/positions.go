package scoring

import (
	"slices"
	"strconv"
)

// Positions returns the position of each total, in the same order: "1", "T2" where several share a total, and an empty
// text where a total is nil. Sharing a position uses up the following ones: 1, T2, T2, 4.
func Positions(totals []*int, direction Direction) []string {
	order := make([]int, 0, len(totals))
	for i, total := range totals {
		if total != nil {
			order = append(order, i)
		}
	}
	slices.SortFunc(order, func(a, b int) int { return direction.Compare(*totals[a], *totals[b]) })
	texts := make([]string, len(totals))
	for start := 0; start < len(order); {
		end := start + 1
		for end < len(order) && *totals[order[end]] == *totals[order[start]] {
			end++
		}
		for _, i := range order[start:end] {
			texts[i] = PositionText(start+1, end-start > 1)
		}
		start = end
	}
	return texts
}

// PositionText writes a position: "1", "T2" where it is shared, empty for 0.
func PositionText(position int, tied bool) string {
	switch {
	case position == 0:
		return ""
	case tied:
		return "T" + strconv.Itoa(position)
	default:
		return strconv.Itoa(position)
	}
}
