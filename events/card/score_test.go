package card_test

import (
	"testing"

	"github.com/stretchr/testify/require"

	"marram.example/events"
	"marram.example/events/card"
)

func enter(r events.Role, hole int, v events.Score) card.EnterScore {
	return card.EnterScore{Hole: hole, Score: v, By: r}
}

func corrected(r events.Role, hole int, from, to events.Score) events.HoleScoreCorrected {
	return events.HoleScoreCorrected{Hole: hole, Old: from, New: to, By: r}
}

func TestPlayerAndMarkerEnterScores(t *testing.T) {
	t.Parallel()
	markerSays5 := given(medal, by(marker, 3, strokes(5)))
	settled := given(medal, by(player, 3, strokes(4)), by(marker, 3, strokes(5)), by(office, 3, strokes(4)))
	decider.Check(t, []rule{
		{Rule: "the marker enters the score", Source: markerDo, Given: given(medal), When: enter(marker, 3, strokes(5)), Then: given(by(marker, 3, strokes(5)))},
		{Rule: "the player's own entry stands beside the marker's", Source: "promise 3", Given: markerSays5, When: enter(player, 3, strokes(4)), Then: given(by(player, 3, strokes(4)))},
		{Rule: "a hole may be picked up", Source: holeOut, Given: given(medal), When: enter(player, 3, pickedUp), Then: given(by(player, 3, pickedUp))},
		{Rule: "a hole may have no score", Source: "Rules of Golf 21.1b", Given: given(medal), When: enter(player, 3, noScore), Then: given(by(player, 3, noScore))},
		{Rule: "the marker corrects the own entry and both values stay", Source: "promise 3", Given: markerSays5,
			When: enter(marker, 3, strokes(4)), Then: given(corrected(marker, 3, strokes(5), strokes(4)))},
		{Rule: "an entry can be taken back", Source: marram, Given: markerSays5, When: enter(marker, 3, nothing), Then: given(corrected(marker, 3, strokes(5), nothing))},
		{Rule: "after that it is entered for the first time again", Source: marram, Given: given(markerSays5, corrected(marker, 3, strokes(5), nothing)),
			When: enter(marker, 3, strokes(4)), Then: given(by(marker, 3, strokes(4)))},
		{Rule: "the same again changes nothing", Source: "promise 2", Given: markerSays5, When: enter(marker, 3, strokes(5))},
		{Rule: "nothing where nothing stands changes nothing", Source: "promise 2", Given: given(medal), When: enter(player, 3, nothing)},
		{Rule: "what the committee settled stands", Source: "Rules of Golf 20.2", Given: settled, When: enter(player, 3, strokes(5)), Refused: notNow("settled", "hole")},
		{Rule: "what the committee settled stands for the marker too", Source: "Rules of Golf 20.2", Given: settled, When: enter(marker, 3, strokes(4)), Refused: notNow("settled", "hole")},
		{Rule: "once the committee takes its value back they may write again", Source: marram, Given: given(settled, corrected(office, 3, strokes(4), nothing)),
			When: enter(player, 3, strokes(5)), Then: given(corrected(player, 3, strokes(4), strokes(5)))},
		{Rule: "after the return only the committee changes the card", Source: playerDo, Given: home, When: enter(player, 3, strokes(4)), Refused: notNow("card_returned", "card_id")},
		{Rule: "that holds for the marker too", Source: playerDo, Given: home, When: enter(marker, 3, strokes(4)), Refused: notNow("card_returned", "card_id")},
		{Rule: "a ruled card is closed to the player", Source: marram, Given: given(medal, ruled("RTD", "ill")), When: enter(player, 3, strokes(4)), Refused: notNow("card_ruled", "card_id")},
		{Rule: "nobody else writes scores", Source: markerDo, Given: given(medal), When: enter(events.RoleService, 3, strokes(4)), Refused: refused(events.KindForbidden, "role", "")},
		{Rule: "a hole that is not in play has no score", Source: "Rules of Golf 5.1", Given: given(medal), When: enter(player, 10, strokes(4)), Refused: invalid("not_in_play", "hole")},
		{Rule: "a card that was never issued has no score", Source: marram, When: enter(player, 3, strokes(4)), Refused: refused(events.KindNotFound, "not_found", "card_id")},
	})
}

