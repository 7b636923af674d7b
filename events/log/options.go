package log

import (
	"log/slog"
	"time"

	"marram.example/events"
)

// Options say where the log lies and how careful it is.
type Options struct {
	Dir      string // folder of the embedded server's file store; ignored with NATSURL
	NATSURL  string // remote NATS, several joined by commas; empty means embedded
	Replicas int    // of the stream on a remote NATS, default 1; ignored when embedded
	Club     string // whose events: a subject token, see events.ValidToken

	// LazySync answers before the disk has the event: the embedded server then
	// syncs every two minutes. An acknowledged score survives the end of the
	// process, also by kill -9, but a power cut or a crash of the machine loses
	// up to the last two minutes of them. On a remote NATS the servers' own
	// sync_interval decides and this has no effect.
	LazySync bool

	// AcceptIncomplete opens a log that ends in the middle of a command whose
	// success nobody was told; see ErrIncomplete.
	AcceptIncomplete bool

	CacheSize int          // aggregates held in memory, default 4096
	Logger    *slog.Logger // default: discard
	Metrics   Metrics

	ungrouped bool // publish every command alone, to measure what grouping brings
}

// Metrics are hooks for what the log measures. Every one may be nil; they are
// called from several goroutines and must not block.
type Metrics struct {
	Appended func(events int, took time.Duration) // an append was acknowledged; time from hand-over to acknowledgement
	Grouped  func(commands, events int)           // the embedded writer wrote a group with one batch (commands > 0) or one by one (commands = 1 each)
	Retried  func(reason string)                  // "stale": decided again; "unavailable": sent again
}

func (m Metrics) appended(n int, took time.Duration) {
	if m.Appended != nil {
		m.Appended(n, took)
	}
}

func (m Metrics) grouped(commands, events int) {
	if m.Grouped != nil {
		m.Grouped(commands, events)
	}
}

func (m Metrics) retried(reason string) {
	if m.Retried != nil {
		m.Retried(reason)
	}
}

func (o Options) withDefaults() (Options, error) {
	if o.Replicas == 0 || o.NATSURL == "" {
		o.Replicas = 1
	}
	if o.CacheSize <= 0 {
		o.CacheSize = 4096
	}
	if o.Logger == nil {
		o.Logger = slog.New(slog.DiscardHandler)
	}
	if !events.ValidToken(o.Club) {
		return o, events.Invalid("club", "malformed_id", "the club's short name must be 1 to 64 letters, digits, hyphens or underscores")
	}
	if o.Replicas < 1 || o.Replicas > 5 {
		return o, events.Invalid("replicas", "out_of_range", "replicas must be 1 to 5")
	}
	if o.NATSURL == "" && o.Dir == "" {
		return o, events.Invalid("dir", "required", "the embedded event log needs a folder")
	}
	return o, nil
}
