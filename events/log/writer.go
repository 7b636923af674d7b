package log

import (
	"context"
	"errors"
	"runtime"
	"sync"

	"github.com/nats-io/nats.go"

	"marram.example/events"
)

const (
	// An atomic batch takes the time of 8 to 10 single fsyncs whatever its size
	// (measured with nats-server 2.15.2), so fewer events go faster one by one.
	groupFrom = 12
	// More in one group would only make the first of them wait.
	groupMost = 500
)

// writer is the one goroutine that appends on an embedded server. While it waits
// for the disk, commands gather; it then takes them all. There is no timer.
type writer struct {
	log   *Log
	queue chan *appending
	quit  chan struct{}
	ended chan struct{}
	once  sync.Once
}

// appending is one command on its way to the disk.
type appending struct {
	msgs   []*nats.Msg
	answer chan answer
}

type answer struct {
	first events.Position
	err   error
}

func startWriter(l *Log) *writer {
	w := &writer{log: l, queue: make(chan *appending, groupMost), quit: make(chan struct{}), ended: make(chan struct{})}
	go w.run()
	return w
}

// stop ends the writer once nobody calls store any more.
func (w *writer) stop() {
	w.once.Do(func() { close(w.quit) })
	<-w.ended
}

func (w *writer) store(msgs []*nats.Msg) (events.Position, error) {
	a := &appending{msgs: msgs, answer: make(chan answer, 1)}
	select {
	case w.queue <- a:
	case <-w.ended:
		return 0, ErrClosed
	}
	select {
	case r := <-a.answer:
		return r.first, r.err
	case <-w.ended:
		return 0, ErrClosed
	}
}

func (w *writer) run() {
	defer close(w.ended)
	var held *appending
	for {
		first := held
		if first == nil {
			select {
			case first = <-w.queue:
			case <-w.quit:
				return
			}
		}
		var group []*appending
		group, held = w.gather(first)
		w.commit(group)
		// Let those who just got their answer bring their next command first;
		// else the next group is a few early ones and the one after it the rest.
		runtime.Gosched()
	}
}

// gather takes what waits, up to a full group; held is the one that no longer fits.
func (w *writer) gather(first *appending) (group []*appending, held *appending) {
	group, n := []*appending{first}, len(first.msgs)
	for n < groupMost {
		select {
		case a := <-w.queue:
			if n+len(a.msgs) > groupMost {
				return group, a
			}
			group, n = append(group, a), n+len(a.msgs)
		default:
			return group, nil
		}
	}
	return group, nil
}

// commit writes a group: as one atomic batch where that pays or must be, else
// one by one. One command that is refused would refuse the batch for all, so
// they then go one by one.
func (w *writer) commit(group []*appending) {
	ctx := context.Background() // bounded by the patience of the log
	var msgs []*nats.Msg
	must := false
	for _, a := range group {
		msgs = append(msgs, a.msgs...)
		must = must || len(a.msgs) > 1
	}
	if len(group) == 1 || (!must && len(msgs) < groupFrom) {
		w.each(ctx, group)
		return
	}
	first, err := w.log.publishBatch(ctx, msgs)
	if errors.Is(err, errStale) {
		unbatch(msgs)
		w.each(ctx, group)
		return
	}
	if err == nil {
		w.log.opts.Metrics.grouped(len(group), len(msgs))
	}
	for _, a := range group {
		a.answer <- answer{first: first, err: err}
		first += events.Position(len(a.msgs))
	}
}

// each publishes the commands of a group on their own, all at once.
func (w *writer) each(ctx context.Context, group []*appending) {
	var all sync.WaitGroup
	for _, a := range group {
		all.Go(func() {
			first, err := w.log.publish(ctx, a.msgs)
			if err == nil {
				w.log.opts.Metrics.grouped(1, len(a.msgs))
			}
			a.answer <- answer{first: first, err: err}
		})
	}
	all.Wait()
}
