package command

import (
	"context"

	"marram.example/events"
	"marram.example/events/card"
	"marram.example/events/competition"
	eventlog "marram.example/events/log"
	"marram.example/projections/standing"
)

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

// Cards reads the issued cards of a round, by entry id.
func (s *Service) Cards(ctx context.Context, id string, c *competition.State, round int) (map[string]CardView, error) {
	out := make(map[string]CardView, len(c.Order))
	for _, entry := range c.Order {
		cardID := CardID(id, entry, round)
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

// AllCards reads the issued cards of every round so far, by round and entry id.
func (s *Service) AllCards(ctx context.Context, id string, c *competition.State) ([]map[string]CardView, error) {
	out := make([]map[string]CardView, c.Round)
	for i := range out {
		var err error
		if out[i], err = s.Cards(ctx, id, c, i+1); err != nil {
			return nil, err
		}
	}
	return out, nil
}

// grounds reads what the figures of a round's cards are worked out from.
func (s *Service) grounds(ctx context.Context, id string, c *competition.State, seq events.Sequence, round int) (grounds, error) {
	terms := c.Terms.Round(round)
	course, courseSeq, err := s.Course(ctx, terms.CourseID)
	if err != nil {
		return grounds{}, err
	}
	return grounds{id: id, round: round, terms: terms, field: c, competition: seq, course: course, courseSeq: courseSeq}, nil
}

// OpenRound lets play begin and issues every card in the same moment.
func (s *Service) OpenRound(ctx context.Context, r Request, id string) (Done, error) {
	return s.onPlan(ctx, r, id, func(c *competition.State, seq events.Sequence) (planned, error) {
		out := planned{decision: competition.OpenRound{}}
		if c.Draw == nil || c.Phase != competition.Drawn {
			return out, nil
		}
		base, err := s.grounds(ctx, id, c, seq, c.Round)
		if err != nil {
			return planned{}, err
		}
		for _, g := range c.Draw.Groups {
			steps, err := s.openGroup(ctx, base, g)
			if err != nil {
				return planned{}, err
			}
			out.cards = append(out.cards, steps...)
		}
		return out, nil
	})
}

// openGroup issues the cards of a group, or arranges its match.
func (s *Service) openGroup(ctx context.Context, base grounds, g events.Group) ([]eventlog.Step, error) {
	if base.field.IsMatch() {
		return s.arrange(ctx, base, g)
	}
	var out []eventlog.Step
	for _, slot := range g.Places {
		steps, err := s.issueSteps(ctx, base, g, slot)
		if err != nil {
			return nil, err
		}
		out = append(out, steps...)
	}
	return out, nil
}

// issued is a card's first event for an entry.
func (s *Service) issued(ctx context.Context, base grounds, e competition.Entry, g events.Group, slot events.GroupSlot) (events.CardIssued, error) {
	balls, err := s.ballsOf(ctx, base, e)
	if err != nil {
		return events.CardIssued{}, err
	}
	t := base.terms
	return events.CardIssued{
		CompetitionID: base.id, Round: base.round, EntryID: e.ID, PlayerID: e.PlayerID, MarkerID: slot.MarkerID,
		CourseID: t.CourseID, Tee: e.Tee, Holes: balls[0].Holes, StartingHole: g.StartingHole, Format: t.Format, Figures: balls[0].Figures,
		Play: events.Play{Side: t.Side, Maximum: t.Maximum, Count: t.Count, CountBy: t.CountBy}, Partners: balls[1:],
		Date: t.DateOf(base.round, base.field.Date), Practice: t.Practice,
	}, nil
}

// ballsOf works out the balls of an entry.
func (s *Service) ballsOf(ctx context.Context, base grounds, e competition.Entry) ([]events.Ball, error) {
	players := members(e)
	seqs := make([]events.Sequence, len(players))
	for i, p := range players {
		var err error
		if _, seqs[i], err = s.Player(ctx, p.PlayerID); err != nil {
			return nil, err
		}
	}
	return base.balls(players, seqs)
}

// issueSteps issue a card, with the holes that count for nobody.
func (s *Service) issueSteps(ctx context.Context, base grounds, g events.Group, slot events.GroupSlot) ([]eventlog.Step, error) {
	e, ok := base.field.Entries[slot.EntryID]
	if !ok {
		return nil, events.Invalid("groups", "unknown", "the start sheet names an entry that is not in the field")
	}
	k, err := s.issued(ctx, base, e, g, slot)
	if err != nil {
		return nil, err
	}
	id := CardID(base.id, e.ID, base.round)
	steps := []eventlog.Step{s.cardStep(id, card.Issue{CardIssued: k})}
	for _, x := range base.field.Excluded {
		if x.Round == base.round {
			steps = append(steps, s.exclusion(id, x.Hole, events.Score{None: events.Excluded}, x.Reason))
		}
	}
	return steps, nil
}

// reissue is the command for a card whose entry is amended.
func (s *Service) reissue(ctx context.Context, base grounds, k CardView, a competition.AmendEntry) (card.Reissue, error) {
	e := base.field.Entries[a.EntryID]
	e.Tee, e.IndexTenths, e.IndexOrigin, e.Side = a.Tee, a.IndexTenths, a.IndexOrigin, a.Side
	g := events.Group{StartingHole: k.State.StartingHole}
	n, err := s.issued(ctx, base, e, g, events.GroupSlot{MarkerID: k.State.MarkerID})
	if err != nil {
		return card.Reissue{}, err
	}
	return card.Reissue{CardReissued: events.CardReissued{
		MarkerID: n.MarkerID, StartingHole: n.StartingHole, Tee: n.Tee, Holes: n.Holes, Figures: n.Figures, Reason: a.Reason, Partners: n.Partners,
	}}, nil
}

// CloseRound is the use case of the same name. Where the terms make a cut, it is
// made with it.
func (s *Service) CloseRound(ctx context.Context, r Request, id string, in CloseRound) (Done, error) {
	if err := s.committee(r); err != nil {
		return Done{}, err
	}
	c, _, err := s.Competition(ctx, id)
	if err != nil {
		return Done{}, err
	}
	if c.IsMatch() {
		return s.closeMatches(ctx, r, id, c)
	}
	all, err := s.AllCards(ctx, id, c)
	if err != nil {
		return Done{}, err
	}
	now := all[c.Round-1]
	var rulings []eventlog.Step
	closing := competition.CloseRound{Cards: standings(c, now)}
	for i := range closing.Cards {
		st := &closing.Cards[i]
		if k := now[st.EntryID]; st.Status == events.StatusInPlay && in.MissingAs != "" {
			reason := in.Reason
			if reason == "" {
				reason = "card not returned when the round was closed"
			}
			rulings = append(rulings, s.cardStep(k.ID, card.RuleStatus{Status: in.MissingAs, Reason: reason}, eventlog.Expect(k.Sequence)))
			st.Status, st.Sequence = in.MissingAs, k.Sequence+1
			k.State = card.Clone(k.State)
			k.State.Ruled = in.MissingAs
			now[st.EntryID] = k
		}
	}
	if c.Running() && c.Terms.Cut != nil && c.Terms.Cut.AfterRound == c.Round {
		if closing.Cut, err = cutOf(c, all); err != nil {
			return Done{}, err
		}
	}
	return s.run(ctx, r, append([]eventlog.Step{s.competitionStep(id, closing, r.expect()...)}, rulings...)...)
}

// standings are the cards of a round as they stand, in the order of entry.
func standings(c *competition.State, cards map[string]CardView) []events.CardStanding {
	var out []events.CardStanding
	for _, e := range c.Field() {
		if k, issued := cards[e.ID]; issued {
			out = append(out, events.CardStanding{CardID: k.ID, EntryID: e.ID, Status: k.State.Status(), Sequence: k.Sequence})
		}
	}
	return out
}

// recounted is what a round that was closed last comes to now, before the next draw.
func (s *Service) recounted(ctx context.Context, id string, c *competition.State) (*competition.State, competition.CloseRound, error) {
	now := competition.CloseRound{}
	switch {
	case c.Phase != competition.Between:
		return c, now, nil
	case c.IsMatch():
		again, err := s.Anew(ctx, id, c)
		if err != nil {
			return nil, now, err
		}
		now.Matches = again.Matches
	default:
		cards, err := s.Cards(ctx, id, c, c.Round)
		if err != nil {
			return nil, now, err
		}
		now.Cards = standings(c, cards)
	}
	after, _, err := competition.Recount(c, now.Cards, now.Matches)
	return after, now, err
}

// MakeCut makes the cut again after a card was corrected.
func (s *Service) MakeCut(ctx context.Context, r Request, id string) (Done, error) {
	return s.onPlan(ctx, r, id, func(c *competition.State, _ events.Sequence) (planned, error) {
		if c.Terms == nil || c.Terms.Cut == nil {
			return planned{}, events.NotNow("cut", "no_cut", "the terms make no cut")
		}
		all, err := s.AllCards(ctx, id, c)
		if err != nil {
			return planned{}, err
		}
		cut, err := cutOf(c, all)
		if err != nil {
			return planned{}, err
		}
		return planned{decision: competition.MakeCut{CutMade: *cut, Cards: standings(c, all[c.Round-1])}}, nil
	})
}

// cutOf works out who plays on.
func cutOf(c *competition.State, all []map[string]CardView) (*events.CutMade, error) {
	scored, err := Scored(all)
	if err != nil {
		return nil, err
	}
	cut, err := standing.Cut(c, scored)
	return &cut, domain(err)
}

// Scored scores every card of every round.
func Scored(all []map[string]CardView) (standing.Cards, error) {
	out := standing.Cards{}
	for i, round := range all {
		for entry, k := range round {
			sc, err := standing.Score(k.ID, k.Sequence, k.State)
			if err != nil {
				return nil, domain(err)
			}
			out.Put(entry, i+1, &sc)
		}
	}
	return out, nil
}

// Result works out the final result of a competition from its cards or matches.
func (s *Service) Result(ctx context.Context, id string) (events.Result, *competition.State, error) {
	c, _, err := s.Competition(ctx, id)
	if err != nil {
		return events.Result{}, nil, err
	}
	if c.Terms == nil {
		return events.Result{}, nil, events.NotNow("terms", "no_terms", "the competition has no terms yet")
	}
	if c, err = s.Anew(ctx, id, c); err != nil {
		return events.Result{}, nil, err
	}
	all, err := s.AllCards(ctx, id, c)
	if err != nil {
		return events.Result{}, nil, err
	}
	scored, err := Scored(all)
	if err != nil {
		return events.Result{}, nil, err
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
