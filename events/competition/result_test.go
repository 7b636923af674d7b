package competition_test

import (
	"testing"

	"github.com/stretchr/testify/require"

	"marram.example/events"
	"marram.example/events/competition"
)

func TestDecideTie(t *testing.T) {
	t.Parallel()
	lot := competition.DecideTie{Ranking: "net", EntryIDs: []string{"ben", "ann"}, Method: "lot", Reason: "drawn in front of both"}
	decided := func(c competition.DecideTie) events.TieDecided {
		return events.TieDecided{Ranking: c.Ranking, Division: c.Division, EntryIDs: c.EntryIDs, Method: c.Method, Reason: c.Reason}
	}
	lotWith := func(change func(*competition.DecideTie)) competition.DecideTie {
		c := lot
		change(&c)
		return c
	}
	other := lotWith(func(c *competition.DecideTie) {
		c.Ranking, c.Division, c.Method, c.EntryIDs = "gross", "Division 2", "play_off", []string{"cat", "ann", "ben"}
	})
	reversed := lotWith(func(c *competition.DecideTie) { c.EntryIDs, c.Reason = []string{"ann", "ben"}, "the lot was misread" })
	decider.Check(t, []rule{
		{Rule: "a tie is decided by lot", Source: ties, Given: closed, When: lot, Then: given(decided(lot))},
		{Rule: "a tie of a division is decided by play-off", Source: ties, Given: closed, When: other, Then: given(decided(other))},
		{Rule: "two ties are decided one after the other", Source: ties, Given: given(closed, decided(lot)), When: other, Then: given(decided(other))},
		{Rule: "a tie miscounted is decided after the result too", Source: adminFix, Given: published, When: lot, Then: given(decided(lot))},
		{Rule: "the same again changes nothing", Source: "promise 2", Given: given(closed, decided(lot)), When: lot},
		{Rule: "a lot that was misread is put right", Source: adminFix, Given: given(closed, decided(lot)), When: reversed, Then: given(decided(reversed))},
		{Rule: "a tie is decided after the round", Source: ties, Given: open, When: lot, Refused: notNow("not_closed", "competition_id")},
		{Rule: "a tie is one of a ranking", Source: marram, Given: closed, When: lotWith(func(c *competition.DecideTie) { c.Ranking = "" }), Refused: invalid("unknown", "ranking")},
		{Rule: "a tie is decided by lot or play-off", Source: ties, Given: closed, When: lotWith(func(c *competition.DecideTie) { c.Method = "age" }), Refused: invalid("unknown", "method")},
		{Rule: "a tie is one of a division that exists", Source: marram, Given: closed, When: lotWith(func(c *competition.DecideTie) { c.Division = "Seniors" }), Refused: invalid("unknown", "division")},
		{Rule: "a tie has two sides", Source: marram, Given: closed, When: lotWith(func(c *competition.DecideTie) { c.EntryIDs = []string{"ann"} }), Refused: invalid("required", "entry_ids")},
		{Rule: "a tie is between entries", Source: marram, Given: closed, When: lotWith(func(c *competition.DecideTie) { c.EntryIDs = []string{"ann", "zoe"} }), Refused: invalid("unknown", "entry_ids[1]")},
		{Rule: "nobody ties with themselves", Source: marram, Given: closed, When: lotWith(func(c *competition.DecideTie) { c.EntryIDs = []string{"ann", "ann"} }), Refused: invalid("duplicate", "entry_ids[1]")},
		{Rule: "a decision says how it came about", Source: ties, Given: closed, When: lotWith(func(c *competition.DecideTie) { c.Reason = " " }), Refused: invalid("required", "reason")},
	})
	s := decider.Fold(given(closed, decided(lot), decided(other), decided(reversed))...)
	require.Len(t, s.Ties, 2, "the last word on a tie counts")
	require.Equal(t, []string{"ann", "ben"}, s.Ties[0].EntryIDs)
}

