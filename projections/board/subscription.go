package board

import (
	"context"

	"marram.example/events"
)

// Message is one server-sent event for a listener, ready to be written.
type Message struct {
	Position events.Position // of the board that the listener has afterwards
	Whole    bool            // a whole board and not a frame
	Data     []byte          // shared by all listeners: never changed
}

// Subscription is one listener's way to the board of a competition. Next is for
// one caller at a time.
type Subscription struct {
	hub    *hub
	signal chan struct{} // filled where there may be something to take

	// Under the hub's lock:
	waiting []sent
	behind  bool // gets the whole board next
	gone    bool
}

// offer queues a frame and returns how many frames the listener loses by it.
func (s *Subscription) offer(f sent) int {
	switch {
	case s.behind:
		return 1
	case len(s.waiting) < s.hub.queue:
		s.waiting = append(s.waiting, f)
		s.wake()
		return 0
	default:
		return s.restart() + 1
	}
}

// restart lets the listener begin again with the whole board. It returns how
// many frames were waiting.
func (s *Subscription) restart() int {
	lost := len(s.waiting)
	s.waiting, s.behind = nil, true
	s.wake()
	return lost
}

func (s *Subscription) wake() {
	select {
	case s.signal <- struct{}{}:
	default:
	}
}

// Next waits for what comes next: the frames that wait, or the whole board as
// it stands where there are too many or none that fit. It fails with ErrClosed
// when the boards shut down, and with the error of ctx.
func (s *Subscription) Next(ctx context.Context) ([]Message, error) {
	for {
		if out, err := s.take(); err != nil || len(out) > 0 {
			return out, err
		}
		select {
		case <-s.signal:
		case <-ctx.Done():
			return nil, context.Cause(ctx)
		}
	}
}

func (s *Subscription) take() ([]Message, error) {
	whole, frames, err := s.pick()
	if err != nil {
		return nil, err
	}
	if whole != nil {
		data, err := whole.encoded() // outside of the lock: nobody waits for it but us
		if err != nil {
			return nil, err
		}
		return []Message{{Position: whole.board.Position, Whole: true, Data: data}}, nil
	}
	out := make([]Message, len(frames))
	for i, f := range frames {
		out[i] = Message{Position: f.frame.Position, Data: f.data}
	}
	return out, nil
}

func (s *Subscription) pick() (*state, []sent, error) {
	s.hub.mu.Lock()
	defer s.hub.mu.Unlock()
	if s.hub.closed || s.gone {
		return nil, nil, ErrClosed
	}
	frames := s.waiting
	s.waiting = nil
	if s.behind {
		s.behind = false
		return s.hub.latest, nil, nil
	}
	return nil, frames, nil
}

// Close ends the subscription. It may be called twice.
func (s *Subscription) Close() {
	s.hub.mu.Lock()
	defer s.hub.mu.Unlock()
	if s.gone {
		return
	}
	s.gone = true
	delete(s.hub.subs, s)
	s.wake()
	if s.hub.metrics.Listeners != nil {
		s.hub.metrics.Listeners(-1)
	}
}
