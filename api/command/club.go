package command

import (
	"context"

	"marram.example/events"
	"marram.example/events/club"
	eventlog "marram.example/events/log"
)

var clubs = eventlog.Decider[*club.State, club.Command]{New: club.New, Clone: club.Clone, Evolve: club.Evolve, Decide: club.Decide}

// SwitchEstimates turns the unofficial estimates of a handicap index on or off. To
// switch on, Caution repeats [club.Caution] word for word.
type SwitchEstimates struct {
	On      bool   `json:"on"`
	Caution string `json:"caution"`
	Reason  string `json:"reason"`
}

// ExpectedScores are the association's expected score differentials over nine holes,
// in rising order of index.
type ExpectedScores struct {
	Source string                 `json:"source"`
	Rows   []events.ExpectedScore `json:"rows"`
}

func (s *Service) clubStep(c club.Command, o ...eventlog.StepOption) eventlog.Step {
	return eventlog.Do(clubs, events.ClubStream(s.club), c, o...)
}

// SwitchEstimates is the use case of the same name.
func (s *Service) SwitchEstimates(ctx context.Context, r Request, in SwitchEstimates) (Done, error) {
	if err := s.committee(r); err != nil {
		return Done{}, err
	}
	return s.run(ctx, r, s.clubStep(club.SwitchEstimates(in), r.expect()...))
}

// ImportExpected states the association's expected scores; they replace those before.
func (s *Service) ImportExpected(ctx context.Context, r Request, in ExpectedScores) (Done, error) {
	if err := s.committee(r); err != nil {
		return Done{}, err
	}
	return s.run(ctx, r, s.clubStep(club.ImportExpected(in), r.expect()...))
}

// WithdrawExpected takes the expected scores back.
func (s *Service) WithdrawExpected(ctx context.Context, r Request, reason string) (Done, error) {
	if err := s.committee(r); err != nil {
		return Done{}, err
	}
	return s.run(ctx, r, s.clubStep(club.WithdrawExpected{Reason: reason}, r.expect()...))
}

// Club reads from the log what the club has settled; a club that has settled nothing
// is at sequence 0.
func (s *Service) Club(ctx context.Context) (*club.State, events.Sequence, error) {
	c, v, err := eventlog.Load(ctx, s.log, clubs, events.ClubStream(s.club))
	if err != nil {
		return nil, 0, err
	}
	return c, v.Sequence, nil
}
