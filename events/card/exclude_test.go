package card_test

import (
	"testing"

	"github.com/stretchr/testify/require"

	"marram.example/events"
	"marram.example/events/card"
)

// flooded is what an event says of an excluded hole on balls 0 to n-1.
func flooded(hole, balls int) []events.Event {
	var out []events.Event
	for b := range balls {
		out = append(out, of(b, by(office, hole, notInPlay)))
	}
	return out
}

func TestExcludedHoles(t *testing.T) {
	t.Parallel()
	excludeIt, restoreIt := enter(office, 3, notInPlay), enter(office, 3, nothing)
	out := given(medal, flooded(3, 1))
	lacking := given(medal, scored(marker, paperWith(3, pickedUp)), bothCertified, returned, ruled("NR", "hole 3 has no score"))
	withReason := func(hole int, v events.Score) card.EnterScore {
		return card.EnterScore{Hole: hole, Score: v, By: office, Reason: "the green was under water"}
	}
	excludedLate := events.HoleScoreCorrected{Hole: 3, Old: pickedUp, New: notInPlay, By: office, Reason: "the green was under water"}
	decider.Check(t, []rule{
		{Rule: "the committee excludes a hole", Source: marram, Given: given(medal), When: excludeIt, Then: flooded(3, 1)},
		{Rule: "of every ball", Source: marram, Given: given(bestTwo), When: excludeIt, Then: flooded(3, 3)},
		{Rule: "whichever ball is named", Source: marram, Given: given(bestTwo), When: enterBall(2, office, 3, notInPlay), Then: flooded(3, 3)},
		{Rule: "over what was entered", Source: marram, Given: given(pair, of(1, by(marker, 3, strokes(4)))), When: excludeIt,
			Then: given(by(office, 3, notInPlay), of(1, corrected(office, 3, strokes(4), notInPlay)))},
		{Rule: "once", Source: "promise 2", Given: out, When: excludeIt},
		{Rule: "a player excludes no hole", Source: marram, Given: given(medal), When: enter(player, 3, notInPlay), Refused: refused(events.KindForbidden, "role", "")},
		{Rule: "nor does a marker", Source: marram, Given: given(medal), When: enter(marker, 3, notInPlay), Refused: refused(events.KindForbidden, "role", "")},
		{Rule: "nor on a whole card", Source: marram, Given: given(medal), When: card.EnterCard{Scores: paperWith(3, notInPlay), By: marker}, Refused: refused(events.KindForbidden, "role", "")},
		{Rule: "a player enters nothing there", Source: marram, Given: out, When: enter(player, 3, strokes(4)), Refused: notNow("settled", "hole")},
		{Rule: "nor does the committee before it takes that back", Source: marram, Given: out, When: enter(office, 3, strokes(4)), Refused: notNow("excluded", "hole")},
		{Rule: "the committee takes it back", Source: marram, Given: out, When: restoreIt, Then: given(corrected(office, 3, notInPlay, nothing))},
		{Rule: "of every ball, whichever is named", Source: marram, Given: given(pair, flooded(3, 2)), When: enterBall(1, office, 3, nothing),
			Then: given(corrected(office, 3, notInPlay, nothing), of(1, corrected(office, 3, notInPlay, nothing)))},
		{Rule: "and its own earlier value stands again", Source: "promise 3", Given: given(medal, by(office, 3, strokes(4)), corrected(office, 3, strokes(4), notInPlay)), When: restoreIt,
			Then: given(corrected(office, 3, notInPlay, strokes(4)))},
		{Rule: "the hole is asked of nobody", Source: marram, Given: given(medal, scored(marker, paper()[:8]), by(office, 9, notInPlay)), When: card.Certify{By: player}, Then: given(certifiedPlayer)},
		{Rule: "it lacks no score", Source: marram, Given: given(medal, scored(marker, paperWith(3, pickedUp)), corrected(office, 3, pickedUp, notInPlay), bothCertified),
			When: card.Return{Receipt: "K7PX"}, Then: given(returned)},
		{Rule: "nor does the round of a ball", Source: marram, Given: given(rounds, scored(marker, paper()), ballScored(1, marker, without(pickedUp, 3)), by(office, 3, notInPlay), of(1, by(office, 3, notInPlay)), bothCertified),
			When: card.Return{Receipt: "K7PX"}, Then: given(returned)},
		{Rule: "a no return for it alone is in", Source: marram, Given: lacking, When: withReason(3, notInPlay), Then: given(excludedLate, ruled("in_play", "every hole has a score now"))},
		{Rule: "and a no return again when it counts again", Source: marram, Given: given(lacking, excludedLate, ruled("in_play", "every hole has a score now")), When: withReason(3, nothing),
			Then: given(events.HoleScoreCorrected{Hole: 3, Old: notInPlay, New: nothing, By: office, Reason: "the green was under water"}, ruled("NR", "hole 3 has no score"))},
		{Rule: "on a returned card it has a reason", Source: marram, Given: home, When: excludeIt, Refused: invalid("required", "reason")},
		{Rule: "a hole is excluded on the card of a no-show too: it is no score", Source: marram, Given: given(medal, ruled("NS", "not seen")), When: excludeIt, Then: flooded(3, 1)},
		{Rule: "who has only an excluded hole may not have shown up", Source: marram, Given: out, When: card.RuleStatus{Status: "NS", Reason: "not seen"}, Then: given(ruled("NS", "not seen"))},
		{Rule: "who had a score there did show up", Source: marram, Given: given(medal, by(office, 3, strokes(4)), corrected(office, 3, strokes(4), notInPlay)),
			When: card.RuleStatus{Status: "NS", Reason: "not seen"}, Refused: notNow("has_scores", "status")},
		{Rule: "a phone's whole card leaves it out", Source: marram, Given: out, When: card.EnterCard{Scores: paperWith(3, nothing), By: player}, Then: given(scored(player, paper()[:2]), scored(player, paper())[3:])},
		{Rule: "or says so", Source: marram, Given: out, When: card.EnterCard{Scores: paperWith(3, notInPlay), By: player}, Then: given(scored(player, paper()[:2]), scored(player, paper())[3:])},
		{Rule: "and has no number there", Source: marram, Given: out, When: card.EnterCard{Scores: paper(), By: player}, Refused: notNow("settled", "scores[2]")},
		{Rule: "a signed paper card has none either", Source: marram, Given: out, When: card.EnterCard{Scores: paper(), By: office, Signed: true, Receipt: "K7PX"}, Refused: notNow("excluded", "scores[2]")},
		{Rule: "it is returned with nothing there", Source: marram, Given: out, When: card.EnterCard{Scores: paperWith(3, nothing), By: office, Signed: true, Receipt: "K7PX"},
			Then: given(scored(office, paper()[:2]), scored(office, paper())[3:], paperPlayer, paperMarker, returned)},
		{Rule: "a ball's typed card excludes the hole of both", Source: marram, Given: given(pair), When: card.EnterCard{Ball: 1, Scores: paperWith(3, notInPlay), By: office},
			Then: given(flooded(3, 2), ballScored(1, office, without(nothing, 3)))},
		{Rule: "balls that say the same of it exclude it once", Source: marram, Given: given(pair), When: card.EnterCard{Scores: paperWith(3, notInPlay), Partners: [][]events.Score{paperWith(3, notInPlay)}, By: office},
			Then: given(flooded(3, 2), ballScored(0, office, without(nothing, 3)), ballScored(1, office, without(nothing, 3)))},
		{Rule: "balls do not say different things of it", Source: marram, Given: given(pair), When: card.EnterCard{Scores: paperWith(3, notInPlay), Partners: [][]events.Score{paper()}, By: office},
			Refused: notNow("excluded", "partners[0][2]")},
	})
}

func TestAnExcludedHoleIsNotPlayed(t *testing.T) {
	t.Parallel()
	s := decider.Fold(given(complete, by(player, 3, strokes(4)), corrected(office, 3, strokes(5), notInPlay))...)
	require.Equal(t, 8, s.Played())
	require.Empty(t, s.Differences())
	require.True(t, s.Holes[2].Counting().Entered(), "yet it counts as entered")
}
