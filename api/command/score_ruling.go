package command

import (
	"context"
	"fmt"
	"slices"
	"strconv"
	"strings"

	"marram.example/events"
	"marram.example/events/card"
	"marram.example/projections/handicap"
	"marram.example/projections/scoring"
	"marram.example/projections/standing"
)

// RuleScore is a hole on which a returned card does not say what was made (Rules of
// Golf 3.3b(3)).
type RuleScore struct {
	Hole           int    `json:"hole"`
	Ball           int    `json:"ball"`
	Actual         *int   `json:"actual"`          // strokes under the Rules, every penalty stroke included; null where the ball was not holed out
	UnknownPenalty int    `json:"unknown_penalty"` // of these, penalty strokes that the player did not know of when the card was returned
	Reason         string `json:"reason"`
	DryRun         bool   `json:"dry_run"` // only say how the ruling would be
}

// What a ruling on a score comes to.
const (
	ScoreDisqualified = "disqualified"  // the card
	ScoreBallOut      = "ball_out"      // the round of one ball of a team, whose other balls go on counting
	ScorePenaltyAdded = "penalty_added" // strokes that the player did not know of
	ScoreStands       = "stands"        // as returned; the committee's word for it is recorded
)

// ScoreRuling is a ruling on a score, with what was done.
type ScoreRuling struct {
	scoring.ScorecardRuling
	Outcome string
	Penalty int  // strokes that are added
	Done    Done // of a dry run: the card as it is
}

// RuleScore rules on a wrong score of a returned card and applies the ruling.
func (s *Service) RuleScore(ctx context.Context, r Request, cardID string, in RuleScore) (ScoreRuling, error) {
	if err := s.committee(r); err != nil {
		return ScoreRuling{}, err
	}
	k, c, err := s.cardIn(ctx, cardID)
	if err != nil {
		return ScoreRuling{}, err
	}
	known, refusal := Done{}, in.check(k.State)
	if refusal != nil && !in.DryRun {
		known, refusal = unlessKnown(ctx, s, r, cards, events.CardStream(s.club, k.State.CompetitionID, cardID), refusal)
	}
	if refusal != nil {
		return ScoreRuling{}, refusal
	}
	out, err := in.rule(k, c.Terms.Ranking, c.Over())
	if err != nil {
		return ScoreRuling{}, domain(err)
	}
	if known.Known {
		out.Done = known
		return out, nil
	}
	if in.DryRun {
		out.Done = Done{ID: cardID, Sequence: k.Sequence}
		return out, nil
	}
	out.Done, err = s.run(ctx, r, s.cardStep(cardID, in.apply(k, out), r.expect()...))
	if e := events.AsError(err); e != nil && e.Field == "penalty_id" {
		err = events.Conflict("hole", "ruled", "a penalty of an earlier ruling stands on this hole; take it back first")
	}
	return out, err
}

func (in RuleScore) check(k *card.State) error {
	lines := k.Lines(in.Ball)
	if in.Ball < 0 || lines == nil {
		return events.Invalid("ball", "not_on_card", fmt.Sprintf("ball %d is not on this card", in.Ball))
	}
	at, ok := k.Line(in.Hole)
	switch {
	case !ok:
		return events.Invalid("hole", "not_in_play", fmt.Sprintf("hole %d is not on this card", in.Hole))
	case in.Actual != nil && (*in.Actual < 1 || *in.Actual > card.MaxStrokes):
		return events.Invalid("actual", "out_of_range", fmt.Sprintf("%d strokes cannot be; enter 1 to %d", *in.Actual, card.MaxStrokes))
	case in.Actual == nil && in.UnknownPenalty != 0:
		return events.Invalid("unknown_penalty", "not_applicable", "a hole without a score has no penalty strokes")
	case !in.DryRun && strings.TrimSpace(in.Reason) == "":
		return events.Invalid("reason", "required", "say what came to light")
	case lines[at].Excluded():
		return events.NotNow("hole", "excluded", fmt.Sprintf("hole %d is excluded; it counts for nobody", in.Hole))
	case !k.Returned:
		return events.NotNow("card_id", "not_returned", "the card is not returned: correct the score on it").WithRule("Rules of Golf 3.3b(2)")
	}
	return nil
}

// penaltyID is the same for every ruling on a hole, so that its penalty is not
// added twice.
func (in RuleScore) penaltyID(cardID string) string {
	return shortID(10, "actual score", cardID, strconv.Itoa(in.Ball), strconv.Itoa(in.Hole))
}

func (in RuleScore) actual() scoring.Score {
	if in.Actual == nil {
		return scoring.Score{State: scoring.NoScore}
	}
	return scoring.Strokes(*in.Actual)
}

