package scoring_test

import (
	"fmt"
	"testing"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"marram.example/events"
	"marram.example/projections/scoring"
)

func rankedValues(t require.TestingT, format scoring.Format, values ...int) []scoring.Place {
	entries := make([]scoring.Entry, len(values))
	for i, v := range values {
		entries[i] = scoring.Entry{ID: fmt.Sprint(i), Value: v, HasValue: true}
	}
	places, err := scoring.Rank(entries, scoring.RankTerms{Format: format})
	require.NoError(t, err)
	return places
}

func TestMakeCut(t *testing.T) {
	t.Parallel()
	within := func(n int) *int { return &n }
	field := []int{70, 71, 73, 73, 73, 75}
	for _, c := range []struct {
		name    string
		cut     events.Cut
		through int
		line    int
		words   string
	}{
		{"the line between", events.Cut{Places: 2}, 2, 71, "the first 2: 2 through; the line is 71"},
		{"ties in", events.Cut{Places: 3, TiesIn: true}, 5, 73, "the first 3 and who ties with them on 73: 5 through; the line is 73"},
		{"ties out", events.Cut{Places: 3}, 2, 71, "the first 3: a tie across the line is out, 2 through; the line is 71"},
		{"a tie that fits", events.Cut{Places: 5}, 5, 73, "the first 5: 5 through; the line is 73"},
		{"more places than entries", events.Cut{Places: 50}, 6, 75, "the first 50: 6 through; the line is 75"},
		{"within", events.Cut{Within: within(3)}, 5, 73, "within 3 strokes of the lead of 70: 5 through; the line is 73"},
		{"level with the lead", events.Cut{Within: within(0)}, 1, 70, "within 0 strokes of the lead of 70: 1 through; the line is 70"},
		{
			"either", events.Cut{Places: 2, Within: within(3)}, 5, 73,
			"the first 2: 2 through; within 3 strokes of the lead of 70: 5 through; the line is 73",
		},
	} {
		t.Run(c.name, func(t *testing.T) {
			t.Parallel()
			got, err := scoring.MakeCut(c.cut, rankedValues(t, scoring.StrokePlay(), field...), scoring.StrokePlay())
			require.NoError(t, err)
			ids := []string{"0", "1", "2", "3", "4", "5"}
			require.Equal(t, ids[:c.through], got.Through)
			require.Equal(t, append([]string(nil), ids[c.through:]...), got.Missed)
			require.Equal(t, c.line, *got.Line)
			require.Equal(t, c.words, got.Words)
		})
	}
}

func TestMakeCutOfPoints(t *testing.T) {
	t.Parallel()
	within := 2
	got, err := scoring.MakeCut(events.Cut{Within: &within}, rankedValues(t, scoring.Stableford(), 38, 36, 35), scoring.Stableford())
	require.NoError(t, err)
	require.Equal(t, []string{"0", "1"}, got.Through)
	require.Equal(t, "within 2 points of the lead of 38: 2 through; the line is 36", got.Words)
}

// A countback separates equal totals: without ties in it decides who is through, with ties in it does not.
func TestMakeCutAfterACountback(t *testing.T) {
	t.Parallel()
	entries := []scoring.Entry{final(t, "beaten", lastNine(37, 35)), final(t, "ahead", lastNine(36, 36)), {ID: "out", Status: scoring.Disqualified}, {ID: "none"}}
	places, err := scoring.Rank(entries, scoring.RankTerms{Format: scoring.StrokePlay(), Ties: scoring.ByCountback})
	require.NoError(t, err)
	got, err := scoring.MakeCut(events.Cut{Places: 1}, places, scoring.StrokePlay())
	require.NoError(t, err)
	require.Equal(t, []any{[]string{"ahead"}, []string{"beaten"}}, []any{got.Through, got.Missed}, "who has no total is in neither")
	got, err = scoring.MakeCut(events.Cut{Places: 1, TiesIn: true}, places, scoring.StrokePlay())
	require.NoError(t, err)
	require.Equal(t, []string{"ahead", "beaten"}, got.Through)
}

func TestMakeCutRefuses(t *testing.T) {
	t.Parallel()
	negative := -1
	for _, cut := range []events.Cut{{}, {Places: -1}, {Places: 3, Within: &negative}} {
		_, err := scoring.MakeCut(cut, nil, scoring.StrokePlay())
		requireField(t, err, "cut")
	}
	got, err := scoring.MakeCut(events.Cut{Places: 3}, nil, scoring.StrokePlay())
	require.NoError(t, err)
	require.Equal(t, scoring.CutResult{Words: "nobody has a total"}, got)
	got, err = scoring.MakeCut(events.Cut{Places: 1}, rankedValues(t, scoring.StrokePlay(), 70, 70), scoring.StrokePlay())
	require.NoError(t, err)
	require.Nil(t, got.Line, "a tie that is out for the only place leaves nobody")
	require.Equal(t, []string{"0", "1"}, got.Missed)
}

// Everybody with a total is on one side, nobody who missed has a better total than one who is through, and equal totals
// are never parted while ties are in.
func TestMakeCutParts(t *testing.T) {
	t.Parallel()
	rapid.Check(t, func(t *rapid.T) {
		format := rapid.SampledFrom(scoring.Formats()).Draw(t, "format")
		values := rapid.SliceOfN(rapid.IntRange(60, 70), 1, 20).Draw(t, "values")
		cut := events.Cut{Places: rapid.IntRange(1, 15).Draw(t, "places"), TiesIn: rapid.Bool().Draw(t, "ties in")}
		places := rankedValues(t, format, values...)
		got, err := scoring.MakeCut(cut, places, format)
		require.NoError(t, err)
		require.Len(t, append(got.Through, got.Missed...), len(values))
		for i, p := range places {
			in := i < len(got.Through)
			if i > 0 && p.Value == places[i-1].Value {
				require.Equal(t, i-1 < len(got.Through), in, "without a countback equal totals are on one side")
			}
		}
		if cut.TiesIn {
			require.GreaterOrEqual(t, len(got.Through), min(cut.Places, len(values)))
		} else {
			require.LessOrEqual(t, len(got.Through), cut.Places)
		}
	})
}
