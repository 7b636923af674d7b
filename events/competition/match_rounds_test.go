package competition_test

import (
	"testing"

	"github.com/stretchr/testify/require"

	"marram.example/events"
	"marram.example/events/competition"
)

// games are groups of matches: a pair each, or one entry with a bye.
func games(pairs ...[]string) []events.Group {
	var out []events.Group
	for i, ids := range pairs {
		g := events.Group{Number: i + 1, Time: "07:30", StartingHole: 1 + i}
		for _, id := range ids {
			g.Places = append(g.Places, events.GroupSlot{EntryID: id})
		}
		out = append(out, g)
	}
	return out
}

func gameSheet(round int, pairs ...[]string) events.DrawPublished {
	return events.DrawPublished{Round: round, Method: "seeded", Groups: games(pairs...)}
}

func won(number int, winner, loser string) events.MatchStanding {
	return events.MatchStanding{MatchID: winner + "-" + loser, Number: number, EntryIDs: []string{winner, loser}, Winner: winner, Text: "3 and 2", By: 3, Sequence: 20}
}

func halved(number int, a, b string) events.MatchStanding {
	return events.MatchStanding{MatchID: a + "-" + b, Number: number, EntryIDs: []string{a, b}, Text: "tied", Sequence: 20}
}

// Six in a knockout: ann and ben have byes.
var (
	six       = given(planned, events.TermsSet{Terms: with(knockout)}, field("ann", "ben", "cat", "dan", "eve", "fay"))
	sixDrawn  = given(six, gameSheet(1, []string{"ann"}, []string{"dan", "eve"}, []string{"ben"}, []string{"cat", "fay"}))
	sixOpen   = given(sixDrawn, events.RoundOpened{Round: 1})
	quarters  = []events.MatchStanding{won(2, "eve", "dan"), won(4, "cat", "fay")}
	sixFour   = given(sixOpen, events.RoundClosed{Round: 1, Matches: quarters})
	four      = given(planned, events.TermsSet{Terms: with(both(knockout, func(t *events.Terms) { t.Match.Bracket, t.Match.ExtraHoles = competition.RoundRobin, false }))}, field("ann", "ben", "cat", "dan"))
	fourFirst = given(four, gameSheet(1, []string{"ann", "dan"}, []string{"ben", "cat"}), events.RoundOpened{Round: 1})
	fourNext  = given(fourFirst, events.RoundClosed{Round: 1, Matches: []events.MatchStanding{won(1, "ann", "dan"), halved(2, "ben", "cat")}})
)

// Three in a round robin: one sits out each round.
var threeFirst = given(planned, events.TermsSet{Terms: with(both(knockout, func(t *events.Terms) { t.Match.Bracket = competition.RoundRobin }))}, field("ann", "ben", "cat"),
	gameSheet(1, []string{"ann", "ben"}), events.RoundOpened{Round: 1}, events.RoundClosed{Round: 1, Matches: []events.MatchStanding{won(1, "ann", "ben")}})

// And all of it played.
var three = given(threeFirst,
	gameSheet(2, []string{"cat", "ann"}), events.RoundOpened{Round: 2}, events.RoundClosed{Round: 2, Matches: []events.MatchStanding{won(1, "cat", "ann")}},
	gameSheet(3, []string{"ben", "cat"}), events.RoundOpened{Round: 3}, events.RoundClosed{Round: 3, Matches: []events.MatchStanding{won(1, "cat", "ben")}})

