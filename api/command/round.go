package command

import (
	"context"

	"marram.example/events"
	"marram.example/events/card"
	"marram.example/events/competition"
	eventlog "marram.example/events/log"
	"marram.example/projections/standing"
)

const firstRound = 1

// CloseRound ends a round. MissingAs rules every card that is still out (NR or
// another ruling); empty refuses while any is.
type CloseRound struct {
	MissingAs string `json:"missing_as"`
	Reason    string `json:"reason"`
}

// CardView is a card as read from the log.
type CardView struct {
	ID       string
	Sequence events.Sequence
	State    *card.State
}

// Cards reads the issued cards of a competition, by entry id.
func (s *Service) Cards(ctx context.Context, id string, c *competition.State) (map[string]CardView, error) {
	out := make(map[string]CardView, len(c.Order))
	for _, entry := range c.Order {
		cardID := CardID(id, entry, firstRound)
		k, v, err := eventlog.Load(ctx, s.log, cards, events.CardStream(s.club, id, cardID))
		if err != nil {
			return nil, err
		}
		if k.Exists() {
			out[entry] = CardView{ID: cardID, Sequence: v.Sequence, State: k}
		}
	}
	return out, nil
}

// grounds reads what the figures of a competition's cards are worked out from.
func (s *Service) grounds(ctx context.Context, id string, c *competition.State, seq events.Sequence) (grounds, error) {
	course, courseSeq, err := s.Course(ctx, c.Terms.CourseID)
	if err != nil {
		return grounds{}, err
	}
	return grounds{id: id, field: c, competition: seq, course: course, courseSeq: courseSeq}, nil
}

// OpenRound lets play begin and issues every card in the same moment.
func (s *Service) OpenRound(ctx context.Context, r Request, id string) (Done, error) {
	return s.onPlan(ctx, r, id, func(c *competition.State, seq events.Sequence) (planned, error) {
		out := planned{decision: competition.OpenRound{}}
		if c.Draw == nil || c.Phase != competition.Drawn {
			return out, nil
		}
		base, err := s.grounds(ctx, id, c, seq)
		if err != nil {
			return planned{}, err
		}
		for _, g := range c.Draw.Groups {
			for _, slot := range g.Places {
				step, err := s.issueStep(ctx, base, g, slot)
				if err != nil {
					return planned{}, err
				}
				out.cards = append(out.cards, step)
			}
		}
		return out, nil
	})
}

// issued is a card's first event for an entry.
func (s *Service) issued(ctx context.Context, base grounds, e competition.Entry, g events.Group, slot events.GroupSlot) (events.CardIssued, error) {
	_, playerSeq, err := s.Player(ctx, e.PlayerID)
	if err != nil {
		return events.CardIssued{}, err
	}
	figures, holes, err := base.figures(e, playerSeq)
	if err != nil {
		return events.CardIssued{}, err
	}
	terms := base.field.Terms
	return events.CardIssued{
		CompetitionID: base.id, Round: firstRound, EntryID: e.ID, PlayerID: e.PlayerID, MarkerID: slot.MarkerID,
		CourseID: terms.CourseID, Tee: e.Tee, Holes: holes, StartingHole: g.StartingHole, Format: terms.Format, Figures: figures,
	}, nil
}

func (s *Service) issueStep(ctx context.Context, base grounds, g events.Group, slot events.GroupSlot) (eventlog.Step, error) {
	e, ok := base.field.Entries[slot.EntryID]
	if !ok {
		return nil, events.Invalid("groups", "unknown", "the start sheet names an entry that is not in the field")
	}
	k, err := s.issued(ctx, base, e, g, slot)
	if err != nil {
		return nil, err
	}
	return s.cardStep(CardID(base.id, e.ID, firstRound), card.Issue{CardIssued: k}), nil
}

// reissue is the command for a card whose entry is amended.
func (s *Service) reissue(ctx context.Context, base grounds, a competition.AmendEntry) (card.Reissue, error) {
	e := base.field.Entries[a.EntryID]
	e.Tee, e.IndexTenths, e.IndexOrigin = a.Tee, a.IndexTenths, a.IndexOrigin
	g, slot, _ := base.field.Group(a.EntryID)
	k, err := s.issued(ctx, base, e, g, slot)
	if err != nil {
		return card.Reissue{}, err
	}
	return card.Reissue{CardReissued: events.CardReissued{
		MarkerID: k.MarkerID, StartingHole: k.StartingHole, Tee: k.Tee, Holes: k.Holes, Figures: k.Figures, Reason: a.Reason,
	}}, nil
}

// CloseRound is the use case of the same name.
func (s *Service) CloseRound(ctx context.Context, r Request, id string, in CloseRound) (Done, error) {
	if err := s.committee(r); err != nil {
		return Done{}, err
	}
	c, _, err := s.Competition(ctx, id)
	if err != nil {
		return Done{}, err
	}
	out, err := s.Cards(ctx, id, c)
	if err != nil {
		return Done{}, err
	}
	var rulings []eventlog.Step
	var standings []events.CardStanding
	for _, e := range c.Field() {
		k, issued := out[e.ID]
		if !issued {
			continue
		}
		st := events.CardStanding{CardID: k.ID, EntryID: e.ID, Status: k.State.Status(), Sequence: k.Sequence}
		if st.Status == events.StatusInPlay && in.MissingAs != "" {
			reason := in.Reason
			if reason == "" {
				reason = "card not returned when the round was closed"
			}
			rulings = append(rulings, s.cardStep(k.ID, card.RuleStatus{Status: in.MissingAs, Reason: reason}, eventlog.Expect(k.Sequence)))
			st.Status, st.Sequence = in.MissingAs, k.Sequence+1
		}
		standings = append(standings, st)
	}
	closing := s.competitionStep(id, competition.CloseRound{Cards: standings}, r.expect()...)
	return s.run(ctx, r, append([]eventlog.Step{closing}, rulings...)...)
}

// Result works out the final result of a competition from its cards.
func (s *Service) Result(ctx context.Context, id string) (events.Result, *competition.State, error) {
	c, _, err := s.Competition(ctx, id)
	if err != nil {
		return events.Result{}, nil, err
	}
	if c.Terms == nil {
		return events.Result{}, nil, events.NotNow("terms", "no_terms", "the competition has no terms yet")
	}
	out, err := s.Cards(ctx, id, c)
	if err != nil {
		return events.Result{}, nil, err
	}
	scored := make(map[string]*standing.Scored, len(out))
	for entry, k := range out {
		sc, err := standing.Score(k.ID, k.Sequence, k.State)
		if err != nil {
			return events.Result{}, nil, domain(err)
		}
		scored[entry] = &sc
	}
	res, err := standing.Result(c, scored)
	return res, c, domain(err)
}

// Publish makes the result stand.
func (s *Service) Publish(ctx context.Context, r Request, id string) (Done, error) {
	if err := s.committee(r); err != nil {
		return Done{}, err
	}
	res, _, err := s.Result(ctx, id)
	if err != nil {
		return Done{}, err
	}
	return s.run(ctx, r, s.competitionStep(id, competition.PublishResult{Result: res}, r.expect()...))
}

// Revise replaces a published result by one worked out anew.
func (s *Service) Revise(ctx context.Context, r Request, id, reason string) (Done, error) {
	if err := s.committee(r); err != nil {
		return Done{}, err
	}
	res, _, err := s.Result(ctx, id)
	if err != nil {
		return Done{}, err
	}
	return s.run(ctx, r, s.competitionStep(id, competition.ReviseResult{Result: res, Reason: reason}, r.expect()...))
}
