package match_test

import (
	"testing"

	"github.com/stretchr/testify/require"

	"marram.example/events"
	"marram.example/events/match"
)

func agrees(w events.MatchWriter, winner, text string) match.AgreeResult {
	return match.AgreeResult{Winner: winner, Text: text, MatchWriter: w}
}

func agreed(w events.MatchWriter, winner, text string) events.MatchResultAgreed {
	return events.MatchResultAgreed{Winner: winner, Text: text, MatchWriter: w}
}

func result(w events.MatchWriter, winner, text string, up, played int, progress ...int) events.MatchDecided {
	return events.MatchDecided{Winner: winner, Text: text, Up: up, Played: played, Grounds: "holes", Progress: progress, MatchWriter: w}
}

func told(w events.MatchWriter, winner, text string, up, played int) events.MatchDecided {
	return events.MatchDecided{Winner: winner, Text: text, Up: up, Played: played, Grounds: "stated", MatchWriter: w}
}

// won5and4 is a match that A won after five of nine holes, with the result on record.
var (
	fiveHoles = given(singles(), holes(forA, "AAAAA"))
	won5and4  = given(fiveHoles, agreed(forA, "A", "5 and 4"), agreed(forB, "A", "5 and 4"), result(forB, "A", "5 and 4", 5, 5, 1, 2, 3, 4, 5))
)

func TestTheResult(t *testing.T) {
	t.Parallel()
	record := func(winner, text string) match.RecordResult {
		return match.RecordResult{Winner: winner, Text: text, MatchWriter: office}
	}
	differ := given(fiveHoles, says(forB, 5, won("tied")))
	aAgrees := given(fiveHoles, agreed(forA, "A", "5 and 4"))
	threeUp := given(singles(), holes(forB, "AAA"))
	decider.Check(t, []rule{
		{Rule: "a side stands for the result", Source: recording, Given: fiveHoles, When: agrees(forA, "A", "5 and 4"), Then: given(agreed(forA, "A", "5 and 4"))},
		{Rule: "the winner is enough", Source: recording, Given: fiveHoles, When: agrees(forA, "A", ""), Then: given(agreed(forA, "A", "5 and 4"))},
		{Rule: "both sides decide the match", Source: recording, Given: aAgrees, When: agrees(forB, "A", "5 and 4"), Then: given(agreed(forB, "A", "5 and 4"), result(forB, "A", "5 and 4", 5, 5, 1, 2, 3, 4, 5))},
		{Rule: "one side alone does not", Source: recording, Given: aAgrees, When: agrees(forA, "A", "5 and 4")},
		{Rule: "a hole that changes voids what was agreed", Source: marram, Given: given(aAgrees, changes(forA, 5, won("A"), won("B")), changes(forA, 5, won("B"), won("A"))), When: agrees(forB, "A", ""),
			Then: given(agreed(forB, "A", "5 and 4"))},
		{Rule: "a side says what it stands for", Source: marram, Given: fiveHoles, When: agrees(forA, "", "5 and 4"), Refused: invalid("required", "winner")},
		{Rule: "nobody stands for another result than the holes'", Source: marram, Given: fiveHoles, When: agrees(forA, "B", ""), Refused: refused(events.KindConflict, "other_result", "winner")},
		{Rule: "not for another text either", Source: marram, Given: fiveHoles, When: agrees(forA, "A", "6 and 3"), Refused: refused(events.KindConflict, "other_result", "text")},
		{Rule: "a difference is settled first", Source: marram, Given: differ, When: agrees(forA, "A", ""), Refused: notNow("hole_differs", "holes[4]")},
		{Rule: "a match that is not over has no result", Source: matchRule, Given: threeUp, When: agrees(forA, "A", ""), Refused: notNow("not_over", "match_id")},
		{Rule: "the committee agrees to nothing, it records", Source: recording, Given: fiveHoles, When: agrees(office, "A", ""), Refused: refused(events.KindForbidden, "role", "")},
		{Rule: "agreed again changes nothing", Source: "promise 2", Given: won5and4, When: agrees(forA, "A", "5 and 4")},
		{Rule: "another result is too late", Source: recording, Given: won5and4, When: agrees(forA, "B", "5 and 4"), Refused: notNow("match_decided", "match_id")},
		{Rule: "the committee records what the holes say", Source: recording, Given: fiveHoles, When: record("", ""), Then: given(result(office, "A", "5 and 4", 5, 5, 1, 2, 3, 4, 5))},
		{Rule: "it settles differences first", Source: marram, Given: differ, When: record("A", ""), Refused: notNow("hole_differs", "holes[4]")},
		{Rule: "recorded again changes nothing", Source: "promise 2", Given: won5and4, When: record("A", "5 and 4")},
		{Rule: "players record nothing", Source: recording, Given: fiveHoles, When: match.RecordResult{MatchWriter: forA}, Refused: refused(events.KindForbidden, "committee_only", "")},
		{Rule: "a result on record closes the holes", Source: recording, Given: won5and4, When: tells(forA, 5, "B"), Refused: notNow("match_decided", "match_id")},
		{Rule: "for the committee too, until it reopens the match", Source: recording, Given: won5and4, When: because(tells(office, 5, "B"), "a slip"), Refused: notNow("match_decided", "match_id")},
		{Rule: "a tie stands without extra holes", Source: extra, Given: given(singles(), holes(forA, "AB-AB-AB-")), When: record("", ""), Then: given(result(office, "tied", "tied", 0, 9, 1, 0, 0, 1, 0, 0, 1, 0, 0))},
		{Rule: "with them it is no result", Source: extra, Given: given(extended, holes(forA, "AB-AB-AB-")), When: record("tied", "tied"), Refused: invalid("no_result", "text")},
		{Rule: "an extra hole decides", Source: extra, Given: given(extended, holes(forA, "AB-AB-AB-B")), When: record("", ""), Then: given(result(office, "B", "at the 10th", 1, 10, 1, 0, 0, 1, 0, 0, 1, 0, 0, -1))},
	})
}

