package competition_test

import (
	"testing"

	"github.com/stretchr/testify/require"

	"marram.example/events"
	"marram.example/events/competition"
)

// acceptWith is an entry of dan after a change.
func acceptWith(change func(*competition.AcceptEntry)) competition.AcceptEntry {
	c := accept("dan")
	change(&c)
	return c
}

func TestAcceptEntry(t *testing.T) {
	t.Parallel()
	withdrawn := given(entered, events.EntryWithdrawn{EntryID: "ben"})
	full := given(entered, field("dan", "eve", "fay"))
	byDefault := accepted("dan", false)
	newEntry := events.EntryAccepted{EntryID: "ben-2", PlayerID: "player-ben", Tee: "White", IndexTenths: 120, IndexOrigin: events.OriginOfficial}
	decider.Check(t, []rule{
		{Rule: "a player is taken in", Source: stated, Given: stating, When: accept("ann"), Then: given(accepted("ann", false))},
		{Rule: "without a tee it is the first of the terms", Source: marram, Given: entered, When: acceptWith(func(c *competition.AcceptEntry) { c.Tee = "" }), Then: given(byDefault)},
		{Rule: "after the draw an entry is late", Source: marram, Given: onSheet, When: accept("dan"), Then: given(accepted("dan", true))},
		{Rule: "while the round is open an entry is late", Source: marram, Given: open, When: accept("dan"), Then: given(accepted("dan", true))},
		{Rule: "while play is stopped entries go on", Source: marram, Given: lightning, When: accept("dan"), Then: given(accepted("dan", true))},
		{Rule: "a player who was left out is put in after the close", Source: adminFix, Given: closed, When: accept("dan"), Then: given(accepted("dan", true))},
		{Rule: "a player who was left out is put in after the result", Source: adminFix, Given: published, When: accept("dan"), Then: given(accepted("dan", true))},
		{Rule: "the same again changes nothing", Source: "promise 2", Given: entered, When: accept("ann")},
		{Rule: "who withdrew may enter again", Source: marram, Given: withdrawn, When: accept("ben"), Then: given(accepted("ben", false))},
		{Rule: "who withdrew may enter again under another id", Source: marram, Given: withdrawn,
			When: competition.AcceptEntry{EntryID: "ben-2", PlayerID: "player-ben", Tee: "White", IndexTenths: 120, IndexOrigin: events.OriginOfficial}, Then: given(newEntry)},
		{Rule: "a place of a full field is free again once somebody withdrew", Source: marram, Given: given(full, events.EntryWithdrawn{EntryID: "fay"}),
			When: accept("gus"), Then: given(accepted("gus", false))},
		{Rule: "a full field takes nobody", Source: stated, Given: full, When: accept("gus"), Refused: notNow("field_full", "player_id")},
		{Rule: "a player is entered once", Source: marram, Given: entered, When: acceptWith(func(c *competition.AcceptEntry) { c.PlayerID = "player-ann" }), Refused: conflict("already_entered", "player_id")},
		{Rule: "an entry with another tee is amended, not entered again", Source: marram, Given: entered,
			When:    competition.AcceptEntry{EntryID: "ann", PlayerID: "player-ann", Tee: "Red", IndexTenths: 120, IndexOrigin: events.OriginOfficial},
			Refused: conflict("already_entered", "player_id")},
		{Rule: "an entry with another origin of its index is amended too", Source: marram, Given: entered,
			When:    competition.AcceptEntry{EntryID: "ann", PlayerID: "player-ann", Tee: "White", IndexTenths: 120, IndexOrigin: events.OriginClub},
			Refused: conflict("already_entered", "player_id")},
		{Rule: "an entry never passes to another player", Source: marram, Given: withdrawn, When: competition.AcceptEntry{EntryID: "ben", PlayerID: "player-dan", IndexOrigin: events.OriginClub},
			Refused: conflict("entry_id_used", "entry_id")},
		{Rule: "an entry names a player", Source: marram, Given: stating, When: acceptWith(func(c *competition.AcceptEntry) { c.PlayerID = "" }), Refused: invalid("required", "player_id")},
		{Rule: "an entry has an id", Source: marram, Given: stating, When: acceptWith(func(c *competition.AcceptEntry) { c.EntryID = "d.n" }), Refused: invalid("malformed_id", "entry_id")},
		{Rule: "a tee is one of the terms", Source: stated, Given: stating, When: acceptWith(func(c *competition.AcceptEntry) { c.Tee = "Short" }), Refused: invalid("unknown", "tee")},
		{Rule: "an index is at most 54.0", Source: "Rules of Handicapping 5.3", Given: stating, When: acceptWith(func(c *competition.AcceptEntry) { c.IndexTenths = 541 }), Refused: invalid("out_of_range", "index_tenths")},
		{Rule: "an index says where it comes from", Source: "official indexes belong to the association", Given: stating,
			When: acceptWith(func(c *competition.AcceptEntry) { c.IndexOrigin = "" }), Refused: invalid("unknown", "index_origin")},
		{Rule: "terms come before entries", Source: stated, Given: planned, When: accept("ann"), Refused: notNow("no_terms", "terms")},
	})
}

