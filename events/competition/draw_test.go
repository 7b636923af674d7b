package competition_test

import (
	"testing"

	"github.com/stretchr/testify/require"

	"marram.example/events"
	"marram.example/events/competition"
)

func publish(gs []events.Group) competition.PublishDraw {
	return competition.PublishDraw{Method: "by_hand", Groups: gs}
}

// sheetWith is the sheet of ann, ben and cat after a change.
func sheetWith(change func(*events.Group)) competition.PublishDraw {
	gs := groups("ann", "ben", "cat")
	change(&gs[0])
	return publish(gs)
}

func TestPublishDraw(t *testing.T) {
	t.Parallel()
	late := given(open, accepted("dan", true))
	again := func(c competition.PublishDraw, reason string) competition.PublishDraw {
		c.Reason = reason
		return c
	}
	sheet := func(reason string, gs []events.Group) []events.Event {
		return given(events.DrawPublished{Round: 1, Method: "by_hand", Groups: gs, Reason: reason})
	}
	random := publish(groups("ann", "ben", "cat"))
	random.Method, random.Seed = "random", 1<<63
	locked := again(publish(groups("ann", "ben", "cat")), "new times")
	locked.Method, locked.Locked = "random", []string{"dan"}
	shotgun := groups("ann", "ben", "cat")
	shotgun = append(shotgun, events.Group{Number: 2, Time: "07:30", StartingHole: 1, Letter: "B", Places: []events.GroupSlot{{EntryID: "dan"}}})
	shotgun[0].Letter = "A"
	alone := groups("ann", "ben", "cat", "dan")
	kept := groups("ann", "ben", "cat")
	kept[0].Places[1].MarkerID = ""
	decider.Check(t, []rule{
		{Rule: "a start sheet is put up", Source: starting, Given: entered, When: publish(groups("ann", "ben", "cat")), Then: sheet("", groups("ann", "ben", "cat"))},
		{Rule: "a random draw states its seed, so that anybody can repeat it", Source: marram, Given: entered, When: random,
			Then: given(events.DrawPublished{Round: 1, Method: "random", Seed: 1 << 63, Groups: groups("ann", "ben", "cat")})},
		{Rule: "who goes out alone has the committee for a marker", Source: markers, Given: given(entered, accepted("dan", false)), When: publish(alone), Then: sheet("", alone)},
		{Rule: "the committee may keep the card of one in a group", Source: markers, Given: entered, When: publish(kept), Then: sheet("", kept)},
		{Rule: "two groups start on one hole of a shotgun under two letters", Source: unsourced, Given: given(entered, accepted("dan", false)), When: publish(shotgun), Then: sheet("", shotgun)},
		{Rule: "the same sheet again changes nothing", Source: "promise 2", Given: onSheet, When: publish(groups("ann", "ben", "cat"))},
		{Rule: "a sheet is replaced with a reason", Source: marram, Given: onSheet, When: again(publish(groups("cat", "ben", "ann")), "car trouble"), Then: sheet("car trouble", groups("cat", "ben", "ann"))},
		{Rule: "a sheet is not replaced without one", Source: marram, Given: onSheet, When: publish(groups("cat", "ben", "ann")), Refused: invalid("required", "reason")},
		{Rule: "a late entry gets a place after cards are out", Source: starting, Given: late, When: again(publish(alone), "late entry"), Then: sheet("late entry", alone)},
		{Rule: "a sheet may change while play is stopped", Source: suspended, Given: stopped, When: again(publish(groups("cat", "ben", "ann")), "new times"), Then: sheet("new times", groups("cat", "ben", "ann"))},
		{Rule: "who has a score stays on the sheet", Source: marram, Given: open, When: again(competition.PublishDraw{Method: "random", Groups: groups("cat", "ben", "ann"), Locked: locked.Locked}, "x"),
			Refused: notNow("has_scores", "groups")},
		{Rule: "after the close there is no draw", Source: marram, Given: closed, When: publish(groups("ann", "ben", "cat")), Refused: notNow("round_closed", "groups")},
		{Rule: "a player who was left out gets a place, and with it a card, after the close", Source: adminFix, Given: given(closed, accepted("dan", true)),
			When: again(publish(alone), "dan's card was in the box"), Then: sheet("dan's card was in the box", alone)},
		{Rule: "and after the result", Source: adminFix, Given: given(published, accepted("dan", true)),
			When: again(publish(alone), "dan's card was in the box"), Then: sheet("dan's card was in the box", alone)},
		{Rule: "once, then the sheet is closed again", Source: marram, Given: given(closed, accepted("dan", true), drawn("ann", "ben", "cat", "dan")),
			When: again(publish(groups("dan", "ann", "ben", "cat")), "x"), Refused: notNow("round_closed", "groups")},
		{Rule: "after the result there is no draw", Source: marram, Given: published, When: publish(groups("ann", "ben", "cat")), Refused: notNow("round_closed", "groups")},
		{Rule: "terms come before the draw", Source: stated, Given: planned, When: publish(groups("ann")), Refused: notNow("no_terms", "terms")},
	})
}

