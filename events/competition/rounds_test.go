package competition_test

import (
	"slices"
	"testing"

	"github.com/stretchr/testify/require"

	"marram.example/events"
	"marram.example/events/competition"
)

func cut(through, missed []string) events.CutMade {
	line := 140
	return events.CutMade{AfterRound: 1, Through: through, Missed: missed, Line: &line, Words: "the first 2: 2 through"}
}

// sheet is a start sheet of a round.
func sheet(round int, ids ...string) events.DrawPublished {
	d := drawn(ids...)
	d.Round = round
	return d
}

// 36 holes with a cut after 18: dan did not hand in, cat is not through.
var (
	twoRounds = with(both(rounds(2), func(t *events.Terms) { t.Cut = &events.Cut{AfterRound: 1, Places: 2} }))
	firstOpen = given(planned, events.TermsSet{Terms: twoRounds}, field("ann", "ben", "cat", "dan"), sheet(1, "ann", "ben", "cat", "dan"), events.RoundOpened{Round: 1})
	firstIn   = append(standing(events.StatusReturned, "ann", "ben", "cat"), standing(events.StatusNoReturn, "dan")...)
	between   = given(firstOpen, events.RoundClosed{Round: 1, Cards: firstIn}, cut([]string{"ann", "ben"}, []string{"cat"}))
	second    = given(between, sheet(2, "ben", "ann"), events.RoundOpened{Round: 2})
	over      = given(second, events.RoundClosed{Round: 2, Cards: standing(events.StatusReturned, "ann", "ben")})
)

