package handicap

import (
	"cmp"
	"fmt"
	"slices"
	"strings"
)

// ExpectedRow is the score differential that the association expects over nine holes of a player with the index.
type ExpectedRow struct {
	Index    Index
	Expected ExactDifferential
}

// ExpectedTable holds the expected nine-hole differentials by handicap index (Rules of Handicapping 5.1b). The formula
// behind them is not published, so there is no default table: a club enters the figures that its association gives.
// Build one with [NewExpectedTable]. A nil table has no rows.
type ExpectedTable struct {
	source string
	rows   []ExpectedRow
}

// NewExpectedTable returns the table made of rows, which are copied. It refuses with an [InputError] a table without the
// source of its figures, an empty one, rows that are not in strictly rising order of index, an index outside +10.0 to
// 54.0, an expected differential outside -20 to 60 strokes or finer than four decimals, and one that falls while the
// index rises.
func NewExpectedTable(source string, rows []ExpectedRow) (*ExpectedTable, error) {
	const field, rule = "expected_table", "Rules of Handicapping 5.1b"
	if strings.TrimSpace(source) == "" {
		return nil, refuse(field, rule, "the source of the figures is missing")
	}
	if len(rows) == 0 {
		return nil, refuse(field, rule, "there are no rows")
	}
	copied := make([]ExpectedRow, len(rows))
	for i, row := range rows {
		if err := row.Index.Validate(); err != nil {
			return nil, refuse(field, rule, "row %d: %v", i+1, err)
		}
		expected, err := NewExactDifferential(row.Expected.Num, row.Expected.denominator())
		if err != nil || expected.Den > 10_000 || expected.Num < -20*expected.Den || expected.Num > 60*expected.Den {
			return nil, refuse(field, rule, "row %d: the expected differential is outside -20 to 60 or finer than four decimals", i+1)
		}
		if i > 0 {
			before := copied[i-1]
			if row.Index <= before.Index {
				return nil, refuse(field, rule, "row %d: index %s does not come after %s", i+1, row.Index, before.Index)
			}
			if expected.Num*before.Expected.Den < before.Expected.Num*expected.Den {
				return nil, refuse(field, rule, "row %d: the expected differential falls while the index rises", i+1)
			}
		}
		copied[i] = ExpectedRow{Index: row.Index, Expected: expected}
	}
	return &ExpectedTable{source: source, rows: copied}, nil
}

// Source says where the figures come from; it is empty for a nil table.
func (t *ExpectedTable) Source() string {
	if t == nil {
		return ""
	}
	return t.source
}

// For returns the row's figure for exactly this index. Nothing is read between rows: an index without a row has no
// expected differential, and the second result is false.
func (t *ExpectedTable) For(index Index) (ExactDifferential, bool) {
	if t == nil {
		return ExactDifferential{}, false
	}
	at, found := slices.BinarySearchFunc(t.rows, index, func(row ExpectedRow, i Index) int { return cmp.Compare(row.Index, i) })
	if !found {
		return ExactDifferential{}, false
	}
	return t.rows[at].Expected, true
}

// Complete adds the expected differential of the other nine holes to an unrounded nine-hole differential and returns the
// 18-hole differential, still unrounded (Rules of Handicapping 5.1b, 2024). index is the one in effect when the round was
// played. The last result is false, and the explanation says that the association's figure is awaited, where the table
// has no row for the index.
func (t *ExpectedTable) Complete(nine ExactDifferential, index Index) (ExactDifferential, Explanation, bool) {
	sum, expected, ok := t.complete(nine, index)
	if !ok {
		return ExactDifferential{}, Explanation{{
			Label:      "Expected differential of the other nine holes",
			Arithmetic: fmt.Sprintf("for an index of %s: %s", index, AwaitingAssociation),
			Rule:       "Rules of Handicapping 5.1b",
		}}, false
	}
	return sum, Explanation{
		{
			Label:      "Expected differential of the other nine holes",
			Arithmetic: fmt.Sprintf("%s for an index of %s", expected, index),
			Rule:       "Rules of Handicapping 5.1b; figures: " + t.source,
		},
		{
			Label:      "Score differential, unrounded",
			Arithmetic: fmt.Sprintf("%s + %s = %s", nine, expected, sum),
			Rule:       "Rules of Handicapping 5.1b",
		},
		roundedDifferentialLine(sum),
	}, true
}

func (t *ExpectedTable) complete(nine ExactDifferential, index Index) (sum, expected ExactDifferential, ok bool) {
	expected, ok = t.For(index)
	if !ok {
		return ExactDifferential{}, ExactDifferential{}, false
	}
	// A nine-hole differential has a denominator of at most 20 x 155 and a row one of at most 10000.
	den := nine.denominator()
	sum, err := NewExactDifferential(nine.Num*expected.Den+expected.Num*den, den*expected.Den)
	return sum, expected, err == nil
}
