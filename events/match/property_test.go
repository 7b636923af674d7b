package match_test

import (
	"maps"
	"slices"
	"testing"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"marram.example/events"
	"marram.example/events/decidertest"
	"marram.example/events/match"
)

func anyWriter() *rapid.Generator[events.MatchWriter] {
	return rapid.SampledFrom([]events.MatchWriter{forA, forB, office, forA, forB, {By: events.RoleMarker}, {By: events.RolePlayer}, {By: events.RoleCommittee, BySide: "A"}})
}

func anyReason() *rapid.Generator[string] { return rapid.SampledFrom([]string{"", "because"}) }

func anyEntry(balls int) *rapid.Generator[match.Entry] {
	ball := rapid.OneOf(
		rapid.Map(rapid.IntRange(3, 6), func(n int) events.MatchScore { return strokes(n)[0] }),
		rapid.SampledFrom([]events.MatchScore{{}, {Score: events.Score{None: events.PickedUp}}, {Score: events.Score{Strokes: 4}, Conceded: true}, {Score: events.Score{Strokes: 100}}}),
	)
	return rapid.OneOf(
		rapid.Custom(func(t *rapid.T) match.Entry {
			return match.Entry{Winner: rapid.SampledFrom([]string{"A", "B", "tied", "tied", "A", "B", "C"}).Draw(t, "winner")}
		}),
		rapid.Custom(func(t *rapid.T) match.Entry {
			return match.Entry{
				A: rapid.SliceOfN(ball, balls, balls).Draw(t, "a"), B: rapid.SliceOfN(ball, balls, balls).Draw(t, "b"),
				Winner:  rapid.SampledFrom([]string{"", "", "", "A", "B"}).Draw(t, "winner"),
				Grounds: rapid.SampledFrom([]string{"", "", "", "penalty", "last_to_pick_up", "conceded"}).Draw(t, "grounds"),
			}
		}),
	)
}

func anyHoleCommand(balls int) *rapid.Generator[match.Command] {
	return rapid.OneOf(
		rapid.Custom(func(t *rapid.T) match.Command {
			return match.DecideHole{Number: rapid.IntRange(0, 13).Draw(t, "number"), Entry: anyEntry(balls).Draw(t, "entry"), MatchWriter: anyWriter().Draw(t, "by"), Reason: anyReason().Draw(t, "reason")}
		}),
		rapid.Custom(func(t *rapid.T) match.Command {
			return match.DecideHoles{Holes: rapid.SliceOfN(anyEntry(balls), 0, 11).Draw(t, "holes"), MatchWriter: anyWriter().Draw(t, "by"), Reason: anyReason().Draw(t, "reason")}
		}),
		rapid.Custom(func(t *rapid.T) match.Command {
			return match.RemoveHole{Number: rapid.IntRange(0, 11).Draw(t, "number"), MatchWriter: anyWriter().Draw(t, "by"), Reason: anyReason().Draw(t, "reason")}
		}),
		rapid.Custom(func(t *rapid.T) match.Command {
			return match.ConcedeHole{Number: rapid.IntRange(0, 11).Draw(t, "number"), Side: rapid.SampledFrom([]string{"A", "B", "tied"}).Draw(t, "side"), MatchWriter: anyWriter().Draw(t, "by")}
		}),
	)
}