func TestRounds(t *testing.T) {
	t.Parallel()
	made := cut([]string{"ann", "ben"}, []string{"cat"})
	close1 := competition.CloseRound{Cards: firstIn, Cut: &made}
	withCut := func(through, missed []string) competition.CloseRound {
		c := cut(through, missed)
		return competition.CloseRound{Cards: firstIn, Cut: &c}
	}
	again := cut([]string{"ann", "cat"}, []string{"ben"})
	line := 141
	shifted := made
	shifted.Line = &line
	benOut := slices.Concat(standing(events.StatusReturned, "ann"), standing(events.StatusDisqualified, "ben"), firstIn[2:])
	withoutBen := cut([]string{"ann", "cat"}, nil)
	danIn := standing(events.StatusReturned, "ann", "ben", "cat", "dan")
	withDan := cut([]string{"dan", "ann"}, []string{"ben", "cat"})
	decider.Check(t, []rule{
		{Rule: "a round closes with its cut", Source: marram, Given: firstOpen, When: close1, Then: given(events.RoundClosed{Round: 1, Cards: firstIn}, made)},
		{Rule: "the cut is not forgotten", Source: marram, Given: firstOpen, When: competition.CloseRound{Cards: firstIn}, Refused: invalid("required", "cut")},
		{Rule: "a cut names everybody with a total", Source: marram, Given: firstOpen, When: withCut([]string{"ann"}, []string{"cat"}), Refused: invalid("entry_left_out", "cut")},
		{Rule: "a cut names nobody twice", Source: marram, Given: firstOpen, When: withCut([]string{"ann", "ben", "cat"}, []string{"cat"}), Refused: invalid("unknown", "cut")},
		{Rule: "a cut names entries", Source: marram, Given: firstOpen, When: withCut([]string{"ann", "ben", "zoe"}, []string{"cat"}), Refused: invalid("unknown", "cut")},
		{Rule: "a cut leaves somebody in", Source: marram, Given: firstOpen, When: withCut(nil, []string{"ann", "ben", "cat"}), Refused: notNow("nobody_through", "cut")},
		{Rule: "closing again changes nothing", Source: "promise 2", Given: between, When: close1},
		{Rule: "a cut is made again after a correction", Source: adminFix, Given: between, When: competition.MakeCut{CutMade: again}, Then: given(again)},
		{Rule: "a cut whose line alone is another is made again", Source: adminFix, Given: between, When: competition.MakeCut{CutMade: shifted}, Then: given(shifted)},
		{Rule: "who was disqualified since is on neither side of it", Source: adminFix, Given: between, When: competition.MakeCut{CutMade: withoutBen, Cards: benOut},
			Then: given(events.RoundClosed{Round: 1, Cards: benOut}, withoutBen)},
		{Rule: "who handed in after all is in it", Source: adminFix, Given: between, When: competition.MakeCut{CutMade: withDan, Cards: danIn},
			Then: given(events.RoundClosed{Round: 1, Cards: danIn}, withDan)},
		{Rule: "a card that is given back comes in first", Source: closing, Given: between,
			When: competition.MakeCut{CutMade: made, Cards: standing(events.StatusInPlay, "ann", "ben", "cat", "dan")}, Refused: notNow("cards_out", "cards")},
		{Rule: "a sheet waits for a cut that was made before a correction", Source: adminFix, Given: between,
			When: competition.PublishDraw{Method: "by_hand", Groups: groups("ben", "ann"), Cards: danIn}, Refused: notNow("cut_not_made", "cut")},
		{Rule: "who was disqualified since is not drawn", Source: adminFix, Given: between,
			When: competition.PublishDraw{Method: "by_hand", Groups: groups("ann"), Cards: benOut},
			Then: given(events.RoundClosed{Round: 1, Cards: benOut}, events.DrawPublished{Round: 2, Method: "by_hand", Groups: groups("ann")})},
		{Rule: "cards as they were closed change nothing", Source: "promise 2", Given: between,
			When: competition.PublishDraw{Method: "by_hand", Groups: groups("ben", "ann"), Cards: firstIn},
			Then: given(events.DrawPublished{Round: 2, Method: "by_hand", Groups: groups("ben", "ann")})},
		{Rule: "the same cut again changes nothing", Source: "promise 2", Given: between, When: competition.MakeCut{CutMade: made}},
		{Rule: "not once the next round is drawn and open", Source: marram, Given: second, When: competition.MakeCut{CutMade: again}, Refused: notNow("not_now", "cut")},
		{Rule: "without a cut in the terms there is none", Source: marram, Given: closed, When: competition.MakeCut{CutMade: made}, Refused: notNow("no_cut", "cut")},
		{Rule: "the next sheet is of the next round", Source: marram, Given: between, When: competition.PublishDraw{Method: "standing", Groups: groups("ben", "ann")},
			Then: given(events.DrawPublished{Round: 2, Method: "standing", Groups: groups("ben", "ann")})},
		{Rule: "who missed the cut does not play on", Source: marram, Given: between, When: competition.PublishDraw{Method: "by_hand", Groups: groups("ann", "ben", "cat")}, Refused: invalid("unknown", "groups[0].places[2].entry_id")},
		{Rule: "who did not hand in does not play on", Source: marram, Given: between, When: competition.PublishDraw{Method: "by_hand", Groups: groups("ann", "ben", "dan")}, Refused: invalid("unknown", "groups[0].places[2].entry_id")},
		{Rule: "who is through is drawn", Source: marram, Given: between, When: competition.PublishDraw{Method: "by_hand", Groups: groups("ann")}, Refused: invalid("entry_left_out", "groups")},
		{Rule: "between rounds nothing is opened", Source: marram, Given: between, When: competition.OpenRound{}, Refused: notNow("not_drawn", "competition_id")},
		{Rule: "the second round opens", Source: marram, Given: given(between, sheet(2, "ben", "ann")), When: competition.OpenRound{}, Then: given(events.RoundOpened{Round: 2})},
		{Rule: "the second round is suspended as such", Source: suspended, Given: second, When: competition.SuspendRound{Kind: "immediate", Reason: "lightning"},
			Then: given(events.RoundSuspended{Round: 2, Kind: "immediate", Reason: "lightning"})},
		{Rule: "only who plays it is waited for", Source: closing, Given: second, When: competition.CloseRound{Cards: standing(events.StatusReturned, "ann", "ben")},
			Then: given(events.RoundClosed{Round: 2, Cards: standing(events.StatusReturned, "ann", "ben")})},
		{Rule: "the result waits for the last round", Source: marram, Given: between, When: competition.PublishResult{Result: result(events.StatusReturned, "ann", "ben", "cat", "dan")}, Refused: notNow("not_closed", "competition_id")},
		{Rule: "nobody enters between the rounds", Source: marram, Given: between, When: accept("eve"), Refused: notNow("round_over", "player_id")},
		{Rule: "nobody enters after the first round", Source: marram, Given: second, When: accept("eve"), Refused: notNow("round_over", "player_id")},
		{Rule: "nobody leaves the field between rounds", Source: marram, Given: between, When: competition.WithdrawEntry{EntryID: "ann"}, Refused: notNow("cards_out", "entry_id")},
		{Rule: "terms stay fixed between rounds", Source: stated, Given: between, When: set(medalTerms()), Refused: notNow("round_open", "terms")},
		{Rule: "terms stay fixed when the second round is drawn", Source: stated, Given: given(between, sheet(2, "ben", "ann")), When: set(medalTerms()), Refused: notNow("round_open", "terms")},
	})
	s := decider.Fold(over...)
	require.True(t, s.Over())
	require.Equal(t, sheet(1, "ann", "ben", "cat", "dan").Groups, s.Sheet(1).Groups)
	require.Equal(t, sheet(2, "ben", "ann").Groups, s.Sheet(2).Groups)
	require.Nil(t, s.Sheet(3))
}