// rule works the ruling out. What an earlier ruling on the hole added is left
// aside, so that the same request says the same again.
func (in RuleScore) rule(k CardView, ranking string, closed bool) (ScoreRuling, error) {
	c := card.Clone(k.State)
	c.Penalties = slices.DeleteFunc(c.Penalties, func(p card.Penalty) bool { return p.ID == in.penaltyID(k.ID) })
	format, err := scoring.FormatByName(c.Format)
	if err != nil {
		return ScoreRuling{}, err
	}
	at, _ := c.Line(in.Hole)
	h := c.Lines(in.Ball)[at]
	returned := scoring.Score{State: scoring.NoScore}
	if n := h.Counting().Strokes; n > 0 {
		returned = scoring.Strokes(n + c.PenaltyOn(in.Ball, in.Hole))
	}
	hole := scoring.ReturnedScore{
		Returned: returned, Actual: in.actual(), UnknownPenalty: in.UnknownPenalty, Closed: closed,
		Par: h.Par, Received: h.Received, Maximum: c.Maximum,
	}
	ruling, err := scoring.RuleOnScore(format, hole)
	if err != nil {
		return ScoreRuling{}, err
	}
	out := ScoreRuling{ScorecardRuling: ruling, Outcome: ScoreStands}
	switch {
	case ruling.Disqualified:
		return in.disqualify(out, c, format, ranking, returned)
	case returned.State == scoring.Holed && in.UnknownPenalty > 0 && !closed:
		out.Outcome, out.Penalty = ScorePenaltyAdded, in.UnknownPenalty
	}
	return out, nil
}

// disqualify looks at the side: a wrong score that changes nothing for it leaves it
// unharmed, and a team goes on without the round of the one ball where not all of
// them count.
func (in RuleScore) disqualify(out ScoreRuling, c *card.State, format scoring.Format, ranking string, returned scoring.Score) (ScoreRuling, error) {
	out.Outcome = ScoreDisqualified
	if c.Balls() == 1 {
		return out, nil
	}
	same, err := in.sameForSide(c, format, ranking)
	if err != nil {
		return out, err
	}
	switch {
	case same:
		out.Outcome, out.Disqualified = ScoreStands, false
		out.Strokes = returned.Strokes
		out.Words = append(out.Words[:len(out.Words)-1:len(out.Words)-1], handicap.Line{
			Label: "Side", Arithmetic: "the side counts the same with the actual score: unharmed", Rule: "Rules of Golf 23.2, 24.2",
		})
	case c.Side == events.SideBestOf:
		out.Outcome = ScoreBallOut
		out.Words = append(out.Words, handicap.Line{
			Label: "Team", Arithmetic: "the round of this ball is out; the others go on counting", Rule: "Rules of Golf 24.2, Clarification 24.2/1",
		})
	}
	return out, nil
}

// sameForSide reports whether the side's total is the same with what the player
// should have returned.
func (in RuleScore) sameForSide(c *card.State, format scoring.Format, ranking string) (bool, error) {
	basis := scoring.Net
	if ranking == standing.Gross {
		basis = scoring.Gross
	}
	balls := standing.Input(c)
	before, err := scoring.ScoreSide(format, c.Play, balls, basis)
	if err != nil {
		return false, err
	}
	known := in.actual()
	if known.State == scoring.Holed {
		known = scoring.Strokes(known.Strokes - in.UnknownPenalty)
	}
	ball := &balls[in.Ball]
	for place, number := range ball.Holes {
		if number == in.Hole {
			ball.Scores = slices.Clone(ball.Scores)
			ball.Scores[place] = known
		}
	}
	ball.Penalties = nil // they are in the actual score
	if len(c.Penalties) > 0 {
		ball.Penalties = make([]int, len(ball.Holes))
		for place, number := range ball.Holes {
			if number != in.Hole {
				ball.Penalties[place] = c.PenaltyOn(in.Ball, number)
			}
		}
	}
	after, err := scoring.ScoreSide(format, c.Play, balls, basis)
	if err != nil {
		return false, err
	}
	return before.Value == after.Value && before.Complete == after.Complete, nil
}

// apply is the command that carries a ruling out.
func (in RuleScore) apply(k CardView, out ScoreRuling) card.Command {
	lines := k.State.Lines(in.Ball)
	why := fmt.Sprintf("Rules of Golf 3.3b(3), hole %d: %s", in.Hole, in.Reason)
	switch out.Outcome {
	case ScoreDisqualified:
		return card.RuleStatus{Status: events.StatusDisqualified, Reason: why}
	case ScoreBallOut:
		scores := make([]events.Score, len(lines))
		for i, h := range lines {
			if !h.Excluded() {
				scores[i] = events.Score{None: events.NoScore}
			}
		}
		return card.EnterCard{Ball: in.Ball, Scores: scores, By: events.RoleCommittee, Confirmed: true, Reason: why}
	case ScorePenaltyAdded:
		return card.AddPenalty{
			PenaltyID: in.penaltyID(k.ID), Ball: in.Ball, Hole: in.Hole, Strokes: out.Penalty, Rule: "Rules of Golf 3.3b(3)", Reason: in.Reason,
		}
	default:
		return card.Uphold{Ball: in.Ball, Hole: in.Hole, Reason: why}
	}
}
