package scoring

import "slices"

// BestTotal is one round of a team of which the best so many players' totals count (Rules of Golf 24.2).
type BestTotal struct {
	// Counting are the players whose totals count, as places in the list given, lowest first.
	Counting []int
	// Total is their sum; nil where too few players have a total.
	Total *int
}

// BestTotals adds up the best count totals of each round, which lists the players' totals in strokes, points or holes,
// nil for a player without one. A round in which fewer players have a total leaves the team without one, and so without
// a sum of the rounds (Rules of Golf 24.2; that a disqualified player's round only drops out: 2019 interpretation
// 24.2/1). Of equal totals the player listed first counts. No rounds and a count below 1 are refused.
func BestTotals(rounds [][]*int, count int, direction Direction) (byRound []BestTotal, total *int, err error) {
	if count < 1 {
		return nil, nil, refuse("count", "Rules of Golf 24.2", "%d totals cannot count", count)
	}
	if len(rounds) == 0 {
		return nil, nil, refuse("rounds", "Rules of Golf 24.2", "there are none")
	}
	byRound = make([]BestTotal, len(rounds))
	sum, whole := 0, true
	for i, totals := range rounds {
		byRound[i] = bestTotal(totals, count, direction)
		if byRound[i].Total == nil {
			whole = false
		} else {
			sum += *byRound[i].Total
		}
	}
	if whole {
		total = &sum
	}
	return byRound, total, nil
}

func bestTotal(totals []*int, count int, direction Direction) BestTotal {
	var order []int
	for i, total := range totals {
		if total != nil {
			order = append(order, i)
		}
	}
	if len(order) < count {
		return BestTotal{}
	}
	slices.SortStableFunc(order, func(a, b int) int { return direction.Compare(*totals[a], *totals[b]) })
	order = order[:count]
	slices.Sort(order)
	sum := 0
	for _, i := range order {
		sum += *totals[i]
	}
	return BestTotal{Counting: order, Total: &sum}
}
