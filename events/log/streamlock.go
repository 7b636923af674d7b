package log

import (
	"context"
	"sync"
)

// streamLocks makes commands on one stream follow one another while different
// streams go in parallel.
type streamLocks struct {
	mu   sync.Mutex
	held map[string]*streamLock
}

type streamLock struct {
	token   chan struct{} // holds one token while free
	waiting int           // holders and waiters
}

func newStreamLocks() *streamLocks { return &streamLocks{held: make(map[string]*streamLock)} }

// acquire locks the subjects, which must be sorted and without repeats so that
// two commands never wait for each other, and returns how to unlock them.
func (s *streamLocks) acquire(ctx context.Context, subjects []string) (func(), error) {
	for i, subject := range subjects {
		if err := s.lock(ctx, subject); err != nil {
			s.unlock(subjects[:i])
			return nil, err
		}
	}
	return func() { s.unlock(subjects) }, nil
}

func (s *streamLocks) lock(ctx context.Context, subject string) error {
	s.mu.Lock()
	k, ok := s.held[subject]
	if !ok {
		k = &streamLock{token: make(chan struct{}, 1)}
		k.token <- struct{}{}
		s.held[subject] = k
	}
	k.waiting++
	s.mu.Unlock()
	select {
	case <-k.token:
		return nil
	case <-ctx.Done():
		s.mu.Lock()
		s.leave(subject, k)
		s.mu.Unlock()
		return context.Cause(ctx)
	}
}

func (s *streamLocks) unlock(subjects []string) {
	s.mu.Lock()
	defer s.mu.Unlock()
	for _, subject := range subjects {
		k := s.held[subject]
		k.token <- struct{}{}
		s.leave(subject, k)
	}
}

// leave forgets a lock that nobody holds or waits for.
func (s *streamLocks) leave(subject string, k *streamLock) {
	if k.waiting--; k.waiting == 0 {
		delete(s.held, subject)
	}
}
