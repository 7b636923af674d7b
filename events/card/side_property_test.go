package card_test

import (
	"fmt"
	"slices"
	"testing"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"marram.example/events"
	"marram.example/events/card"
	"marram.example/events/decidertest"
)

type cardRun = decidertest.Run[card.State, card.Command]

func anyCard() *rapid.Generator[events.CardIssued] {
	return rapid.SampledFrom([]events.CardIssued{
		medal, stableford, capped, parBogey, pair, pairPoints, bestTwo, oneTwoAll, bestRounds, together, rounds, foursome,
	})
}

// anyBallScore is mostly a score that may be.
func anyBallScore() *rapid.Generator[events.Score] {
	return rapid.OneOf(rapid.Map(rapid.IntRange(3, 6), strokes), rapid.Map(rapid.IntRange(3, 6), strokes), anyScore(), rapid.Just(notInPlay))
}

func anyCardScores() *rapid.Generator[[]events.Score] {
	return rapid.Custom(func(t *rapid.T) []events.Score {
		scores := paper()
		for range rapid.IntRange(0, 2).Draw(t, "odd holes") {
			scores[rapid.IntRange(0, 8).Draw(t, "odd hole")] = rapid.SampledFrom([]events.Score{nothing, pickedUp, noScore, strokes(4), notInPlay}).Draw(t, "odd score")
		}
		return scores
	})
}

// anyOfASide is what may be asked of the balls of a card.
func anyOfASide(balls int) *rapid.Generator[card.Command] {
	ball := rapid.IntRange(-1, 3)
	id := rapid.SampledFrom([]string{"x1", "x2", "x3", ""})
	return rapid.OneOf(
		rapid.Custom(func(t *rapid.T) card.Command {
			return card.EnterScore{
				Ball: ball.Draw(t, "ball"), Hole: rapid.IntRange(0, 10).Draw(t, "hole"), Score: anyBallScore().Draw(t, "score"), By: anyRole().Draw(t, "by"),
				Confirmed: true, Reason: anyReason().Draw(t, "reason"),
			}
		}),
		rapid.Custom(func(t *rapid.T) card.Command {
			return card.EnterCard{
				Ball: ball.Draw(t, "ball"), Scores: anyCardScores().Draw(t, "scores"), By: anyRole().Draw(t, "by"), Confirmed: true, Reason: anyReason().Draw(t, "reason"),
			}
		}),
		rapid.Custom(func(t *rapid.T) card.Command {
			c := card.EnterCard{
				Scores: anyCardScores().Draw(t, "scores"), By: anyRole().Draw(t, "by"), Confirmed: true, Signed: rapid.Bool().Draw(t, "signed"), Receipt: "K7PX",
				Reason: anyReason().Draw(t, "reason"),
			}
			for range balls - 1 {
				c.Partners = append(c.Partners, anyCardScores().Draw(t, "partner"))
			}
			return c
		}),
		rapid.Custom(func(t *rapid.T) card.Command {
			return card.AddPenalty{
				PenaltyID: id.Draw(t, "id"), Ball: ball.Draw(t, "ball"), Hole: rapid.IntRange(0, 10).Draw(t, "hole"), Strokes: rapid.IntRange(0, 11).Draw(t, "strokes"),
				Reason: anyReason().Draw(t, "reason"),
			}
		}),
		rapid.Custom(func(t *rapid.T) card.Command {
			return card.RemovePenalty{PenaltyID: id.Draw(t, "id"), Reason: anyReason().Draw(t, "reason")}
		}),
	)
}

// anyOfTheCard is what may be asked of a card as a whole, that of a side as well.
func anyOfTheCard(issue events.CardIssued) *rapid.Generator[card.Command] {
	return rapid.Map(anyOfficial(), func(c card.Command) card.Command {
		if _, ok := c.(card.Reissue); ok {
			r := reissueOf(issue, "because")
			r.Partners = slices.Clone(issue.Partners)
			if len(r.Partners) > 0 {
				r.Partners[0].Tee = "Red"
			}
			return card.Reissue{CardReissued: r}
		}
		return c
	})
}

