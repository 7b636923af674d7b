package draw

import (
	"cmp"
	"fmt"
	"slices"
	"strconv"
	"strings"

	"marram.example/events"
	"marram.example/projections/handicap"
)

// GroupResult is one match of a round robin that is over.
type GroupResult struct {
	// A and B are the entries; A won unless Tied.
	A, B string
	Tied bool
	// Out says that the committee ruled both sides out: neither has a point.
	Out bool
	// By is how many holes up the winner was in the end: 3 for "3 and 2", 1 for a win at an extra hole, and what the
	// committee credits for a match conceded or ruled, which may be none. 0 where nobody won.
	By int
}

// Table is a round robin's table.
type Table struct {
	// Rows are best first; in Decided they say what separated equal points.
	Rows []events.TableRow
	// Order lists groups of entry ids, best first; those that nothing separates share a group, in the order of entry.
	Order [][]string
}

const tableRule = "common practice, no source"

// standing is a row with the steps that placed it.
type standing struct {
	events.TableRow
	entered int
	reasons []string
}

// GroupTable works out the table of a round robin (common practice, no source): a win is worth one point, a tie a half.
// Of two with equal points the winner of their own match is ahead, then the better holes difference over all matches.
// Three or more with equal points go by holes difference over all matches, then by the matches among those still equal.
// What stays equal is for a play-off or lot. Unknown, repeated or missing entries, a match of an entry with itself, a
// pair that met twice and a margin that does not fit are refused with a [handicap.InputError].
func GroupTable(entries []string, results []GroupResult) (Table, error) {
	rows, err := tally(entries, results)
	if err != nil {
		return Table{}, err
	}
	g := grouping{results: results}
	slices.SortStableFunc(rows, func(a, b *standing) int { return cmp.Compare(b.HalfPoints, a.HalfPoints) })
	var table Table
	for _, equal := range runs(rows, func(s *standing) int { return s.HalfPoints }) {
		for _, together := range g.separate(equal) {
			slices.SortFunc(together, func(a, b *standing) int { return cmp.Compare(a.entered, b.entered) })
			ids := make([]string, len(together))
			for i, s := range together {
				ids[i] = s.EntryID
				if len(together) > 1 {
					s.reasons = append(s.reasons, "still equal: play-off or lot")
				}
				s.Decided = strings.Join(s.reasons, "; ")
				table.Rows = append(table.Rows, s.TableRow)
			}
			table.Order = append(table.Order, ids)
		}
	}
	return table, nil
}

func refuse(field, format string, args ...any) error {
	return &handicap.InputError{Field: field, Problem: fmt.Sprintf(format, args...), Rule: tableRule}
}

func tally(entries []string, results []GroupResult) ([]*standing, error) {
	rows, byID := make([]*standing, len(entries)), make(map[string]*standing, len(entries))
	for i, id := range entries {
		if id == "" || byID[id] != nil {
			return nil, refuse("entries", "entry %d has the id %q, which is empty or taken", i+1, id)
		}
		rows[i] = &standing{TableRow: events.TableRow{EntryID: id}, entered: i}
		byID[id] = rows[i]
	}
	met := make(map[[2]string]bool, len(results))
	for i, r := range results {
		a, b := byID[r.A], byID[r.B]
		pair := [2]string{min(r.A, r.B), max(r.A, r.B)}
		switch {
		case a == nil || b == nil || a == b:
			return nil, refuse("results", "match %d is between %q and %q, who are not two of the entries", i+1, r.A, r.B)
		case met[pair]:
			return nil, refuse("results", "%q and %q met twice", r.A, r.B)
		case (r.Tied || r.Out) && r.By != 0 || r.Tied && r.Out || r.By < 0 || r.By > 36:
			return nil, refuse("results", "match %d cannot end by %d holes", i+1, r.By)
		}
		met[pair] = true
		a.Played++
		b.Played++
		switch {
		case r.Tied:
			a.Tied++
			b.Tied++
			a.HalfPoints++
			b.HalfPoints++
		case r.Out:
			a.Lost++
			b.Lost++
		default:
			a.Won++
			b.Lost++
			a.HalfPoints += 2
			a.Holes += r.By
			b.Holes -= r.By
		}
	}
	return rows, nil
}

