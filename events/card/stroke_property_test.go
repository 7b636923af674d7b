package card_test

import (
	"cmp"
	"fmt"
	"slices"
	"testing"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"marram.example/events"
	"marram.example/events/card"
)

// anyLogged is mostly a stroke that may be.
func anyLogged() *rapid.Generator[events.Stroke] {
	return rapid.Custom(func(t *rapid.T) events.Stroke {
		x := rapid.SampledFrom([]events.Stroke{drive, approach, approach, putt, tapIn, tapIn}).Draw(t, "stroke")
		x.Penalty = rapid.SampledFrom([]int{0, 0, 0, 0, 1, 2, 5}).Draw(t, "penalty")
		x.DistanceM = float64(rapid.IntRange(0, 3).Draw(t, "distance")) + x.DistanceM
		x.Strike = rapid.SampledFrom([]string{"", events.StrikeGood, events.StrikePoor, "so-so"}).Draw(t, "strike")
		if rapid.Bool().Draw(t, "judged") {
			good := rapid.Bool().Draw(t, "good enough")
			x.GoodEnough = &good
		}
		return x
	})
}

// anyOfStrokes is what may be asked of the strokes of a card. Few ids and few holes
// meet often.
func anyOfStrokes() *rapid.Generator[card.Command] {
	id := rapid.SampledFrom([]string{"a", "b", "c", "d", "e", "f", "g", "h", ""})
	ball := rapid.SampledFrom([]int{0, 0, 0, 1, 2, -1})
	hole := rapid.SampledFrom([]int{1, 1, 2, 9, 0, 10})
	return rapid.OneOf(
		rapid.Custom(func(t *rapid.T) card.Command {
			return card.RecordStroke{
				StrokeID: id.Draw(t, "id"), Ball: ball.Draw(t, "ball"), Hole: hole.Draw(t, "hole"), Stroke: anyLogged().Draw(t, "stroke"),
				Before: rapid.SampledFrom([]string{"", "", "a", "b", "c"}).Draw(t, "before"), Score: rapid.Bool().Draw(t, "score"),
			}
		}),
		rapid.Custom(func(t *rapid.T) card.Command {
			return card.AmendStroke{StrokeID: id.Draw(t, "id"), Stroke: anyLogged().Draw(t, "stroke"), Score: rapid.Bool().Draw(t, "score")}
		}),
		rapid.Custom(func(t *rapid.T) card.Command { return card.RemoveStroke{StrokeID: id.Draw(t, "id")} }),
		rapid.Custom(func(t *rapid.T) card.Command {
			c := card.LogHole{Ball: ball.Draw(t, "ball"), Hole: hole.Draw(t, "hole"), Score: rapid.Bool().Draw(t, "score")}
			for _, id := range rapid.SliceOfNDistinct(id, 0, 5, rapid.ID).Draw(t, "ids") {
				c.Strokes = append(c.Strokes, card.StrokeLine{ID: id, Stroke: anyLogged().Draw(t, "stroke")})
			}
			return c
		}),
	)
}

func aboutStrokes(c card.Command) bool {
	switch c.(type) {
	case card.RecordStroke, card.AmendStroke, card.RemoveStroke, card.LogHole:
		return true
	default:
		return false
	}
}

// TestAnyCommandsOfStrokes: see decidertest.Run.Do for what holds at every step,
// besides what is checked here by another way than the decider's.
func TestAnyCommandsOfStrokes(t *testing.T) {
	t.Parallel()
	rapid.Check(t, func(t *rapid.T) {
		issue := rapid.SampledFrom([]events.CardIssued{medal, stableford, pair, bestTwo, foursome}).Draw(t, "card")
		run := decider.Start(t, issue)
		command := rapid.OneOf(anyOfStrokes(), anyOfStrokes(), anyOfStrokes(), anyOfASide(1+len(issue.Partners)), anyOfTheCard(issue))
		for range rapid.IntRange(1, 30).Draw(t, "commands") {
			c := command.Draw(t, "command")
			before := run.State
			out, err := run.Do(t, c)
			if err != nil {
				continue
			}
			requireStrokesInOrder(t, run)
			if !aboutStrokes(c) {
				require.Equal(t, before.Strokes, run.State.Strokes, "nothing else touches strokes: %#v", c)
				continue
			}
			requireScoresUntouched(t, before, run.State)
			requireDerived(t, before, run.State, out)
			if c, ok := c.(card.LogHole); ok {
				requireLogged(t, run, c)
			}
		}
	})
}

// requireStrokesInOrder works the strokes out again from the log, a list for each
// hole of each ball.
func requireStrokesInOrder(t *rapid.T, run *cardRun) {
	holes, where, said := map[place][]string{}, map[string]place{}, map[string]events.Stroke{}
	for _, e := range run.Log {
		switch e := e.(type) {
		case events.StrokeRecorded:
			at := place{ball: e.Ball, hole: e.Hole}
			require.NotContains(t, said, e.StrokeID, "an id is of one stroke at a time")
			i := len(holes[at])
			if e.Before != "" {
				i = slices.Index(holes[at], e.Before)
				require.GreaterOrEqual(t, i, 0, "a stroke goes before one of its own hole")
			}
			holes[at], where[e.StrokeID], said[e.StrokeID] = slices.Insert(holes[at], i, e.StrokeID), at, e.Stroke
		case events.StrokeAmended:
			require.Contains(t, said, e.StrokeID)
			require.NotEqual(t, said[e.StrokeID], e.Stroke, "an amendment says something else")
			said[e.StrokeID] = e.Stroke
		case events.StrokeRemoved:
			at := where[e.StrokeID]
			require.Contains(t, said, e.StrokeID)
			holes[at] = slices.DeleteFunc(holes[at], func(id string) bool { return id == e.StrokeID })
			delete(said, e.StrokeID)
		}
	}
	require.Len(t, run.State.Strokes, len(said))
	require.True(t, slices.IsSortedFunc(run.State.Strokes, func(a, b card.StrokeLine) int {
		return cmp.Or(cmp.Compare(a.Ball, b.Ball), cmp.Compare(a.Hole, b.Hole))
	}), "strokes of one hole stand together, by ball and hole")
	for at, ids := range holes {
		lines := run.State.StrokesOn(at.ball, at.hole)
		require.Len(t, lines, len(ids))
		for i, x := range lines {
			require.Equal(t, card.StrokeLine{ID: ids[i], Ball: at.ball, Hole: at.hole, Stroke: said[ids[i]]}, x)
			require.True(t, i == len(lines)-1 || x.Finish == nil || !x.Finish.Holed, "nothing follows a ball that is holed")
		}
	}
}

