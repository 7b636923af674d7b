package draw_test

import (
	"testing"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"marram.example/events"
	"marram.example/projections/draw"
)

func beat(a, b string, by int) draw.GroupResult { return draw.GroupResult{A: a, B: b, By: by} }
func even(a, b string) draw.GroupResult         { return draw.GroupResult{A: a, B: b, Tied: true} }

func TestGroupTable(t *testing.T) {
	t.Parallel()
	four := []string{"A", "B", "C", "D"}
	for _, c := range []struct {
		name    string
		entries []string
		results []draw.GroupResult
		order   [][]string
		decided []string // of the rows in order
	}{
		{"points", []string{"A", "B", "C"}, []draw.GroupResult{beat("B", "A", 3), beat("B", "C", 1), even("A", "C")},
			[][]string{{"B"}, {"C"}, {"A"}}, []string{"", "holes difference -1 over all matches", "holes difference -3 over all matches"}},
		{"two by their own match, against the holes difference", four,
			[]draw.GroupResult{beat("B", "A", 1), beat("A", "C", 9), beat("A", "D", 9), beat("B", "C", 1), beat("D", "B", 1), even("C", "D")},
			[][]string{{"B"}, {"A"}, {"D"}, {"C"}}, []string{"won their own match", "lost their own match", "", ""}},
		{"three by holes difference", []string{"A", "B", "C"}, []draw.GroupResult{beat("A", "B", 1), beat("B", "C", 5), beat("C", "A", 2)},
			[][]string{{"B"}, {"A"}, {"C"}},
			[]string{"holes difference +4 over all matches", "holes difference -1 over all matches", "holes difference -3 over all matches"}},
		{"three, then the match of the two still equal", []string{"A", "B", "C"}, []draw.GroupResult{beat("A", "B", 3), beat("B", "C", 2), beat("C", "A", 1)},
			[][]string{{"A"}, {"B"}, {"C"}}, []string{
				"holes difference +2 over all matches",
				"holes difference -1 over all matches; won their own match", "holes difference -1 over all matches; lost their own match",
			}},
		{"three that nothing separates", []string{"C", "A", "B"}, []draw.GroupResult{beat("A", "B", 2), beat("B", "C", 2), beat("C", "A", 2)},
			[][]string{{"C", "A", "B"}}, []string{"still equal: play-off or lot", "still equal: play-off or lot", "still equal: play-off or lot"}},
		{"two whom neither their own match nor holes separate", []string{"A", "B", "C", "D", "E"}, []draw.GroupResult{
			beat("A", "B", 1), beat("A", "C", 1), even("B", "C"), beat("D", "A", 4), beat("E", "A", 1),
			even("B", "D"), even("C", "E"), even("B", "E"), even("C", "D"), beat("D", "E", 4),
		}, [][]string{{"D"}, {"E"}, {"A"}, {"B", "C"}}, []string{
			"", "won their own match", "lost their own match", "still equal: play-off or lot", "still equal: play-off or lot",
		}},
		{"nobody has played", []string{"A", "B"}, nil, [][]string{{"A", "B"}}, []string{"still equal: play-off or lot", "still equal: play-off or lot"}},
	} {
		t.Run(c.name, func(t *testing.T) {
			t.Parallel()
			table, err := draw.GroupTable(c.entries, c.results)
			require.NoError(t, err)
			require.Equal(t, c.order, table.Order)
			var decided []string
			for _, r := range table.Rows {
				decided = append(decided, r.Decided)
			}
			require.Equal(t, c.decided, decided)
		})
	}
}

