package card_test

import (
	"testing"

	"github.com/stretchr/testify/require"

	"marram.example/events"
	"marram.example/events/card"
	"marram.example/events/decidertest"
)

// live runs commands that must all be accepted and gives the card after them.
func live(t *testing.T, start []events.Event, commands ...card.Command) *decidertest.Run[card.State, card.Command] {
	t.Helper()
	run := decider.Start(t, start...)
	for _, c := range commands {
		_, err := run.Do(t, c)
		require.NoError(t, err, "%#v", c)
	}
	return run
}

// TestANoReturnIsTurnedBack: a hole that was picked up on the phone, finished in
// fact, and put right by the committee.
func TestANoReturnIsTurnedBack(t *testing.T) {
	t.Parallel()
	start := given(medal, scored(marker, paperWith(7, pickedUp)))
	run := live(t, start, card.Certify{By: player}, card.Certify{By: marker}, card.Return{Receipt: "K7PX"})
	require.Equal(t, events.StatusNoReturn, run.State.Status())

	out, err := run.Do(t, card.EnterScore{Hole: 7, Score: strokes(6), By: office, Reason: "both say he holed out"})
	require.NoError(t, err)
	require.Equal(t, given(
		events.HoleScoreCorrected{Hole: 7, Old: pickedUp, New: strokes(6), By: office, Reason: "both say he holed out"},
		ruled("in_play", "every hole has a score now"),
	), out)
	require.Equal(t, events.StatusReturned, run.State.Status())

	out, err = run.Do(t, card.EnterScore{Hole: 7, Score: nothing, By: office, Reason: "no, he did not"})
	require.NoError(t, err)
	require.Len(t, out, 2)
	require.Equal(t, ruled("NR", "hole 7 has no score"), out[1], "and back again")
}

// TestTwoMissingHolesAreBothNeeded: the first correction leaves the ruling, the
// second lifts it, although the ruling names only one hole.
func TestTwoMissingHolesAreBothNeeded(t *testing.T) {
	t.Parallel()
	scores := paperWith(2, pickedUp)
	scores[6] = noScore
	run := live(t, given(medal), card.EnterCard{Scores: scores, By: office, Signed: true, Receipt: "K7PX"})
	require.Equal(t, "hole 2 has no score", run.State.RuledReason)
	_, err := run.Do(t, card.EnterScore{Hole: 2, Score: strokes(6), By: office, Reason: "misread"})
	require.NoError(t, err)
	require.Equal(t, events.StatusNoReturn, run.State.Status())
	_, err = run.Do(t, card.EnterScore{Hole: 7, Score: strokes(6), By: office, Reason: "misread"})
	require.NoError(t, err)
	require.Equal(t, events.StatusReturned, run.State.Status())
}

// TestALateCardStaysANoReturn: the committee's own no return is not lifted by a
// score that is corrected afterwards.
func TestALateCardStaysANoReturn(t *testing.T) {
	t.Parallel()
	run := live(t, home, card.RuleStatus{Status: "NR", Reason: "handed in on Sunday"})
	out, err := run.Do(t, card.EnterScore{Hole: 7, Score: strokes(6), By: office, Reason: "for the handicap"})
	require.NoError(t, err)
	require.Len(t, out, 1)
	require.Equal(t, events.StatusNoReturn, run.State.Status())
	_, err = run.Do(t, card.RuleStatus{Status: "in_play", Reason: "the box was emptied late"})
	require.NoError(t, err)
	require.Equal(t, events.StatusReturned, run.State.Status())
}

// TestADisqualificationIsUndone: the card is returned as it was before.
func TestADisqualificationIsUndone(t *testing.T) {
	t.Parallel()
	run := live(t, home, card.RuleStatus{Status: "DQ", Reason: "hole 4 lower than played"})
	require.Equal(t, events.StatusDisqualified, run.State.Status())
	_, err := run.Do(t, card.RuleStatus{Status: "in_play", Reason: "it was the hole before"})
	require.NoError(t, err)
	require.Equal(t, events.StatusReturned, run.State.Status())
	require.Equal(t, "K7PX", run.State.Receipt)
}

// TestANoShowComesLate: ruled before any score, lifted, then played and returned.
func TestANoShowComesLate(t *testing.T) {
	t.Parallel()
	run := live(t, given(medal),
		card.RuleStatus{Status: "NS", Reason: "not on the tee"}, card.RuleStatus{Status: "in_play", Reason: "exceptional circumstances, 5.3a"},
		card.EnterCard{Scores: paper(), By: marker}, card.Certify{By: marker}, card.Certify{By: player}, card.Return{Receipt: "K7PX"})
	require.Equal(t, events.StatusReturned, run.State.Status())
}

// TestACardIsReopenedAfterARuling: played on, certified anew and returned under
// another receipt.
func TestACardIsReopenedAfterARuling(t *testing.T) {
	t.Parallel()
	run := live(t, home, card.RuleStatus{Status: "DQ", Reason: "wrong card"}, card.Reopen{Reason: "it was another card"},
		card.EnterScore{Hole: 9, Score: strokes(6), By: marker})
	_, err := run.Do(t, card.Return{Receipt: "N2QD"})
	require.Equal(t, "not_certified", events.AsError(err).Code, "what was certified is void")
	for _, c := range []card.Command{card.Certify{By: marker}, card.Certify{By: player}, card.Return{Receipt: "N2QD"}} {
		_, err := run.Do(t, c)
		require.NoError(t, err)
	}
	require.Equal(t, events.StatusReturned, run.State.Status())
	require.Equal(t, "N2QD", run.State.Receipt)
}

// TestAWrongPaperCardIsTakenOff: typed into the wrong card, reopened, its values
// taken back, and the player goes on entering.
func TestAWrongPaperCardIsTakenOff(t *testing.T) {
	t.Parallel()
	run := live(t, given(medal), card.EnterCard{Scores: paper(), By: office, Signed: true, Receipt: "K7PX"}, card.Reopen{Reason: "wrong card"},
		card.EnterCard{Scores: make([]events.Score, 9), By: office})
	require.Zero(t, run.State.Played())
	_, err := run.Do(t, enter(player, 1, strokes(4)))
	require.NoError(t, err)
}

func TestDifferencesAreListed(t *testing.T) {
	t.Parallel()
	s := decider.Fold(given(complete, by(player, 2, strokes(4)), by(player, 5, strokes(5)), by(player, 9, strokes(6)))...)
	require.Equal(t, []int{2, 9}, s.Differences())
	require.Empty(t, decider.Fold(home...).Differences())
}

func TestAScoreOfAnUnknownHoleLeavesTheCardAlone(t *testing.T) {
	t.Parallel()
	require.Equal(t, decider.Fold(medal), decider.Fold(medal, by(player, 12, strokes(4))))
}

func TestTwoClonesLiveApart(t *testing.T) {
	t.Parallel()
	decider.Siblings(t, given(medal), by(player, 3, strokes(4)), by(player, 3, strokes(5)))
}
