package card_test

import (
	"testing"

	"github.com/stretchr/testify/require"

	"marram.example/events"
	"marram.example/events/card"
	"marram.example/events/decidertest"
)

// having is an entry with what its writer saw: the player's, the marker's and the
// committee's value.
func having(saw [3]events.Score, c card.EnterScore) card.EnterScore {
	c.Saw = &card.Saw{Player: saw[0], Marker: saw[1], Committee: saw[2]}
	return c
}

func changedSince(field string) *decidertest.Refusal {
	return decidertest.Conflict("changed_since", field)
}

func TestNobodyWritesOverWhatTheyHaveNotSeen(t *testing.T) {
	t.Parallel()
	type saw = [3]events.Score
	four, five, six := strokes(4), strokes(5), strokes(6)
	player4 := given(medal, by(player, 3, four))
	agreed := given(player4, by(marker, 3, four))
	differ := given(player4, by(marker, 3, five))
	decided := given(differ, by(office, 3, five))
	signed := given(medal, scored(marker, paper()), certifiedPlayer)
	decider.Check(t, []rule{
		{Rule: "a first value, seen so", Source: "promise 3", Given: given(medal), When: having(saw{}, enter(player, 3, four)), Then: given(by(player, 3, four))},
		{Rule: "the other one's value may come meanwhile: both stand, and differ", Source: "promise 3", Given: given(medal, by(marker, 3, five)),
			When: having(saw{}, enter(player, 3, four)), Then: given(by(player, 3, four))},
		{Rule: "the other one may change meanwhile while both differ", Source: "promise 3", Given: given(differ, corrected(marker, 3, five, six)),
			When: having(saw{four, five}, enter(player, 3, five)), Then: given(corrected(player, 3, four, five))},
		{Rule: "another device of the same role was first", Source: "promise 3", Given: player4, When: having(saw{}, enter(player, 3, five)), Refused: changedSince("saw.player")},
		{Rule: "the same from another device changes nothing", Source: "promise 2", Given: player4, When: having(saw{}, enter(player, 3, four))},
		{Rule: "the own value is changed once seen", Source: "promise 3", Given: player4, When: having(saw{four}, enter(player, 3, five)), Then: given(corrected(player, 3, four, five))},
		{Rule: "the own value was taken back meanwhile", Source: "promise 3", Given: given(player4, corrected(player, 3, four, nothing)),
			When: having(saw{four}, enter(player, 3, five)), Refused: changedSince("saw.player")},
		{Rule: "they agreed meanwhile", Source: "promise 3", Given: agreed, When: having(saw{four}, enter(player, 3, five)), Refused: changedSince("saw.marker")},
		{Rule: "that holds for the marker too", Source: "promise 3", Given: agreed, When: having(saw{nothing, four}, enter(marker, 3, five)), Refused: changedSince("saw.player")},
		{Rule: "taking back is a change as well", Source: "promise 3", Given: agreed, When: having(saw{four}, enter(player, 3, nothing)), Refused: changedSince("saw.marker")},
		{Rule: "who saw that they agree may change it", Source: "promise 3", Given: agreed, When: having(saw{four, four}, enter(player, 3, five)), Then: given(corrected(player, 3, four, five))},
		{Rule: "the committee decided meanwhile", Source: "Rules of Golf 20.2", Given: decided, When: having(saw{four, five}, enter(player, 3, five)), Refused: changedSince("saw.committee")},
		{Rule: "also where the own value would stay", Source: "Rules of Golf 20.2", Given: decided, When: having(saw{four, five}, enter(player, 3, four)), Refused: changedSince("saw.committee")},
		{Rule: "who saw that cannot change it either", Source: "Rules of Golf 20.2", Given: decided, When: having(saw{four, five, five}, enter(player, 3, five)), Refused: notNow("settled", "hole")},
		{Rule: "the committee took its value back meanwhile", Source: "promise 3", Given: given(decided, corrected(office, 3, five, nothing)),
			When: having(saw{four, five, five}, enter(marker, 3, four)), Refused: changedSince("saw.committee")},
		{Rule: "somebody certified meanwhile what stands there", Source: playerDo, Given: signed, When: having(saw{}, enter(player, 3, four)), Refused: changedSince("saw.marker")},
		{Rule: "who saw what was certified may change it", Source: marram, Given: signed, When: having(saw{nothing, five}, enter(player, 3, four)), Then: given(by(player, 3, four))},
		{Rule: "the committee settles what it saw", Source: "Rules of Golf 20.2", Given: differ, When: having(saw{four, five}, enter(office, 3, five)), Then: given(corrected(office, 3, five, five))},
		{Rule: "they agreed before the committee spoke", Source: "promise 3", Given: given(differ, corrected(marker, 3, five, four)),
			When: having(saw{four, five}, enter(office, 3, five)), Refused: changedSince("saw.marker")},
		{Rule: "the player changed before the committee spoke", Source: "promise 3", Given: given(differ, corrected(player, 3, four, six)),
			When: having(saw{four, five}, enter(office, 3, five)), Refused: changedSince("saw.player")},
		{Rule: "another of the committee was first", Source: "promise 3", Given: decided, When: having(saw{four, five}, enter(office, 3, four)), Refused: changedSince("saw.committee")},
		{Rule: "and said the same", Source: "promise 2", Given: decided, When: having(saw{four, five}, enter(office, 3, five))},
		{Rule: "after the return that comes first", Source: playerDo, Given: home, When: having(saw{}, enter(player, 3, four)), Refused: notNow("card_returned", "card_id")},
		{Rule: "who does not say what they saw writes as on paper", Source: marram, Given: agreed, When: enter(player, 3, five), Then: given(corrected(player, 3, four, five))},
		{Rule: "what cannot have stood there was not seen", Source: marram, Given: given(medal), When: having(saw{strokes(100)}, enter(player, 3, four)), Refused: invalid("out_of_range", "saw.player.strokes")},
		{Rule: "nor both at once", Source: marram, Given: given(medal), When: having(saw{nothing, {Strokes: 4, None: events.PickedUp}}, enter(player, 3, four)), Refused: invalid("ambiguous", "saw.marker")},
		{Rule: "nor in unknown words", Source: marram, Given: given(medal), When: having(saw{nothing, nothing, {None: "lost"}}, enter(player, 3, four)), Refused: invalid("unknown", "saw.committee.none")},
	})
}

