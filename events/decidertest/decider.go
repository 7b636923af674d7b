// Package decidertest checks deciders: tables of rules that a referee could
// read, and the promises that every decider keeps whatever it is asked.
package decidertest

import (
	"encoding/json"
	"testing"

	"github.com/stretchr/testify/require"

	"marram.example/events"
)

// Decider is the four functions of one aggregate with state S and commands C.
type Decider[S, C any] struct {
	New    func() *S
	Clone  func(*S) *S
	Evolve func(*S, events.Event)
	Decide func(*S, C) ([]events.Event, error)
}

// Refusal is what a refused command says to machines.
type Refusal struct {
	Kind  events.Kind
	Code  string
	Field string
}

// Case is one line of the rules: what happened, what is asked, what follows.
type Case[C any] struct {
	Rule    string // in one line
	Source  string // published rule, or "Marram" where the choice is ours
	Given   []events.Event
	When    C
	Then    []events.Event // nothing where the command changes nothing
	Refused *Refusal       // set where the command is refused
}

// Check runs the lines of a table.
func (d Decider[S, C]) Check(t *testing.T, cases []Case[C]) {
	t.Helper()
	for _, c := range cases {
		t.Run(c.Rule, func(t *testing.T) {
			t.Parallel()
			require.NotEmpty(t, c.Source, "a rule names its source")
			run := d.Start(t, c.Given...)
			got, err := run.Do(t, c.When)
			if c.Refused != nil {
				e := events.AsError(err)
				require.NotNil(t, e, "want a refusal, got events %v and error %v", got, err)
				got := Refusal{Kind: e.Kind, Code: e.Code, Field: e.Field}
				require.Equal(t, *c.Refused, got, e.Detail)
				return
			}
			require.NoError(t, err)
			if len(c.Then) == 0 {
				require.Empty(t, got)
				return
			}
			require.Equal(t, c.Then, got)
		})
	}
}

// Fold is the state after some events.
func (d Decider[S, C]) Fold(log ...events.Event) *S {
	s := d.New()
	for _, e := range log {
		d.Evolve(s, e)
	}
	return s
}

// Run is one aggregate that lives through commands.
type Run[S, C any] struct {
	State *S
	Log   []events.Event
	d     Decider[S, C]
	codec *events.Codec
}

// Start begins with some events.
func (d Decider[S, C]) Start(t require.TestingT, given ...events.Event) *Run[S, C] {
	r := &Run[S, C]{State: d.Fold(given...), Log: append([]events.Event(nil), given...), d: d, codec: events.NewCodec()}
	r.check(t)
	return r
}

// Do asks for one command and lets its events happen. Whatever the command, it
// fails the test unless Decide left its input alone, a refusal says what it must
// and emits nothing, a clone is apart from its original, every event survives
// the codec, the state equals the fold of the whole log, and its JSON document
// gives it back.
func (r *Run[S, C]) Do(t require.TestingT, c C) ([]events.Event, error) {
	before := document(t, r.State)
	out, err := r.d.Decide(r.State, c)
	require.Equal(t, before, document(t, r.State), "Decide changed its input on %#v", c)
	if err != nil {
		e := events.AsError(err)
		require.NotNil(t, e, "%#v: %v is no domain error", c, err)
		require.NotEmpty(t, e.Kind, "%#v", c)
		require.NotEmpty(t, e.Code, "%#v", c)
		require.NotEmpty(t, e.Detail, "%#v", c)
		require.Empty(t, out, "a refused command emits nothing: %#v", c)
		return nil, err
	}
	next := r.d.Clone(r.State)
	require.Equal(t, r.State, next, "a clone equals its original")
	for _, e := range out {
		body, err := r.codec.Encode(e)
		require.NoError(t, err)
		back, err := r.codec.Decode(e.EventType(), body)
		require.NoError(t, err)
		require.Equal(t, e, back, "an event survives the codec")
		r.d.Evolve(next, e)
	}
	require.Equal(t, before, document(t, r.State), "evolving a clone changed the original")
	r.State, r.Log = next, append(r.Log, out...)
	r.check(t)
	return out, nil
}

// check compares the state with the fold of the log and with its own document.
func (r *Run[S, C]) check(t require.TestingT) {
	require.Equal(t, r.d.Fold(r.Log...), r.State, "the state is the fold of its events")
	back := new(S)
	require.NoError(t, json.Unmarshal([]byte(document(t, r.State)), back))
	require.Equal(t, r.State, back, "the state survives its document")
}

func document[S any](t require.TestingT, s *S) string {
	b, err := json.Marshal(s)
	require.NoError(t, err)
	return string(b)
}

// Siblings fails the test unless two clones of one state live apart, although
// both grow from it.
func (d Decider[S, C]) Siblings(t require.TestingT, given []events.Event, one, other events.Event) {
	s := d.Fold(given...)
	a, b := d.Clone(s), d.Clone(s)
	d.Evolve(a, one)
	before := document(t, a)
	d.Evolve(b, other)
	require.NotEqual(t, before, document(t, b), "the two events differ in what they do")
	require.Equal(t, before, document(t, a), "evolving one clone changed another")
}