func TestStartSheetsThatDoNotFit(t *testing.T) {
	t.Parallel()
	var cases []rule
	for _, c := range []struct {
		rule, source, code, field string
		when                      competition.PublishDraw
	}{
		{"the method is one that is known here", "Committee Procedures 5F", "unknown", "method", competition.PublishDraw{Method: "by stars", Groups: groups("ann", "ben", "cat")}},
		{"a sheet has groups", starting, "required", "groups", publish(nil)},
		{"everybody in the field is on it", starting, "entry_left_out", "groups", publish(groups("ann", "ben"))},
		{"nobody is on it twice", starting, "duplicate", "groups[1].places[0].entry_id", publish(groups("ann", "ben", "cat", "ann"))},
		{"nobody is on it who has not entered", starting, "unknown", "groups[1].places[0].entry_id", publish(groups("ann", "ben", "cat", "zoe"))},
		{"groups are numbered from 1", marram, "out_of_order", "groups[0].number", sheetWith(func(g *events.Group) { g.Number = 2 })},
		{"a time is a time", starting, "malformed", "groups[0].time", sheetWith(func(g *events.Group) { g.Time = "25:00" })},
		{"a group starts on a hole that is in play", "Rules of Golf 5.1", "not_in_play", "groups[0].starting_hole", sheetWith(func(g *events.Group) { g.StartingHole = 19 })},
		{"a group's letter is a letter", unsourced, "malformed", "groups[0].letter", sheetWith(func(g *events.Group) { g.Letter = "ab" })},
		{"a group is not empty", starting, "group_size", "groups[0].places", sheetWith(func(g *events.Group) { g.Places = nil })},
		{"five are no group", starting, "group_size", "groups[0].places", sheetWith(func(g *events.Group) { g.Places = append(g.Places, g.Places[0], g.Places[1]) })},
		{"nobody marks their own card", markers, "not_in_group", "groups[0].places[0].marker_id", sheetWith(func(g *events.Group) { g.Places[0].MarkerID = "ann" })},
		{"a marker plays in the group", markers, "not_in_group", "groups[0].places[0].marker_id", sheetWith(func(g *events.Group) { g.Places[0].MarkerID = "zoe" })},
	} {
		cases = append(cases, rule{Rule: c.rule, Source: c.source, Given: entered, When: c.when, Refused: invalid(c.code, c.field)})
	}
	crowd := groups("ann", "ben", "cat", "dan")
	crowd[1].Time = crowd[0].Time
	cases = append(cases, rule{Rule: "two groups do not start at once from one hole", Source: starting, Given: given(entered, accepted("dan", false)),
		When: publish(crowd), Refused: invalid("duplicate", "groups[1].time")},
		rule{Rule: "who withdrew is not on it", Source: starting, Given: given(entered, events.EntryWithdrawn{EntryID: "cat"}),
			When: publish(groups("ann", "ben", "cat")), Refused: invalid("unknown", "groups[0].places[2].entry_id")})
	decider.Check(t, cases)
}

func TestASheetCountsItsRevisionsAndFindsPlaces(t *testing.T) {
	t.Parallel()
	_, _, ok := decider.Fold(entered...).Group("ann")
	require.False(t, ok, "before the draw")
	s := decider.Fold(given(onSheet, events.DrawPublished{Round: 1, Method: "random", Seed: 7, Groups: groups("cat", "ann", "ben"), Reason: "again"})...)
	require.Equal(t, 1, s.Draw.Revision)
	g, slot, ok := s.Group("ann")
	require.True(t, ok)
	require.Equal(t, 1, g.Number)
	require.Equal(t, "ben", slot.MarkerID)
	_, _, ok = s.Group("zoe")
	require.False(t, ok)
}
