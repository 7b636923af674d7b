package board

import (
	"context"
	"maps"
	"time"

	"marram.example/events"
)

// recentAtRest is how many frames are kept of a competition that is not being played.
const recentAtRest = 16

// Since lists the frames that lead from a position to the board as last
// published. It reports false where they are not all kept: then the whole
// board is the way on.
func (b *Boards) Since(competition string, after events.Position) ([]Frame, bool) {
	b.mu.Lock()
	h := b.hubs[competition]
	b.mu.Unlock()
	if h == nil {
		return nil, false
	}
	h.mu.Lock()
	defer h.mu.Unlock()
	missed, ok := h.since(after)
	out := make([]Frame, len(missed))
	for i := range missed {
		out[i] = missed[i].frame
	}
	return out, ok
}

// Subscribe begins to listen to a competition. A listener that has the board of
// a position gets the frames that follow it; one without (after 0), or for whom
// they are no longer kept, gets the whole board first.
func (b *Boards) Subscribe(ctx context.Context, competition string, after events.Position) (*Subscription, error) {
	h, err := b.hub(ctx, competition)
	if err != nil {
		return nil, err
	}
	published := h.now().board
	if published.Unnamed {
		b.mu.Lock()
		b.mend(map[string]struct{}{competition: {}})
		b.mu.Unlock()
	}
	if published.Position < after {
		// The listener saw the board elsewhere, where it is newer than what we
		// published: do not throw it back.
		b.publishing.Lock()
		b.publishOne(ctx, competition)
		b.publishing.Unlock()
	}
	return h.subscribe(after)
}

// hub finds or makes the hub of a competition.
func (b *Boards) hub(ctx context.Context, competition string) (*hub, error) {
	if h, err := b.knownHub(competition); h != nil || err != nil {
		return h, err
	}
	b.publishing.Lock()
	defer b.publishing.Unlock()
	if h, err := b.knownHub(competition); h != nil || err != nil {
		return h, err
	}
	first, ok := b.Snapshot(ctx, competition)
	if !ok {
		return nil, notFound()
	}
	b.mu.Lock()
	defer b.mu.Unlock()
	if b.closed {
		return nil, ErrClosed
	}
	h := newHub(b.opts, first)
	b.hubs[competition] = h
	if b.fields[competition].position != first.Position {
		b.changed(competition)
		b.schedule()
	}
	if first.Unnamed {
		b.mend(map[string]struct{}{competition: {}}) // nothing else may ever happen to it
	}
	return h, nil
}

func (b *Boards) knownHub(competition string) (*hub, error) {
	b.mu.Lock()
	defer b.mu.Unlock()
	if b.closed {
		return nil, ErrClosed
	}
	return b.hubs[competition], nil
}

// schedule sees to it that what waits is published: as soon as the interval
// since the last publication is over. mu is held.
func (b *Boards) schedule() {
	if b.closed || b.timer != nil || len(b.waiting) == 0 {
		return
	}
	b.running.Add(1)
	b.timer = time.AfterFunc(b.opts.Interval-time.Since(b.last), b.publish)
}

// publish sends out every competition that waits for it.
func (b *Boards) publish() {
	defer b.running.Done()
	b.publishing.Lock()
	defer b.publishing.Unlock()
	b.mu.Lock()
	due := b.waiting
	b.waiting, b.timer = map[string]struct{}{}, nil
	b.mu.Unlock()
	nameless := map[string]struct{}{}
	for id := range due {
		if !b.publishOne(b.life, id) {
			nameless[id] = struct{}{}
		}
	}
	b.mu.Lock()
	defer b.mu.Unlock()
	b.last = time.Now()
	b.schedule() // what happened meanwhile
	b.mend(nameless)
}

// mend publishes competitions again when their names may be found. mu is held.
func (b *Boards) mend(competitions map[string]struct{}) {
	maps.Copy(b.nameless, competitions)
	if b.closed || b.mending != nil || len(b.nameless) == 0 {
		return
	}
	b.running.Add(1)
	b.mending = time.AfterFunc(nameRetry, func() {
		defer b.running.Done()
		b.mu.Lock()
		defer b.mu.Unlock()
		maps.Copy(b.waiting, b.nameless)
		clear(b.nameless)
		b.mending = nil
		b.schedule()
	})
}

// publishOne brings the hub of a competition to where the board stands. It
// reports false where somebody watches it without names. publishing is held.
func (b *Boards) publishOne(ctx context.Context, competition string) (named bool) {
	h, err := b.knownHub(competition)
	plain, terms := b.plain(competition)
	if err != nil || h == nil || plain == nil {
		return true
	}
	now := b.named(ctx, plain, terms)
	old := h.now().board
	next := &state{board: now}
	switch {
	case now.Position > old.Position:
		b.frame(h, &old, next)
	case old.Unnamed && !now.Unnamed:
		h.replace(next)
	}
	return !now.Unnamed || !h.watched()
}

// frame publishes the way from one board to the next.
func (b *Boards) frame(h *hub, old *Board, next *state) {
	f := between(old, &next.board)
	data, err := encode(EventPatch, &f.Heading, &f)
	if err != nil {
		b.opts.Logger.Error("a frame of the live board cannot be encoded", "competition", f.CompetitionID, "error", err)
		h.replace(next)
		return
	}
	keep := b.opts.Recent
	if !running(f.Phase) {
		keep = recentAtRest
	}
	h.advance(next, sent{frame: f, data: data}, keep)
}

// Close ends every subscription and waits for the publication that is running.
// It may be called twice.
func (b *Boards) Close() {
	b.mu.Lock()
	b.closed = true
	b.end()
	for _, t := range []*time.Timer{b.timer, b.mending} {
		if t != nil && t.Stop() {
			b.running.Done()
		}
	}
	b.timer, b.mending = nil, nil
	hubs := make([]*hub, 0, len(b.hubs))
	for _, h := range b.hubs {
		hubs = append(hubs, h)
	}
	b.mu.Unlock()
	for _, h := range hubs {
		h.close()
	}
	b.running.Wait()
}
