package match_test

import (
	"testing"

	"github.com/stretchr/testify/require"

	"marram.example/events"
	"marram.example/events/match"
)

func scored(a, b []events.MatchScore, winner, grounds string) events.MatchHole {
	return events.MatchHole{A: a, B: b, Winner: winner, Grounds: grounds}
}

func TestHolesByScores(t *testing.T) {
	t.Parallel()
	byScores := func(m events.MatchArranged, a, b []events.MatchScore, winner, grounds string) rule {
		return rule{Given: given(m), When: scores(forA, 1, a, b), Then: given(says(forA, 1, scored(a, b, winner, grounds)))}
	}
	named := func(name, source string, r rule) rule {
		r.Rule, r.Source = name, source
		return r
	}
	noScore := []events.MatchScore{{Score: events.Score{None: events.NoScore}}}
	given4 := []events.MatchScore{{Score: events.Score{Strokes: 4}, Conceded: true}}
	gross := with(singles(), func(m *events.MatchArranged) { m.Ranking, m.B.Balls[0].Strokes = "gross", allocated(0) })
	decider.Check(t, []rule{
		named("fewer strokes win the hole", holeRule, byScores(singles(), strokes(4), strokes(6), "A", "scores")),
		named("the stroke received on the hole counts", handicap, byScores(singles(), strokes(4), strokes(5), "tied", "scores")),
		named("with it the other side may win", handicap, byScores(singles(), strokes(5), strokes(5), "B", "scores")),
		named("a gross match is played without strokes", handicap, byScores(gross, strokes(4), strokes(5), "A", "scores")),
		named("a conceded stroke is counted", "Rules of Golf 3.2b(2)", byScores(singles(), given4, strokes(6), "A", "scores")),
		named("who picks up loses to who holes out", holeRule, byScores(singles(), strokes(0), strokes(9), "B", "scores")),
		named("no score is no better", holeRule, byScores(singles(), strokes(9), noScore, "A", "scores")),
		named("the better net ball counts", fourBall, byScores(four(), strokes(5, 5), strokes(6, 6), "A", "scores")),
		named("a partner's ball may do", fourBall, byScores(four(), strokes(0, 6), strokes(0, 0), "A", "scores")),
		named("nobody completes the hole and nobody knows who picked up last: tied", pickUp, byScores(four(), strokes(0, 0), strokes(0, 0), "tied", "nobody_finished")),
		{
			Rule: "the side that picked up last wins", Source: pickUp, Given: given(four()),
			When: match.DecideHole{Number: 1, Entry: match.Entry{A: strokes(0, 0), B: strokes(0, 0), Winner: "B"}, MatchWriter: forA},
			Then: given(says(forA, 1, scored(strokes(0, 0), strokes(0, 0), "B", "last_to_pick_up"))),
		},
		{
			Rule: "scores and a winner that they do not make are a slip", Source: holeRule, Given: given(singles()),
			When:    match.DecideHole{Number: 1, Entry: match.Entry{A: strokes(4), B: strokes(5), Winner: "A"}, MatchWriter: forA},
			Refused: invalid("not_by_scores", "winner"),
		},
		{
			Rule: "the general penalty loses the hole whatever the scores", Source: "Rules of Golf 1.3c", Given: given(singles()),
			When: match.DecideHole{Number: 1, Entry: match.Entry{A: strokes(3), B: strokes(5), Winner: "B", Grounds: "penalty"}, MatchWriter: forA},
			Then: given(says(forA, 1, scored(strokes(3), strokes(5), "B", "penalty"))),
		},
		{
			Rule: "strokes are received again on an extra hole", Source: "common practice, no source", Given: given(extended, holes(forA, "AB-AB-AB-")), When: scores(forB, 10, strokes(4), strokes(4)),
			Then: given(says(forB, 10, scored(strokes(4), strokes(4), "B", "scores"))),
		},
		{
			Rule: "holes are played in order from the starting hole", Source: "Rules of Golf 5.1", Given: given(with(singles(), func(m *events.MatchArranged) { m.StartingHole = 9 }), events.MatchHoleDecided{Number: 1, Hole: 9, MatchHole: won("A"), MatchWriter: forA}),
			When: tells(forA, 2, "B"), Then: given(events.MatchHoleDecided{Number: 2, Hole: 1, MatchHole: won("B"), MatchWriter: forA}),
		},
	})
}

