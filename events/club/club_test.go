package club_test

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"marram.example/events"
	"marram.example/events/club"
	"marram.example/events/decidertest"
)

var decider = decidertest.Decider[club.State, club.Command]{New: club.New, Clone: club.Clone, Evolve: club.Evolve, Decide: club.Decide}

type rule = decidertest.Case[club.Command]

// The words of the tables.
var (
	invalid = decidertest.Invalid
)

func given(es ...events.Event) []events.Event { return es }

const (
	marram   = "Marram"
	reserved = "Rules of Handicapping 1.2"
	nine     = "Rules of Handicapping 5.1b"
)

var (
	on  = events.HandicapEstimatesSwitched{On: true, Caution: club.Caution, Reason: "the association agreed"}
	off = events.HandicapEstimatesSwitched{Reason: "the association asked"}
)

func TestSwitchEstimates(t *testing.T) {
	t.Parallel()
	acknowledged := club.SwitchEstimates{On: true, Caution: club.Caution, Reason: "the association agreed"}
	decider.Check(t, []rule{
		{Rule: "they are switched on with the caution word for word", Source: reserved, When: acknowledged, Then: given(on)},
		{Rule: "not without it", Source: reserved, When: club.SwitchEstimates{On: true}, Refused: invalid("not_acknowledged", "caution")},
		{Rule: "not with a word less", Source: reserved, When: club.SwitchEstimates{On: true, Caution: strings.Replace(club.Caution, " no ", " ", 1)},
			Refused: invalid("not_acknowledged", "caution")},
		{Rule: "not with a space more", Source: reserved, When: club.SwitchEstimates{On: true, Caution: club.Caution + " "},
			Refused: invalid("not_acknowledged", "caution")},
		{Rule: "not even where they are on already", Source: reserved, Given: given(on), When: club.SwitchEstimates{On: true},
			Refused: invalid("not_acknowledged", "caution")},
		{Rule: "twice is once", Source: marram, Given: given(on), When: acknowledged},
		{Rule: "a caution that was worded otherwise is acknowledged again", Source: marram,
			Given: given(events.HandicapEstimatesSwitched{On: true, Caution: "an older wording"}), When: acknowledged, Then: given(on)},
		{Rule: "they are switched off by a word", Source: marram, Given: given(on),
			When: club.SwitchEstimates{Reason: "the association asked"}, Then: given(off)},
		{Rule: "off from the start, switching off changes nothing", Source: marram, When: club.SwitchEstimates{Reason: "to be sure"}},
		{Rule: "and once off, on needs the caution again", Source: reserved, Given: given(on, off), When: club.SwitchEstimates{On: true, Reason: "as before"},
			Refused: invalid("not_acknowledged", "caution")},
		{Rule: "a reason is a sentence", Source: marram, Given: given(on), When: club.SwitchEstimates{Reason: strings.Repeat("x", 301)},
			Refused: invalid("too_long", "reason")},
	})
	require.False(t, decider.Fold().Estimates, "off until switched on")
	require.True(t, decider.Fold(on).Estimates)
	require.False(t, decider.Fold(on, off).Estimates)
	require.Empty(t, decider.Fold(on, off).Caution)
}

// rows are invented figures.
func rows(change ...func([]events.ExpectedScore)) []events.ExpectedScore {
	out := []events.ExpectedScore{
		{IndexTenths: -12, ExpectedNum: -3, ExpectedDen: 10}, {IndexTenths: 0, ExpectedNum: 1, ExpectedDen: 1}, {IndexTenths: 140, ExpectedNum: 8125, ExpectedDen: 1000},
	}
	for _, c := range change {
		c(out)
	}
	return out
}

var (
	imported  = events.ExpectedScoresImported{Source: "invented", Rows: rows()}
	withdrawn = events.ExpectedScoresWithdrawn{Reason: "of another year"}
)