func TestConditionsAndExcludedHoles(t *testing.T) {
	t.Parallel()
	set := competition.SetConditions{Round: 1, Adjustment: 2, Source: "the association's list of the day"}
	out := competition.ExcludeHole{Round: 1, Hole: 7, Reason: "flooded"}
	excluded := given(closed, events.HoleExcluded{Round: 1, Hole: 7, Reason: "flooded"})
	nine := with(func(t *events.Terms) { t.Holes, t.Tees = holes(1, 9), []string{"White"} })
	var but9 []events.Event
	for h := 1; h <= 8; h++ {
		but9 = append(but9, events.HoleExcluded{Round: 1, Hole: h, Reason: "flooded"})
	}
	flooded := given(planned, events.TermsSet{Terms: nine}, field("ann", "ben", "cat"), drawn("ann", "ben", "cat"), events.RoundOpened{Round: 1}, but9)
	decider.Check(t, []rule{
		{Rule: "the committee enters what the association published", Source: "Rules of Handicapping 5.6", Given: closed, When: set,
			Then: given(events.PlayingConditionsSet{Round: 1, Adjustment: 2, Source: "the association's list of the day"})},
		{Rule: "an adjustment lies between -1 and 3", Source: "Rules of Handicapping 5.6", Given: closed, When: competition.SetConditions{Round: 1, Adjustment: 4, Source: "x"}, Refused: invalid("out_of_range", "adjustment")},
		{Rule: "its source is stated", Source: "Rules of Handicapping 5.6", Given: closed, When: competition.SetConditions{Round: 1, Adjustment: 1}, Refused: invalid("required", "source")},
		{Rule: "a round that has not begun has none", Source: marram, Given: onSheet, When: set, Refused: notNow("not_begun", "round")},
		{Rule: "nor has a round that is not played", Source: marram, Given: closed, When: competition.SetConditions{Round: 2, Source: "x"}, Refused: notNow("not_begun", "round")},
		{Rule: "a hole counts for nobody", Source: marram, Given: open, When: out, Then: given(events.HoleExcluded{Round: 1, Hole: 7, Reason: "flooded"})},
		{Rule: "the same again changes nothing", Source: "promise 2", Given: excluded, When: out},
		{Rule: "a hole counts again", Source: marram, Given: excluded, When: competition.RestoreHole{Round: 1, Hole: 7, Reason: "wrong hole"}, Then: given(events.HoleRestored{Round: 1, Hole: 7, Reason: "wrong hole"})},
		{Rule: "with a reason", Source: marram, Given: excluded, When: competition.RestoreHole{Round: 1, Hole: 7}, Refused: invalid("required", "reason")},
		{Rule: "a hole that counts need not be restored", Source: marram, Given: closed, When: competition.RestoreHole{Round: 1, Hole: 7, Reason: "x"}},
		{Rule: "an exclusion has a reason", Source: marram, Given: open, When: competition.ExcludeHole{Round: 1, Hole: 7}, Refused: invalid("required", "reason")},
		{Rule: "a hole is one in play", Source: marram, Given: open, When: competition.ExcludeHole{Round: 1, Hole: 19, Reason: "x"}, Refused: invalid("not_in_play", "hole")},
		{Rule: "one hole has to count", Source: marram, Given: flooded, When: competition.ExcludeHole{Round: 1, Hole: 9, Reason: "flooded"}, Refused: notNow("last_hole", "hole")},
	})
}