func TestEntriesThatCannotBe(t *testing.T) {
	t.Parallel()
	entry := func(e match.Entry) match.DecideHole {
		return match.DecideHole{Number: 1, Entry: e, MatchWriter: forA}
	}
	one := given(singles())
	none := func(why string) []events.MatchScore {
		return []events.MatchScore{{Score: events.Score{None: why}}}
	}
	decider.Check(t, []rule{
		{Rule: "an entry says something", Source: marram, Given: one, When: entry(match.Entry{}), Refused: invalid("required", "winner")},
		{Rule: "one side's score alone does not say who won", Source: marram, Given: one, When: entry(match.Entry{A: strokes(4)}), Refused: invalid("required", "winner")},
		{Rule: "a ball of which nothing is said decides nothing", Source: marram, Given: one, When: entry(match.Entry{A: strokes(4), B: none("")}), Refused: invalid("required", "winner")},
		{
			Rule: "with the winner it does", Source: marram, Given: one, When: entry(match.Entry{A: strokes(4), B: none(""), Winner: "A"}),
			Then: given(says(forA, 1, scored(strokes(4), nil, "A", "stated"))),
		},
		{Rule: "a side has as many scores as balls", Source: fourBall, Given: one, When: entry(match.Entry{A: strokes(4, 5), B: strokes(4)}), Refused: invalid("ball_count", "a")},
		{Rule: "100 strokes is a slip", Source: marram, Given: one, When: entry(match.Entry{A: strokes(4), B: strokes(100)}), Refused: invalid("out_of_range", "b[0].strokes")},
		{Rule: "strokes are not negative", Source: marram, Given: one, When: entry(match.Entry{A: strokes(-1), B: strokes(4)}), Refused: invalid("out_of_range", "a[0].strokes")},
		{Rule: "why there are none is said in known words", Source: marram, Given: one, When: entry(match.Entry{A: none("lost"), B: strokes(4)}), Refused: invalid("unknown", "a[0].none")},
		{Rule: "no hole of a match is excluded", Source: marram, Given: one, When: entry(match.Entry{A: none(events.Excluded), B: strokes(4)}), Refused: invalid("unknown", "a[0].none")},
		{
			Rule: "a ball has strokes or none", Source: marram, Given: one,
			When:    entry(match.Entry{A: []events.MatchScore{{Score: events.Score{Strokes: 4, None: events.PickedUp}}}, B: strokes(4)}),
			Refused: invalid("ambiguous", "a[0]"),
		},
		{
			Rule: "a conceded stroke is counted", Source: "Rules of Golf 3.2b(2)", Given: one,
			When:    entry(match.Entry{A: []events.MatchScore{{Conceded: true}}, B: strokes(4)}),
			Refused: invalid("no_strokes", "a[0].conceded"),
		},
		{Rule: "a hole is won by a side", Source: holeRule, Given: one, When: entry(match.Entry{Winner: "C"}), Refused: invalid("unknown", "winner")},
		{Rule: "or by nobody, but not by none", Source: holeRule, Given: one, When: entry(match.Entry{Winner: "none"}), Refused: invalid("unknown", "winner")},
		{Rule: "grounds are known words", Source: marram, Given: one, When: entry(match.Entry{Winner: "A", Grounds: "luck"}), Refused: invalid("unknown", "grounds")},
		{Rule: "without scores no hole is won by scores", Source: marram, Given: one, When: entry(match.Entry{Winner: "A", Grounds: "scores"}), Refused: invalid("does_not_fit", "grounds")},
		{Rule: "where scores decide, nobody picked up last", Source: pickUp, Given: one, When: entry(match.Entry{A: strokes(4), B: strokes(6), Grounds: "last_to_pick_up"}), Refused: invalid("not_by_scores", "grounds")},
		{Rule: "a penalty costs one side the hole", Source: "Rules of Golf 1.3c", Given: one, When: entry(match.Entry{Winner: "tied", Grounds: "penalty"}), Refused: invalid("required", "winner")},
		{Rule: "holes count from 1", Source: marram, Given: one, When: tells(forA, 0, "A"), Refused: invalid("out_of_range", "number")},
		{Rule: "a match that was never arranged has no hole", Source: marram, When: tells(forA, 1, "A"), Refused: refused(events.KindNotFound, "not_found", "match_id")},
		{Rule: "a player writes for a side", Source: marram, Given: one, When: tells(events.MatchWriter{By: events.RolePlayer}, 1, "A"), Refused: invalid("unknown", "by_side")},
		{Rule: "the committee writes for none", Source: marram, Given: one, When: tells(events.MatchWriter{By: events.RoleCommittee, BySide: "A"}, 1, "A"), Refused: invalid("not_a_side", "by_side")},
		{Rule: "a match has no marker", Source: marram, Given: one, When: tells(events.MatchWriter{By: events.RoleMarker, BySide: "A"}, 1, "A"), Refused: refused(events.KindForbidden, "role", "")},
	})
}

