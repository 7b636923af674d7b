package card_test

import (
	"testing"

	"github.com/stretchr/testify/require"

	"marram.example/events"
	"marram.example/events/card"
)

const unknownPenalty = "Rules of Golf 3.3b(3)"

// late is a general penalty of the partner on the first hole.
var late = events.PenaltyAdded{PenaltyID: "x1", Ball: 1, Hole: 1, Strokes: 2, Rule: "Rules of Golf 5.3a", Reason: "four minutes late"}

func add(e events.PenaltyAdded) card.AddPenalty {
	return card.AddPenalty{PenaltyID: e.PenaltyID, Ball: e.Ball, Hole: e.Hole, Strokes: e.Strokes, Rule: e.Rule, Reason: e.Reason}
}

func TestPenalties(t *testing.T) {
	t.Parallel()
	bunker := events.PenaltyAdded{PenaltyID: "x2", Hole: 3, Strokes: 2, Rule: "Rules of Golf 12.2b", Reason: "club on the sand"}
	pace := events.PenaltyAdded{PenaltyID: "x3", Strokes: 1, Reason: "ten minutes behind"}
	but := func(e events.PenaltyAdded, change func(*events.PenaltyAdded)) events.PenaltyAdded {
		change(&e)
		return e
	}
	partnerDone := given(pair, ballScored(1, marker, paper()))
	decider.Check(t, []rule{
		{Rule: "a penalty of which the player did not know is added to a returned card", Source: unknownPenalty, Given: home, When: add(bunker), Then: given(bunker)},
		{Rule: "a penalty is added while the card is out", Source: marram, Given: complete, When: add(bunker), Then: given(bunker)},
		{Rule: "a penalty is added to a disqualified card", Source: marram, Given: given(home, ruled("DQ", "wrong ball")), When: add(bunker), Then: given(bunker)},
		{Rule: "a round has one by the committee's own policy", Source: "common practice, no source", Given: given(medal), When: add(pace), Then: given(pace)},
		{Rule: "a partner's penalty is on the partner's ball", Source: "Rules of Golf 23.9a", Given: partnerDone, When: add(late), Then: given(late)},
		{Rule: "the same again adds nothing", Source: "promise 2", Given: given(home, bunker), When: add(bunker)},
		{Rule: "another penalty has another id", Source: marram, Given: given(home, bunker), When: add(but(bunker, func(e *events.PenaltyAdded) { e.Strokes = 1 })),
			Refused: refused(events.KindConflict, "taken", "penalty_id")},
		{Rule: "a hole has two penalties", Source: marram, Given: given(home, bunker), When: add(but(bunker, func(e *events.PenaltyAdded) { e.PenaltyID = "x9" })),
			Then: given(but(bunker, func(e *events.PenaltyAdded) { e.PenaltyID = "x9" }))},
		{Rule: "a penalty has an id", Source: marram, Given: home, When: add(but(bunker, func(e *events.PenaltyAdded) { e.PenaltyID = "" })), Refused: invalid("required", "penalty_id")},
		{Rule: "a penalty has a reason", Source: marram, Given: home, When: add(but(bunker, func(e *events.PenaltyAdded) { e.Reason = " " })), Refused: invalid("required", "reason")},
		{Rule: "no strokes are no penalty", Source: "Rules of Golf 1.3c", Given: home, When: add(but(bunker, func(e *events.PenaltyAdded) { e.Strokes = 0 })), Refused: invalid("out_of_range", "strokes")},
		{Rule: "ten strokes may be several breaches", Source: marram, Given: home, When: add(but(bunker, func(e *events.PenaltyAdded) { e.Strokes = 10 })),
			Then: given(but(bunker, func(e *events.PenaltyAdded) { e.Strokes = 10 }))},
		{Rule: "eleven strokes are a slip", Source: marram, Given: home, When: add(but(bunker, func(e *events.PenaltyAdded) { e.Strokes = 11 })), Refused: invalid("out_of_range", "strokes")},
		{Rule: "the hole is on the card", Source: marram, Given: home, When: add(but(bunker, func(e *events.PenaltyAdded) { e.Hole = 10 })), Refused: invalid("not_in_play", "hole")},
		{Rule: "the ball is on the card", Source: marram, Given: home, When: add(but(bunker, func(e *events.PenaltyAdded) { e.Ball = 1 })), Refused: invalid("not_on_card", "ball")},
		{Rule: "in stroke play it is added to strokes", Source: "Rules of Golf 3.3a", Given: given(medal), When: add(bunker), Refused: notNow("hole_missing", "hole")},
		{Rule: "of that ball", Source: "Rules of Golf 3.3a", Given: given(pair, scored(marker, paper())), When: add(late), Refused: notNow("hole_missing", "hole")},
		{Rule: "in Stableford a hole counts without strokes", Source: "Rules of Golf 21.1b", Given: given(stableford), When: add(bunker), Then: given(bunker)},
		{Rule: "an excluded hole counts for nobody", Source: marram, Given: given(stableford, by(office, 3, notInPlay)), When: add(bunker), Refused: notNow("excluded", "hole")},
		{Rule: "who did not show up breached nothing", Source: marram, Given: given(medal, ruled("NS", "not seen")), When: add(pace), Refused: notNow("card_ruled", "card_id")},
		{Rule: "a penalty is taken back", Source: marram, Given: given(home, bunker), When: card.RemovePenalty{PenaltyID: "x2", Reason: "it was a rake"},
			Then: given(events.PenaltyRemoved{PenaltyID: "x2", Reason: "it was a rake"})},
		{Rule: "with a reason", Source: marram, Given: given(home, bunker), When: card.RemovePenalty{PenaltyID: "x2"}, Refused: invalid("required", "reason")},
		{Rule: "only one that there is", Source: marram, Given: given(home, bunker), When: card.RemovePenalty{PenaltyID: "x3", Reason: "x"}, Refused: refused(events.KindNotFound, "not_found", "penalty_id")},
		{Rule: "once", Source: marram, Given: given(home, bunker, events.PenaltyRemoved{PenaltyID: "x2", Reason: "x"}), When: card.RemovePenalty{PenaltyID: "x2", Reason: "x"},
			Refused: refused(events.KindNotFound, "not_found", "penalty_id")},
		{Rule: "a card that was never issued has no penalty", Source: marram, When: add(bunker), Refused: refused(events.KindNotFound, "not_found", "card_id")},
	})
}

