package card_test

import (
	"slices"
	"testing"

	"github.com/stretchr/testify/require"

	"marram.example/events"
	"marram.example/events/card"
)

// The rule for two writers on one card, worked out a second time from its wording in
// DEVELOPERS.md and held against the decider on every order in which entries can be
// made and can arrive.

// Whose value; the three of a hole in this order. A value is strokes, 0 for nothing.
const (
	ofPlayer = iota
	ofMarker
	ofCommittee
)

var roleOf = [3]events.Role{player, marker, office}

type values [3]int

// spot is what the rule looks at of a hole.
type spot struct {
	values
	signed bool // somebody certified what stands
}

// sent is one entry of a device.
type sent struct {
	by    int
	value int
	saw   values
}

// verdict is what becomes of an entry.
type verdict struct {
	code   string // why it is refused; empty where it is taken
	stored bool
	after  spot
}

// expected is the rule.
func expected(h spot, c sent) verdict {
	changed := map[int]bool{}
	for who := range h.values {
		if h.values[who] != c.saw[who] {
			changed[who] = true
		}
	}
	refused := func(code string) verdict { return verdict{code: code, after: h} }
	switch {
	case c.by != ofCommittee && h.values[ofCommittee] != 0 && !changed[ofCommittee]:
		return refused("settled")
	case c.by != ofCommittee && h.values[ofCommittee] != 0:
		return refused("changed_since")
	case h.values[c.by] == c.value:
		return verdict{after: h}
	case changed[c.by], changed[ofCommittee]:
		return refused("changed_since")
	case len(changed) > 0 && c.by == ofCommittee:
		return refused("changed_since")
	case len(changed) > 0 && (h.signed || h.agreed()):
		return refused("changed_since")
	}
	v := verdict{stored: true, after: h}
	v.after.values[c.by], v.after.signed = c.value, false
	return v
}

func (h spot) agreed() bool {
	return h.values[ofPlayer] == h.values[ofMarker] && h.values[ofPlayer] != 0
}

func (h spot) settled() bool { return h.agreed() || h.signed || h.values[ofCommittee] != 0 }

// oneHole is a card that is quickly worked on: every other hole is as this one.
func oneHole() events.CardIssued {
	return with(medal, func(c *events.CardIssued) {
		c.Holes, c.Figures.StrokesByHole = c.Holes[:1], c.Figures.StrokesByHole[:1]
	})
}

// referee asks the decider, once for every different question, and holds its answer
// against the rule and against what must be true whatever the rule says.
type referee struct {
	t     *testing.T
	known map[question]verdict
}

type question struct {
	spot
	sent
}

func newReferee(t *testing.T) *referee { return &referee{t, map[question]verdict{}} }

func score(v int) events.Score {
	if v == 0 {
		return nothing
	}
	return strokes(v)
}

// stateOf is the card on which a hole stands so, as the events make it.
func stateOf(h spot) *card.State {
	s := card.New()
	card.Evolve(s, oneHole())
	for who, v := range h.values {
		if v != 0 {
			card.Evolve(s, by(roleOf[who], 1, score(v)))
		}
	}
	if h.signed {
		card.Evolve(s, certifiedMarker)
	}
	return s
}

func (c sent) command() card.EnterScore {
	return having([3]events.Score{score(c.saw[0]), score(c.saw[1]), score(c.saw[2])}, card.EnterScore{Hole: 1, Score: score(c.value), By: roleOf[c.by]})
}

func (r *referee) ask(h spot, c sent) verdict {
	q := question{h, c}
	v, ok := r.known[q]
	if !ok {
		v = r.decide(h, c)
		r.known[q] = v
	}
	return v
}

func (r *referee) decide(h spot, c sent) verdict {
	t, s := r.t, stateOf(h)
	out, err := card.Decide(s, c.command())
	want := expected(h, c)
	if want.code != "" {
		require.NotNil(t, events.AsError(err), "%+v on %+v", c, h)
		require.Equal(t, want.code, events.AsError(err).Code, "%+v on %+v", c, h)
		require.Empty(t, out, "refused, and stored")
		r.again(h, c)
		return want
	}
	require.NoError(t, err, "%+v on %+v", c, h)
	require.Equal(t, want.stored, len(out) > 0, "%+v on %+v", c, h)
	after := card.Clone(s)
	for _, e := range out {
		card.Evolve(after, e)
	}
	line, wants := after.Holes[0], stateOf(want.after)
	require.Equal(t, wants, after, "%+v on %+v", c, h)

	// What is acknowledged is in the log: its own event, or a value that stands.
	if want.stored {
		require.Len(t, out, 1)
		switch e := out[0].(type) {
		case events.HoleScored:
			require.Equal(t, []any{roleOf[c.by], score(c.value)}, []any{e.By, e.Score})
		case events.HoleScoreCorrected:
			require.Equal(t, []any{roleOf[c.by], score(c.value)}, []any{e.By, e.New})
		}
		require.Equal(t, h.values[c.by], c.saw[c.by], "the own value was changed by who had not seen it")
	} else {
		require.Equal(t, c.value, h.values[c.by])
	}
	// What is settled changes by who has seen all of it.
	if h.settled() && want.stored {
		require.Equal(t, h.values, c.saw, "what was settled was changed unseen: %+v on %+v", c, h)
	}
	r.visible(line, want.after, after)
	repeat, err := card.Decide(after, c.command())
	require.NoError(t, err)
	require.Empty(t, repeat, "the same again did something")
	return want
}

// visible holds that equal values agree, that others are seen and stop certification,
// and that the committee's word is the last.
func (r *referee) visible(line card.HoleLine, h spot, s *card.State) {
	t := r.t
	differ := h.values[ofCommittee] == 0 && h.values[ofPlayer] != 0 && h.values[ofMarker] != 0 && h.values[ofPlayer] != h.values[ofMarker]
	require.Equal(t, differ, line.Differs())
	require.Equal(t, differ, slices.Contains(s.Differences(), 1))
	if differ {
		_, err := card.Decide(s, card.Certify{By: player})
		require.Equal(t, "hole_differs", events.AsError(err).Code)
	}
	counts := h.values[ofPlayer]
	for _, who := range []int{ofMarker, ofCommittee} {
		if h.values[who] != 0 {
			counts = h.values[who]
		}
	}
	require.Equal(t, score(counts), line.Counting())
}

// again holds that who was refused and looks can enter the value after all, unless
// the committee's word stands there.
func (r *referee) again(h spot, c sent) {
	c.saw = h.values
	out, err := card.Decide(stateOf(h), c.command())
	if c.by != ofCommittee && h.values[ofCommittee] != 0 {
		require.Equal(r.t, "settled", events.AsError(err).Code)
		return
	}
	require.NoError(r.t, err)
	require.Len(r.t, out, 1)
}
