package log

import (
	"marram.example/events"
)

// Decider is the pure half of an aggregate: how a command and a state make
// events, and how an event makes the next state. S is a pointer type. One
// stream is always used with one decider.
type Decider[S, C any] struct {
	New    func() S                           // the state before the first event
	Clone  func(S) S                          // deep enough that Evolve on the clone never touches the original
	Evolve func(S, events.Event)              // folds one event into the state
	Decide func(S, C) ([]events.Event, error) // reads the state and never changes it
}

// Step is one decision of a command on one stream, made by Do.
type Step interface {
	folder
	target() events.StreamID
	expectation() (events.Sequence, bool)
	decide(state any) ([]events.Event, error)
}

// folder is what a load needs of a decider.
type folder interface {
	fresh() any
	clone(state any) any
	evolve(state any, e events.Event)
	owns(state any) bool
}

// StepOption refines a step.
type StepOption func(*stepOptions)

type stepOptions struct {
	expected events.Sequence
	strict   bool
}

// Expect says that the stream must be at exactly this sequence (0: no event
// yet), as a client saw it. Otherwise Execute fails with the conflict
// stale_sequence and decides nothing. A repeat of a command is recognised first.
func Expect(seq events.Sequence) StepOption {
	return func(o *stepOptions) { o.expected, o.strict = seq, true }
}

// Do is the step of deciding cmd on a stream.
func Do[S, C any](d Decider[S, C], stream events.StreamID, cmd C, opts ...StepOption) Step {
	s := &step[S, C]{decider: d, stream: stream, cmd: cmd}
	for _, o := range opts {
		o(&s.opts)
	}
	return s
}

type step[S, C any] struct {
	decider Decider[S, C]
	stream  events.StreamID
	cmd     C
	opts    stepOptions
}

func (s *step[S, C]) target() events.StreamID { return s.stream }

func (s *step[S, C]) expectation() (events.Sequence, bool) { return s.opts.expected, s.opts.strict }

func (s *step[S, C]) decide(state any) ([]events.Event, error) {
	return s.decider.Decide(state.(S), s.cmd)
}

func (s *step[S, C]) fresh() any { return s.decider.New() }

func (s *step[S, C]) clone(state any) any { return s.decider.Clone(state.(S)) }

func (s *step[S, C]) evolve(state any, e events.Event) { s.decider.Evolve(state.(S), e) }

func (s *step[S, C]) owns(state any) bool {
	_, ok := state.(S)
	return ok
}
