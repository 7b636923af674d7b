package card_test

import (
	"fmt"
	"testing"

	"github.com/stretchr/testify/require"

	"marram.example/events"
	"marram.example/events/card"
)

func TestScoresOfABall(t *testing.T) {
	t.Parallel()
	settled := given(pair, of(1, by(office, 3, strokes(4))))
	decider.Check(t, []rule{
		{Rule: "the marker enters the partner's score", Source: fourBall, Given: given(pair), When: enterBall(1, marker, 3, strokes(4)), Then: given(of(1, by(marker, 3, strokes(4))))},
		{Rule: "it stands beside the first player's", Source: fourBall, Given: given(pair, by(marker, 3, strokes(5))), When: enterBall(1, marker, 3, strokes(4)),
			Then: given(of(1, by(marker, 3, strokes(4))))},
		{Rule: "either of the side enters it too", Source: fourBall, Given: given(pair, of(1, by(marker, 3, strokes(4)))), When: enterBall(1, player, 3, strokes(5)),
			Then: given(of(1, by(player, 3, strokes(5))))},
		{Rule: "a correction is of that ball", Source: "promise 3", Given: given(pair, by(marker, 3, strokes(5)), of(1, by(marker, 3, strokes(4)))),
			When: enterBall(1, marker, 3, strokes(3)), Then: given(of(1, corrected(marker, 3, strokes(4), strokes(3))))},
		{Rule: "the same again changes nothing", Source: "promise 2", Given: given(pair, of(1, by(marker, 3, strokes(4)))), When: enterBall(1, marker, 3, strokes(4))},
		{Rule: "what is settled of one ball is settled", Source: "Rules of Golf 20.2", Given: settled, When: enterBall(1, player, 3, strokes(5)), Refused: notNow("settled", "hole")},
		{Rule: "and not of the other", Source: "Rules of Golf 20.2", Given: settled, When: enterBall(0, player, 3, strokes(5)), Then: given(by(player, 3, strokes(5)))},
		{Rule: "the committee settles a ball", Source: "Rules of Golf 20.2", Given: given(pair, of(1, by(player, 3, strokes(4))), of(1, by(marker, 3, strokes(5)))),
			When: enterBall(1, office, 3, strokes(4)), Then: given(of(1, corrected(office, 3, strokes(5), strokes(4))))},
		{Rule: "a card of one has no second ball", Source: marram, Given: given(medal), When: enterBall(1, player, 3, strokes(4)), Refused: invalid("not_on_card", "ball")},
		{Rule: "a side that plays one ball has no second ball", Source: oneBall, Given: given(foursome), When: enterBall(1, player, 3, strokes(4)), Refused: invalid("not_on_card", "ball")},
		{Rule: "a ball is not below nought", Source: marram, Given: given(pair), When: enterBall(-1, player, 3, strokes(4)), Refused: invalid("not_on_card", "ball")},
		{Rule: "what is unlikely depends on the ball's own par: two on a par 5", Source: unsourced, Given: given(pair), When: enterBall(1, marker, 5, strokes(2)), Refused: invalid("unlikely_score", "score.strokes")},
		{Rule: "and two on the same hole as a par 4", Source: unsourced, Given: given(pair), When: enterBall(0, marker, 5, strokes(2)), Then: given(by(marker, 5, strokes(2)))},
	})
}

