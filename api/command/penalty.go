package command

import (
	"context"

	"marram.example/events"
	"marram.example/events/card"
	"marram.example/events/competition"
	eventlog "marram.example/events/log"
)

// AddPenalty puts penalty strokes on a hole of a ball, or on a round.
type AddPenalty struct {
	Ball    int    `json:"ball"`
	Hole    int    `json:"hole"` // 0 for the round
	Strokes int    `json:"strokes"`
	Rule    string `json:"rule"`
	Reason  string `json:"reason"`
	Late    bool   `json:"late"` // after the close: one that Rule 20.2e still allows
}

// lateRule says what may still be changed once a competition is closed.
const lateRule = "Rules of Golf 20.2e(2): after the close only a score returned too low, a breach known before the close, " +
	"an agreement to ignore a rule, or serious misconduct"

// AddPenalty is the use case of the same name. After the close the committee says
// that the case is one of those which the Rules still allow. The answer names the
// penalty.
func (s *Service) AddPenalty(ctx context.Context, r Request, cardID string, in AddPenalty) (Done, error) {
	if err := s.committee(r); err != nil {
		return Done{}, err
	}
	k, c, err := s.cardIn(ctx, cardID)
	if err != nil {
		return Done{}, err
	}
	add := card.AddPenalty{
		PenaltyID: shortID(10, "penalty", cardID, r.CommandID), Ball: in.Ball, Hole: in.Hole, Strokes: in.Strokes, Rule: in.Rule, Reason: in.Reason,
	}
	var done Done
	if c.Over() && !in.Late {
		refusal := events.NotNow("late", "round_closed", "the competition is closed; say that the Rules still allow this penalty").WithRule(lateRule)
		done, err = unlessKnown(ctx, s, r, cards, events.CardStream(s.club, k.State.CompetitionID, cardID), refusal)
	} else {
		done, err = s.run(ctx, r, s.cardStep(cardID, add, r.expect()...))
	}
	done.ID = add.PenaltyID
	return done, err
}

// RemovePenalty takes a penalty back.
func (s *Service) RemovePenalty(ctx context.Context, r Request, cardID, penaltyID, reason string) (Done, error) {
	return s.onCardAsCommittee(ctx, r, cardID, card.RemovePenalty{PenaltyID: penaltyID, Reason: reason})
}

// HoleOut names a hole of a round that counts for nobody, or counts again.
type HoleOut struct {
	Round  int    `json:"round"` // 0 for the present one
	Hole   int    `json:"hole"`
	Reason string `json:"reason"`
}

// ExcludeHole takes a hole out of a round, on every card of it. A hole that could
// not be played fairly is the committee's case (Committee Procedures 6); net
// scores then leave out the strokes received there too.
func (s *Service) ExcludeHole(ctx context.Context, r Request, id string, in HoleOut) (Done, error) {
	return s.onEveryCard(ctx, r, id, in, events.Score{None: events.Excluded}, func(round int) competition.Command {
		return competition.ExcludeHole{Round: round, Hole: in.Hole, Reason: in.Reason}
	})
}

// RestoreHole takes an exclusion back; what had been entered stands again.
func (s *Service) RestoreHole(ctx context.Context, r Request, id string, in HoleOut) (Done, error) {
	return s.onEveryCard(ctx, r, id, in, events.Score{}, func(round int) competition.Command {
		return competition.RestoreHole{Round: round, Hole: in.Hole, Reason: in.Reason}
	})
}

func (s *Service) onEveryCard(
	ctx context.Context, r Request, id string, in HoleOut, v events.Score, decide func(round int) competition.Command,
) (Done, error) {
	return s.onPlan(ctx, r, id, func(c *competition.State, _ events.Sequence) (planned, error) {
		round := in.Round
		if round == 0 {
			round = c.Round
		}
		out := planned{decision: decide(round)}
		if c.IsMatch() || c.IsExcluded(round, in.Hole) == (v.None != "") {
			return out, nil
		}
		all, err := s.Cards(ctx, id, c, round)
		if err != nil {
			return planned{}, err
		}
		for _, entry := range c.Order {
			if k, ok := all[entry]; ok {
				out.cards = append(out.cards, s.exclusion(k.ID, in.Hole, v, in.Reason))
			}
		}
		return out, nil
	})
}

// exclusion is the committee's value for a hole of every ball of a card.
func (s *Service) exclusion(cardID string, hole int, v events.Score, reason string) eventlog.Step {
	return s.cardStep(cardID, card.EnterScore{Hole: hole, Score: v, By: events.RoleCommittee, Reason: reason})
}

// SetConditions states the playing conditions that the association published.
type SetConditions struct {
	Round      int    `json:"round"`      // 0 for the present one
	Adjustment *int   `json:"adjustment"` // -1 to 3
	Source     string `json:"source"`
}

// SetConditions is the use case of the same name.
func (s *Service) SetConditions(ctx context.Context, r Request, id string, in SetConditions) (Done, error) {
	if err := s.committee(r); err != nil {
		return Done{}, err
	}
	if in.Adjustment == nil {
		return Done{}, events.Invalid("adjustment", "required", "state -1, 0, 1, 2 or 3 as the association published it")
	}
	return s.onPlan(ctx, r, id, func(c *competition.State, _ events.Sequence) (planned, error) {
		round := in.Round
		if round == 0 {
			round = c.Round
		}
		return planned{decision: competition.SetConditions{Round: round, Adjustment: *in.Adjustment, Source: in.Source}}, nil
	})
}