func anyResultCommand() *rapid.Generator[match.Command] {
	winner := rapid.SampledFrom([]string{"A", "B", "tied", "", "none"})
	text := rapid.SampledFrom([]string{"", "", "5 and 4", "2 and 1", "1 up", "tied", "at the 10th", "all square"})
	return rapid.OneOf(
		rapid.Custom(func(t *rapid.T) match.Command {
			return match.AgreeResult{Winner: winner.Draw(t, "winner"), Text: text.Draw(t, "text"), MatchWriter: anyWriter().Draw(t, "by")}
		}),
		rapid.Custom(func(t *rapid.T) match.Command {
			return match.RecordResult{Winner: winner.Draw(t, "winner"), Text: text.Draw(t, "text"), MatchWriter: anyWriter().Draw(t, "by")}
		}),
		rapid.Custom(func(t *rapid.T) match.Command {
			return match.ConcedeMatch{Side: rapid.SampledFrom([]string{"A", "B"}).Draw(t, "side"), MatchWriter: anyWriter().Draw(t, "by"), Reason: anyReason().Draw(t, "reason")}
		}),
		rapid.Custom(func(t *rapid.T) match.Command {
			return match.Rule{
				Ruling: rapid.SampledFrom([]string{"disqualified", "default", "awarded", "not_played", "lifted", "lifted", "luck"}).Draw(t, "ruling"),
				Winner: winner.Draw(t, "winner"), Up: rapid.IntRange(-1, 6).Draw(t, "up"), MatchWriter: anyWriter().Draw(t, "by"), Reason: anyReason().Draw(t, "reason"),
			}
		}),
		rapid.Custom(func(t *rapid.T) match.Command {
			return match.Rule{Ruling: rapid.SampledFrom([]string{"disqualified", "awarded"}).Draw(t, "ruling"), Winner: rapid.SampledFrom([]string{"A", "B"}).Draw(t, "winner"), Up: 1, MatchWriter: office, Reason: "because"}
		}),
		rapid.Just[match.Command](match.Rule{Ruling: "lifted", MatchWriter: office, Reason: "because"}),
		rapid.Just[match.Command](match.RecordResult{MatchWriter: office}),
		rapid.Custom(func(t *rapid.T) match.Command {
			return match.Reopen{MatchWriter: anyWriter().Draw(t, "by"), Reason: anyReason().Draw(t, "reason")}
		}),
		rapid.Just[match.Command](match.Arrange{MatchArranged: singles()}),
	)
}

// writerOf is who asks.
func writerOf(c match.Command) events.MatchWriter {
	switch c := c.(type) {
	case match.DecideHole:
		return c.MatchWriter
	case match.DecideHoles:
		return c.MatchWriter
	case match.RemoveHole:
		return c.MatchWriter
	case match.ConcedeHole:
		return c.MatchWriter
	case match.ConcedeMatch:
		return c.MatchWriter
	case match.AgreeResult:
		return c.MatchWriter
	case match.RecordResult:
		return c.MatchWriter
	case match.Rule:
		return c.MatchWriter
	case match.Reopen:
		return c.MatchWriter
	default:
		return office
	}
}

// TestAnyCommandsOfAMatch: see decidertest.Run.Do for what holds at every step,
// besides what is checked here.
func TestAnyCommandsOfAMatch(t *testing.T) {
	t.Parallel()
	decidedMatches, ruledMatches, extended10 := 0, 0, 0
	rapid.Check(t, func(t *rapid.T) {
		start := rapid.SampledFrom([]struct {
			events.MatchArranged
			holes string
		}{
			{extended, "AB-AB-AB--"}, {singles(), "AAAAA"}, {four(), ""}, {extended, "-BA-BAAB-"}, {singles(), "A-B"}, {four(), "AAA-"},
			{singles(), "AB-AB-AB-"}, {extended, "BAABB"}, {singles(), ""},
		}).Draw(t, "start")
		run := decider.Start(t, given(start.MatchArranged, holes(rapid.SampledFrom([]events.MatchWriter{forA, forB}).Draw(t, "first by"), start.holes))...)
		ofHoles := anyHoleCommand(len(start.A.Balls))
		command := rapid.OneOf(ofHoles, ofHoles, ofHoles, anyResultCommand())
		for range rapid.IntRange(1, 30).Draw(t, "commands") {
			c := command.Draw(t, "command")
			if next, ok := c.(match.DecideHole); ok && rapid.Bool().Draw(t, "the next hole") {
				next.Number = len(run.State.Holes) + 1
				c = next
			}
			before := run.State
			was, over := before.Outcome()
			out, err := run.Do(t, c)
			if err != nil {
				continue
			}
			if over && writerOf(c).By != events.RoleCommittee {
				require.Empty(t, out, "no player changes a decided match: %#v", c)
			}
			is, still := run.State.Outcome()
			if over && !ofTheCommittee(c) {
				require.Equal(t, was, is)
				require.True(t, still)
			}
			requireWordsStand(t, run)
			requireFits(t, run.State)
			if still && run.State.Ruled.Ruling == "" {
				decidedMatches++
			} else if still {
				ruledMatches++
			}
			if len(run.State.Holes) > 9 {
				extended10++
			}
		}
	})
	require.Positive(t, decidedMatches, "no run came to a result")
	require.Positive(t, ruledMatches, "no run came to a ruling")
	require.Positive(t, extended10, "no run came to an extra hole")
}

