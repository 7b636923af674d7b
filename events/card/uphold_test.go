package card_test

import (
	"testing"

	"marram.example/events"
	"marram.example/events/card"
)

// A score that the committee lets stand is in the log with its reason.
func TestUphold(t *testing.T) {
	t.Parallel()
	const why = "returned one higher than made"
	stands := func(s events.Score) events.HoleScoreCorrected {
		return events.HoleScoreCorrected{Hole: 3, Old: s, New: s, By: events.RoleCommittee, Reason: why}
	}
	after := card.New()
	for _, e := range home {
		card.Evolve(after, e)
	}
	third := after.Holes[2].Counting()
	when := card.Uphold{Hole: 3, Reason: why}
	decider.Check(t, []rule{
		{Rule: "a higher score stands, by the committee's word", Source: "Rules of Golf 3.3b(3)", Given: home, When: when, Then: given(stands(third))},
		{Rule: "looked at again, it is said again", Source: marram, Given: given(home, stands(third)), When: when, Then: given(stands(third))},
		{Rule: "it needs a reason", Source: marram, Given: home, When: card.Uphold{Hole: 3}, Refused: invalid("required", "reason")},
		{Rule: "a card in play is simply corrected", Source: playerDo, Given: complete, When: when, Refused: notNow("not_returned", "card_id")},
		{Rule: "a hole is on the card", Source: marram, Given: home, When: card.Uphold{Hole: 12, Reason: why}, Refused: invalid("not_in_play", "hole")},
		{Rule: "a ball is on the card", Source: marram, Given: home, When: card.Uphold{Ball: 1, Hole: 3, Reason: why}, Refused: invalid("not_on_card", "ball")},
	})
}
