package card_test

import (
	"testing"

	"github.com/stretchr/testify/require"

	"marram.example/events"
	"marram.example/events/card"
)

func TestCertify(t *testing.T) {
	t.Parallel()
	byPlayer, byMarker := card.Certify{By: player}, card.Certify{By: marker}
	decider.Check(t, []rule{
		{Rule: "the marker certifies", Source: markerDo, Given: complete, When: byMarker, Then: given(certifiedMarker)},
		{Rule: "the player certifies", Source: playerDo, Given: complete, When: byPlayer, Then: given(certifiedPlayer)},
		{Rule: "a card that was signed on paper is certified as such", Source: playerDo, Given: complete,
			When: card.Certify{By: player, Keeper: "committee"}, Then: given(paperPlayer)},
		{Rule: "the player does not certify twice", Source: "promise 2", Given: given(complete, certifiedPlayer), When: byPlayer},
		{Rule: "the marker does not certify twice", Source: "promise 2", Given: given(complete, certifiedMarker), When: byMarker},
		{Rule: "the committee does not certify for them", Source: markerDo, Given: complete, When: card.Certify{By: office}, Refused: refused(events.KindForbidden, "role", "")},
		{Rule: "a hole without any entry is not certified", Source: markerDo, Given: given(medal, scored(marker, paper()[:8])), When: byMarker, Refused: notNow("hole_missing", "holes[8]")},
		{Rule: "a hole on which they differ is not certified", Source: playerDo, Given: given(complete, by(player, 2, strokes(4))), When: byPlayer, Refused: notNow("hole_differs", "holes[1]")},
		{Rule: "once the committee settled it, it is", Source: "Rules of Golf 20.2", Given: given(complete, by(player, 2, strokes(4)), corrected(office, 2, strokes(5), strokes(4))),
			When: byPlayer, Then: given(certifiedPlayer)},
		{Rule: "a picked-up hole is certified", Source: "Rules of Golf 21.1b", Given: given(stableford, scored(marker, paperWith(3, pickedUp))), When: byPlayer, Then: given(certifiedPlayer)},
		{Rule: "a returned card is not certified again", Source: playerDo, Given: home, When: byPlayer, Refused: notNow("card_returned", "card_id")},
		{Rule: "a ruled card is not certified", Source: marram, Given: given(complete, ruled("DQ", "wrong ball")), When: byPlayer, Refused: notNow("card_ruled", "card_id")},
		{Rule: "a card that was never issued is not certified", Source: marram, When: byPlayer, Refused: refused(events.KindNotFound, "not_found", "card_id")},
	})
}

func TestReturn(t *testing.T) {
	t.Parallel()
	handIn := card.Return{Receipt: "K7PX"}
	unfinished := given(scored(marker, paperWith(7, pickedUp)), bothCertified)
	decider.Check(t, []rule{
		{Rule: "a card that both certified is returned", Source: playerDo, Given: given(complete, bothCertified), When: handIn, Then: given(returned)},
		{Rule: "a card is returned once", Source: "promise 2", Given: home, When: card.Return{Receipt: "OTHER"}},
		{Rule: "without the player's certification it is not returned", Source: playerDo, Given: given(complete, certifiedMarker), When: handIn, Refused: notNow("not_certified", "certified_player")},
		{Rule: "without the marker's certification it is not returned", Source: markerDo, Given: given(complete, certifiedPlayer), When: handIn, Refused: notNow("not_certified", "certified_marker")},
		{Rule: "a change after certification needs new ones", Source: playerDo, Given: given(complete, bothCertified, corrected(marker, 1, strokes(5), strokes(4))),
			When: handIn, Refused: notNow("not_certified", "certified_player")},
		{Rule: "a card with a missing hole is not returned", Source: playerDo, Given: given(medal), When: handIn, Refused: notNow("hole_missing", "holes[0]")},
		{Rule: "a return has a receipt", Source: marram, Given: given(complete, bothCertified), When: card.Return{}, Refused: invalid("required", "receipt")},
		{Rule: "a ruled card is not returned", Source: marram, Given: given(complete, bothCertified, ruled("RTD", "ill")), When: handIn, Refused: notNow("card_ruled", "card_id")},
		{Rule: "in stroke play a hole not finished makes it a no return", Source: holeOut, Given: given(medal, unfinished), When: handIn,
			Then: given(returned, ruled("NR", "hole 7 has no score"))},
		{Rule: "in Stableford it counts with nothing there", Source: "Rules of Golf 21.1b", Given: given(stableford, unfinished), When: handIn, Then: given(returned)},
		{Rule: "a card that was never issued is not returned", Source: marram, When: handIn, Refused: refused(events.KindNotFound, "not_found", "card_id")},
	})
}