func TestEnterCardOfASide(t *testing.T) {
	t.Parallel()
	both := func(a, b []events.Score) card.EnterCard {
		return card.EnterCard{Scores: a, Partners: [][]events.Score{b}, By: office, Signed: true, Receipt: "K7PX"}
	}
	change := func(c card.EnterCard, how func(*card.EnterCard)) card.EnterCard { how(&c); return c }
	in := given(paperPlayer, paperMarker, returned)
	halves := both(without(nothing, 1, 2, 3), without(nothing, 4, 5, 6))
	onlyPartner := card.EnterCard{Ball: 1, Scores: paper(), By: marker}
	decider.Check(t, []rule{
		{Rule: "one ball is entered at once", Source: fourBall, Given: given(pair), When: onlyPartner, Then: ballScored(1, marker, paper())},
		{Rule: "both balls are entered at once", Source: fourBall, Given: given(pair), When: change(both(paper(), paperWith(3, strokes(4))), func(c *card.EnterCard) { c.Signed, c.By = false, marker }),
			Then: given(scored(marker, paper()), ballScored(1, marker, paperWith(3, strokes(4))))},
		{Rule: "a signed paper card of a four-ball has one score a hole", Source: fourBall, Given: given(pair), When: halves,
			Then: given(ballScored(0, office, without(nothing, 1, 2, 3)), ballScored(1, office, without(nothing, 4, 5, 6)), in)},
		{Rule: "or says that there was none", Source: fourBallDone, Given: given(pairPoints), When: both(without(pickedUp, 3), without(noScore, 3)),
			Then: given(scored(office, without(pickedUp, 3)), ballScored(1, office, without(noScore, 3)), in)},
		{Rule: "which is a no return in stroke play", Source: fourBallDone, Given: given(pair), When: both(without(pickedUp, 3), without(noScore, 3)),
			Then: given(scored(office, without(pickedUp, 3)), ballScored(1, office, without(noScore, 3)), in, ruled("NR", "hole 3 has no score"))},
		{Rule: "a paper card with nothing on a hole is not typed in as signed", Source: fourBall, Given: given(pair), When: both(without(nothing, 3), without(nothing, 3)), Refused: invalid("hole_missing", "scores[2]")},
		{Rule: "nor with one ball picked up and nothing of the other", Source: fourBall, Given: given(pair), When: both(without(pickedUp, 3), without(nothing, 3)), Refused: invalid("hole_missing", "scores[2]")},
		{Rule: "what a phone said of a ball does not fill a gap of the paper in silence", Source: playerDo, Given: given(pair, of(1, by(player, 3, strokes(3)))),
			When: both(paper(), without(nothing, 3)), Refused: invalid("hole_missing", "partners[0][2]")},
		{Rule: "the typist says that the paper has no score there", Source: playerDo, Given: given(pair, of(1, by(player, 3, strokes(3)))), When: both(paper(), without(noScore, 3)),
			Then: given(scored(office, paper()), ballScored(1, office, paper()[:2]), of(1, corrected(office, 3, strokes(3), noScore)), ballScored(1, office, paperWith(3, nothing))[2:], in)},
		{Rule: "an aggregate needs every ball", Source: team, Given: given(together), When: both(paper(), without(nothing, 3)), Refused: invalid("hole_missing", "scores[2]")},
		{Rule: "a signed card has every ball", Source: playerDo, Given: given(pair), When: change(halves, func(c *card.EnterCard) { c.Partners = nil }), Refused: invalid("ball_count", "partners")},
		{Rule: "and no other", Source: playerDo, Given: given(medal), When: halves, Refused: invalid("ball_count", "partners")},
		{Rule: "scores of every ball begin with the first player's", Source: marram, Given: given(pair), When: change(halves, func(c *card.EnterCard) { c.Ball = 1 }), Refused: invalid("ambiguous", "ball")},
		{Rule: "a ball of the command is on the card", Source: marram, Given: given(pair), When: change(onlyPartner, func(c *card.EnterCard) { c.Ball = 2 }), Refused: invalid("not_on_card", "ball")},
		{Rule: "a partner has as many scores as holes", Source: "Rules of Golf 5.1", Given: given(pair), When: both(paper(), paper()[:8]), Refused: invalid("hole_count", "partners[0]")},
		{Rule: "a slip of the partner stores none of it", Source: "promise 6", Given: given(pair), When: both(paper(), paperWith(9, strokes(100))), Refused: invalid("out_of_range", "partners[0][8].strokes")},
		{Rule: "an unlikely score of the partner is asked back", Source: unsourced, Given: given(pair), When: both(paper(), paperWith(3, strokes(55))), Refused: invalid("unlikely_score", "partners[0][2].strokes")},
		{Rule: "what is settled of the partner stays", Source: "Rules of Golf 20.2", Given: given(pair, of(1, by(office, 3, strokes(4)))), When: onlyPartner, Refused: notNow("settled", "scores[2]")},
		{Rule: "a returned card of two is typed again with a reason", Source: committee, Given: given(pair, scored(office, paper()), ballScored(1, office, paper()), in),
			When: change(both(paper(), paperWith(3, strokes(6))), func(c *card.EnterCard) { c.Reason = "misread" }),
			Then: given(events.HoleScoreCorrected{Ball: 1, Hole: 3, Old: strokes(5), New: strokes(6), By: office, Reason: "misread"})},
	})
}