// ofTheCommittee reports whether a command may change a result on record.
func ofTheCommittee(c match.Command) bool {
	switch c.(type) {
	case match.Rule, match.Reopen:
		return true
	default:
		return false
	}
}

// requireWordsStand works every hole out again from the log, by another way: the
// last word of each writer stands, every correction names the word before it, and
// a concession holds against both sides.
func requireWordsStand(t *rapid.T, run *decidertest.Run[match.State, match.Command]) {
	type words struct {
		by       map[events.MatchWriter]events.MatchHole
		order    []events.MatchWriter
		conceded string
	}
	holes := map[int]*words{}
	at := func(n int) *words {
		if holes[n] == nil {
			holes[n] = &words{by: map[events.MatchWriter]events.MatchHole{}}
		}
		return holes[n]
	}
	say := func(n int, w events.MatchWriter, v events.MatchHole) {
		h := at(n)
		kept := h.order[:0:0]
		for _, o := range h.order {
			if o != w || v.Entered() && h.by[w].Entered() {
				kept = append(kept, o)
			}
		}
		if v.Entered() && !h.by[w].Entered() {
			kept = append(kept, w)
		}
		h.order, h.by[w] = kept, v
	}
	for _, e := range run.Log {
		switch e := e.(type) {
		case events.MatchHoleDecided:
			require.False(t, at(e.Number).by[e.MatchWriter].Entered(), "a first word where one stands: %#v", e)
			require.True(t, e.Entered())
			say(e.Number, e.MatchWriter, e.MatchHole)
		case events.MatchHoleCorrected:
			if own := at(e.Number).by[e.MatchWriter]; own.Entered() || e.By != events.RoleCommittee {
				require.Equal(t, own, e.Old, "a correction names what it replaces: %#v", e)
			}
			require.True(t, e.Old.Entered())
			say(e.Number, e.MatchWriter, e.New)
		case events.HoleConceded:
			at(e.Number).conceded = e.Side
			say(e.Number, office, events.MatchHole{})
		case events.MatchHoleRemoved:
			delete(holes, e.Number)
		}
	}
	for _, l := range run.State.Holes {
		h := at(l.Number)
		a, b, c := h.by[forA], h.by[forB], h.by[office]
		require.Equal(t, []events.MatchHole{a, b, c}, []events.MatchHole{l.A, l.B, l.Committee}, "hole %d", l.Number)
		winner := ""
		for _, w := range h.order {
			if w != office {
				winner = h.by[w].Winner
				break
			}
		}
		if h.conceded != "" {
			winner = match.Other(h.conceded)
		}
		if c.Entered() {
			winner = c.Winner
		}
		require.Equal(t, winner, l.Counting().Winner, "hole %d", l.Number)
		require.Equal(t, !c.Entered() && h.conceded == "" && a.Entered() && b.Entered() && a.Winner != b.Winner, l.Differs(), "hole %d", l.Number)
	}
}

// requireFits: what may be on record, whatever was done to the match.
func requireFits(t *rapid.T, s *match.State) {
	for i, l := range s.Holes {
		require.Equal(t, i+1, l.Number, "holes stand in order without a gap")
		require.Equal(t, s.HoleAt(i+1), l.Hole)
		require.True(t, l.Counting().Entered(), "every hole says something")
	}
	if d := s.Decided; d.Winner != "" {
		require.True(t, len(s.Differences()) == 0 || d.Grounds == events.MatchGivenUp, "only a side that gives the match ends it with a difference open")
		if stands := s.Standing(); d.Grounds == events.MatchByHoles {
			require.True(t, stands.Over)
			require.Equal(t, []any{stands.Winner, stands.Text, stands.Played}, []any{d.Winner, d.Text, d.Played})
		}
	}
	if !s.Arranged.ExtraHoles {
		require.LessOrEqual(t, len(s.Holes), s.Arranged.Length)
	}
}

