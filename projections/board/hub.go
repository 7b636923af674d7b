package board

import (
	"sync"

	"marram.example/events"
)

// state is a board as published, encoded whole at most once.
type state struct {
	board Board
	once  sync.Once
	data  []byte
	err   error
}

func (s *state) encoded() ([]byte, error) {
	s.once.Do(func() { s.data, s.err = encode(EventBoard, &s.board.Heading, &s.board) })
	return s.data, s.err
}

// sent is a frame as it went out.
type sent struct {
	frame Frame
	data  []byte
}

// hub has what one competition published last and who listens to it.
type hub struct {
	queue   int
	metrics Metrics

	mu     sync.Mutex
	latest *state
	recent []sent // consecutive: each is based on the one before, the last leads to latest
	subs   map[*Subscription]struct{}
	closed bool
}

func newHub(o Options, b Board) *hub {
	return &hub{queue: o.Queue, metrics: o.Metrics, latest: &state{board: b}, subs: map[*Subscription]struct{}{}}
}

func (h *hub) now() *state {
	h.mu.Lock()
	defer h.mu.Unlock()
	return h.latest
}

// advance hands the frame to every listener and keeps it for those who return.
func (h *hub) advance(next *state, f sent, keep int) {
	h.mu.Lock()
	defer h.mu.Unlock()
	h.latest = next
	h.recent = append(h.recent, f)
	if extra := len(h.recent) - keep; extra > 0 {
		h.recent = append(h.recent[:0:0], h.recent[extra:]...)
	}
	dropped := 0
	for s := range h.subs {
		dropped += s.offer(f)
	}
	h.count(len(f.data), dropped)
}

// replace hands the whole board to every listener: what they have cannot be
// patched, or is at the same position and still says something else.
func (h *hub) replace(next *state) {
	h.mu.Lock()
	defer h.mu.Unlock()
	h.latest, h.recent = next, nil
	for s := range h.subs {
		s.restart()
	}
	h.count(0, 0)
}

func (h *hub) watched() bool {
	h.mu.Lock()
	defer h.mu.Unlock()
	return len(h.subs) > 0
}

func (h *hub) count(bytes, dropped int) {
	if h.metrics.Frames != nil {
		h.metrics.Frames(bytes, len(h.subs))
	}
	if h.metrics.Dropped != nil && dropped > 0 {
		h.metrics.Dropped(dropped)
	}
}

// since lists the frames that lead from a position to the latest board.
func (h *hub) since(after events.Position) ([]sent, bool) {
	if after == 0 {
		return nil, false
	}
	if after == h.latest.board.Position {
		return nil, !h.latest.board.Unnamed
	}
	for i := range h.recent {
		if h.recent[i].frame.Base == after {
			return h.recent[i:], true
		}
	}
	return nil, false
}

func (h *hub) subscribe(after events.Position) (*Subscription, error) {
	h.mu.Lock()
	defer h.mu.Unlock()
	if h.closed {
		return nil, ErrClosed
	}
	s := &Subscription{hub: h, signal: make(chan struct{}, 1)}
	missed, ok := h.since(after)
	if ok && len(missed) < h.queue {
		s.waiting = append(s.waiting, missed...)
	} else {
		s.behind = true
	}
	if s.behind || len(s.waiting) > 0 {
		s.wake()
	}
	h.subs[s] = struct{}{}
	if h.metrics.Listeners != nil {
		h.metrics.Listeners(1)
	}
	return s, nil
}

func (h *hub) close() {
	h.mu.Lock()
	defer h.mu.Unlock()
	h.closed = true
	for s := range h.subs {
		s.wake()
	}
}