func TestARefusalSaysBothValues(t *testing.T) {
	t.Parallel()
	s := card.New()
	for _, e := range given(medal, by(player, 3, pickedUp), by(marker, 3, noScore)) {
		card.Evolve(s, e)
	}
	for _, c := range []struct {
		name string
		when card.EnterScore
		says string
	}{
		{"own", having([3]events.Score{strokes(4)}, enter(player, 3, strokes(5))),
			"hole 3 has changed since 5 was entered for it: the player's value was 4 then and is picked up now; look at it, and enter it again where it is still meant"},
		{"taken back", having([3]events.Score{nothing, strokes(7)}, enter(marker, 3, nothing)),
			"hole 3 has changed since nothing was entered for it: the marker's value was 7 then and is no score now; look at it, and enter it again where it is still meant"},
		{"an exclusion lifted", having([3]events.Score{pickedUp, noScore, {None: events.Excluded}}, enter(marker, 3, strokes(5))),
			"hole 3 has changed since 5 was entered for it: the committee's value was excluded then and is nothing now; look at it, and enter it again where it is still meant"},
	} {
		t.Run(c.name, func(t *testing.T) {
			t.Parallel()
			_, err := card.Decide(s, c.when)
			require.NotNil(t, events.AsError(err))
			require.Equal(t, c.says, events.AsError(err).Detail)
		})
	}
}

func TestSeenIsWhatStands(t *testing.T) {
	t.Parallel()
	h := card.HoleLine{Player: strokes(4), Marker: pickedUp, Committee: noScore}
	require.Equal(t, card.Saw{Player: strokes(4), Marker: pickedUp, Committee: noScore}, h.Seen())
}

// On the card of a side every ball is seen for itself.
func TestEveryBallIsSeenForItself(t *testing.T) {
	t.Parallel()
	s := card.New()
	card.Evolve(s, sideOf("stroke_play", 2, events.Play{Side: events.SideFourBall}))
	card.Evolve(s, events.HoleScored{Ball: 1, Hole: 3, Score: strokes(4), By: player})
	_, err := card.Decide(s, having([3]events.Score{}, enter(player, 3, strokes(5))))
	require.NoError(t, err, "nothing stands for ball 0")
	other := having([3]events.Score{}, enter(player, 3, strokes(5)))
	other.Ball = 1
	_, err = card.Decide(s, other)
	require.Equal(t, "changed_since", events.AsError(err).Code)
}
