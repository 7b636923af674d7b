package difficulty_test

import (
	"testing"

	"github.com/stretchr/testify/require"

	"marram.example/events"
	"marram.example/events/card"
	"marram.example/projections/difficulty"
	"marram.example/projections/handicap"
)

func tee() events.TeeDefinition {
	t := events.TeeDefinition{Tee: "White", CourseRatingTenths: 720, SlopeRating: 113}
	for n := 1; n <= 18; n++ {
		t.Holes = append(t.Holes, events.Hole{Number: n, Par: 4, StrokeIndex: n})
	}
	return t
}

// returned is a card with par on every hole, changed before the return.
func returned(change ...events.Event) *card.State {
	s := card.New()
	card.Evolve(s, events.CardIssued{
		CompetitionID: "medal", Round: 1, EntryID: "entry", PlayerID: "player", Tee: "White", StartingHole: 1, Format: events.Stableford,
		Holes: tee().Holes, Figures: events.Figures{StrokesByHole: []int{2, 4, -1, 0, 0, 0, 0, 0, 0, 0, 0, 0, 0, 0, 0, 0, 0, 0}},
	})
	for n := 1; n <= 18; n++ {
		card.Evolve(s, events.HoleScored{Hole: n, Score: events.Score{Strokes: 4}, By: events.RoleMarker})
	}
	for _, e := range change {
		card.Evolve(s, e)
	}
	card.Evolve(s, events.CardReturned{Receipt: "r"})
	return s
}

func put(hole int, v events.Score) events.Event {
	return events.HoleScoreCorrected{Hole: hole, New: v, By: events.RoleCommittee}
}

func TestWhatAHoleCounts(t *testing.T) {
	t.Parallel()
	for name, c := range map[string]struct {
		change       events.Event
		hole         int
		scores, over int
	}{
		"strokes over par":                       {put(5, events.Score{Strokes: 7}), 5, 1, 3},
		"penalty strokes of the hole":            {events.PenaltyAdded{PenaltyID: "p", Hole: 5, Strokes: 2, Reason: "x"}, 5, 1, 2},
		"not those of the round":                 {events.PenaltyAdded{PenaltyID: "p", Strokes: 2, Reason: "x"}, 5, 1, 0},
		"picked up: two over and strokes":        {put(1, events.Score{None: events.PickedUp}), 1, 1, 4},
		"at most five over":                      {put(2, events.Score{None: events.PickedUp}), 2, 1, 5},
		"less where a stroke is given back":      {put(3, events.Score{None: events.PickedUp}), 3, 1, 1},
		"nothing where it was not scored":        {put(5, events.Score{None: events.NoScore}), 5, 0, 0},
		"nothing where the committee set it out": {put(5, events.Score{None: events.Excluded}), 5, 0, 0},
	} {
		s := difficulty.Of(tee())
		require.True(t, s.Add(returned(c.change)), name)
		require.Equal(t, c.scores, s.Holes[c.hole-1].Scores, name)
		require.Equal(t, c.over, s.Holes[c.hole-1].OverPar, name)
		require.Equal(t, 1, s.Holes[17].Scores, name)
		require.Equal(t, 1, s.Cards, name)
	}
}

func TestWhichCardsCount(t *testing.T) {
	t.Parallel()
	s := difficulty.Of(tee())
	out := func(name string, change func(*card.State)) {
		t.Helper()
		c := returned()
		change(c)
		require.False(t, s.Add(c), name)
	}
	out("in play", func(c *card.State) { c.Returned = false })
	out("disqualified", func(c *card.State) { c.Ruled = events.StatusDisqualified })
	out("another tee", func(c *card.State) { c.Tee = "Red" })
	out("a side", func(c *card.State) { c.Side = events.SideFourBall })
	out("a practice round", func(c *card.State) { c.Practice = true })
	out("a ball shared", func(c *card.State) { c.Figures.Shares = make([]events.Share, 2) })
	out("every hole had another par", func(c *card.State) {
		for i := range c.Holes {
			c.Holes[i].Par = 5
		}
	})
	require.Zero(t, s.Cards)
	no := returned()
	no.Ruled = events.StatusNoReturn
	require.True(t, s.Add(no), "a hole picked up on makes no return in stroke play; to leave it out would make hard holes look easy")
}

func TestDifficultiesNeedEnoughScores(t *testing.T) {
	t.Parallel()
	s := difficulty.Of(tee())
	for n := 1; n < difficulty.Fewest; n++ {
		s.Add(returned(put(9, events.Score{Strokes: 6})))
	}
	_, ok := s.Difficulties()
	require.False(t, ok)
	require.Equal(t, difficulty.Fewest-1, s.Scarcest())
	s.Add(returned(put(9, events.Score{Strokes: 5}), put(4, events.Score{None: events.NoScore})))
	_, ok = s.Difficulties()
	require.False(t, ok, "hole 4 is one short")
	s.Add(returned())
	got, ok := s.Difficulties()
	require.True(t, ok)
	require.Equal(t, handicap.HoleDifficulty{Par: 4, Num: 59, Den: 31}, got[8])
	proposal, err := handicap.ProposeStrokeIndexes(got, false)
	require.NoError(t, err)
	require.Equal(t, 1, proposal.Holes[8].Rank)
}

func TestMean(t *testing.T) {
	t.Parallel()
	for want, h := range map[string]difficulty.Hole{
		"":      {},
		"+0.00": {Scores: 3},
		"+0.67": {Scores: 3, OverPar: 2},
		"-0.33": {Scores: 3, OverPar: -1},
		"+0.13": {Scores: 8, OverPar: 1},
		"-0.12": {Scores: 8, OverPar: -1},
		"+2.00": {Scores: 1, OverPar: 2},
	} {
		require.Equal(t, want, h.Mean())
	}
}
