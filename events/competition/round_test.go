package competition_test

import (
	"testing"

	"github.com/stretchr/testify/require"

	"marram.example/events"
	"marram.example/events/competition"
)

func TestOpenRound(t *testing.T) {
	t.Parallel()
	openIt, opened := competition.OpenRound{}, given(events.RoundOpened{Round: 1})
	withdrew := given(onSheet, events.EntryWithdrawn{EntryID: "ben", Reason: "a cold"})
	decider.Check(t, []rule{
		{Rule: "play begins with a start sheet", Source: starting, Given: onSheet, When: openIt, Then: opened},
		{Rule: "play does not begin without one", Source: starting, Given: entered, When: openIt, Refused: notNow("not_drawn", "competition_id")},
		{Rule: "a round is opened once", Source: "promise 2", Given: open, When: openIt},
		{Rule: "a stopped round is open", Source: "promise 2", Given: stopped, When: openIt},
		{Rule: "who withdrew leaves the sheet first", Source: starting, Given: withdrew, When: openIt, Refused: notNow("draw_stale", "groups")},
		{Rule: "who withdrew and entered again has the old place", Source: marram, Given: given(withdrew, accepted("ben", true)), When: openIt, Then: opened},
		{Rule: "a late entry gets a place first", Source: starting, Given: given(onSheet, accepted("dan", true)), When: openIt, Refused: notNow("draw_stale", "groups")},
		{Rule: "a sheet fits the terms that were changed after it", Source: stated,
			Given: given(onSheet, events.TermsSet{Terms: with(func(t *events.Terms) { t.Holes, t.Tees = holes(10, 18), []string{"White"} })}), When: openIt, Refused: notNow("draw_stale", "groups")},
		{Rule: "a closed round stays closed", Source: marram, Given: closed, When: openIt, Refused: notNow("round_closed", "competition_id")},
		{Rule: "a round with a result stays closed", Source: marram, Given: published, When: openIt, Refused: notNow("round_closed", "competition_id")},
	})
}

func TestSuspendAndResume(t *testing.T) {
	t.Parallel()
	stop := func(kind, reason string) competition.SuspendRound {
		return competition.SuspendRound{Kind: kind, Reason: reason}
	}
	halt := func(kind, reason string) []events.Event {
		return given(events.RoundSuspended{Round: 1, Kind: kind, Reason: reason})
	}
	decider.Check(t, []rule{
		{Rule: "play is stopped at once for danger", Source: suspended, Given: open, When: stop("immediate", "lightning"), Then: halt("immediate", "lightning")},
		{Rule: "play is stopped between holes", Source: suspended, Given: open, When: stop("normal", "fog"), Then: halt("normal", "fog")},
		{Rule: "a normal stop becomes an immediate one without play going on", Source: suspended, Given: stopped, When: stop("immediate", "lightning"), Then: halt("immediate", "lightning")},
		{Rule: "an immediate stop never becomes a normal one", Source: suspended, Given: lightning, When: stop("normal", "rain"), Refused: notNow("suspended", "kind")},
		{Rule: "stopped twice for the same is stopped once", Source: "promise 2", Given: lightning, When: stop("immediate", "lightning")},
		{Rule: "a stop gets another reason", Source: marram, Given: stopped, When: stop("normal", "darkness"), Then: halt("normal", "darkness")},
		{Rule: "a stop is immediate or normal", Source: suspended, Given: open, When: stop("lightning", ""), Refused: invalid("unknown", "kind")},
		{Rule: "nothing is stopped before it began", Source: marram, Given: onSheet, When: stop("immediate", "lightning"), Refused: notNow("not_open", "competition_id")},
		{Rule: "nothing is stopped after it ended", Source: marram, Given: closed, When: stop("immediate", "lightning"), Refused: notNow("not_open", "competition_id")},
		{Rule: "play goes on", Source: suspended, Given: lightning, When: competition.ResumeRound{}, Then: given(events.RoundResumed{Round: 1})},
		{Rule: "play that was not stopped does not go on", Source: marram, Given: open, When: competition.ResumeRound{}, Refused: notNow("not_suspended", "competition_id")},
	})
	require.Nil(t, decider.Fold(given(lightning, events.RoundResumed{Round: 1})...).Suspend)
}

func TestCloseRound(t *testing.T) {
	t.Parallel()
	all := standing(events.StatusReturned, "ann", "ben", "cat")
	ruledOn := append(standing(events.StatusReturned, "ann"), append(standing(events.StatusNoShow, "ben"), standing(events.StatusDisqualified, "cat")...)...)
	stillOut := append(standing(events.StatusReturned, "ann", "ben"), standing(events.StatusInPlay, "cat")...)
	noStatus := append(standing(events.StatusReturned, "ann", "ben"), standing("", "cat")...)
	abandoned := standing(events.StatusNoReturn, "ann", "ben", "cat")
	end := func(cards []events.CardStanding) competition.CloseRound { return competition.CloseRound{Cards: cards} }
	done := func(cards []events.CardStanding) []events.Event {
		return given(events.RoundClosed{Round: 1, Cards: cards})
	}
	decider.Check(t, []rule{
		{Rule: "a round ends when every card is returned", Source: closing, Given: open, When: end(all), Then: done(all)},
		{Rule: "a card that is ruled on is not awaited", Source: closing, Given: open, When: end(ruledOn), Then: done(ruledOn)},
		{Rule: "a card in play is awaited", Source: closing, Given: open, When: end(stillOut), Refused: notNow("cards_out", "cards")},
		{Rule: "a card without a status is awaited", Source: closing, Given: open, When: end(noStatus), Refused: notNow("cards_out", "cards")},
		{Rule: "an entry without a card is awaited", Source: closing, Given: open, When: end(all[:2]), Refused: notNow("cards_out", "cards")},
		{Rule: "a late entry is awaited like the others", Source: closing, Given: given(open, accepted("dan", true)), When: end(all), Refused: notNow("cards_out", "cards")},
		{Rule: "an entry that withdrew before play is not awaited", Source: closing,
			Given: given(entered, events.EntryWithdrawn{EntryID: "cat"}, drawn("ann", "ben"), events.RoundOpened{Round: 1}), When: end(all[:2]), Then: done(all[:2])},
		{Rule: "an entry has one card", Source: marram, Given: open, When: end(append(stillOut, standing(events.StatusReturned, "cat")...)), Refused: invalid("duplicate", "cards[3].entry_id")},
		{Rule: "a round that is abandoned for lightning ends without play going on", Source: suspended, Given: lightning, When: end(abandoned), Then: done(abandoned)},
		{Rule: "a stopped round awaits its cards too", Source: closing, Given: stopped, When: end(stillOut), Refused: notNow("cards_out", "cards")},
		{Rule: "a round ends once", Source: "promise 2", Given: closed, When: end(all)},
		{Rule: "a round with a result has ended", Source: "promise 2", Given: published, When: end(all)},
		{Rule: "a round that did not begin does not end", Source: marram, Given: onSheet, When: end(all), Refused: notNow("not_open", "competition_id")},
	})
	s := decider.Fold(given(lightning, done(abandoned))...)
	require.Equal(t, competition.Closed, s.Phase)
	require.Nil(t, s.Suspend)
	require.Equal(t, abandoned, s.Standing)
}

func TestUnknownCommandIsAFaultOfTheProgram(t *testing.T) {
	t.Parallel()
	_, err := competition.Decide(decider.Fold(planned...), nil)
	require.ErrorContains(t, err, "unknown command")
	require.Nil(t, events.AsError(err))
}