// runs cuts sorted rows where a figure changes.
func runs(rows []*standing, figure func(*standing) int) [][]*standing {
	var out [][]*standing
	for start := 0; start < len(rows); {
		end := start + 1
		for end < len(rows) && figure(rows[end]) == figure(rows[start]) {
			end++
		}
		out = append(out, rows[start:end])
		start = end
	}
	return out
}

// grouping separates rows with equal points.
type grouping struct{ results []GroupResult }

func (g grouping) separate(equal []*standing) [][]*standing {
	switch len(equal) {
	case 1:
		return [][]*standing{equal}
	case 2:
		if separated := g.byOwnMatches(equal); len(separated) > 1 {
			return separated
		}
		return byHoles(equal)
	}
	var out [][]*standing
	for _, still := range byHoles(equal) {
		out = append(out, g.byOwnMatchesAgain(still)...)
	}
	return out
}

// byOwnMatchesAgain repeats the comparison of own matches among those that remain equal, as long as it separates some.
func (g grouping) byOwnMatchesAgain(equal []*standing) [][]*standing {
	if len(equal) == 1 {
		return [][]*standing{equal}
	}
	separated := g.byOwnMatches(equal)
	if len(separated) == 1 {
		return separated
	}
	var out [][]*standing
	for _, still := range separated {
		out = append(out, g.byOwnMatchesAgain(still)...)
	}
	return out
}

// byHoles orders by holes difference over all matches.
func byHoles(equal []*standing) [][]*standing {
	slices.SortStableFunc(equal, func(a, b *standing) int { return cmp.Compare(b.Holes, a.Holes) })
	separated := runs(equal, func(s *standing) int { return s.Holes })
	if len(separated) > 1 {
		for _, s := range equal {
			s.reasons = append(s.reasons, fmt.Sprintf("holes difference %+d over all matches", s.Holes))
		}
	}
	return separated
}

// byOwnMatches orders by the points of the matches among these.
func (g grouping) byOwnMatches(equal []*standing) [][]*standing {
	half := make(map[*standing]int, len(equal))
	find := func(id string) *standing {
		for _, s := range equal {
			if s.EntryID == id {
				return s
			}
		}
		return nil
	}
	for _, r := range g.results {
		a, b := find(r.A), find(r.B)
		switch {
		case a == nil || b == nil || r.Out:
		case r.Tied:
			half[a]++
			half[b]++
		default:
			half[a] += 2
		}
	}
	slices.SortStableFunc(equal, func(a, b *standing) int { return cmp.Compare(half[b], half[a]) })
	separated := runs(equal, func(s *standing) int { return half[s] })
	if len(separated) > 1 {
		for i, s := range equal {
			s.reasons = append(s.reasons, ownWords(equal, i, half[s]))
		}
	}
	return separated
}

func ownWords(equal []*standing, i, half int) string {
	if len(equal) > 2 {
		return PointsText(half) + " in the matches among those equal"
	}
	if i == 0 {
		return "won their own match"
	}
	return "lost their own match"
}

// PointsText writes half points: 3 is "1 1/2 points", 2 "1 point".
func PointsText(half int) string {
	text := fmt.Sprint(half / 2)
	switch {
	case half == 1:
		return "1/2 point"
	case half%2 != 0:
		text += " 1/2"
	case half == 2:
		return "1 point"
	}
	return text + " points"
}

// ParseMargin reads how many holes up a match ended: "3 and 2" is 3, "1 up" and "2 up" are what they say, and a match
// decided at an extra hole ("at the 19th") was won by one; "tied" and "all square" are 0. Anything else is refused.
func ParseMargin(text string) (int, error) {
	words := strings.Fields(strings.ToLower(text))
	numbers := make([]int, len(words))
	for i, word := range words {
		if n, err := strconv.Atoi(word); err == nil {
			numbers[i] = n
		}
	}
	switch {
	case len(words) == 1 && words[0] == "tied", len(words) == 2 && words[0] == "all" && words[1] == "square":
		return 0, nil
	case len(words) == 3 && words[1] == "and" && numbers[0] > numbers[2] && numbers[2] > 0:
		return numbers[0], nil
	case len(words) == 2 && words[1] == "up" && numbers[0] > 0:
		return numbers[0], nil
	case len(words) >= 3 && words[len(words)-3] == "at" && words[len(words)-2] == "the":
		return 1, nil
	}
	return 0, refuse("by", "%q is not how a match ends; write 3 and 2, 1 up, at the 19th or tied", text)
}