func TestBothSidesWriteOneRecord(t *testing.T) {
	t.Parallel()
	aWon, bSaysTied := given(singles(), says(forA, 1, won("A"))), given(singles(), says(forA, 1, won("A")), says(forB, 1, won("tied")))
	settled := given(bSaysTied, says(office, 1, won("tied")))
	decider.Check(t, []rule{
		{Rule: "either side enters a hole", Source: marram, Given: given(singles()), When: tells(forB, 1, "A"), Then: given(says(forB, 1, won("A")))},
		{Rule: "the other side's word stands beside it", Source: "promise 3", Given: aWon, When: tells(forB, 1, "tied"), Then: given(says(forB, 1, won("tied")))},
		{Rule: "a side corrects its own word and both stay", Source: "promise 3", Given: aWon, When: tells(forA, 1, "tied"), Then: given(changes(forA, 1, won("A"), won("tied")))},
		{Rule: "the same again changes nothing", Source: "promise 2", Given: aWon, When: tells(forA, 1, "A")},
		{Rule: "the committee settles a difference without more words", Source: marram, Given: bSaysTied, When: tells(office, 1, "tied"), Then: given(changes(office, 1, won("A"), won("tied")))},
		{Rule: "it gives a reason where nobody disputes the hole", Source: marram, Given: aWon, When: tells(office, 1, "tied"), Refused: invalid("required", "reason")},
		{Rule: "with one it changes the hole", Source: marram, Given: aWon, When: because(tells(office, 1, "tied"), "seen from the next tee"),
			Then: given(events.MatchHoleCorrected{Number: 1, Hole: 1, Old: won("A"), New: won("tied"), MatchWriter: office, Reason: "seen from the next tee"})},
		{Rule: "what the committee settled stands", Source: "Rules of Golf 20.1b", Given: settled, When: tells(forA, 1, "B"), Refused: notNow("settled", "number")},
		{Rule: "a side may come round to it", Source: marram, Given: settled, When: tells(forA, 1, "tied"), Then: given(changes(forA, 1, won("A"), won("tied")))},
		{Rule: "a later hole waits for the earlier one", Source: marram, Given: aWon, When: tells(forA, 3, "A"), Refused: notNow("hole_order", "number")},
		{Rule: "after a difference play goes on", Source: marram, Given: bSaysTied, When: tells(forB, 2, "B"), Then: given(says(forB, 2, won("B")))},
		{Rule: "holes may come all at once", Source: marram, Given: aWon, When: match.DecideHoles{Holes: []match.Entry{{Winner: "A"}, {Winner: "B"}, {A: strokes(3), B: strokes(3)}}, MatchWriter: forA},
			Then: given(says(forA, 2, won("B")), says(forA, 3, scored(strokes(3), strokes(3), "tied", "scores")))},
		{Rule: "none of them is stored when one is refused", Source: "promise 6", Given: aWon, When: match.DecideHoles{Holes: []match.Entry{{Winner: "B"}, {Winner: "C"}}, MatchWriter: forA},
			Refused: invalid("unknown", "holes[1].winner")},
		{Rule: "a list ends where the match does", Source: matchRule, Given: given(singles()), When: match.DecideHoles{Holes: make6("A"), MatchWriter: forA}, Refused: notNow("match_over", "holes[5].number")},
		{Rule: "the committee's list repeats nothing that counts", Source: marram, Given: aWon, When: match.DecideHoles{Holes: []match.Entry{{Winner: "A"}, {Winner: "B"}}, MatchWriter: office}, Then: given(says(office, 2, won("B")))},
		{Rule: "but it settles a difference with the word that counts", Source: marram, Given: bSaysTied, When: match.DecideHoles{Holes: []match.Entry{{Winner: "A"}}, MatchWriter: office}, Then: given(changes(office, 1, won("A"), won("A")))},
	})
}