func TestResultsThatAreTold(t *testing.T) {
	t.Parallel()
	threeUp := given(singles(), holes(forB, "AAA"))
	decider.Check(t, []rule{
		{Rule: "a result is told without its holes", Source: recording, Given: given(singles()), When: agrees(forB, "A", "3 and 2"), Then: given(agreed(forB, "A", "3 and 2"))},
		{Rule: "both sides tell the same and the match is decided", Source: recording, Given: given(singles(), agreed(forB, "A", "3 and 2")), When: agrees(forA, "A", "3 and 2"),
			Then: given(agreed(forA, "A", "3 and 2"), told(forA, "A", "3 and 2", 3, 7))},
		{Rule: "they tell different ones and it is not", Source: "promise 3", Given: given(singles(), agreed(forB, "A", "3 and 2")), When: agrees(forA, "A", "2 up"), Then: given(agreed(forA, "A", "2 up"))},
		{Rule: "then the committee says", Source: recording, Given: given(singles(), agreed(forB, "A", "3 and 2"), agreed(forA, "A", "2 up")), When: match.RecordResult{Winner: "A", Text: "2 up", MatchWriter: office},
			Then: given(told(office, "A", "2 up", 2, 9))},
		{Rule: "a text is a result of such a match", Source: matchRule, Given: given(singles()), When: agrees(forB, "A", "5 and 2"), Refused: invalid("no_result", "text")},
		{Rule: "and fits its winner", Source: matchRule, Given: given(singles()), When: agrees(forB, "tied", "3 and 2"), Refused: invalid("does_not_fit", "winner")},
		{Rule: "a tie has none", Source: extra, Given: given(singles()), When: agrees(forB, "B", "tied"), Refused: invalid("does_not_fit", "winner")},
		{Rule: "it can be reached from the holes entered", Source: matchRule, Given: threeUp, When: agrees(forB, "B", "3 and 2"), Refused: invalid("not_from_here", "text")},
		{Rule: "1 up is just in reach", Source: matchRule, Given: threeUp, When: agrees(forB, "B", "1 up"), Then: given(agreed(forB, "B", "1 up"))},
		{Rule: "what is told has no lead after every hole", Source: marram, Given: threeUp, When: match.RecordResult{Winner: "B", Text: "1 up", MatchWriter: office}, Then: given(told(office, "B", "1 up", 1, 9))},
		{Rule: "an extra hole takes extra holes", Source: extra, Given: given(singles()), When: agrees(forB, "B", "at the 11th"), Refused: invalid("no_result", "text")},
		{Rule: "where there are some it may be told", Source: extra, Given: given(extended), When: match.RecordResult{Winner: "B", Text: "at the 11th", MatchWriter: office}, Then: given(told(office, "B", "at the 11th", 1, 11))},
	})
	s := decider.Fold(given(singles(), agreed(forB, "A", "3 and 2"), agreed(forA, "A", "2 up"))...)
	require.True(t, s.ResultDiffers())
	match.Evolve(s, agreed(forA, "A", "3 and 2"))
	require.False(t, s.ResultDiffers())
}

