package command

import (
	"context"

	"marram.example/events"
	"marram.example/events/competition"
	eventlog "marram.example/events/log"
	"marram.example/events/player"
)

// PlanCompetition announces a competition.
type PlanCompetition struct {
	Name string `json:"name"`
	Date string `json:"date"`
}

// EnterPlayer takes a player into the field.
type EnterPlayer struct {
	PlayerID    string `json:"player_id"`
	Tee         string `json:"tee"`          // the first of the terms where empty
	IndexTenths *int   `json:"index_tenths"` // the player's recorded index where null
}

// AmendEntry changes tee or index of an entry.
type AmendEntry struct {
	Tee         string `json:"tee"`
	IndexTenths *int   `json:"index_tenths"`
	Reason      string `json:"reason"`
}

// DecideTie settles a tie by lot or play-off.
type DecideTie struct {
	Ranking  string   `json:"ranking"`
	Division string   `json:"division"`
	EntryIDs []string `json:"entry_ids"`
	Method   string   `json:"method"`
	Reason   string   `json:"reason"`
}

func (s *Service) competitionStep(id string, c competition.Command, o ...eventlog.StepOption) eventlog.Step {
	return eventlog.Do(competitions, events.CompetitionStream(s.club, id), c, o...)
}

// onCompetition is a committee's decision on one competition.
func (s *Service) onCompetition(ctx context.Context, r Request, id string, c competition.Command) (Done, error) {
	if err := s.committee(r); err != nil {
		return Done{}, err
	}
	return s.run(ctx, r, s.competitionStep(id, c, r.expect()...))
}

// Competition reads a competition from the log.
func (s *Service) Competition(ctx context.Context, id string) (*competition.State, events.Sequence, error) {
	c, v, err := eventlog.Load(ctx, s.log, competitions, events.CompetitionStream(s.club, id))
	if err != nil {
		return nil, 0, err
	}
	if !c.Exists() {
		return nil, 0, events.NotFound("competition_id", "no such competition")
	}
	return c, v.Sequence, nil
}

// Plan announces a competition under a new id, or changes name and date of an
// existing one.
func (s *Service) Plan(ctx context.Context, r Request, id string, in PlanCompetition) (Done, error) {
	if err := s.committee(r); err != nil {
		return Done{}, err
	}
	if id == "" {
		id = s.CompetitionID(r.CommandID)
	} else if _, _, err := s.Competition(ctx, id); err != nil {
		return Done{}, err
	}
	return s.run(ctx, r, s.competitionStep(id, competition.Plan(in), r.expect()...))
}

// SetTerms states the terms of a competition.
func (s *Service) SetTerms(ctx context.Context, r Request, id string, t events.Terms) (Done, error) {
	if err := s.committee(r); err != nil {
		return Done{}, err
	}
	course, _, err := s.Course(ctx, t.CourseID)
	if err != nil {
		return Done{}, err
	}
	return s.run(ctx, r, s.competitionStep(id, competition.SetTerms{Terms: t, Tees: course.Tees}, r.expect()...))
}

// Enter takes a player into the field.
func (s *Service) Enter(ctx context.Context, r Request, id string, in EnterPlayer) (Done, error) {
	if err := s.committee(r); err != nil {
		return Done{}, err
	}
	c, _, err := s.Competition(ctx, id)
	if err != nil {
		return Done{}, err
	}
	accept, err := s.acceptEntry(ctx, id, c, in)
	if err != nil {
		done, err := unlessKnown(ctx, s, r, competitions, events.CompetitionStream(s.club, id), err)
		done.ID = EntryID(id, in.PlayerID)
		return done, err
	}
	done, err := s.run(ctx, r, s.competitionStep(id, accept, r.expect()...))
	done.ID = accept.EntryID
	return done, err
}

// acceptEntry is the command for an entry, with the index that counts on the day.
func (s *Service) acceptEntry(ctx context.Context, id string, c *competition.State, in EnterPlayer) (competition.AcceptEntry, error) {
	p, _, err := s.Player(ctx, in.PlayerID)
	if err != nil {
		return competition.AcceptEntry{}, err
	}
	return acceptance(id, c, p, in)
}

// acceptance is acceptEntry for a player who has been read.
func acceptance(id string, c *competition.State, p *player.State, in EnterPlayer) (competition.AcceptEntry, error) {
	if p.Erased || p.Left {
		return competition.AcceptEntry{}, events.NotNow("player_id", "player_left", "this player has left the club")
	}
	accept := competition.AcceptEntry{
		EntryID: EntryID(id, in.PlayerID), PlayerID: in.PlayerID, Tee: in.Tee, IndexOrigin: events.OriginClub,
	}
	if in.IndexTenths != nil {
		accept.IndexTenths = *in.IndexTenths
		return accept, nil
	}
	index, ok := p.Current(c.Date)
	if !ok {
		return competition.AcceptEntry{}, events.Invalid("index_tenths", "no_index", "this player has no handicap index on the day of the competition; enter one")
	}
	accept.IndexTenths, accept.IndexOrigin = index.Tenths, index.Origin
	return accept, nil
}

// Amend changes tee or index of an entry. Where its card is out and bears no
// score yet, the card is issued again with the new figures.
func (s *Service) Amend(ctx context.Context, r Request, id, entryID string, in AmendEntry) (Done, error) {
	return s.onPlan(ctx, r, id, func(c *competition.State, seq events.Sequence) (planned, error) {
		e, ok := c.Entries[entryID]
		if !ok {
			return planned{}, events.NotFound("entry_id", "no such entry")
		}
		amend := competition.AmendEntry{EntryID: entryID, Tee: e.Tee, IndexTenths: e.IndexTenths, IndexOrigin: e.IndexOrigin, Reason: in.Reason}
		if in.Tee != "" {
			amend.Tee = in.Tee
		}
		if in.IndexTenths != nil {
			amend.IndexTenths, amend.IndexOrigin = *in.IndexTenths, events.OriginClub
		}
		if !c.Running() {
			return planned{decision: amend}, nil
		}
		k, err := s.Card(ctx, CardID(id, entryID, firstRound))
		if e := events.AsError(err); e != nil && e.Kind == events.KindNotFound {
			return planned{decision: amend}, nil // a late entry without a place has no card yet
		}
		if err != nil {
			return planned{}, err
		}
		base, err := s.grounds(ctx, id, c, seq)
		if err != nil {
			return planned{}, err
		}
		again, err := s.reissue(ctx, base, amend)
		return planned{decision: amend, cards: []eventlog.Step{s.cardStep(k.ID, again)}}, err
	})
}

// Withdraw takes an entry out of the field, before play.
func (s *Service) Withdraw(ctx context.Context, r Request, id, entryID, reason string) (Done, error) {
	return s.onCompetition(ctx, r, id, competition.WithdrawEntry{EntryID: entryID, Reason: reason})
}

// Suspend stops play: immediate in danger, or normal (Rules of Golf 5.7b).
func (s *Service) Suspend(ctx context.Context, r Request, id, kind, reason string) (Done, error) {
	return s.onCompetition(ctx, r, id, competition.SuspendRound{Kind: kind, Reason: reason})
}

// Resume lets play go on.
func (s *Service) Resume(ctx context.Context, r Request, id string) (Done, error) {
	return s.onCompetition(ctx, r, id, competition.ResumeRound{})
}

// DecideTie settles a tie.
func (s *Service) DecideTie(ctx context.Context, r Request, id string, in DecideTie) (Done, error) {
	return s.onCompetition(ctx, r, id, competition.DecideTie(in))
}
