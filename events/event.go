package events

// Event is a fact about one aggregate. The set is closed: only types of this
// package carry the marker, so that a codec and a fold can know them all.
type Event interface {
	// EventType is the stored name, marram.<aggregate>.<event>.v<n>. It is
	// written by hand, so that renaming a Go type never changes history.
	EventType() string
	event()
}

// fact is embedded by every event type and closes the set.
type fact struct{}

func (fact) event() {}