func TestReopen(t *testing.T) {
	t.Parallel()
	reopen := card.Reopen{Reason: "typed into the wrong card"}
	reopened := given(events.CardReopened{Reason: "typed into the wrong card"})
	decider.Check(t, []rule{
		{Rule: "the committee gives a returned card back", Source: marram, Given: home, When: reopen, Then: reopened},
		{Rule: "the committee gives a ruled card back", Source: marram, Given: given(medal, ruled("NS", "not seen")), When: reopen, Then: reopened},
		{Rule: "it says why", Source: marram, Given: home, When: card.Reopen{Reason: " "}, Refused: invalid("required", "reason")},
		{Rule: "a card in play is not given back", Source: marram, Given: complete, When: reopen, Refused: notNow("in_play", "card_id")},
		{Rule: "a card that was never issued is not given back", Source: marram, When: reopen, Refused: refused(events.KindNotFound, "not_found", "card_id")},
	})
	s := decider.Fold(given(home, ruled("DQ", "wrong score"), reopened)...)
	require.Equal(t, events.StatusInPlay, s.Status(), "a reopened card has no ruling and no return")
	require.Empty(t, s.Receipt)
	require.False(t, s.CertifiedPlayer || s.CertifiedMarker)
	require.Equal(t, 9, s.Played(), "and keeps its scores")
}

func TestRuleStatus(t *testing.T) {
	t.Parallel()
	rule1 := func(status, reason string) card.RuleStatus { return card.RuleStatus{Status: status, Reason: reason} }
	lacking := given(medal, scored(marker, paperWith(7, pickedUp)), bothCertified, returned, ruled("NR", "hole 7 has no score"))
	cases := []rule{
		{Rule: "a ruling has a reason", Source: marram, Given: given(medal), When: rule1("DQ", " "), Refused: invalid("required", "reason")},
		{Rule: "cut is no ruling here", Source: marram, Given: given(medal), When: rule1("CUT", "x"), Refused: invalid("unknown", "status")},
		{Rule: "returned is no ruling: the player returns", Source: playerDo, Given: complete, When: rule1("returned", "x"), Refused: invalid("unknown", "status")},
		{Rule: "the same ruling again changes nothing", Source: "promise 2", Given: given(medal, ruled("WD", "ill")), When: rule1("WD", "ill")},
		{Rule: "a ruling gets another reason", Source: marram, Given: given(medal, ruled("WD", "ill")), When: rule1("WD", "injured"), Then: given(ruled("WD", "injured"))},
		{Rule: "a ruling is replaced by another", Source: marram, Given: given(complete, ruled("RTD", "ill")), When: rule1("DQ", "serious misconduct"), Then: given(ruled("DQ", "serious misconduct"))},
		{Rule: "who has a score did show up", Source: marram, Given: given(medal, by(player, 1, strokes(4))), When: rule1("NS", "not seen"), Refused: notNow("has_scores", "status")},
		{Rule: "whose only score was taken back may be a no-show", Source: marram, Given: given(medal, by(player, 1, strokes(4)), corrected(player, 1, strokes(4), nothing)),
			When: rule1("NS", "wrong phone"), Then: given(ruled("NS", "wrong phone"))},
		{Rule: "a ruling is lifted", Source: marram, Given: given(medal, ruled("NS", "not seen")), When: rule1("in_play", "came late"), Then: given(ruled("in_play", "came late"))},
		{Rule: "no ruling is not lifted", Source: "promise 2", Given: complete, When: rule1("in_play", "x")},
		{Rule: "a returned card is disqualified", Source: "Rules of Golf 3.3b(3)", Given: home, When: rule1("DQ", "hole 4 lower than played"), Then: given(ruled("DQ", "hole 4 lower than played"))},
		{Rule: "a no return for a missing score is lifted by the score, not by a word", Source: holeOut, Given: lacking, When: rule1("in_play", "please"), Refused: notNow("hole_missing", "status")},
		{Rule: "a disqualified card without a score is a no return when that is lifted", Source: holeOut, Given: given(lacking, ruled("DQ", "wrong ball")),
			When: rule1("in_play", "the ruling was wrong"), Then: given(lifted, ruled("NR", "hole 7 has no score"))},
		{Rule: "a card that was never issued is not ruled on", Source: marram, When: rule1("DQ", "x"), Refused: refused(events.KindNotFound, "not_found", "card_id")},
	}
	for _, status := range []string{"NR", "RTD", "WD", "NS", "DQ"} {
		cases = append(cases, rule{Rule: "the committee rules " + status, Source: marram, Given: given(medal), When: rule1(status, "seen"), Then: given(ruled(status, "seen"))})
	}
	decider.Check(t, cases)
}

func TestUnknownCommandIsAFaultOfTheProgram(t *testing.T) {
	t.Parallel()
	_, err := card.Decide(decider.Fold(medal), nil)
	require.ErrorContains(t, err, "unknown command")
	require.Nil(t, events.AsError(err))
}