// TestAnyCommandsOfASide: see decidertest.Run.Do for what holds at every step,
// besides what is checked here by another way than the decider's.
func TestAnyCommandsOfASide(t *testing.T) {
	t.Parallel()
	rapid.Check(t, func(t *rapid.T) {
		issue := anyCard().Draw(t, "card")
		run := decider.Start(t, issue)
		command := rapid.OneOf(anyOfASide(1+len(issue.Partners)), anyOfASide(1+len(issue.Partners)), anyOfTheCard(issue))
		for range rapid.IntRange(1, 25).Draw(t, "commands") {
			c := command.Draw(t, "command")
			before := run.State
			out, err := run.Do(t, c)
			if err != nil {
				continue
			}
			if before.Returned && byPlayerOrMarker(c) {
				require.Empty(t, out, "after the return only the committee changes the card: %#v", c)
			}
			book := read(run.Log)
			requireBook(t, run.State, book)
			requireOneBallWritten(t, c, out)
			requireCompleteWhenCertified(t, run.State, book, out)
			requireSideRulings(t, run.State, book)
		}
	})
}

type place struct {
	ball, hole int
	by         events.Role
}

// book is what the log says, worked out without the state.
type book struct {
	last      map[place]events.Score
	penalties map[string]events.PenaltyAdded
}

func read(log []events.Event) book {
	b := book{last: map[place]events.Score{}, penalties: map[string]events.PenaltyAdded{}}
	for _, e := range log {
		switch e := e.(type) {
		case events.HoleScored:
			b.last[place{e.Ball, e.Hole, e.By}] = e.Score
		case events.HoleScoreCorrected:
			b.last[place{e.Ball, e.Hole, e.By}] = e.New
		case events.PenaltyAdded:
			b.penalties[e.PenaltyID] = e
		case events.PenaltyRemoved:
			delete(b.penalties, e.PenaltyID)
		}
	}
	return b
}

func (b book) counting(ball, hole int) events.Score {
	for _, r := range []events.Role{office, marker, player} {
		if v := b.last[place{ball, hole, r}]; v != nothing {
			return v
		}
	}
	return nothing
}

// requireBook: every value of every ball is what the log says of it and nobody
// else's, and a hole is excluded on all balls or none.
func requireBook(t *rapid.T, s *card.State, b book) {
	for ball := range s.Balls() {
		for i, h := range s.Lines(ball) {
			at := fmt.Sprintf("ball %d, hole %d", ball, h.Number)
			require.Equal(t, b.last[place{ball, h.Number, player}], h.Player, at)
			require.Equal(t, b.last[place{ball, h.Number, marker}], h.Marker, at)
			require.Equal(t, b.last[place{ball, h.Number, office}], h.Committee, at)
			require.Equal(t, b.counting(ball, h.Number), h.Counting(), at)
			require.Equal(t, s.Holes[i].Excluded(), h.Excluded(), at)
			sum := 0
			for _, p := range b.penalties {
				if p.Ball == ball && p.Hole == h.Number {
					sum += p.Strokes
				}
			}
			require.Equal(t, sum, s.PenaltyOn(ball, h.Number), at)
			require.NotEqual(t, events.Excluded, h.Player.None, at)
			require.NotEqual(t, events.Excluded, h.Marker.None, at)
		}
	}
	require.Len(t, s.Penalties, len(b.penalties))
}

