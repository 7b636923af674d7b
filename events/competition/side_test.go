package competition_test

import (
	"testing"

	"github.com/stretchr/testify/require"

	"marram.example/events"
	"marram.example/events/competition"
)

func partner(id string) events.Partner {
	return events.Partner{PlayerID: "player-" + id, Tee: "Red", IndexTenths: 181, IndexOrigin: events.OriginClub}
}

func acceptPair(a, b string) competition.AcceptEntry {
	c := accept(a)
	c.Partners = []events.Partner{partner(b)}
	return c
}

func pair(a, b string) events.EntryAccepted {
	e := accepted(a, false)
	e.Partners = []events.Partner{partner(b)}
	return e
}

// The pairs' competition: ann with ben, cat with dan.
var (
	pairsStated  = given(planned, events.TermsSet{Terms: with(pairs)})
	pairsEntered = given(pairsStated, pair("ann", "ben"), pair("cat", "dan"))
)

func TestEntriesOfSides(t *testing.T) {
	t.Parallel()
	change := func(change func(*competition.AcceptEntry)) competition.AcceptEntry {
		c := acceptPair("ann", "ben")
		change(&c)
		return c
	}
	named := pair("ann", "ben")
	named.TeamName = "The Larks"
	amend := competition.AmendEntry{EntryID: "ann", Tee: "White", IndexTenths: 120, IndexOrigin: events.OriginOfficial, Side: events.Side{Partners: []events.Partner{partner("eve")}}}
	amended := events.EntryAmended{EntryID: "ann", Tee: "White", IndexTenths: 120, IndexOrigin: events.OriginOfficial, Side: amend.Side}
	taken := amend
	taken.Side = events.Side{Partners: []events.Partner{partner("cat")}}
	decider.Check(t, []rule{
		{Rule: "a pair enters as one", Source: "Rules of Golf 23.1", Given: pairsStated, When: acceptPair("ann", "ben"), Then: given(pair("ann", "ben"))},
		{Rule: "a side may have a name", Source: marram, Given: pairsStated, When: change(func(c *competition.AcceptEntry) { c.TeamName = " The Larks " }), Then: given(named)},
		{Rule: "the same again changes nothing", Source: "promise 2", Given: pairsEntered, When: acceptPair("ann", "ben")},
		{Rule: "a four-ball has two players", Source: "Rules of Golf 23.1", Given: pairsStated, When: accept("ann"), Refused: invalid("side_size", "partners")},
		{Rule: "a single player has no partner", Source: marram, Given: stating, When: acceptPair("ann", "ben"), Refused: invalid("side_size", "partners")},
		{Rule: "nobody is their own partner", Source: marram, Given: pairsStated, When: acceptPair("ann", "ann"), Refused: invalid("duplicate", "partners[0].player_id")},
		{Rule: "a partner plays for one side", Source: marram, Given: pairsEntered, When: acceptPair("eve", "ben"), Refused: conflict("already_entered", "partners[0].player_id")},
		{Rule: "a partner enters no second side", Source: marram, Given: pairsEntered, When: acceptPair("ben", "eve"), Refused: conflict("already_entered", "player_id")},
		{Rule: "a partner plays a tee of the terms", Source: marram, Given: pairsStated, When: change(func(c *competition.AcceptEntry) { c.Partners[0].Tee = "Purple" }), Refused: invalid("unknown", "partners[0].tee")},
		{Rule: "a partner has a possible index", Source: marram, Given: pairsStated, When: change(func(c *competition.AcceptEntry) { c.Partners[0].IndexTenths = 541 }), Refused: invalid("out_of_range", "partners[0].index_tenths")},
		{Rule: "a partner may be replaced", Source: marram, Given: pairsEntered, When: amend, Then: given(amended)},
		{Rule: "not by somebody who plays already", Source: marram, Given: pairsEntered, When: taken, Refused: conflict("already_entered", "partners[0].player_id")},
		{Rule: "the size of a side stays while one is in", Source: marram, Given: pairsEntered, When: set(medalTerms()), Refused: conflict("side_in_use", "side_size")},
	})
}

func TestGroupsCountPlayers(t *testing.T) {
	t.Parallel()
	two := competition.PublishDraw{Method: "by_hand", Groups: groups("ann", "cat")}
	three := competition.PublishDraw{Method: "by_hand", Groups: groups("ann", "cat", "eve")}
	decider.Check(t, []rule{
		{Rule: "two pairs are a group", Source: starting, Given: pairsEntered, When: two, Then: given(drawn("ann", "cat"))},
		{Rule: "three pairs are too many", Source: starting, Given: given(pairsEntered, pair("eve", "fay")), When: three, Refused: invalid("group_size", "groups[0].places")},
	})
}

func TestIndexOfASide(t *testing.T) {
	t.Parallel()
	for _, c := range []struct {
		first    int
		partners []int
		want     int
	}{{120, nil, 120}, {120, []int{181}, 151}, {-14, []int{-15}, -14}, {-3, []int{-4}, -3}, {100, []int{101, 101}, 101}, {0, []int{1, 0, 0}, 0}} {
		e := competition.Entry{IndexTenths: c.first}
		for _, p := range c.partners {
			e.Partners = append(e.Partners, events.Partner{IndexTenths: p})
		}
		require.Equal(t, c.want, e.Index(), "%v", c)
	}
}