func TestRoundsOfMatches(t *testing.T) {
	t.Parallel()
	draw := func(pairs ...[]string) competition.PublishDraw {
		return competition.PublishDraw{Method: "seeded", Groups: games(pairs...)}
	}
	danWon := []events.MatchStanding{won(2, "dan", "eve"), quarters[1]}
	decider.Check(t, []rule{
		{Rule: "six are drawn with two byes", Source: "Committee Procedures 5F", Given: six, When: draw([]string{"ann"}, []string{"dan", "eve"}, []string{"ben"}, []string{"cat", "fay"}),
			Then: given(gameSheet(1, []string{"ann"}, []string{"dan", "eve"}, []string{"ben"}, []string{"cat", "fay"}))},
		{Rule: "byes are as many as a bracket needs", Source: "Committee Procedures 5F", Given: six, When: draw([]string{"ann", "ben"}, []string{"dan", "eve"}, []string{"cat", "fay"}), Refused: invalid("matches", "groups")},
		{Rule: "everybody is in the bracket", Source: "Committee Procedures 5F", Given: six, When: draw([]string{"ann"}, []string{"dan", "eve"}, []string{"ben"}, []string{"cat"}), Refused: invalid("entry_left_out", "groups")},
		{Rule: "a match is between two", Source: "Rules of Golf 3.2", Given: sixFour, When: draw([]string{"ann", "eve", "cat"}, []string{"ben"}), Refused: invalid("not_a_match", "groups[0].places")},
		{Rule: "the winners meet", Source: "Committee Procedures 5F", Given: sixFour, When: draw([]string{"ann", "eve"}, []string{"ben", "cat"}), Then: given(gameSheet(2, []string{"ann", "eve"}, []string{"ben", "cat"}))},
		{Rule: "who is ruled to have won after all plays on", Source: adminFix, Given: sixFour,
			When: competition.PublishDraw{Method: "seeded", Groups: games([]string{"ann", "dan"}, []string{"ben", "cat"}), Matches: danWon},
			Then: given(events.RoundClosed{Round: 1, Matches: danWon}, gameSheet(2, []string{"ann", "dan"}, []string{"ben", "cat"}))},
		{Rule: "who lost does not play on", Source: "Committee Procedures 5F", Given: sixFour, When: draw([]string{"ann", "dan"}, []string{"ben", "cat"}), Refused: invalid("unknown", "groups[0].places[1].entry_id")},
		{Rule: "a round of matches opens", Source: marram, Given: sixDrawn, When: competition.OpenRound{}, Then: given(events.RoundOpened{Round: 1})},
		{Rule: "matches that are arranged are not drawn again", Source: marram, Given: sixOpen, When: competition.PublishDraw{Method: "by_hand", Reason: "x", Groups: games([]string{"ben"}, []string{"dan", "eve"}, []string{"ann"}, []string{"cat", "fay"})},
			Refused: notNow("matches_arranged", "groups")},
		{Rule: "every match has to be decided", Source: marram, Given: sixOpen, When: competition.CloseRound{Matches: quarters[:1]}, Refused: notNow("matches_out", "matches")},
		{Rule: "a knockout has winners", Source: "Rules of Golf 3.2a(4)", Given: sixOpen, When: competition.CloseRound{Matches: []events.MatchStanding{quarters[0], halved(4, "cat", "fay")}}, Refused: notNow("no_winner", "matches[1].winner")},
		{Rule: "a round closes with its matches", Source: marram, Given: sixOpen, When: competition.CloseRound{Matches: quarters}, Then: given(events.RoundClosed{Round: 1, Matches: quarters})},
		{Rule: "in a round robin everybody plays on", Source: marram, Given: fourNext, When: draw([]string{"ann", "cat"}, []string{"dan", "ben"}), Then: given(gameSheet(2, []string{"ann", "cat"}, []string{"dan", "ben"}))},
		{Rule: "nobody meets twice in a round robin", Source: marram, Given: fourNext, When: draw([]string{"dan", "ann"}, []string{"cat", "ben"}), Refused: invalid("met_before", "groups[0].places")},
		{Rule: "a round robin has all its matches", Source: marram, Given: fourNext, When: draw([]string{"ann", "cat"}), Refused: invalid("matches", "groups")},
		{Rule: "a tie stands in a round robin", Source: "Rules of Golf 3.2a(4)", Given: fourFirst, When: competition.CloseRound{Matches: []events.MatchStanding{won(1, "ann", "dan"), halved(2, "ben", "cat")}},
			Then: given(events.RoundClosed{Round: 1, Matches: []events.MatchStanding{won(1, "ann", "dan"), halved(2, "ben", "cat")}})},
		{Rule: "nobody enters once matches are arranged", Source: marram, Given: sixOpen, When: accept("gus"), Refused: notNow("matches_arranged", "player_id")},
		{Rule: "who sits the last round out is no reason to draw it again", Source: marram, Given: three,
			When: competition.PublishDraw{Method: "by_hand", Reason: "x", Groups: games([]string{"cat", "ben"})}, Refused: notNow("round_closed", "groups")},
		{Rule: "who sits a round out stays in the schedule", Source: marram, Given: threeFirst, When: competition.WithdrawEntry{EntryID: "cat"}, Refused: notNow("matches_arranged", "entry_id")},
		{Rule: "one entry is no match", Source: marram, Given: given(planned, events.TermsSet{Terms: with(knockout)}, field("ann")), When: draw([]string{"ann"}), Refused: notNow("no_opponent", "groups")},
		{Rule: "no hole of a match is excluded", Source: "Rules of Golf 3.2", Given: sixOpen, When: competition.ExcludeHole{Round: 1, Hole: 3, Reason: "flooded"}, Refused: notNow("not_applicable", "hole")},
	})
	s := decider.Fold(sixFour...)
	require.Equal(t, competition.Between, s.Phase)
	require.Equal(t, 3, s.LastRound())
	require.Equal(t, 3, decider.Fold(fourNext...).LastRound())
	s = decider.Fold(given(sixFour,
		gameSheet(2, []string{"ann", "eve"}, []string{"ben", "cat"}), events.RoundOpened{Round: 2},
		events.RoundClosed{Round: 2, Matches: []events.MatchStanding{won(1, "ann", "eve"), won(2, "cat", "ben")}},
		gameSheet(3, []string{"ann", "cat"}), events.RoundOpened{Round: 3}, events.RoundClosed{Round: 3, Matches: []events.MatchStanding{won(1, "cat", "ann")}})...)
	require.Equal(t, competition.Closed, s.Phase)
	require.Len(t, s.PlayedMatches(), 5)
}