// requireOneBallWritten: a command about one ball writes to no other, unless it
// excludes a hole or takes that back.
func requireOneBallWritten(t *rapid.T, c card.Command, out []events.Event) {
	var ball int
	switch c := c.(type) {
	case card.EnterScore:
		ball = c.Ball
	case card.EnterCard:
		if len(c.Partners) > 0 {
			return
		}
		ball = c.Ball
	default:
		for _, e := range out {
			require.NotContains(t, []string{"marram.card.HoleScored.v1", "marram.card.HoleScoreCorrected.v1"}, e.EventType(), "%#v", c)
		}
		return
	}
	for _, e := range out {
		switch e := e.(type) {
		case events.HoleScored:
			require.True(t, e.Ball == ball || e.Score == notInPlay, "%#v: %#v", c, e)
		case events.HoleScoreCorrected:
			require.True(t, e.Ball == ball || e.New == notInPlay || e.Old == notInPlay, "%#v: %#v", c, e)
		}
	}
}

// counts is what a referee would ask of a hole: how many balls have strokes, how
// many say anything, and how many of them the side counts.
func (b book) counts(s *card.State, at int) (holedOut, said, needed int, excluded bool) {
	hole := s.Holes[at].Number
	for ball := range s.Balls() {
		v := b.counting(ball, hole)
		if v.Strokes > 0 {
			holedOut++
		}
		if v != nothing {
			said++
		}
	}
	needed = s.Balls()
	if s.Side == "four_ball" {
		needed = 1
	}
	if s.Side == "best_of" && s.CountBy != "round" {
		needed = s.Count[min(at, len(s.Count)-1)]
	}
	return holedOut, said, needed, b.counting(0, hole) == notInPlay
}

// requireCompleteWhenCertified: nobody stands for a card that lacks an entry or on
// which two differ, and no signature outlives a change.
func requireCompleteWhenCertified(t *rapid.T, s *card.State, b book, out []events.Event) {
	for _, e := range out {
		switch e.(type) {
		case events.HoleScored, events.HoleScoreCorrected:
			if !s.Returned {
				require.False(t, s.CertifiedPlayer || s.CertifiedMarker, "what was certified has changed")
			}
		}
	}
	if !s.CertifiedPlayer && !s.CertifiedMarker || s.Returned {
		return
	}
	require.Empty(t, s.Differences())
	for i, h := range s.Holes {
		holedOut, said, needed, _ := b.counts(s, i)
		require.True(t, said == s.Balls() || holedOut >= needed, "hole %d", h.Number)
	}
}

// requireSideRulings: what follows by itself from the holes of a returned card.
func requireSideRulings(t *rapid.T, s *card.State, b book) {
	byItself := s.Ruled == events.StatusNoReturn && s.RuledReason != "because"
	if s.Format != "stroke_play" || !s.Returned {
		require.False(t, byItself, "only a returned stroke-play card is a no return by itself")
		return
	}
	short := false
	for i := range s.Holes {
		holedOut, _, needed, excluded := b.counts(s, i)
		short = short || !excluded && holedOut < needed
	}
	if s.CountBy == "round" {
		short = b.wholeRounds(s) < s.Balls()
		if s.Side == "best_of" {
			short = b.wholeRounds(s) < s.Count[0]
		}
	}
	if short {
		require.NotEqual(t, events.StatusReturned, s.Status(), "a side without a total is a no return")
	} else {
		require.False(t, byItself, "and none once it has one")
	}
}

func (b book) wholeRounds(s *card.State) int {
	n := 0
	for ball := range s.Balls() {
		whole := 1
		for _, h := range s.Holes {
			if v := b.counting(ball, h.Number); v.Strokes == 0 && v != notInPlay {
				whole = 0
			}
		}
		n += whole
	}
	return n
}

// TestEveryOrderOfEntriesMakesTheSameCard: who enters what for which ball first
// does not matter, since nobody writes in another's place.
func TestEveryOrderOfEntriesMakesTheSameCard(t *testing.T) {
	t.Parallel()
	entries := []card.EnterScore{
		enterBall(0, player, 3, strokes(4)), enterBall(0, marker, 3, strokes(5)), enterBall(1, player, 3, strokes(3)),
		enterBall(1, marker, 3, pickedUp), enterBall(2, marker, 3, strokes(6)),
	}
	want := ""
	n := 0
	permute(entries, func(order []card.EnterScore) {
		n++
		run := decider.Start(t, bestTwo)
		for _, c := range order {
			out, err := run.Do(t, c)
			require.NoError(t, err)
			require.Equal(t, given(of(c.Ball, by(c.By, c.Hole, c.Score))), out)
		}
		got := fmt.Sprintf("%+v", *run.State)
		if want == "" {
			want = got
		}
		require.Equal(t, want, got)
	})
	require.Equal(t, 120, n)
}