func TestTheWordThatCounts(t *testing.T) {
	t.Parallel()
	byScores := scored(strokes(4), strokes(6), "A", "scores")
	counting := func(es ...events.Event) events.MatchHole {
		return decider.Fold(given(singles(), es)...).Holes[0].Counting()
	}
	require.Equal(t, byScores, counting(says(forA, 1, won("A")), says(forB, 1, byScores)), "agreed, with the scores that one side has")
	require.Equal(t, byScores, counting(says(forB, 1, byScores), says(forA, 1, won("A"))))
	require.Equal(t, won("B"), counting(says(forB, 1, won("B")), says(forA, 1, byScores)), "differing, the first")
	require.Equal(t, won("A"), counting(says(forB, 1, byScores), says(office, 1, won("A"))), "the committee's before all")
	s := decider.Fold(given(singles(), says(forA, 1, won("A")), events.HoleConceded{Number: 1, Hole: 1, Side: "A", MatchWriter: forA}, changes(forA, 1, won("A"), events.MatchHole{}))...)
	require.Equal(t, match.Line{Number: 1, Hole: 1, Conceded: "A"}, s.Holes[0], "a concession outlives the words")
}

func make6(winner string) []match.Entry {
	out := make([]match.Entry, 6)
	for i := range out {
		out[i].Winner = winner
	}
	return out
}

func TestNoHoleAfterTheMatch(t *testing.T) {
	t.Parallel()
	fiveUp := given(singles(), holes(forA, "AAAAA"))
	tiedAfterNine := given(singles(), holes(forB, "AB-AB-AB-"))
	decider.Check(t, []rule{
		{Rule: "a match is over when a side leads by more holes than remain", Source: matchRule, Given: fiveUp, When: tells(forB, 6, "B"), Refused: notNow("match_over", "number")},
		{Rule: "the committee plays none either", Source: matchRule, Given: fiveUp, When: tells(office, 6, "B"), Refused: notNow("match_over", "number")},
		{Rule: "dormie is not over", Source: matchRule, Given: given(singles(), holes(forA, "AAAA-")), When: tells(forB, 6, "B"), Then: given(says(forB, 6, won("B")))},
		{Rule: "while the sides differ it may not be over", Source: marram, Given: given(fiveUp, says(forB, 5, won("B"))), When: tells(forB, 6, "B"), Then: given(says(forB, 6, won("B")))},
		{Rule: "a wrong entry is still put right before the result stands", Source: recording, Given: fiveUp, When: tells(forA, 5, "B"), Then: given(changes(forA, 5, won("A"), won("B")))},
		{Rule: "without extra holes the tie stands", Source: extra, Given: tiedAfterNine, When: tells(forB, 10, "B"), Refused: notNow("match_over", "number")},
		{Rule: "with a difference there is still no tenth of nine", Source: extra, Given: given(tiedAfterNine, says(forA, 9, won("A"))), When: tells(forB, 10, "B"), Refused: invalid("no_extra_holes", "number")},
		{Rule: "with them the match goes on", Source: extra, Given: given(extended, holes(forB, "AB-AB-AB-")), When: tells(forB, 10, "tied"), Then: given(says(forB, 10, won("tied")))},
		{Rule: "until a hole is won", Source: extra, Given: given(extended, holes(forB, "AB-AB-AB--A")), When: tells(forB, 12, "B"), Refused: notNow("match_over", "number")},
	})
}