// TestEveryOrderOfTwoSides tries every interleaving of up to two words of each
// side and one of the committee on a hole, against the rule put plainly.
func TestEveryOrderOfTwoSides(t *testing.T) {
	t.Parallel()
	winners := []string{"A", "B", "tied"}
	tried := 0
	var try func(run decidertest.Run[match.State, match.Command], word map[events.MatchWriter]string, first events.MatchWriter, left map[events.MatchWriter]int)
	try = func(run decidertest.Run[match.State, match.Command], word map[events.MatchWriter]string, first events.MatchWriter, left map[events.MatchWriter]int) {
		tried++
		if len(run.State.Holes) > 0 {
			want := word[first]
			if word[office] != "" {
				want = word[office]
			}
			l := run.State.Holes[0]
			require.Equal(t, want, l.Counting().Winner, "%v", run.Log[1:])
			require.Equal(t, [3]string{word[forA], word[forB], word[office]}, [3]string{l.A.Winner, l.B.Winner, l.Committee.Winner}, "%v", run.Log[1:])
			open := word[office] == "" && word[forA] != "" && word[forB] != "" && word[forA] != word[forB]
			require.Equal(t, open, l.Differs(), "%v", run.Log[1:])
			require.Equal(t, open, len(run.State.Differences()) == 1)
		}
		for w, n := range left {
			if n == 0 {
				continue
			}
			for _, winner := range winners {
				next, words, began, rest := run, maps.Clone(word), first, maps.Clone(left)
				next.Log = slices.Clip(run.Log)
				rest[w]--
				_, err := next.Do(t, because(tells(w, 1, winner), "seen"))
				if w != office && word[office] != "" && winner != word[office] {
					require.Equal(t, "settled", events.AsError(err).Code, "%v", run.Log[1:])
				} else {
					require.NoError(t, err, "%v", run.Log[1:])
					words[w] = winner
					if w != office && began == (events.MatchWriter{}) {
						began = w
					}
				}
				try(next, words, began, rest)
			}
		}
	}
	try(*decider.Start(t, singles()), map[events.MatchWriter]string{}, events.MatchWriter{}, map[events.MatchWriter]int{forA: 2, forB: 2, office: 1})
	require.Equal(t, orders(2, 2, 1), tried)
}

// orders counts the sequences of steps of which each of three writers takes at most
// so many, with three words to choose from at every step.
func orders(a, b, c int) int {
	n := 1
	if a > 0 {
		n += 3 * orders(a-1, b, c)
	}
	if b > 0 {
		n += 3 * orders(a, b-1, c)
	}
	if c > 0 {
		n += 3 * orders(a, b, c-1)
	}
	return n
}

// TestUndoingGivesBackWhatStood: a word taken back, a hole removed, a ruling lifted
// leave the match as it was.
func TestUndoingGivesBackWhatStood(t *testing.T) {
	t.Parallel()
	rapid.Check(t, func(t *rapid.T) {
		winners := rapid.SliceOfN(rapid.SampledFrom([]string{"A", "B", "tied"}), 0, 4).Draw(t, "holes")
		run := decider.Start(t, singles())
		must := func(c match.Command) {
			out, err := run.Do(t, c)
			require.NoError(t, err)
			require.NotEmpty(t, out)
		}
		for i, w := range winners {
			must(tells(rapid.SampledFrom([]events.MatchWriter{forA, forB}).Draw(t, "by"), i+1, w))
		}
		before, next := match.Clone(run.State), len(winners)+1
		must(tells(forA, next, "A"))
		must(match.RemoveHole{Number: next, MatchWriter: forA})
		require.Equal(t, before, run.State, "a word taken back")
		must(match.ConcedeHole{Number: next, Side: "B", MatchWriter: forB})
		must(match.RemoveHole{Number: next, MatchWriter: office, Reason: "a slip"})
		require.Equal(t, before, run.State, "a hole removed")
		must(match.Rule{Ruling: "awarded", Winner: "A", Up: 1, MatchWriter: office, Reason: "why"})
		must(match.Rule{Ruling: "lifted", MatchWriter: office, Reason: "why not"})
		require.Equal(t, before, run.State, "a ruling lifted")
		must(match.ConcedeMatch{Side: "A", MatchWriter: forA})
		must(match.Reopen{MatchWriter: office, Reason: "a slip"})
		run.State.ReopenedReason = before.ReopenedReason
		require.Equal(t, before, run.State, "a match reopened")
	})
}

func TestSiblingsLiveApart(t *testing.T) {
	t.Parallel()
	start := given(singles(), says(forA, 1, won("A")), says(forA, 2, won("B")))
	decider.Siblings(t, start, says(forA, 3, won("A")), says(forB, 3, won("B")))
	decider.Siblings(t, start, says(forB, 1, won("A")), changes(forA, 1, won("A"), won("tied")))
	decider.Siblings(t, start, changes(forA, 2, won("B"), events.MatchHole{}), says(forB, 2, won("B")))
}
