package board

import (
	"context"
	"errors"
	"fmt"
	"log/slog"
	"slices"
	"strings"
	"sync"
	"time"

	"marram.example/events"
	"marram.example/events/competition"
)

// ErrClosed says that the boards are being shut down.
var ErrClosed = errors.New("the boards are closed")

// Follower hands out the event log from a position on, as events/log does.
type Follower interface {
	// Follow hands every event after from to fn, in order, those to come
	// included, until ctx ends or fn fails; it returns that error.
	Follow(ctx context.Context, from events.Position, fn func([]events.Recorded) error) error
}

// History reads the events of one competition and its cards in the order of the
// log, up to a position (inclusive).
type History func(ctx context.Context, competition string, upTo events.Position) ([]events.Recorded, error)

// Metrics are hooks for what the boards measure. Every one may be nil; they are
// called from several goroutines and must not block.
type Metrics struct {
	Listeners func(change int)           // a subscription began (1) or ended (-1)
	Frames    func(bytes, listeners int) // a publication was encoded and handed to so many
	Dropped   func(frames int)           // frames a listener did not get because it was behind
}

// Options say how boards are kept. The zero value works, without names and
// without AsOf.
type Options struct {
	Names    Namer         // who the players are; nil leaves names empty
	History  History       // needed by AsOf
	Interval time.Duration // shortest time between two publications, default 30 ms
	Queue    int           // frames that wait for one listener before it counts as behind, default 64
	Recent   int           // frames kept for resuming while a round is played, default 256
	Logger   *slog.Logger  // default: discard
	Metrics  Metrics
}

func (o Options) withDefaults() Options {
	if o.Interval <= 0 {
		o.Interval = 30 * time.Millisecond
	}
	if o.Queue <= 0 {
		o.Queue = 64
	}
	if o.Recent <= 0 {
		o.Recent = 256
	}
	if o.Logger == nil {
		o.Logger = slog.New(slog.DiscardHandler)
	}
	return o
}

// Boards are the boards of one club. All methods may be called concurrently;
// Apply by one caller at a time.
type Boards struct {
	opts  Options
	names *names

	life    context.Context // ends when Close begins
	end     context.CancelFunc
	running sync.WaitGroup // publications

	publishing sync.Mutex // held by one publication at a time, and while a hub is made; taken before mu

	mu       sync.Mutex
	position events.Position
	moved    chan struct{} // closed when position moves
	fields   map[string]*field
	hubs     map[string]*hub     // of the competitions that somebody watches or watched
	waiting  map[string]struct{} // competitions with something to publish
	timer    *time.Timer         // of the next publication; nil where none is due
	nameless map[string]struct{} // competitions to be published again for their names
	mending  *time.Timer         // of the next try; nil where none is due
	last     time.Time           // when the last publication ended
	closed   bool
}

// New returns boards that know of nothing yet. Close them when done.
func New(o Options) *Boards {
	b := &Boards{
		opts: o.withDefaults(), names: newNames(o.Names), moved: make(chan struct{}),
		fields: map[string]*field{}, hubs: map[string]*hub{}, waiting: map[string]struct{}{}, nameless: map[string]struct{}{},
	}
	b.life, b.end = context.WithCancel(context.Background())
	return b
}

// Run follows the log from where the boards stand until ctx ends or an event
// cannot be folded; it returns that error. It may be called again to go on.
func (b *Boards) Run(ctx context.Context, log Follower) error {
	return log.Follow(ctx, b.Position(), b.Apply)
}

// Apply folds events of the log, in its order and without a gap. Events that
// are known already are passed over. What changed is published soon after, each
// competition once.
func (b *Boards) Apply(batch []events.Recorded) error {
	b.mu.Lock()
	defer b.mu.Unlock()
	before := b.position
	err := b.fold(batch)
	if b.position > before {
		close(b.moved)
		b.moved = make(chan struct{})
	}
	b.schedule()
	return err
}

func (b *Boards) fold(batch []events.Recorded) error {
	for _, r := range batch {
		if r.Position <= b.position {
			continue
		}
		if r.Position != b.position+1 {
			return fmt.Errorf("live boards: position %d follows %d", r.Position, b.position)
		}
		switch r.Stream.Aggregate {
		case events.Competition, events.Card, events.Match:
			f := b.fields[r.Stream.Competition]
			if f == nil {
				f = newField(r.Stream.Competition)
				b.fields[f.id] = f
			}
			if f.fold(r) {
				b.changed(f.id)
			}
		case events.Player:
			if b.names.fold(r) {
				b.renamed(r)
			}
		}
		b.position = r.Position
	}
	return nil
}

// renamed marks every board that shows a player whose name may be another now.
func (b *Boards) renamed(r events.Recorded) {
	for id, f := range b.fields {
		if _, plays := f.players[r.Stream.ID]; plays {
			f.touch(r.Position, r.Time)
			b.changed(id)
		}
	}
}

// changed notes that a competition is to be published, where anybody watches.
func (b *Boards) changed(competition string) {
	if _, watched := b.hubs[competition]; watched {
		b.waiting[competition] = struct{}{}
	}
}

// Position is that of the last event folded.
func (b *Boards) Position() events.Position {
	b.mu.Lock()
	defer b.mu.Unlock()
	return b.position
}