func permute[T any](items []T, visit func([]T)) {
	var step func(int)
	step = func(k int) {
		if k == len(items) {
			visit(items)
			return
		}
		for i := k; i < len(items); i++ {
			items[k], items[i] = items[i], items[k]
			step(k + 1)
			items[k], items[i] = items[i], items[k]
		}
	}
	step(0)
}

// somewhere is a card after any commands.
func somewhere(t *rapid.T) *cardRun {
	issue := anyCard().Draw(t, "card")
	run := decider.Start(t, issue)
	command := rapid.OneOf(anyOfASide(1+len(issue.Partners)), anyOfASide(1+len(issue.Partners)), anyOfTheCard(issue))
	for range rapid.IntRange(0, 12).Draw(t, "commands") {
		_, _ = run.Do(t, command.Draw(t, "command")) // refusals are part of a card's life
	}
	return run
}

func TestAPenaltyAddedAndRemovedLeavesTheCardAsItWas(t *testing.T) {
	t.Parallel()
	rapid.Check(t, func(t *rapid.T) {
		run := somewhere(t)
		before := run.State
		ball := rapid.IntRange(0, before.Balls()-1).Draw(t, "ball")
		hole := rapid.IntRange(0, 9).Draw(t, "hole")
		n := rapid.IntRange(1, 10).Draw(t, "strokes")
		out, err := run.Do(t, card.AddPenalty{PenaltyID: "new", Ball: ball, Hole: hole, Strokes: n, Reason: "seen"})
		if err != nil {
			require.Contains(t, []string{"card_ruled", "excluded", "hole_missing"}, events.AsError(err).Code)
			return
		}
		require.Len(t, out, 1, "nothing else follows from a penalty")
		on := func(s *card.State) int {
			if hole == 0 {
				return s.RoundPenalty(ball)
			}
			return s.PenaltyOn(ball, hole)
		}
		require.Equal(t, on(before)+n, on(run.State))
		_, err = run.Do(t, card.RemovePenalty{PenaltyID: "new", Reason: "not seen"})
		require.NoError(t, err)
		require.Equal(t, before, run.State)
	})
}

func TestAHoleExcludedAndRestoredLeavesTheCardAsItWas(t *testing.T) {
	t.Parallel()
	rapid.Check(t, func(t *rapid.T) {
		run := somewhere(t)
		hole := rapid.IntRange(1, 9).Draw(t, "hole")
		at, _ := run.State.Line(hole)
		if run.State.Holes[at].Excluded() {
			return
		}
		before := card.Clone(run.State)
		ball := rapid.IntRange(0, before.Balls()-1).Draw(t, "ball")
		out, err := run.Do(t, card.EnterScore{Ball: ball, Hole: hole, Score: notInPlay, By: office, Reason: "flood"})
		require.NoError(t, err)
		require.GreaterOrEqual(t, len(out), before.Balls())
		require.True(t, run.State.Holes[at].Excluded())
		_, err = run.Do(t, card.EnterScore{Ball: ball, Hole: hole, By: office, Reason: "it went down"})
		require.NoError(t, err)
		if !before.Returned {
			before.CertifiedPlayer, before.CertifiedMarker, before.CertifiedOnPaper = false, false, false // the card changed twice
		}
		before.RuledReason, run.State.RuledReason = "", "" // a ruling that followed by itself follows again, or was replaced
		require.Equal(t, before.Ruled, run.State.Ruled)
		require.Equal(t, before, run.State)
	})
}
