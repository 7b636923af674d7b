package log

import (
	"container/list"
	"sync"

	"marram.example/events"
)

// aggregate is the state of one stream at a known place. It is never changed:
// the next event makes a new one. Only the map of commands is shared between
// them and is touched under the lock of the stream alone.
type aggregate struct {
	state    any
	sequence events.Sequence
	position events.Position // of its last event in the log
	commands map[string]done
}

// done is what a command did to one aggregate.
type done struct {
	hash     string
	first    events.Position // of its first event on the stream
	position events.Position // of its last event on the stream
	sequence events.Sequence // of its last event
	eventID  string          // of its last event
}

// cache keeps the aggregates that were used last, up to a number of them.
type cache struct {
	mu    sync.Mutex
	limit int
	order *list.List // of *cached, the last used in front
	items map[string]*list.Element
}

type cached struct {
	subject string
	agg     *aggregate
}

func newCache(limit int) *cache {
	return &cache{limit: limit, order: list.New(), items: make(map[string]*list.Element)}
}

func (c *cache) get(subject string) *aggregate {
	c.mu.Lock()
	defer c.mu.Unlock()
	e, ok := c.items[subject]
	if !ok {
		return nil
	}
	c.order.MoveToFront(e)
	return e.Value.(*cached).agg
}

func (c *cache) put(subject string, a *aggregate) {
	c.mu.Lock()
	defer c.mu.Unlock()
	if e, ok := c.items[subject]; ok {
		e.Value.(*cached).agg = a
		c.order.MoveToFront(e)
		return
	}
	c.items[subject] = c.order.PushFront(&cached{subject: subject, agg: a})
	for c.order.Len() > c.limit {
		oldest := c.order.Back()
		c.order.Remove(oldest)
		delete(c.items, oldest.Value.(*cached).subject)
	}
}

func (c *cache) drop(subject string) {
	c.mu.Lock()
	defer c.mu.Unlock()
	if e, ok := c.items[subject]; ok {
		c.order.Remove(e)
		delete(c.items, subject)
	}
}