func TestConcedingAHole(t *testing.T) {
	t.Parallel()
	gives := func(w events.MatchWriter, number int, side string) match.ConcedeHole {
		return match.ConcedeHole{Number: number, Side: side, MatchWriter: w}
	}
	gave := func(w events.MatchWriter, number int, side string) events.HoleConceded {
		return events.HoleConceded{Number: number, Hole: number, Side: side, MatchWriter: w}
	}
	conceded := given(singles(), gave(forA, 1, "A"))
	wonByB := events.MatchHole{Winner: "B", Grounds: "conceded"}
	decider.Check(t, []rule{
		{Rule: "a side concedes the hole in play", Source: concession, Given: given(singles()), When: gives(forA, 1, "A"), Then: given(gave(forA, 1, "A"))},
		{Rule: "it cannot be withdrawn", Source: concession, Given: conceded, When: tells(forA, 1, "A"), Refused: notNow("hole_conceded", "number")},
		{Rule: "the other side cannot refuse it", Source: concession, Given: conceded, When: tells(forB, 1, "tied"), Refused: notNow("hole_conceded", "number")},
		{Rule: "it may write the hole as won", Source: concession, Given: conceded, When: match.DecideHole{Number: 1, Entry: match.Entry{Winner: "B", Grounds: "conceded"}, MatchWriter: forB}, Then: given(says(forB, 1, wonByB))},
		{Rule: "nobody concedes for the others", Source: concession, Given: given(singles()), When: gives(forB, 1, "A"), Refused: refused(events.KindForbidden, "other_side", "side")},
		{Rule: "a hole is conceded by a side", Source: concession, Given: given(singles()), When: gives(forB, 1, "tied"), Refused: invalid("unknown", "side")},
		{Rule: "conceded twice is conceded once", Source: "promise 2", Given: conceded, When: gives(forA, 1, "A")},
		{Rule: "the first concession holds", Source: concession, Given: conceded, When: gives(forB, 1, "B"), Refused: notNow("hole_conceded", "number")},
		{Rule: "a concession settles a difference", Source: concession, Given: given(singles(), says(forA, 1, won("A")), says(forB, 1, won("B"))), When: gives(forA, 1, "A"), Then: given(gave(forA, 1, "A"))},
		{Rule: "a completed hole is not conceded", Source: "Rules of Golf 3.2b(1)", Given: given(singles(), says(forA, 1, won("A")), says(forB, 1, won("A"))), When: gives(forA, 1, "A"), Refused: notNow("hole_completed", "number")},
		{Rule: "nor one before the last", Source: "Rules of Golf 3.2b(1)", Given: given(singles(), holes(forA, "AB")), When: gives(forA, 1, "A"), Refused: notNow("hole_completed", "number")},
		{Rule: "nor one still to come", Source: marram, Given: given(singles()), When: gives(forA, 2, "A"), Refused: notNow("hole_order", "number")},
		{Rule: "the committee writes a concession down", Source: concession, Given: given(singles(), holes(forA, "AB")), When: gives(office, 1, "A"), Then: given(gave(office, 1, "A"))},
		{Rule: "a side does not concede what the committee settled", Source: "Rules of Golf 20.1b", Given: given(singles(), says(office, 1, won("tied"))), When: gives(forA, 1, "A"), Refused: notNow("settled", "number")},
		{Rule: "the committee puts a wrong concession right with a reason", Source: marram, Given: conceded, When: because(tells(office, 1, "A"), "pressed the wrong side"),
			Then: given(events.MatchHoleCorrected{Number: 1, Hole: 1, Old: wonByB, New: won("A"), MatchWriter: office, Reason: "pressed the wrong side"})},
		{Rule: "not without one", Source: marram, Given: conceded, When: tells(office, 1, "A"), Refused: invalid("required", "reason")},
	})
	s := decider.Fold(given(conceded, says(office, 1, won("A")))...)
	require.Equal(t, 1, s.Standing().Lead, "the committee's word counts before a concession")
	match.Evolve(s, gave(office, 1, "A"))
	require.Equal(t, -1, s.Standing().Lead, "its later word is the concession")
}