func TestPenaltiesAddUpByBallAndHole(t *testing.T) {
	t.Parallel()
	s := decider.Fold(given(pair,
		late,
		events.PenaltyAdded{PenaltyID: "x2", Ball: 1, Hole: 1, Strokes: 1, Reason: "x"},
		events.PenaltyAdded{PenaltyID: "x3", Ball: 0, Hole: 1, Strokes: 2, Reason: "x"},
		events.PenaltyAdded{PenaltyID: "x4", Ball: 1, Hole: 0, Strokes: 1, Reason: "x"},
	)...)
	require.Equal(t, []int{2, 3, 0, 1}, []int{s.PenaltyOn(0, 1), s.PenaltyOn(1, 1), s.RoundPenalty(0), s.RoundPenalty(1)})
	require.Zero(t, s.PenaltyOn(1, 2))
	require.Zero(t, s.PenaltyOn(1, 0), "that of the round is on no hole")
}

func TestAPenaltyLeavesSignaturesAlone(t *testing.T) {
	t.Parallel()
	s := decider.Fold(given(complete, bothCertified, events.PenaltyAdded{PenaltyID: "x2", Hole: 3, Strokes: 2, Reason: "x"})...)
	require.True(t, s.CertifiedPlayer && s.CertifiedMarker, "they stand for what they entered")
}

func TestClonesOfASideLiveApart(t *testing.T) {
	t.Parallel()
	decider.Siblings(t, given(pair), of(1, by(player, 3, strokes(4))), of(1, by(player, 3, strokes(5))))
	decider.Siblings(t, given(pair, late), events.PenaltyAdded{PenaltyID: "x2", Strokes: 1}, events.PenaltyAdded{PenaltyID: "x3", Strokes: 1})
	decider.Siblings(t, given(pair, late), events.PenaltyRemoved{PenaltyID: "x1"}, events.PenaltyAdded{PenaltyID: "x3", Strokes: 1})
}