func TestGroupTableRows(t *testing.T) {
	t.Parallel()
	table, err := draw.GroupTable([]string{"A", "B", "C"}, []draw.GroupResult{beat("A", "B", 3), even("C", "A")})
	require.NoError(t, err)
	require.Equal(t, []events.TableRow{
		{EntryID: "A", Played: 2, Won: 1, Tied: 1, HalfPoints: 3, Holes: 3},
		{EntryID: "C", Played: 1, Tied: 1, HalfPoints: 1},
		{EntryID: "B", Played: 1, Lost: 1, Holes: -3},
	}, table.Rows)
	table, err = draw.GroupTable([]string{"A", "B", "C"}, []draw.GroupResult{beat("A", "B", 0), {A: "B", B: "C", Out: true}})
	require.NoError(t, err)
	require.Equal(t, []events.TableRow{
		{EntryID: "A", Played: 1, Won: 1, HalfPoints: 2},
		{EntryID: "B", Played: 2, Lost: 2, Decided: "still equal: play-off or lot"},
		{EntryID: "C", Played: 1, Lost: 1, Decided: "still equal: play-off or lot"},
	}, table.Rows, "a match credited without holes, and one of which both sides are out")
	require.Equal(t, []string{"0 points", "1/2 point", "1 point", "1 1/2 points", "2 points"}, []string{
		draw.PointsText(0), draw.PointsText(1), draw.PointsText(2), draw.PointsText(3), draw.PointsText(4),
	})
}

func TestGroupTableRefuses(t *testing.T) {
	t.Parallel()
	for _, c := range []struct {
		entries []string
		results []draw.GroupResult
		field   string
	}{
		{[]string{"A", "A"}, nil, "entries"},
		{[]string{"A", ""}, nil, "entries"},
		{[]string{"A", "B"}, []draw.GroupResult{beat("A", "X", 1)}, "results"},
		{[]string{"A", "B"}, []draw.GroupResult{beat("A", "A", 1)}, "results"},
		{[]string{"A", "B"}, []draw.GroupResult{beat("A", "B", 1), even("B", "A")}, "results"},
		{[]string{"A", "B"}, []draw.GroupResult{beat("A", "B", -1)}, "results"},
		{[]string{"A", "B"}, []draw.GroupResult{beat("A", "B", 37)}, "results"},
		{[]string{"A", "B"}, []draw.GroupResult{{A: "A", B: "B", Tied: true, By: 1}}, "results"},
	} {
		_, err := draw.GroupTable(c.entries, c.results)
		requireField(t, err, c.field)
	}
}

func TestParseMargin(t *testing.T) {
	t.Parallel()
	for text, by := range map[string]int{
		"3 and 2": 3, "10 and 8": 10, "1 up": 1, "2 up": 2, "at the 19th": 1, "1 up at the 21st": 1, "tied": 0, "Tied": 0, "all square": 0,
	} {
		got, err := draw.ParseMargin(text)
		require.NoError(t, err, text)
		require.Equal(t, by, got, text)
	}
	for _, text := range []string{"", "won", "2 and 3", "2 and 2", "0 up", "-1 up", "3 & 2", "up"} {
		_, err := draw.ParseMargin(text)
		requireField(t, err, "by")
	}
}

// Points and holes add up over the table, nobody stands above an entry with more points, and the order of results and of
// entries changes no place.
func TestGroupTableAddsUp(t *testing.T) {
	t.Parallel()
	rapid.Check(t, func(t *rapid.T) {
		players := rapid.IntRange(2, 6).Draw(t, "players")
		ids := []string{"A", "B", "C", "D", "E", "F"}[:players]
		var results []draw.GroupResult
		for i := range ids {
			for j := range i {
				switch by := rapid.IntRange(-2, 2).Draw(t, "by"); {
				case by > 0:
					results = append(results, beat(ids[i], ids[j], by))
				case by < 0:
					results = append(results, beat(ids[j], ids[i], -by))
				default:
					results = append(results, even(ids[i], ids[j]))
				}
			}
		}
		table, err := draw.GroupTable(ids, results)
		require.NoError(t, err)
		half, holes := 0, 0
		for i, r := range table.Rows {
			half += r.HalfPoints
			holes += r.Holes
			require.Equal(t, players-1, r.Played)
			require.Equal(t, r.Played, r.Won+r.Tied+r.Lost)
			if i > 0 {
				require.GreaterOrEqual(t, table.Rows[i-1].HalfPoints, r.HalfPoints)
			}
		}
		require.Equal(t, players*(players-1), half)
		require.Zero(t, holes)
		again, err := draw.GroupTable(rapid.Permutation(ids).Draw(t, "entries"), rapid.Permutation(results).Draw(t, "results"))
		require.NoError(t, err)
		require.Len(t, again.Order, len(table.Order))
		for i := range table.Order {
			require.ElementsMatch(t, table.Order[i], again.Order[i])
		}
	})
}