func TestConcedingTheMatch(t *testing.T) {
	t.Parallel()
	gives := func(w events.MatchWriter, side string) match.ConcedeMatch {
		return match.ConcedeMatch{Side: side, MatchWriter: w, Reason: "a bad back"}
	}
	gave := func(w events.MatchWriter, side string, up, played int, progress ...int) []events.Event {
		return given(events.MatchConceded{Side: side, MatchWriter: w, Reason: "a bad back"},
			events.MatchDecided{Winner: match.Other(side), Text: "conceded", Up: up, Played: played, Grounds: "conceded", Progress: progress, MatchWriter: w})
	}
	conceded := given(singles(), gave(forB, "B", 1, 0))
	decider.Check(t, []rule{
		{Rule: "a side gives the match", Source: concession, Given: given(singles(), holes(forA, "AA-")), When: gives(forB, "B"), Then: gave(forB, "B", 2, 3, 1, 2, 2)},
		{Rule: "who leads may too, and loses by one", Source: concession, Given: given(singles(), holes(forA, "AA-")), When: gives(forA, "A"), Then: gave(forA, "A", 1, 3, 1, 2, 2)},
		{Rule: "before the first hole", Source: concession, Given: given(singles()), When: gives(forB, "B"), Then: gave(forB, "B", 1, 0)},
		{Rule: "nobody gives it for the others", Source: concession, Given: given(singles()), When: gives(forA, "B"), Refused: refused(events.KindForbidden, "other_side", "side")},
		{Rule: "the committee writes it down", Source: concession, Given: given(singles()), When: gives(office, "B"), Then: gave(office, "B", 1, 0)},
		{Rule: "given twice is given once", Source: "promise 2", Given: conceded, When: gives(forB, "B")},
		{Rule: "it cannot be withdrawn", Source: concession, Given: conceded, When: tells(forB, 1, "B"), Refused: notNow("match_decided", "match_id")},
		{Rule: "nor answered in kind", Source: concession, Given: conceded, When: gives(forA, "A"), Refused: notNow("match_decided", "match_id")},
		{Rule: "a match that is over is not given", Source: "Rules of Golf 3.2b(1)", Given: fiveHoles, When: gives(forB, "B"), Refused: notNow("match_over", "match_id")},
		{Rule: "one of which the sides differ is", Source: marram, Given: given(fiveHoles, says(forB, 5, won("B"))), When: gives(forB, "B"), Then: gave(forB, "B", 5, 5, 1, 2, 3, 4, 5)},
		{Rule: "the committee takes a wrong entry back", Source: marram, Given: conceded, When: match.Reopen{MatchWriter: office, Reason: "pressed by mistake"}, Then: given(events.MatchReopened{Reason: "pressed by mistake"})},
	})
}