func TestTakingAHoleBack(t *testing.T) {
	t.Parallel()
	remove := func(w events.MatchWriter, number int, reason string) match.RemoveHole {
		return match.RemoveHole{Number: number, MatchWriter: w, Reason: reason}
	}
	two := given(singles(), holes(forA, "AB"))
	both := given(two, says(forB, 1, won("A")))
	removed := func(number int, old events.MatchHole) events.MatchHoleRemoved {
		return events.MatchHoleRemoved{Number: number, Hole: number, Old: old, MatchWriter: office, Reason: "not played yet"}
	}
	decider.Check(t, []rule{
		{Rule: "a side takes back its word on the last hole", Source: marram, Given: two, When: remove(forA, 2, ""), Then: given(changes(forA, 2, won("B"), events.MatchHole{}))},
		{Rule: "a word that leaves a gap stays", Source: marram, Given: two, When: remove(forA, 1, ""), Refused: notNow("later_holes", "number")},
		{Rule: "one that leaves none may go", Source: marram, Given: both, When: remove(forA, 1, ""), Then: given(changes(forA, 1, won("A"), events.MatchHole{}))},
		{Rule: "nothing to take back changes nothing", Source: "promise 2", Given: two, When: remove(forB, 2, "")},
		{Rule: "a hole that is not there is not removed", Source: marram, Given: two, When: remove(forB, 3, ""), Refused: refused(events.KindNotFound, "not_found", "number")},
		{Rule: "what the committee settled stays", Source: "Rules of Golf 20.1b", Given: given(two, says(office, 2, won("B"))), When: remove(forA, 2, ""), Refused: notNow("settled", "number")},
		{Rule: "the committee removes the last hole", Source: marram, Given: two, When: remove(office, 2, "not played yet"), Then: given(removed(2, won("B")))},
		{Rule: "with a reason", Source: marram, Given: two, When: remove(office, 2, " "), Refused: invalid("required", "reason")},
		{Rule: "and no other", Source: marram, Given: two, When: remove(office, 1, "not played yet"), Refused: notNow("later_holes", "number")},
		{Rule: "a concession goes with it", Source: marram, Given: given(singles(), events.HoleConceded{Number: 1, Hole: 1, Side: "A", MatchWriter: forA}), When: remove(office, 1, "not played yet"),
			Then: given(removed(1, events.MatchHole{Winner: "B", Grounds: "conceded"}))},
	})
	s := decider.Fold(given(both, changes(forA, 1, won("A"), events.MatchHole{}))...)
	require.Equal(t, "B", s.Holes[0].First, "who is left was first")
	require.Nil(t, decider.Fold(given(singles(), says(forA, 1, won("A")), removed(1, won("A")))...).Holes)
}
