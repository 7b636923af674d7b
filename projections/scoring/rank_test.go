package scoring_test

import (
	"fmt"
	"testing"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"marram.example/projections/scoring"
)

func lines(places []scoring.Place) []string {
	shown := make([]string, len(places))
	for i, p := range places {
		shown[i] = p.ID
		if text := p.Text(); text != "" {
			shown[i] = text + " " + p.ID
		}
	}
	return shown
}

func final(t require.TestingT, id, scores string) scoring.Entry {
	r := mustScore(t, scoring.StrokePlay(), cardOf(0, scores), scoring.Net)
	return scoring.FinalEntry(id, "", &r)
}

func live(t require.TestingT, id, scores string) scoring.Entry {
	r := mustScore(t, scoring.StrokePlay(), cardOf(0, scores), scoring.Net)
	return scoring.LiveEntry(id, "", &r)
}

func TestRankFinal(t *testing.T) {
	t.Parallel()
	ruled := func(id string, status scoring.Status) scoring.Entry {
		e := final(t, id, lastNine(30, 30))
		e.Status = status
		return e
	}
	entries := []scoring.Entry{
		ruled("dq", scoring.Disqualified), ruled("ns", scoring.NoShow), final(t, "last", lastNine(45, 45)), ruled("wd", scoring.Withdrew),
		final(t, "beaten", lastNine(37, 35)), final(t, "incomplete", "4 4 4 . . . . . . . . . . . . . . ."), ruled("rtd", scoring.Retired),
		final(t, "winner", lastNine(36, 36)), ruled("nr", scoring.NoReturn), final(t, "twin", lastNine(37, 35)),
	}
	places, err := scoring.Rank(entries, scoring.RankTerms{Format: scoring.StrokePlay()})
	require.NoError(t, err)
	require.Equal(t, []string{"T1 beaten", "T1 winner", "T1 twin", "4 last", "incomplete", "nr", "rtd", "wd", "ns", "dq"}, lines(places))
	require.Nil(t, places[0].Countback)

	places, err = scoring.Rank(entries, scoring.RankTerms{Format: scoring.StrokePlay(), Ties: scoring.ByCountback})
	require.NoError(t, err)
	require.Equal(t, []string{"1 winner", "T2 beaten", "T2 twin", "4 last", "incomplete", "nr", "rtd", "wd", "ns", "dq"}, lines(places))
	require.Equal(t, "10-18", places[0].Countback.DecidedBy())
	require.Same(t, places[0].Countback, places[2].Countback)
	require.Nil(t, places[3].Countback)
	require.Equal(t, 7, places[0].Entry)
}

func TestRankLive(t *testing.T) {
	t.Parallel()
	entries := []scoring.Entry{
		live(t, "not started", ". . . . . . . . . . . . . . . . . ."),
		live(t, "one over after three", "5 4 3 . . . . . . . . . . . . . . ."),
		live(t, "one under after one", "3 . . . . . . . . . . . . . . . . ."),
		live(t, "picked up", "3 3 x 3 . . . . . . . . . . . . . ."),
		live(t, "one under in the house", "3 4 3 5 4 3 4 4 5 4 5 4 3 4 4 3 5 4"),
	}
	terms := scoring.RankTerms{Format: scoring.StrokePlay(), Ties: scoring.ByCountback}
	places, err := scoring.Rank(entries, terms)
	require.NoError(t, err)
	// One of the leaders is still playing: the tie is left, whatever the terms say about countback.
	require.Equal(t, []string{"T1 one under after one", "T1 one under in the house", "3 one over after three", "not started", "picked up"}, lines(places))
	require.Nil(t, places[0].Countback)
	require.Equal(t, -1, places[0].Value)
	require.False(t, places[3].HasValue)
}

func TestRankSeveralRounds(t *testing.T) {
	t.Parallel()
	a, b := final(t, "A", lastNine(36, 38)), final(t, "B", lastNine(37, 35))
	a.Value, b.Value = 146, 146
	terms := scoring.RankTerms{Format: scoring.StrokePlay(), Ties: scoring.ByCountback, Countback: scoring.CountbackTerms{SeveralRounds: true}}
	places, err := scoring.Rank([]scoring.Entry{a, b}, terms)
	require.NoError(t, err)
	require.Equal(t, []string{"1 B", "2 A"}, lines(places))
	// A total without a card cannot be matched.
	b.Card = nil
	places, err = scoring.Rank([]scoring.Entry{a, b}, terms)
	require.NoError(t, err)
	require.Equal(t, []string{"T1 A", "T1 B"}, lines(places))
}

func TestRankRefuses(t *testing.T) {
	t.Parallel()
	terms := scoring.RankTerms{Format: scoring.StrokePlay()}
	for _, c := range []struct {
		entries []scoring.Entry
		terms   scoring.RankTerms
		field   string
	}{
		{[]scoring.Entry{{ID: "A"}, {ID: "A"}}, terms, "entries"},
		{[]scoring.Entry{{}}, terms, "entries"},
		{[]scoring.Entry{{ID: "A", Status: "OUT"}}, terms, "status"},
		{nil, scoring.RankTerms{Format: scoring.StrokePlay(), Ties: "coin"}, "ties"},
		{
			[]scoring.Entry{final(t, "A", medalCard), final(t, "B", medalCard)},
			scoring.RankTerms{Format: scoring.StrokePlay(), Ties: scoring.ByCountback, Countback: scoring.CountbackTerms{Share: "half"}}, "share",
		},
	} {
		places, err := scoring.Rank(c.entries, c.terms)
		requireField(t, err, c.field)
		require.Nil(t, places)
	}
	places, err := scoring.Rank(nil, terms)
	require.NoError(t, err)
	require.Empty(t, places)
}