func TestWhatAHoleNeedsBeforeItIsCertified(t *testing.T) {
	t.Parallel()
	certified := given(certifiedPlayer)
	// played is a card of which every ball has every score, but for one hole.
	played := func(c events.CardIssued, hole int, values ...events.Score) []events.Event {
		out := given(c)
		for b, v := range values {
			out = append(out, ballScored(b, marker, without(v, hole))...)
		}
		return out
	}
	var cases []rule
	for _, c := range []struct {
		rule, source string
		given        []events.Event
		code, field  string // where it is refused
	}{
		{"a four-ball needs one score a hole", fourBall, played(pair, 3, strokes(5), nothing), "", ""},
		{"whichever", fourBall, played(pair, 3, nothing, strokes(5)), "", ""},
		{"a four-ball needs a word where neither holed out", fourBallDone, played(pair, 3, pickedUp, noScore), "", ""},
		{"of both", fourBallDone, played(pair, 3, pickedUp, nothing), "hole_missing", "partners[0].holes[2]"},
		{"a four-ball needs something", fourBall, played(pair, 3, nothing, nothing), "hole_missing", "holes[2]"},
		{"that is so in Stableford too", fourBall, played(pairPoints, 3, nothing, nothing), "hole_missing", "holes[2]"},
		{"a difference about the ball that does not count is settled too", fourBall, given(played(pair, 3, strokes(4), strokes(7)), of(1, by(player, 3, strokes(8)))), "hole_differs", "partners[0].holes[2]"},
		{"the best two need two", team, played(bestTwo, 3, nothing, strokes(5), strokes(5)), "", ""},
		{"one of two is missing", team, played(bestTwo, 3, strokes(5), nothing, nothing), "hole_missing", "partners[0].holes[2]"},
		{"one score and a word of one is missing the other's", team, played(bestTwo, 3, strokes(5), pickedUp, nothing), "hole_missing", "partners[1].holes[2]"},
		{"one score and a word of both others will do", team, played(bestTwo, 3, strokes(5), pickedUp, noScore), "", ""},
		{"where one counts on a hole one will do", team, played(oneTwoAll, 4, nothing, nothing, strokes(5)), "", ""},
		{"where two count one will not", team, played(oneTwoAll, 5, nothing, nothing, strokes(5)), "hole_missing", "holes[4]"},
		{"where all count two will not", team, played(oneTwoAll, 6, strokes(5), nothing, strokes(5)), "hole_missing", "partners[0].holes[5]"},
		{"an aggregate needs every ball", team, played(together, 3, strokes(5), nothing), "hole_missing", "partners[0].holes[2]"},
		{"or a word of it", team, played(together, 3, strokes(5), pickedUp), "", ""},
		{"where rounds count every ball says something on every hole", team, played(bestRounds, 3, strokes(5), strokes(5), nothing), "hole_missing", "partners[1].holes[2]"},
		{"a picked-up ball says something", team, played(bestRounds, 3, strokes(5), strokes(5), pickedUp), "", ""},
		{"one ball of two players is as one player's", oneBall, played(foursome, 3, nothing), "hole_missing", "holes[2]"},
		{"and certified so", oneBall, played(foursome, 3, strokes(5)), "", ""},
		{"maximum score needs a word", maximum, played(capped, 3, nothing), "hole_missing", "holes[2]"},
		{"and is certified with one", maximum, played(capped, 3, pickedUp), "", ""},
		{"par/bogey too", "Rules of Golf 21.3", played(parBogey, 3, noScore), "", ""},
	} {
		line := rule{Rule: c.rule, Source: c.source, Given: c.given, When: card.Certify{By: player}, Then: certified}
		if c.code != "" {
			line.Then, line.Refused = nil, notNow(c.code, c.field)
		}
		cases = append(cases, line)
	}
	decider.Check(t, cases)
}