func TestScoresThatCannotBe(t *testing.T) {
	t.Parallel()
	confirmed := func(v events.Score) card.EnterScore {
		return card.EnterScore{Hole: 4, Score: v, By: marker, Confirmed: true}
	}
	decider.Check(t, []rule{
		{Rule: "one stroke on a par 5 may be, once confirmed", Source: unsourced, Given: given(medal), When: confirmed(strokes(1)), Then: given(by(marker, 4, strokes(1)))},
		{Rule: "99 strokes may be, once confirmed", Source: marram, Given: given(medal), When: confirmed(strokes(99)), Then: given(by(marker, 4, strokes(99)))},
		{Rule: "100 strokes is a slip", Source: marram, Given: given(medal), When: confirmed(strokes(100)), Refused: invalid("out_of_range", "score.strokes")},
		{Rule: "strokes are not negative", Source: marram, Given: given(medal), When: confirmed(strokes(-1)), Refused: invalid("out_of_range", "score.strokes")},
		{Rule: "a hole has strokes or none", Source: marram, Given: given(medal), When: confirmed(events.Score{Strokes: 5, None: events.PickedUp}), Refused: invalid("ambiguous", "score")},
		{Rule: "a hole without strokes says why in known words", Source: marram, Given: given(medal), When: confirmed(events.Score{None: "lost"}), Refused: invalid("unknown", "score.none")},
		{Rule: "an unlikely score is asked back", Source: unsourced, Given: given(medal), When: enter(marker, 4, strokes(2)), Refused: invalid("unlikely_score", "score.strokes")},
		{Rule: "an unlikely score on a whole card is asked back", Source: unsourced, Given: given(medal),
			When: card.EnterCard{Scores: paperWith(3, strokes(55)), By: marker}, Refused: invalid("unlikely_score", "scores[2].strokes")},
		{Rule: "a slip on a whole card stores none of it", Source: "promise 6", Given: given(medal),
			When: card.EnterCard{Scores: paperWith(9, strokes(100)), By: marker, Confirmed: true}, Refused: invalid("out_of_range", "scores[8].strokes")},
	})
}

func TestUnlikelyScores(t *testing.T) {
	t.Parallel()
	for _, c := range []struct{ par, from, to int }{{3, 1, 8}, {4, 2, 9}, {5, 3, 10}, {6, 4, 11}} {
		require.False(t, card.Unlikely(c.par, 0), "nothing entered is not unlikely")
		for n := 1; n <= card.MaxStrokes; n++ {
			require.Equal(t, n < c.from || n > c.to, card.Unlikely(c.par, n), "%d on a par %d", n, c.par)
		}
	}
}

func TestWhatCounts(t *testing.T) {
	t.Parallel()
	for _, c := range []struct {
		rule    string
		line    card.HoleLine
		counts  events.Score
		differs bool
	}{
		{"nothing entered counts nothing", card.HoleLine{}, nothing, false},
		{"the player's entry counts while it is alone", card.HoleLine{Player: strokes(4)}, strokes(4), false},
		{"the marker's entry counts before the player's", card.HoleLine{Player: strokes(4), Marker: strokes(5)}, strokes(5), true},
		{"picked up is not the same as no score", card.HoleLine{Player: pickedUp, Marker: noScore}, noScore, true},
		{"equal entries do not differ", card.HoleLine{Player: strokes(5), Marker: strokes(5)}, strokes(5), false},
		{"the committee's entry counts before both and settles them", card.HoleLine{Player: strokes(4), Marker: strokes(5), Committee: strokes(6)}, strokes(6), false},
		{"the committee may settle that there is no score", card.HoleLine{Player: strokes(4), Committee: pickedUp}, pickedUp, false},
	} {
		t.Run(c.rule, func(t *testing.T) {
			t.Parallel()
			require.Equal(t, c.counts, c.line.Counting())
			require.Equal(t, c.differs, c.line.Differs())
		})
	}
}