func TestAmendEntry(t *testing.T) {
	t.Parallel()
	amend := competition.AmendEntry{EntryID: "ann", Tee: "Red", IndexTenths: 118, IndexOrigin: events.OriginClub, Reason: "new index"}
	amended := events.EntryAmended{EntryID: "ann", Tee: "Red", IndexTenths: 118, IndexOrigin: events.OriginClub, Reason: "new index"}
	amendWith := func(change func(*competition.AmendEntry)) competition.AmendEntry {
		c := amend
		change(&c)
		return c
	}
	decider.Check(t, []rule{
		{Rule: "tee and index may change before the draw", Source: marram, Given: entered, When: amend, Then: given(amended)},
		{Rule: "the index may change after the draw", Source: marram, Given: onSheet, When: amend, Then: given(amended)},
		{Rule: "the index may change once cards are out; the card is issued anew", Source: "Rules of Golf 3.3b(4)", Given: open, When: amend, Then: given(amended)},
		{Rule: "the same again changes nothing", Source: "promise 2", Given: given(entered, amended), When: amend},
		{Rule: "a handicap entered wrongly is put right after the close", Source: adminFix, Given: closed, When: amend, Then: given(amended)},
		{Rule: "after the result likewise", Source: adminFix, Given: published, When: amend, Then: given(amended)},
		{Rule: "then with a reason", Source: adminFix, Given: closed, When: amendWith(func(c *competition.AmendEntry) { c.Reason = " " }), Refused: invalid("required", "reason")},
		{Rule: "a withdrawn entry is not amended", Source: marram, Given: given(entered, events.EntryWithdrawn{EntryID: "ann"}), When: amend, Refused: refused(events.KindNotFound, "not_found", "entry_id")},
		{Rule: "an unknown entry is not amended", Source: marram, Given: stating, When: amend, Refused: refused(events.KindNotFound, "not_found", "entry_id")},
		{Rule: "a tee is one of the terms", Source: stated, Given: entered, When: amendWith(func(c *competition.AmendEntry) { c.Tee = "Short" }), Refused: invalid("unknown", "tee")},
		{Rule: "an index is at best +10.0", Source: unsourced, Given: entered, When: amendWith(func(c *competition.AmendEntry) { c.IndexTenths = -101 }), Refused: invalid("out_of_range", "index_tenths")},
		{Rule: "an index says where it comes from", Source: marram, Given: entered, When: amendWith(func(c *competition.AmendEntry) { c.IndexOrigin = "guess" }), Refused: invalid("unknown", "index_origin")},
	})
}

func TestWithdrawEntry(t *testing.T) {
	t.Parallel()
	withdraw := competition.WithdrawEntry{EntryID: "ben", Reason: "a cold"}
	withdrawn := events.EntryWithdrawn{EntryID: "ben", Reason: "a cold"}
	decider.Check(t, []rule{
		{Rule: "a player withdraws before the draw", Source: marram, Given: entered, When: withdraw, Then: given(withdrawn)},
		{Rule: "a player withdraws after the draw", Source: marram, Given: onSheet, When: withdraw, Then: given(withdrawn)},
		{Rule: "once is enough", Source: "promise 2", Given: given(entered, withdrawn), When: withdraw},
		{Rule: "once cards are out the card is ruled WD or NS", Source: marram, Given: open, When: withdraw, Refused: notNow("cards_out", "entry_id")},
		{Rule: "after the close likewise", Source: marram, Given: closed, When: withdraw, Refused: notNow("cards_out", "entry_id")},
		{Rule: "a late entry made by mistake is undone before it has a place and a card", Source: marram, Given: given(open, accepted("dan", true)),
			When: competition.WithdrawEntry{EntryID: "dan", Reason: "wrong member"}, Then: given(events.EntryWithdrawn{EntryID: "dan", Reason: "wrong member"})},
		{Rule: "also after the result", Source: marram, Given: given(published, accepted("dan", true)),
			When: competition.WithdrawEntry{EntryID: "dan", Reason: "wrong member"}, Then: given(events.EntryWithdrawn{EntryID: "dan", Reason: "wrong member"})},
		{Rule: "nobody unknown withdraws", Source: marram, Given: stating, When: withdraw, Refused: refused(events.KindNotFound, "not_found", "entry_id")},
	})
}

func TestWhoEntersAgainKeepsThePlaceInTheOrder(t *testing.T) {
	t.Parallel()
	s := decider.Fold(given(entered, events.EntryWithdrawn{EntryID: "ben"}, accepted("ben", true))...)
	require.Equal(t, []string{"ann", "ben", "cat"}, s.Order)
	require.Len(t, s.Field(), 3)
	require.True(t, s.Entries["ben"].Late)
}

func TestTwoClonesLiveApart(t *testing.T) {
	t.Parallel()
	decider.Siblings(t, entered, accepted("dan", false), accepted("eve", false))
	tie := func(ids ...string) events.Event {
		return events.TieDecided{Ranking: "net", EntryIDs: ids, Method: "lot", Reason: "drawn"}
	}
	three := given(closed, tie("ann", "ben"), tie("ann", "cat"), tie("ben", "cat"))
	decider.Siblings(t, three, tie("ann", "ben", "cat"), tie("ann", "cat", "dan"))
	decider.Siblings(t, three, tie("ben", "ann"), tie("cat", "ben"))
}
