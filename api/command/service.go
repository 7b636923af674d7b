package command

import (
	"context"
	"errors"
	"fmt"
	"log/slog"
	"time"

	"marram.example/events"
	"marram.example/events/card"
	"marram.example/events/competition"
	"marram.example/events/course"
	eventlog "marram.example/events/log"
	"marram.example/events/player"
	"marram.example/projections/handicap"
)

// The deciders as the log takes them.
var (
	courses      = eventlog.Decider[*course.State, course.Command]{New: course.New, Clone: course.Clone, Evolve: course.Evolve, Decide: course.Decide}
	players      = eventlog.Decider[*player.State, player.Command]{New: player.New, Clone: player.Clone, Evolve: player.Evolve, Decide: player.Decide}
	competitions = eventlog.Decider[*competition.State, competition.Command]{
		New: competition.New, Clone: competition.Clone, Evolve: competition.Evolve, Decide: competition.Decide,
	}
	cards = eventlog.Decider[*card.State, card.Command]{New: card.New, Clone: card.Clone, Evolve: card.Evolve, Decide: card.Decide}
)

// Service runs the use cases of one club.
type Service struct {
	log   *eventlog.Log
	club  string
	now   func() time.Time
	lines *slog.Logger
	keys  *eventlog.Bucket // secrets of the club: a key a player, the key of card links
	links *eventlog.Bucket // card links, by hash of the token
}

// Options are what a Service needs. Now defaults to the clock.
type Options struct {
	Log    *eventlog.Log
	Club   string
	Now    func() time.Time
	Logger *slog.Logger
}

// New returns the use cases on a log.
func New(ctx context.Context, o Options) (*Service, error) {
	if o.Now == nil {
		o.Now = time.Now
	}
	if o.Logger == nil {
		o.Logger = slog.New(slog.DiscardHandler)
	}
	s := &Service{log: o.Log, club: o.Club, now: o.Now, lines: o.Logger}
	var err error
	if s.keys, err = o.Log.Bucket(ctx, "keys", 0); err != nil {
		return nil, fmt.Errorf("open the key store: %w", err)
	}
	if s.links, err = o.Log.Bucket(ctx, "links", 0); err != nil {
		return nil, fmt.Errorf("open the card links: %w", err)
	}
	return s, nil
}

// Who is somebody who wants something done.
type Who struct {
	Role     events.Role
	ID       string // account of the committee, entry of player and marker, or share of a coach
	CardID   string // the one card that a card link opens; empty for others
	PlayerID string // whose reviews a coach reads; empty for others
}

// Request is what surrounds the input of every use case.
type Request struct {
	Who           Who
	CommandID     string           // idempotency key: the same one twice has one effect
	Hash          string           // fingerprint of the input as sent
	CorrelationID string           //
	RecordedAt    time.Time        // the device's clock; zero where unknown
	Expect        *events.Sequence // version that the client saw; nil where it does not matter
}

// Done says what came of it.
type Done struct {
	ID       string          // of the aggregate
	Sequence events.Sequence // its version now
	Position events.Position // of the last event, for reads that must see it
	Known    bool            // the command had been carried out before
	Changed  bool            // whether anything was stored

	Scored  *HoleScored  // the score that followed from logged strokes; nil for none
	Differs *HoleDiffers // the hole of logged strokes, where they and the card disagree
}

func (s *Service) meta(r Request) eventlog.Meta {
	return eventlog.Meta{
		CommandID: r.CommandID, CommandHash: r.Hash, Time: s.now().UTC(), RecordedAt: r.RecordedAt,
		Actor: events.Actor{Role: r.Who.Role, ID: r.Who.ID}, CorrelationID: r.CorrelationID,
	}
}

// run decides and appends steps; the first one is the aggregate that the answer
// is about, and the one whose version the client may have stated.
func (s *Service) run(ctx context.Context, r Request, steps ...eventlog.Step) (Done, error) {
	done, _, err := s.runAll(ctx, r, steps...)
	return done, err
}

// runAll is run with what was stored on the first aggregate, the first time where
// the command is a repeat.
func (s *Service) runAll(ctx context.Context, r Request, steps ...eventlog.Step) (Done, []events.Event, error) {
	results, err := s.log.Execute(ctx, s.meta(r), steps...)
	if err != nil {
		return Done{}, nil, domain(err)
	}
	d := Done{ID: results[0].Stream.ID, Sequence: results[0].Sequence, Known: results[0].Known}
	for _, x := range results {
		d.Position = max(d.Position, x.Position)
		d.Changed = d.Changed || len(x.Events) > 0
	}
	return d, results[0].Events, nil
}

// expect passes on the version that the client saw.
func (r Request) expect() []eventlog.StepOption {
	if r.Expect == nil {
		return nil
	}
	return []eventlog.StepOption{eventlog.Expect(*r.Expect)}
}

// committee refuses everybody else, and says so in the log lines.
func (s *Service) committee(r Request) error {
	if r.Who.Role == events.RoleCommittee || r.Who.Role == events.RoleService {
		return nil
	}
	return s.refuse(r, "committee")
}

func (s *Service) refuse(r Request, wanted string) error {
	s.lines.Warn("refused", "role", string(r.Who.Role), "id", r.Who.ID, "wanted", wanted, "correlation", r.CorrelationID)
	return events.Forbidden("forbidden", "this needs "+wanted+" rights")
}

// domain turns refusals of the arithmetic into the one domain error.
func domain(err error) error {
	var in *handicap.InputError
	if errors.As(err, &in) && events.AsError(err) == nil {
		return events.Invalid(in.Field, "invalid", in.Problem).WithRule(in.Rule)
	}
	return err
}