func TestTheCommitteeEntersScores(t *testing.T) {
	t.Parallel()
	differs := given(medal, by(player, 3, strokes(4)), by(marker, 3, strokes(5)))
	why := func(hole int, v events.Score, reason string) card.EnterScore {
		return card.EnterScore{Hole: hole, Score: v, By: office, Reason: reason}
	}
	decider.Check(t, []rule{
		{Rule: "the committee may keep a card", Source: markerDo, Given: given(medal), When: enter(office, 3, strokes(5)), Then: given(by(office, 3, strokes(5)))},
		{Rule: "the committee settles a difference with the marker's value", Source: "Rules of Golf 20.2", Given: differs,
			When: enter(office, 3, strokes(5)), Then: given(corrected(office, 3, strokes(5), strokes(5)))},
		{Rule: "the committee settles a difference with the player's value", Source: "Rules of Golf 20.2", Given: differs,
			When: enter(office, 3, strokes(4)), Then: given(corrected(office, 3, strokes(5), strokes(4)))},
		{Rule: "the committee changes its own value", Source: marram, Given: given(medal, by(office, 3, strokes(5))),
			When: enter(office, 3, strokes(6)), Then: given(corrected(office, 3, strokes(5), strokes(6)))},
		{Rule: "the same again changes nothing", Source: "promise 2", Given: given(medal, by(office, 3, strokes(5))), When: enter(office, 3, strokes(5))},
		{Rule: "a returned card is changed with a reason", Source: committee, Given: home, When: why(3, strokes(6), "penalty stroke"),
			Then: given(events.HoleScoreCorrected{Hole: 3, Old: strokes(5), New: strokes(6), By: office, Reason: "penalty stroke"})},
		{Rule: "a returned card is not changed without a reason", Source: marram, Given: home, When: why(3, strokes(6), " "), Refused: invalid("required", "reason")},
		{Rule: "holes of a player who stopped may be filled in: they matter to the handicap", Source: unsourced, Given: given(medal, ruled("RTD", "ill")),
			When: enter(office, 3, strokes(5)), Then: given(by(office, 3, strokes(5)))},
		{Rule: "what the committee ruled before the return is not lifted by a score, in whatever words", Source: marram,
			Given: given(complete, corrected(marker, 7, strokes(5), nothing), ruled("NR", "hole 7 has no score")),
			When:  enter(office, 7, strokes(6)), Then: given(by(office, 7, strokes(6)))},
		{Rule: "a disqualified card stays disqualified when a score is struck off", Source: marram, Given: given(home, ruled("DQ", "wrong ball")),
			When: why(7, pickedUp, "never holed out"), Then: given(events.HoleScoreCorrected{Hole: 7, Old: strokes(5), New: pickedUp, By: office, Reason: "never holed out"})},
		{Rule: "a no-show has no score until the ruling is lifted", Source: marram, Given: given(medal, ruled("NS", "not seen")),
			When: enter(office, 3, strokes(5)), Refused: notNow("card_ruled", "card_id")},
	})
}