func TestPublishResult(t *testing.T) {
	t.Parallel()
	whole := result(events.StatusReturned, "ann", "ben", "cat")
	publishIt := func(r events.Result) competition.PublishResult { return competition.PublishResult{Result: r} }
	resultWith := func(change func(*events.Result)) competition.PublishResult {
		r := result(events.StatusReturned, "ann", "ben", "cat")
		change(&r)
		return publishIt(r)
	}
	decider.Check(t, []rule{
		{Rule: "the result stands once it is published", Source: closing, Given: closed, When: publishIt(whole), Then: given(events.ResultPublished{Result: whole})},
		{Rule: "a ruled card has its row", Source: marram, Given: closed, When: publishIt(result(events.StatusNoReturn, "ann", "ben", "cat")),
			Then: given(events.ResultPublished{Result: result(events.StatusNoReturn, "ann", "ben", "cat")})},
		{Rule: "a result comes after the close", Source: closing, Given: open, When: publishIt(whole), Refused: notNow("not_closed", "competition_id")},
		{Rule: "a result does not come while play is stopped", Source: closing, Given: stopped, When: publishIt(whole), Refused: notNow("not_closed", "competition_id")},
		{Rule: "a published result is revised, not published again", Source: adminFix, Given: published, When: publishIt(whole), Refused: notNow("published", "competition_id")},
		{Rule: "nobody is left out", Source: adminFix, Given: closed, When: publishIt(result(events.StatusReturned, "ann", "ben")), Refused: invalid("entry_left_out", "rows")},
		{Rule: "nobody who was put in after the close is left out", Source: adminFix, Given: given(closed, accepted("dan", true)), When: publishIt(whole), Refused: invalid("entry_left_out", "rows")},
		{Rule: "nobody stands in it twice", Source: marram, Given: closed, When: publishIt(result(events.StatusReturned, "ann", "ben", "ben")), Refused: invalid("unknown", "rows[2].entry_id")},
		{Rule: "nobody stands in it who did not enter", Source: marram, Given: closed, When: publishIt(result(events.StatusReturned, "ann", "ben", "zoe")), Refused: invalid("unknown", "rows[2].entry_id")},
		{Rule: "a card reopened after the close delays the result", Source: closing, Given: closed, When: resultWith(func(r *events.Result) { r.Rows[1].Status = events.StatusInPlay }),
			Refused: notNow("cards_out", "rows[1].status")},
		{Rule: "an entry without a card delays the result", Source: closing, Given: closed, When: resultWith(func(r *events.Result) { r.Rows[1].Status = "" }), Refused: notNow("cards_out", "rows[1].status")},
		{Rule: "a prize goes to somebody in the field", Source: marram, Given: closed, When: resultWith(func(r *events.Result) { r.Prizes[0].EntryID = "zoe" }), Refused: invalid("unknown", "prizes[0].entry_id")},
	})
}

func TestReviseResult(t *testing.T) {
	t.Parallel()
	other := result(events.StatusReturned, "ben", "ann", "cat")
	first := events.ResultRevised{Result: other, Revision: 1, Reason: "wrong handicap"}
	withDan := result(events.StatusReturned, "dan", "ann", "ben", "cat")
	revise := func(r events.Result, reason string) competition.ReviseResult {
		return competition.ReviseResult{Result: r, Reason: reason}
	}
	decider.Check(t, []rule{
		{Rule: "an administrative mistake is corrected without time limit", Source: adminFix, Given: published, When: revise(other, "wrong handicap"), Then: given(first)},
		{Rule: "and a second time", Source: adminFix, Given: given(published, first), When: revise(other, "a prize was wrong"),
			Then: given(events.ResultRevised{Result: other, Revision: 2, Reason: "a prize was wrong"})},
		{Rule: "a player who was left out is put in", Source: adminFix, Given: given(published, accepted("dan", true)), When: revise(withDan, "dan's card was in the box"),
			Then: given(events.ResultRevised{Result: withDan, Revision: 1, Reason: "dan's card was in the box"})},
		{Rule: "a revision says why", Source: adminFix, Given: published, When: revise(other, ""), Refused: invalid("required", "reason")},
		{Rule: "what was not published is not revised", Source: marram, Given: closed, When: revise(other, "x"), Refused: notNow("not_published", "competition_id")},
		{Rule: "a revision leaves nobody out", Source: adminFix, Given: published, When: revise(result(events.StatusReturned, "ann"), "x"), Refused: invalid("entry_left_out", "rows")},
	})
	s := decider.Fold(given(published, first)...)
	require.Equal(t, competition.Published, s.Phase)
	require.Equal(t, &other, s.Result)
	require.Equal(t, 1, s.Revision)
	require.Equal(t, "wrong handicap", s.Reason)
}
