package command

import (
	"context"
	"fmt"

	"marram.example/events"
	"marram.example/events/competition"
	eventlog "marram.example/events/log"
	"marram.example/events/player"
	"marram.example/projections/draw"
)

// PlanCompetition announces a competition.
type PlanCompetition struct {
	Name string `json:"name"`
	Date string `json:"date"`
}

// EnterPlayer takes a player, or a side, into the field.
type EnterPlayer struct {
	Member
	TeamName string   `json:"team_name"` // of a side; may be empty
	Partners []Member `json:"partners"`  // the other players of a side
}

// Member is one player of an entry.
type Member struct {
	PlayerID    string `json:"player_id"`
	Tee         string `json:"tee"`          // the first of the terms where empty
	IndexTenths *int   `json:"index_tenths"` // the player's recorded index where null
}

// AmendEntry changes tee, index or partners of an entry. What is empty or null
// stays.
type AmendEntry struct {
	Tee         string   `json:"tee"`
	IndexTenths *int     `json:"index_tenths"`
	TeamName    *string  `json:"team_name"`
	Partners    []Member `json:"partners"`
	Reason      string   `json:"reason"`
}

// DecideTie settles a tie by lot or play-off.
type DecideTie struct {
	Ranking  string   `json:"ranking"`
	Division string   `json:"division"`
	EntryIDs []string `json:"entry_ids"` // best first; in any order where a lot is drawn here
	Method   string   `json:"method"`
	Reason   string   `json:"reason"`
	Seed     *uint64  `json:"seed"` // draws a lot here, so that anybody can repeat it; null where the committee drew it
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
	courses := map[string]map[string]events.TeeDefinition{}
	for round := range max(1, len(t.PerRound)) {
		field, id := "course_id", t.Round(round+1).CourseID
		if len(t.PerRound) > 0 && t.PerRound[round].CourseID != "" {
			field = fmt.Sprintf("per_round[%d].course_id", round)
		}
		if _, read := courses[id]; read {
			continue
		}
		course, _, err := s.Course(ctx, id)
		if events.AsError(err) != nil { // not there, or no id at all
			return Done{}, events.Invalid(field, "unknown", "there is no such course")
		}
		if err != nil {
			return Done{}, err
		}
		courses[id] = course.Tees
	}
	return s.run(ctx, r, s.competitionStep(id, competition.SetTerms{Terms: t, Courses: courses}, r.expect()...))
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

// acceptEntry is the command for an entry, with the indexes that count on the day.
func (s *Service) acceptEntry(ctx context.Context, id string, c *competition.State, in EnterPlayer) (competition.AcceptEntry, error) {
	first, err := s.member(ctx, c, "", in.Member)
	if err != nil {
		return competition.AcceptEntry{}, err
	}
	partners, err := s.partners(ctx, c, in.Partners)
	return acceptance(id, first, events.Side{TeamName: in.TeamName, Partners: partners}), err
}

// acceptance is the command for an entry whose players have been read.
func acceptance(id string, first events.Partner, side events.Side) competition.AcceptEntry {
	return competition.AcceptEntry{
		EntryID: EntryID(id, first.PlayerID), PlayerID: first.PlayerID, Tee: first.Tee,
		IndexTenths: first.IndexTenths, IndexOrigin: first.IndexOrigin, Side: side,
	}
}

func (s *Service) partners(ctx context.Context, c *competition.State, in []Member) ([]events.Partner, error) {
	var out []events.Partner
	for i, m := range in {
		p, err := s.member(ctx, c, fmt.Sprintf("partners[%d].", i), m)
		if err != nil {
			return nil, err
		}
		out = append(out, p)
	}
	return out, nil
}

// member reads one player of an entry.
func (s *Service) member(ctx context.Context, c *competition.State, prefix string, in Member) (events.Partner, error) {
	p, _, err := s.Player(ctx, in.PlayerID)
	if e := events.AsError(err); prefix != "" && e != nil && e.Kind == events.KindNotFound {
		return events.Partner{}, events.Invalid(prefix+"player_id", "unknown", "there is no such player")
	}
	if err != nil {
		return events.Partner{}, err
	}
	return membership(c, p, prefix, in)
}

// membership is member for a player who has been read.
func membership(c *competition.State, p *player.State, prefix string, in Member) (events.Partner, error) {
	if p.Erased || p.Left {
		return events.Partner{}, events.NotNow(prefix+"player_id", "player_left", "this player has left the club")
	}
	out := events.Partner{PlayerID: in.PlayerID, Tee: in.Tee, IndexOrigin: events.OriginClub}
	if in.IndexTenths != nil {
		out.IndexTenths = *in.IndexTenths
		return out, nil
	}
	index, ok := p.Current(c.Date)
	if !ok {
		return out, events.Invalid(prefix+"index_tenths", "no_index", "this player has no handicap index on the day of the competition; enter one")
	}
	out.IndexTenths, out.IndexOrigin = index.Tenths, index.Origin
	return out, nil
}

// Amend changes tees, indexes or partners of an entry. Cards that are out, of every
// round, are issued again with the new figures.
func (s *Service) Amend(ctx context.Context, r Request, id, entryID string, in AmendEntry) (Done, error) {
	return s.onPlan(ctx, r, id, func(c *competition.State, seq events.Sequence) (planned, error) {
		e, ok := c.Entries[entryID]
		if !ok {
			return planned{}, events.NotFound("entry_id", "no such entry")
		}
		amend := competition.AmendEntry{
			EntryID: entryID, Tee: e.Tee, IndexTenths: e.IndexTenths, IndexOrigin: e.IndexOrigin, Reason: in.Reason, Side: e.Side,
		}
		if in.Tee != "" {
			amend.Tee = in.Tee
		}
		if in.IndexTenths != nil {
			amend.IndexTenths, amend.IndexOrigin = *in.IndexTenths, events.OriginClub
		}
		if in.TeamName != nil {
			amend.TeamName = *in.TeamName
		}
		if in.Partners != nil {
			var err error
			if amend.Partners, err = s.partners(ctx, c, in.Partners); err != nil {
				return planned{}, err
			}
		}
		amend, err := tried(c, amend)
		if err != nil {
			return planned{}, err
		}
		again, err := s.reissues(ctx, id, c, seq, amend)
		return planned{decision: amend, cards: again}, err
	})
}

// tried is an amendment as the decider would take it, with the tees that were left
// open filled in, for the cards that follow from it.
func tried(c *competition.State, a competition.AmendEntry) (competition.AmendEntry, error) {
	decided, err := competition.Decide(c, a)
	if err != nil {
		return a, err
	}
	return asDecided(a, decided), nil
}

// asDecided is an amendment as it was decided.
func asDecided(a competition.AmendEntry, decided []events.Event) competition.AmendEntry {
	for _, e := range decided {
		if e, ok := e.(events.EntryAmended); ok {
			a.Tee, a.Side = e.Tee, e.Side
		}
	}
	return a
}

// reissues brings the cards of an amended entry into line, those of past rounds too.
func (s *Service) reissues(ctx context.Context, id string, c *competition.State, seq events.Sequence, a competition.AmendEntry) ([]eventlog.Step, error) {
	if c.IsMatch() {
		return s.rearrange(ctx, id, c, seq, a)
	}
	var steps []eventlog.Step
	for round := 1; round <= c.Round && c.Begun(); round++ {
		k, err := s.Card(ctx, CardID(id, a.EntryID, round))
		if e := events.AsError(err); e != nil && e.Kind == events.KindNotFound {
			continue // a late entry without a place, or a round that is not open yet
		}
		if err != nil {
			return nil, err
		}
		base, err := s.grounds(ctx, id, c, seq, round)
		if err != nil {
			return nil, err
		}
		again, err := s.reissue(ctx, base, k, a)
		if err != nil {
			return nil, err
		}
		steps = append(steps, s.cardStep(k.ID, again))
	}
	return steps, nil
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
	out := competition.DecideTie{Ranking: in.Ranking, Division: in.Division, EntryIDs: in.EntryIDs, Method: in.Method, Reason: in.Reason}
	if in.Seed != nil {
		if in.Method != "lot" {
			return Done{}, events.Invalid("seed", "not_applicable", "only a lot is drawn from a seed")
		}
		out.EntryIDs, out.Seed = draw.Lot(in.EntryIDs, *in.Seed), *in.Seed
	}
	return s.onCompetition(ctx, r, id, out)
}
