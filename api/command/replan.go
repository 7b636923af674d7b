package command

import (
	"context"

	"marram.example/events"
	"marram.example/events/competition"
	eventlog "marram.example/events/log"
)

// mostPlans bounds how often a plan is made again because somebody else wrote
// between its reading and its writing.
const mostPlans = 5

// replan runs a plan again while what it was read from no longer stands.
func replan[T any](plan func() (T, error)) (T, error) {
	for try := 1; ; try++ {
		out, err := plan()
		if e := events.AsError(err); e != nil && e.Code == "stale_sequence" && try < mostPlans {
			continue
		}
		return out, err
	}
}

// planned is a decision on a competition, and what has to happen to its cards in
// the same moment.
type planned struct {
	decision competition.Command
	cards    []eventlog.Step
}

// onPlan carries out a plan that was made from a competition as read, and only
// while it still stands so: no card is issued from terms that changed meanwhile.
// It plans again where the client stated no version of its own.
func (s *Service) onPlan(
	ctx context.Context, r Request, id string, plan func(*competition.State, events.Sequence) (planned, error),
) (Done, error) {
	if err := s.committee(r); err != nil {
		return Done{}, err
	}
	once := func() (Done, error) {
		c, seq, err := s.Competition(ctx, id)
		if err != nil {
			return Done{}, err
		}
		p, err := plan(c, seq)
		if err != nil {
			return unlessKnown(ctx, s, r, competitions, events.CompetitionStream(s.club, id), err)
		}
		if r.Expect != nil {
			seq = *r.Expect
		}
		return s.run(ctx, r, append([]eventlog.Step{s.competitionStep(id, p.decision, eventlog.Expect(seq))}, p.cards...)...)
	}
	if r.Expect != nil {
		return once()
	}
	return replan(once)
}