func TestNoReturnOfASide(t *testing.T) {
	t.Parallel()
	var cases []rule
	for _, c := range []struct {
		rule, source string
		card         events.CardIssued
		values       [][]events.Score
		reason       string // empty where the card is in
	}{
		{"a four-ball with one score a hole is in", fourBall, pair, [][]events.Score{without(pickedUp, 1, 2), without(noScore, 3, 4)}, ""},
		{"a hole that neither holed out is none", fourBallDone, pair, [][]events.Score{without(pickedUp, 2, 4), without(noScore, 4)}, "hole 4 has no score"},
		{"not in Stableford", "Rules of Golf 21.1b", pairPoints, [][]events.Score{without(pickedUp, 4), without(noScore, 4)}, ""},
		{"the best two of three with two each hole are in", team, bestTwo, [][]events.Score{without(pickedUp, 1), without(pickedUp, 2), without(pickedUp, 3)}, ""},
		{"one of two is too few", team, bestTwo, [][]events.Score{without(pickedUp, 5), without(pickedUp, 5), paper()}, "hole 5 has too few scores"},
		{"where one counts it is enough", team, oneTwoAll, [][]events.Score{without(pickedUp, 1), without(pickedUp, 1, 2), paper()}, ""},
		{"where all count it is too few", team, oneTwoAll, [][]events.Score{paper(), without(pickedUp, 6), paper()}, "hole 6 has too few scores"},
		{"all of an aggregate count", team, together, [][]events.Score{paper(), without(pickedUp, 7)}, "hole 7 has too few scores"},
		{"two whole rounds of three are enough", team, bestRounds, [][]events.Score{paper(), without(pickedUp, 1, 2, 3), paper()}, ""},
		{"one whole round is too few, although every hole has two", team, bestRounds, [][]events.Score{without(noScore, 2), without(pickedUp, 1), paper()}, "too few balls have a score on every hole"},
		{"all rounds of an aggregate count", team, rounds, [][]events.Score{paper(), without(pickedUp, 1)}, "too few balls have a score on every hole"},
		{"one ball of two players is as one player's", oneBall, foursome, [][]events.Score{without(pickedUp, 8)}, "hole 8 has no score"},
		{"maximum score never lacks", maximum, capped, [][]events.Score{without(noScore, 1, 2, 3, 4, 5, 6, 7, 8, 9)}, ""},
		{"par/bogey never lacks", "Rules of Golf 21.3", parBogey, [][]events.Score{without(noScore, 1, 2, 3, 4, 5, 6, 7, 8, 9)}, ""},
	} {
		in := card.EnterCard{Scores: c.values[0], By: office, Signed: true, Receipt: "K7PX"}
		var then []events.Event
		for b, values := range c.values {
			then = append(then, ballScored(b, office, values)...)
			if b > 0 {
				in.Partners = append(in.Partners, values)
			}
		}
		then = append(then, paperPlayer, paperMarker, returned)
		if c.reason != "" {
			then = append(then, ruled("NR", c.reason))
		}
		cases = append(cases, rule{Rule: c.rule, Source: c.source, Given: given(c.card), When: in, Then: then})
	}
	decider.Check(t, cases)
}

// TestANoReturnOfATeamIsLiftedByTheBallItLacked, whichever ball that is.
func TestANoReturnOfATeamIsLiftedByTheBallItLacked(t *testing.T) {
	t.Parallel()
	for _, c := range []events.CardIssued{bestTwo, bestRounds} {
		run := live(t, given(c), card.EnterCard{
			Scores: without(pickedUp, 4), Partners: [][]events.Score{without(pickedUp, 4), paper()}, By: office, Signed: true, Receipt: "K7PX",
		})
		require.Equal(t, events.StatusNoReturn, run.State.Status())
		_, err := run.Do(t, card.RuleStatus{Status: "in_play", Reason: "please"})
		require.Equal(t, "hole_missing", events.AsError(err).Code)
		out, err := run.Do(t, card.EnterScore{Ball: 1, Hole: 4, Score: strokes(6), By: office, Reason: "he holed out"})
		require.NoError(t, err)
		require.Equal(t, ruled("in_play", "every hole has a score now"), out[1])
		require.Equal(t, events.StatusReturned, run.State.Status())
	}
}

func TestAnyBallsEntryVoidsWhatWasCertified(t *testing.T) {
	t.Parallel()
	for ball := range 3 {
		for _, r := range []events.Role{player, marker, office} {
			t.Run(fmt.Sprintf("%s of ball %d", r, ball), func(t *testing.T) {
				t.Parallel()
				start := given(bestTwo, ballScored(0, marker, paper()), ballScored(1, marker, paper()), ballScored(2, marker, paper()), bothCertified)
				run := live(t, start)
				require.True(t, run.State.CertifiedPlayer && run.State.CertifiedMarker)
				_, err := run.Do(t, enterBall(ball, r, 4, strokes(6)))
				require.NoError(t, err)
				require.False(t, run.State.CertifiedPlayer || run.State.CertifiedMarker)
			})
		}
	}
}

func TestPlayedAndDifferencesLookAtEveryBall(t *testing.T) {
	t.Parallel()
	s := decider.Fold(given(bestTwo,
		by(player, 1, strokes(4)), of(1, by(marker, 1, strokes(4))), // one hole, two balls
		of(2, by(player, 5, pickedUp)),
		of(2, by(player, 8, strokes(4))), of(2, by(marker, 8, strokes(5))), of(1, by(player, 8, strokes(4))), of(1, by(marker, 8, strokes(5))),
	)...)
	require.Equal(t, 3, s.Played())
	require.Equal(t, []int{8}, s.Differences(), "once, although two balls differ")
}