func TestTheCommitteeRules(t *testing.T) {
	t.Parallel()
	rules := func(ruling, winner string, up int, reason string) match.Rule {
		return match.Rule{Ruling: ruling, Winner: winner, Up: up, MatchWriter: office, Reason: reason}
	}
	ruled := func(ruling, winner string, up int) events.MatchRuled {
		return events.MatchRuled{Ruling: ruling, Winner: winner, Up: up, Reason: "why"}
	}
	out := given(singles(), ruled("default", "A", 1))
	decider.Check(t, []rule{
		{Rule: "a side is disqualified whatever the holes say", Source: matchRule, Given: won5and4, When: rules("disqualified", "B", 1, "why"), Then: given(ruled("disqualified", "B", 1))},
		{Rule: "both sides may be", Source: matchRule, Given: fiveHoles, When: rules("disqualified", "none", 0, "why"), Then: given(ruled("disqualified", "none", 0))},
		{Rule: "who does not come loses", Source: "Rules of Golf 5.3a", Given: given(singles()), When: rules("default", "A", 1, "why"), Then: given(ruled("default", "A", 1))},
		{Rule: "a match that was not played is credited as the terms say", Source: "common practice, no source", Given: given(singles()), When: rules("not_played", "tied", 0, "why"), Then: given(ruled("not_played", "tied", 0))},
		{Rule: "one with a hole was played", Source: marram, Given: fiveHoles, When: rules("not_played", "A", 1, "why"), Refused: notNow("has_holes", "ruling")},
		{Rule: "and somebody came", Source: marram, Given: fiveHoles, When: rules("default", "A", 1, "why"), Refused: notNow("has_holes", "ruling")},
		{Rule: "a match is awarded to a side", Source: matchRule, Given: fiveHoles, When: rules("awarded", "B", 2, "why"), Then: given(ruled("awarded", "B", 2))},
		{Rule: "not to nobody", Source: matchRule, Given: fiveHoles, When: rules("awarded", "tied", 0, "why"), Refused: invalid("does_not_fit", "winner")},
		{Rule: "5 and 4 is the most of nine holes", Source: matchRule, Given: fiveHoles, When: rules("awarded", "B", 6, "why"), Refused: invalid("out_of_range", "up")},
		{Rule: "a tie credits no holes", Source: matchRule, Given: given(singles()), When: rules("not_played", "tied", 1, "why"), Refused: invalid("out_of_range", "up")},
		{Rule: "a ruling is a known word", Source: marram, Given: fiveHoles, When: rules("bad luck", "B", 1, "why"), Refused: invalid("unknown", "ruling")},
		{Rule: "and has a reason", Source: marram, Given: fiveHoles, When: rules("awarded", "B", 1, ""), Refused: invalid("required", "reason")},
		{Rule: "ruled again changes nothing", Source: "promise 2", Given: out, When: rules("default", "A", 1, "why")},
		{Rule: "ruled otherwise replaces it", Source: marram, Given: out, When: rules("default", "B", 1, "why"), Then: given(ruled("default", "B", 1))},
		{Rule: "a ruling is lifted", Source: marram, Given: out, When: rules("lifted", "", 0, "why"), Then: given(ruled("lifted", "", 0))},
		{Rule: "none is not", Source: "promise 2", Given: fiveHoles, When: rules("lifted", "", 0, "why")},
		{Rule: "a ruled match is closed", Source: marram, Given: out, When: tells(forA, 1, "A"), Refused: notNow("match_ruled", "match_id")},
		{Rule: "nobody agrees on it", Source: marram, Given: out, When: agrees(forA, "A", "3 and 2"), Refused: notNow("match_ruled", "match_id")},
		{Rule: "nor concedes it", Source: marram, Given: out, When: match.ConcedeMatch{Side: "A", MatchWriter: forA}, Refused: notNow("match_ruled", "match_id")},
		{Rule: "players do not rule", Source: marram, Given: fiveHoles, When: match.Rule{Ruling: "awarded", Winner: "A", MatchWriter: forA, Reason: "why"}, Refused: refused(events.KindForbidden, "committee_only", "")},
		{Rule: "a result is taken back", Source: "Rules of Golf 20.2d(2)", Given: won5and4, When: match.Reopen{MatchWriter: office, Reason: "why"}, Then: given(events.MatchReopened{Reason: "why"})},
		{Rule: "with a reason", Source: marram, Given: won5and4, When: match.Reopen{MatchWriter: office}, Refused: invalid("required", "reason")},
		{Rule: "by the committee", Source: concession, Given: won5and4, When: match.Reopen{MatchWriter: forA, Reason: "why"}, Refused: refused(events.KindForbidden, "committee_only", "")},
		{Rule: "a match in play is not reopened", Source: marram, Given: fiveHoles, When: match.Reopen{MatchWriter: office, Reason: "why"}, Refused: notNow("in_play", "match_id")},
	})
}

func TestALiftedRulingGivesBackWhatStood(t *testing.T) {
	t.Parallel()
	s := decider.Fold(won5and4...)
	before := match.Clone(s)
	match.Evolve(s, events.MatchRuled{Ruling: "disqualified", Winner: "B", Up: 1, Reason: "a handicap too high"})
	o, ok := s.Outcome()
	require.True(t, ok)
	require.Equal(t, match.Outcome{Winner: "B", Text: "disqualified", Up: 1, Played: 5, Grounds: "ruled"}, o)
	match.Evolve(s, events.MatchRuled{Ruling: "lifted", Reason: "it was not"})
	require.Equal(t, before, s)
	o, ok = s.Outcome()
	require.True(t, ok)
	require.Equal(t, match.Outcome{Winner: "A", Text: "5 and 4", Up: 5, Played: 5, Grounds: "holes"}, o)
}

func TestOutcomeOfAMatchThatWasNotPlayed(t *testing.T) {
	t.Parallel()
	_, ok := decider.Fold(fiveHoles...).Outcome()
	require.False(t, ok, "until the result is on record")
	o, ok := decider.Fold(given(singles(), events.MatchRuled{Ruling: "not_played", Winner: "tied", Reason: "fog"})...).Outcome()
	require.True(t, ok)
	require.Equal(t, match.Outcome{Winner: "tied", Text: "not played", Grounds: "ruled"}, o)
}