func TestRankAgreesWithPositions(t *testing.T) {
	t.Parallel()
	rapid.Check(t, func(t *rapid.T) {
		format := rapid.SampledFrom(scoring.Formats()).Draw(t, "format")
		values := rapid.SliceOfN(rapid.IntRange(-3, 4), 0, 30).Draw(t, "values")
		entries, totals := make([]scoring.Entry, len(values)), make([]*int, len(values))
		for i, value := range values {
			entries[i] = scoring.Entry{ID: fmt.Sprint(i)}
			if value < 4 {
				entries[i].Value, entries[i].HasValue = value, true
				totals[i] = &values[i]
			}
		}
		places, err := scoring.Rank(entries, scoring.RankTerms{Format: format})
		require.NoError(t, err)
		positions := scoring.Positions(totals, format.Direction)
		for i, p := range places {
			require.Equal(t, positions[p.Entry], p.Text())
			if i > 0 && p.Position > 0 {
				require.False(t, format.Direction.Better(p.Value, places[i-1].Value), "best first")
			}
			if i > 0 && p.Text() == places[i-1].Text() {
				require.Less(t, places[i-1].Entry, p.Entry, "ties keep the order of the list")
			}
		}
	})
}

// The position of a total is one more than the number of better totals, and T marks the totals that occur twice.
func TestPositionsAreConsistent(t *testing.T) {
	t.Parallel()
	rapid.Check(t, func(t *rapid.T) {
		direction := rapid.SampledFrom([]scoring.Direction{scoring.Low, scoring.High}).Draw(t, "direction")
		totals := rapid.SliceOfN(rapid.Ptr(rapid.IntRange(60, 80), true), 0, 40).Draw(t, "totals")
		for i, text := range scoring.Positions(totals, direction) {
			if totals[i] == nil {
				require.Empty(t, text)
				continue
			}
			better, same := 0, 0
			for _, other := range totals {
				switch {
				case other == nil:
				case direction.Better(*other, *totals[i]):
					better++
				case *other == *totals[i]:
					same++
				}
			}
			require.Equal(t, scoring.PositionText(better+1, same > 1), text)
		}
	})
}

func TestDirection(t *testing.T) {
	t.Parallel()
	require.True(t, scoring.Low.Better(70, 71))
	require.False(t, scoring.Low.Better(71, 70))
	require.True(t, scoring.High.Better(40, 36))
	require.False(t, scoring.High.Better(36, 36))
	for _, direction := range []scoring.Direction{scoring.Low, scoring.High} {
		parsed, err := scoring.ParseDirection(direction.String())
		require.NoError(t, err)
		require.Equal(t, direction, parsed)
	}
	_, err := scoring.ParseDirection("sideways")
	requireField(t, err, "direction")
	for _, text := range []string{"", "NR", "RTD", "WD", "NS", "DQ"} {
		status, err := scoring.ParseStatus(text)
		require.NoError(t, err)
		require.Equal(t, scoring.Status(text), status)
	}
	_, err = scoring.ParseStatus("nr")
	requireField(t, err, "status")
}

// Who stands where depends on the cards and the terms alone, not on the order of the list.
func TestPositionsDoNotDependOnTheOrderOfEntries(t *testing.T) {
	t.Parallel()
	rapid.Check(t, func(t *rapid.T) {
		format := rapid.SampledFrom(scoring.Formats()).Draw(t, "format")
		statuses := []scoring.Status{"", "", "", scoring.MissedCut, scoring.NoReturn, scoring.Disqualified}
		var entries []scoring.Entry
		for _, c := range drawContenders(t, format, 18) {
			entries = append(entries, scoring.FinalEntry(c.ID, rapid.SampledFrom(statuses).Draw(t, "status"), c.Card))
		}
		terms := scoring.RankTerms{
			Format: format, Countback: drawTerms(t),
			Ties: rapid.SampledFrom([]scoring.TieMethod{"", scoring.Shared, scoring.ByCountback, scoring.ByLot, scoring.ByPlayOff}).Draw(t, "ties"),
		}
		positions := func(entries []scoring.Entry) map[string]string {
			places, err := scoring.Rank(entries, terms)
			require.NoError(t, err)
			texts := map[string]string{}
			for i, p := range places {
				texts[p.ID] = p.Text()
				require.Equal(t, entries[p.Entry].ID, p.ID)
				require.Equal(t, p.Status == "", p.Position > 0)
				if i > 0 && p.Status == scoring.MissedCut && places[i-1].Status == scoring.MissedCut {
					require.False(t, format.Direction.Better(p.Value, places[i-1].Value), "who missed the cut is ordered by total")
				}
			}
			return texts
		}
		require.Equal(t, positions(entries), positions(rapid.Permutation(entries).Draw(t, "order")))
	})
}

// Lot and play-off are the committee's to hold: until then the tie stands.
func TestTiesThatTheCommitteeDecidesStand(t *testing.T) {
	t.Parallel()
	entries := []scoring.Entry{final(t, "A", lastNine(37, 35)), final(t, "B", lastNine(36, 36))}
	for _, ties := range []scoring.TieMethod{scoring.ByLot, scoring.ByPlayOff} {
		parsed, err := scoring.ParseTieMethod(string(ties))
		require.NoError(t, err)
		require.Equal(t, ties, parsed)
		places, err := scoring.Rank(entries, scoring.RankTerms{Format: scoring.StrokePlay(), Ties: ties})
		require.NoError(t, err)
		require.Equal(t, []string{"T1 A", "T1 B"}, lines(places))
	}
}