// WaitFor returns when the event at a position has been folded, so that what is
// read afterwards has seen it, or with the error of ctx.
func (b *Boards) WaitFor(ctx context.Context, at events.Position) error {
	for {
		b.mu.Lock()
		reached, moved := b.position >= at, b.moved
		b.mu.Unlock()
		if reached {
			return nil
		}
		select {
		case <-moved:
		case <-ctx.Done():
			return fmt.Errorf("wait for position %d: %w", at, context.Cause(ctx))
		case <-b.life.Done():
			return ErrClosed
		}
	}
}

// Terms are the terms of a competition; the pointer is nil before they are set.
// It reports whether there is such a competition.
func (b *Boards) Terms(competition string) (*events.Terms, bool) {
	b.mu.Lock()
	defer b.mu.Unlock()
	f := b.fields[competition]
	if f == nil || !f.comp.Exists() {
		return nil, false
	}
	return f.comp.Terms, true
}

// Snapshot is how a competition stands at the last event folded, with names. It
// reports whether there is such a competition.
func (b *Boards) Snapshot(ctx context.Context, competition string) (Board, bool) {
	plain, terms := b.plain(competition)
	if plain == nil {
		return Board{}, false
	}
	return b.named(ctx, plain, terms), true
}

// plain is the board as it stands, without names.
func (b *Boards) plain(competition string) (*Board, *events.Terms) {
	b.mu.Lock()
	defer b.mu.Unlock()
	f := b.fields[competition]
	if f == nil || !f.comp.Exists() {
		return nil, nil
	}
	return b.build(f), f.comp.Terms
}

// build ranks a field where something happened since it was ranked last.
func (b *Boards) build(f *field) *Board {
	fresh := f.built == nil
	out := f.board()
	if fresh && out.Fault != "" {
		b.opts.Logger.Error("a board cannot be ranked", "competition", f.id, "position", uint64(f.position), "error", out.Fault)
	}
	return out
}

// AsOf is the board as it stood at any position of the log. The names are
// today's. A competition that had not been planned by then is not found.
func (b *Boards) AsOf(ctx context.Context, id string, at events.Position) (Board, error) {
	return b.asOf(ctx, id, at, func(events.Recorded) bool { return true })
}

// AsOfTime is AsOf for a moment: the board after every event that was accepted by
// then.
func (b *Boards) AsOfTime(ctx context.Context, id string, at time.Time) (Board, error) {
	return b.asOf(ctx, id, b.Position(), func(r events.Recorded) bool { return !r.Time.After(at) })
}

// asOf folds the events up to a position that belong to the past in question.
func (b *Boards) asOf(ctx context.Context, id string, at events.Position, belongs func(events.Recorded) bool) (Board, error) {
	if b.opts.History == nil {
		return Board{}, errors.New("live boards have no history to read")
	}
	var past []events.Recorded
	if at > 0 {
		var err error
		if past, err = b.opts.History(ctx, id, at); err != nil {
			return Board{}, fmt.Errorf("board as of position %d: %w", at, err)
		}
	}
	f := newField(id)
	for _, r := range past {
		if r.Position <= at && belongs(r) {
			f.fold(r)
		}
	}
	if !f.comp.Exists() {
		return Board{}, notFound()
	}
	return b.named(ctx, f.board(), f.comp.Terms), nil
}

func notFound() error { return events.NotFound("competition", "no such competition") }

// named is a copy of a board with the players' names as the terms show them.
func (b *Boards) named(ctx context.Context, plain *Board, terms *events.Terms) Board {
	ids := make([]string, 0, len(plain.Rows))
	for i := range plain.Rows {
		ids = append(ids, plain.Rows[i].PlayerID)
		for _, p := range plain.Rows[i].Partners {
			ids = append(ids, p.PlayerID)
		}
	}
	found, all := b.names.of(ctx, ids)
	if terms != nil && terms.NamesAs == "initials" {
		short := make(map[string]string, len(found))
		for id, name := range found {
			short[id] = initials(name)
		}
		found = short
	}
	out := *plain
	out.Unnamed = !all
	out.Rows = slices.Clone(plain.Rows)
	byEntry := make(map[string]string, len(out.Rows))
	for i := range out.Rows {
		out.Rows[i].name(found)
		byEntry[out.Rows[i].EntryID] = out.Rows[i].Name
	}
	out.Matches = slices.Clone(plain.Matches)
	for i := range out.Matches {
		m := &out.Matches[i]
		m.A.Name, m.B.Name = byEntry[m.A.EntryID], byEntry[m.B.EntryID]
	}
	return out
}

// name fills in the names of an entry's players: a side goes by its team name, or
// by all its players.
func (r *Row) name(found map[string]string) {
	all := []string{found[r.PlayerID]}
	r.Partners = slices.Clone(r.Partners)
	for i := range r.Partners {
		r.Partners[i].Name = found[r.Partners[i].PlayerID]
		all = append(all, r.Partners[i].Name)
	}
	if len(r.Partners) > 0 {
		r.PlayerName = all[0]
	}
	if r.Name = r.TeamName; r.Name == "" {
		r.Name = strings.Join(slices.DeleteFunc(all, func(s string) bool { return s == "" }), " & ")
	}
}

// running reports whether a round is being played.
func running(p competition.Phase) bool {
	return p == competition.Open || p == competition.Suspended
}