// requireScoresUntouched: logging changes no value that stands, no signature, no
// return and no ruling.
func requireScoresUntouched(t *rapid.T, before, after *card.State) {
	require.Equal(t, [3]bool{before.CertifiedPlayer, before.CertifiedMarker, before.CertifiedOnPaper}, [3]bool{after.CertifiedPlayer, after.CertifiedMarker, after.CertifiedOnPaper})
	require.Equal(t, before.Status(), after.Status())
	require.Equal(t, before.Receipt, after.Receipt)
	require.Equal(t, before.Penalties, after.Penalties)
	for b := range before.Balls() {
		for i, h := range before.Lines(b) {
			now := after.Lines(b)[i]
			require.Equal(t, h.Marker, now.Marker)
			require.Equal(t, h.Committee, now.Committee)
			if h.Player.Entered() || before.Returned || before.Ruled != "" || before.CertifiedPlayer || before.CertifiedMarker {
				require.Equal(t, h, now)
			}
			if h.Counting().Entered() {
				require.Equal(t, h.Counting(), now.Counting(), "a score that counts is another's to change")
			}
		}
	}
}

// requireDerived: the only score that a command about strokes brings is the one that
// they add up to, on a hole that is whole.
func requireDerived(t *rapid.T, before, after *card.State, out []events.Event) {
	scores := 0
	for _, e := range out {
		if events.AboutStrokes(e) {
			continue
		}
		h, ok := e.(events.HoleScored)
		require.True(t, ok, "%#v", e)
		scores++
		sum := 0
		lines := after.StrokesOn(h.Ball, h.Hole)
		for _, x := range lines {
			sum += 1 + x.Penalty
		}
		require.Equal(t, events.HoleScored{Ball: h.Ball, Hole: h.Hole, Score: strokes(sum), By: player}, h)
		require.Equal(t, events.LieTee, lines[0].Lie)
		require.True(t, lines[len(lines)-1].Finish.Holed)
		require.False(t, after.StrokesDiffer(h.Ball, h.Hole))
		i, _ := before.Line(h.Hole)
		require.False(t, before.Lines(h.Ball)[i].Committee.Entered())
	}
	require.LessOrEqual(t, scores, 1)
}

// requireLogged: a hole that was logged at once stands as wanted, and the same again
// changes nothing.
func requireLogged(t *rapid.T, run *cardRun, c card.LogHole) {
	lines := run.State.StrokesOn(c.Ball, c.Hole)
	require.Len(t, lines, len(c.Strokes))
	for i, x := range c.Strokes {
		require.Equal(t, card.StrokeLine{ID: x.ID, Ball: c.Ball, Hole: c.Hole, Stroke: x.Stroke}, lines[i])
	}
	c.Score = false // a score may follow now that the round takes entries
	again, err := run.Do(t, c)
	require.NoError(t, err)
	require.Empty(t, again)
}

// From whatever stands to whatever is wanted: LogHole gets there, and strokes that
// stay in their order keep their events.
func TestLogHoleReachesAnyList(t *testing.T) {
	t.Parallel()
	rapid.Check(t, func(t *rapid.T) {
		list := func(name string) []string {
			return rapid.SliceOfNDistinct(rapid.Map(rapid.IntRange(0, 12), func(n int) string { return fmt.Sprint(n) }), 0, 10, rapid.ID).Draw(t, name)
		}
		stands, wanted := list("stands"), list("wanted")
		run := decider.Start(t, medal, events.StrokeRecorded{StrokeID: "before", Hole: 1, Stroke: putt}, events.StrokeRecorded{StrokeID: "after", Hole: 3, Stroke: putt})
		log := func(ids []string) []events.Event {
			c := card.LogHole{Hole: 2}
			for _, id := range ids {
				c.Strokes = append(c.Strokes, card.StrokeLine{ID: id, Stroke: putt})
			}
			out, err := run.Do(t, c)
			require.NoError(t, err)
			return out
		}
		log(stands)
		out := log(wanted)
		var got []string
		for _, x := range run.State.StrokesOn(0, 2) {
			got = append(got, x.ID)
		}
		require.Equal(t, append([]string(nil), wanted...), got)
		require.Equal(t, "before", run.State.Strokes[0].ID)
		require.Equal(t, "after", run.State.Strokes[len(run.State.Strokes)-1].ID)
		stay := slices.DeleteFunc(slices.Clone(stands), func(id string) bool { return !slices.Contains(wanted, id) })
		if slices.IsSortedFunc(stay, func(a, b string) int { return slices.Index(wanted, a) - slices.Index(wanted, b) }) {
			require.Len(t, out, len(stands)+len(wanted)-2*len(stay), "nothing is moved that need not be")
		}
	})
}