func TestExpectedScores(t *testing.T) {
	t.Parallel()
	refused := func(name, code, field string, change func([]events.ExpectedScore)) rule {
		return rule{Rule: name, Source: nine, When: club.ImportExpected{Source: "invented", Rows: rows(change)}, Refused: invalid(code, field)}
	}
	other := club.ImportExpected{Source: "invented, revised", Rows: rows()[:1]}
	decider.Check(t, []rule{
		{Rule: "the association's figures are stored as it states them", Source: nine, When: club.ImportExpected{Source: "invented", Rows: rows()}, Then: given(imported)},
		{Rule: "also while estimates are off", Source: marram, Given: given(on, off), When: club.ImportExpected{Source: "invented", Rows: rows()}, Then: given(imported)},
		{Rule: "the same again changes nothing", Source: marram, Given: given(imported), When: club.ImportExpected{Source: "invented", Rows: rows()}},
		{Rule: "later figures replace all of them", Source: marram, Given: given(imported), When: other,
			Then: given(events.ExpectedScoresImported{Source: other.Source, Rows: other.Rows})},
		{Rule: "they name their source", Source: marram, When: club.ImportExpected{Source: " ", Rows: rows()}, Refused: invalid("required", "source")},
		{Rule: "in a sentence", Source: marram, When: club.ImportExpected{Source: strings.Repeat("x", 301), Rows: rows()}, Refused: invalid("too_long", "source")},
		{Rule: "there is a row", Source: marram, When: club.ImportExpected{Source: "invented"}, Refused: invalid("out_of_range", "rows")},
		{Rule: "and not more than there are indexes", Source: marram,
			When: club.ImportExpected{Source: "invented", Rows: make([]events.ExpectedScore, club.MostRows+1)}, Refused: invalid("out_of_range", "rows")},
		refused("an index is not above 54.0", "out_of_range", "rows[2].index_tenths", func(r []events.ExpectedScore) { r[2].IndexTenths = 541 }),
		refused("nor better than +10.0", "out_of_range", "rows[0].index_tenths", func(r []events.ExpectedScore) { r[0].IndexTenths = -101 }),
		refused("indexes rise", "out_of_order", "rows[1].index_tenths", func(r []events.ExpectedScore) { r[1].IndexTenths = -12 }),
		refused("expected scores do not fall", "out_of_order", "rows[1].expected_num", func(r []events.ExpectedScore) { r[1].ExpectedNum = -1 }),
		refused("four decimals at most", "out_of_range", "rows[2].expected_den", func(r []events.ExpectedScore) { r[2].ExpectedDen = 100000 }),
		refused("decimals, no other fractions", "out_of_range", "rows[2].expected_den", func(r []events.ExpectedScore) { r[2].ExpectedDen = 3 }),
		refused("a missing denominator is none", "out_of_range", "rows[2].expected_den", func(r []events.ExpectedScore) { r[2].ExpectedDen = 0 }),
		refused("nobody is expected to need 61 over nine holes", "out_of_range", "rows[2].expected_num", func(r []events.ExpectedScore) {
			r[2] = events.ExpectedScore{IndexTenths: 540, ExpectedNum: 61, ExpectedDen: 1}
		}),
		{Rule: "they are withdrawn with a reason", Source: marram, Given: given(imported), When: club.WithdrawExpected{Reason: "of another year"}, Then: given(withdrawn)},
		{Rule: "not without", Source: marram, Given: given(imported), When: club.WithdrawExpected{}, Refused: invalid("required", "reason")},
		{Rule: "where there are none nothing is withdrawn", Source: marram, When: club.WithdrawExpected{}},
		{Rule: "withdrawn, the same may come back", Source: marram, Given: given(imported, withdrawn), When: club.ImportExpected{Source: "invented", Rows: rows()}, Then: given(imported)},
	})
}

func TestTheDeciderKeepsItsOwnRows(t *testing.T) {
	t.Parallel()
	mine := rows()
	out, err := club.Decide(club.New(), club.ImportExpected{Source: "invented", Rows: mine})
	require.NoError(t, err)
	mine[0].ExpectedNum = 99
	require.Equal(t, imported, out[0])
}

// TestAnyLife: whatever is asked in whatever order, the promises of a decider hold,
// and estimates are on only under the caution as it reads now.
func TestAnyLife(t *testing.T) {
	t.Parallel()
	rapid.Check(t, func(t *rapid.T) {
		run := decider.Start(t)
		for range rapid.IntRange(1, 12).Draw(t, "commands") {
			switch rapid.IntRange(0, 2).Draw(t, "kind") {
			case 0:
				_, _ = run.Do(t, club.SwitchEstimates{
					On: rapid.Bool().Draw(t, "on"), Caution: rapid.SampledFrom([]string{club.Caution, "", "other"}).Draw(t, "caution"),
				})
			case 1:
				n := rapid.IntRange(0, 3).Draw(t, "rows")
				_, _ = run.Do(t, club.ImportExpected{Source: rapid.SampledFrom([]string{"", "a", "b"}).Draw(t, "source"), Rows: rows()[:n]})
			default:
				_, _ = run.Do(t, club.WithdrawExpected{Reason: rapid.SampledFrom([]string{"", "a"}).Draw(t, "reason")})
			}
			require.True(t, !run.State.Estimates || run.State.Caution == club.Caution)
		}
	})
}