func TestEnterCard(t *testing.T) {
	t.Parallel()
	markerDone := given(medal, scored(marker, paper()))
	signed := func(scores []events.Score) card.EnterCard {
		return card.EnterCard{Scores: scores, By: office, Signed: true, Receipt: "K7PX"}
	}
	settled := given(medal, by(office, 3, strokes(4)))
	noReturn := ruled("NR", "hole 3 has no score")
	decider.Check(t, []rule{
		{Rule: "a whole card is entered at once", Source: marram, Given: given(medal), When: card.EnterCard{Scores: paper(), By: player}, Then: scored(player, paper())},
		{Rule: "only what is new on it leaves an event", Source: "promise 2", Given: given(medal, scored(player, paper()[:7])),
			When: card.EnterCard{Scores: paper(), By: player}, Then: scored(player, paper())[7:]},
		{Rule: "the same card again changes nothing", Source: "promise 2", Given: given(medal, scored(player, paper())), When: card.EnterCard{Scores: paper(), By: player}},
		{Rule: "a signed paper card is entered, certified and returned in one", Source: playerDo, Given: given(medal),
			When: signed(paper()), Then: given(scored(office, paper()), paperPlayer, paperMarker, returned)},
		{Rule: "the paper leaves alone what it confirms", Source: marram, Given: markerDone, When: signed(paper()), Then: given(paperPlayer, paperMarker, returned)},
		{Rule: "the paper counts where it says otherwise", Source: playerDo, Given: markerDone, When: signed(paperWith(3, strokes(4))),
			Then: given(corrected(office, 3, strokes(5), strokes(4)), paperPlayer, paperMarker, returned)},
		{Rule: "the paper settles a difference even with the value that counts", Source: playerDo, Given: given(markerDone, by(player, 3, strokes(4))),
			When: signed(paper()), Then: given(corrected(office, 3, strokes(5), strokes(5)), paperPlayer, paperMarker, returned)},
		{Rule: "a signed paper card with a hole picked up is a no return in stroke play", Source: holeOut, Given: given(medal), When: signed(paperWith(3, pickedUp)),
			Then: given(scored(office, paperWith(3, pickedUp)), paperPlayer, paperMarker, returned, noReturn)},
		{Rule: "in Stableford it counts", Source: "Rules of Golf 21.1b", Given: given(stableford), When: signed(paperWith(3, noScore)),
			Then: given(scored(office, paperWith(3, noScore)), paperPlayer, paperMarker, returned)},
		{Rule: "a signed paper card says something for every hole, whatever a phone said", Source: playerDo, Given: markerDone,
			When: signed(paperWith(3, nothing)), Refused: invalid("hole_missing", "scores[2]")},
		{Rule: "a return has a receipt", Source: marram, Given: given(medal), When: card.EnterCard{Scores: paper(), By: office, Signed: true}, Refused: invalid("required", "receipt")},
		{Rule: "only the committee types in a signed card", Source: playerDo, Given: given(medal), When: card.EnterCard{Scores: paper(), By: player, Signed: true, Receipt: "K7PX"},
			Refused: refused(events.KindForbidden, "signed", "")},
		{Rule: "a card has as many scores as holes", Source: "Rules of Golf 5.1", Given: given(medal), When: card.EnterCard{Scores: paper()[:8], By: player}, Refused: invalid("hole_count", "scores")},
		{Rule: "a player's card does not touch what the committee settled", Source: "Rules of Golf 20.2", Given: settled,
			When: card.EnterCard{Scores: paper(), By: player}, Refused: notNow("settled", "scores[2]")},
		{Rule: "it may agree with what the committee settled", Source: marram, Given: settled,
			When: card.EnterCard{Scores: paperWith(3, strokes(4)), By: player}, Then: scored(player, paperWith(3, strokes(4)))},
		{Rule: "after the return a player enters no card", Source: playerDo, Given: home, When: card.EnterCard{Scores: paper(), By: player}, Refused: notNow("card_returned", "card_id")},
		{Rule: "a returned card is typed again with a reason and stays returned", Source: committee, Given: home,
			When: card.EnterCard{Scores: paperWith(3, strokes(6)), By: office, Signed: true, Reason: "misread"},
			Then: given(events.HoleScoreCorrected{Hole: 3, Old: strokes(5), New: strokes(6), By: office, Reason: "misread"})},
		{Rule: "a returned card is not typed again without one", Source: marram, Given: home,
			When: card.EnterCard{Scores: paperWith(3, strokes(6)), By: office, Signed: true}, Refused: invalid("required", "reason")},
		{Rule: "a ruled card is not returned on paper until the ruling is lifted", Source: marram, Given: given(medal, ruled("RTD", "ill")),
			When: signed(paper()), Refused: notNow("card_ruled", "card_id")},
	})
}

func TestAnEntryVoidsWhatWasCertifiedBefore(t *testing.T) {
	t.Parallel()
	for _, e := range []events.Event{by(player, 1, strokes(4)), corrected(marker, 1, strokes(5), strokes(4)), by(office, 1, strokes(4))} {
		s := decider.Fold(given(complete, bothCertified, e)...)
		require.False(t, s.CertifiedPlayer || s.CertifiedMarker || s.CertifiedOnPaper, "%#v", e)
	}
	s := decider.Fold(given(home, by(office, 1, strokes(4)))...)
	require.True(t, s.CertifiedPlayer && s.CertifiedMarker, "after the return the committee corrects without them")
}
