package record

import (
	"errors"
	"fmt"
	"slices"

	"marram.example/events"
	"marram.example/events/card"
	"marram.example/projections/handicap"
)

// leaves says why a card is no part of the player's record, or nil.
func (c Card) leaves(playerID string) *LeftOut {
	s := c.State
	formats := []string{events.StrokePlay, events.Stableford, events.MaximumScore, events.ParBogey}
	switch status := s.Status(); {
	case s.Practice:
		return c.out("a practice round: the review of the strokes may be shown while it is played", "Rules of Golf 4.3a")
	case s.Side != "" || len(s.Partners) > 0 || len(s.Figures.Shares) > 0 || s.PlayerID != playerID:
		return c.out("played as one of a side: only rounds of the player’s own are in the record", "")
	case !slices.Contains(formats, s.Format):
		return c.out("this format is not in the record", "")
	case status == events.StatusDisqualified, status == events.StatusNoShow, status == events.StatusWithdrew:
		return c.out(left[status], "")
	case !s.Returned && status != events.StatusNoReturn && status != events.StatusRetired:
		return c.out("the card is not returned", "")
	}
	return nil
}

var left = map[string]string{
	events.StatusDisqualified: "disqualified", events.StatusNoShow: "did not start", events.StatusWithdrew: "withdrew",
}

func (c Card) out(reason, rule string) *LeftOut {
	return &LeftOut{CardID: c.ID, CompetitionID: c.CompetitionID, Competition: c.Competition, Number: c.State.Round, Date: c.Date, Reason: reason, Rule: rule}
}

// refused leaves a card out for what the arithmetic says about it.
func (c Card) refused(err error) *LeftOut {
	var in *handicap.InputError
	if errors.As(err, &in) {
		return c.out(in.Problem, in.Rule)
	}
	return c.out(err.Error(), "")
}

// score works out the adjusted gross score of a card and what the record takes of
// it, or says why it takes nothing.
func (c Card) score(index inEffect) (Round, handicap.Round, *LeftOut) {
	s := c.State
	rating, slope := handicap.Rating(s.Figures.CourseRatingTenths), handicap.Slope(s.Figures.SlopeRating)
	shown := Round{
		CardID: c.ID, CompetitionID: c.CompetitionID, Competition: c.Competition, Number: s.Round, Date: c.Date, Format: s.Format, Tee: s.Tee,
		Holes: len(s.Holes), CourseRatingTenths: int(rating), SlopeRating: int(slope), Explanation: handicap.Explanation{index.line},
	}
	counted := handicap.Round{Date: c.Date, Holes: len(s.Holes), Rating: rating, Slope: slope}
	if index.official {
		counted.InEffect = index.index
	}
	score := handicap.ScoreForHandicap{Holes: holesOf(s)}
	for _, h := range s.Holes {
		score.Par, score.StrokeIndex = append(score.Par, h.Par), append(score.StrokeIndex, h.StrokeIndex)
	}
	if index.index != nil {
		term := handicap.WithRatingLessPar
		if c.LeaveOutPar {
			term = handicap.WithoutRatingLessPar
		}
		course, lines, err := handicap.CourseHandicap(len(s.Holes), *index.index, slope, rating, s.Figures.Par, term)
		if err != nil {
			return shown, counted, c.refused(err)
		}
		score.Course = &course
		shown.Explanation = append(shown.Explanation, lines...)
	}
	adjusted, err := score.Adjust()
	if err != nil {
		return shown, counted, c.refused(err)
	}
	shown.Played = adjusted.Played
	shown.Explanation = append(shown.Explanation, numbered(adjusted, s)...)
	if adjusted.Total == nil {
		counted.Unavailable = adjusted.Reason
		return shown, counted, nil
	}
	total := *adjusted.Total
	if n := s.RoundPenalty(0); n > 0 {
		shown.Explanation = append(shown.Explanation, handicap.Line{
			Label: "Penalty strokes of the round", Arithmetic: fmt.Sprintf("%d + %d = %d, on no hole and so without a maximum", total, n, total+n),
			Rule: "Rules of Handicapping, definition of adjusted gross score: penalty strokes included (from memory)",
		})
		total += n
	}
	shown.AdjustedGross = &total
	counted.PCC = c.conditions(&shown)
	if _, _, err := handicap.ScoreDifferential(counted.Holes, total, rating, slope, counted.PCC); err != nil {
		counted.Unavailable = "the figures give no score differential: " + c.refused(err).Reason
		return shown, counted, nil
	}
	counted.AdjustedGross = total
	return shown, counted, nil
}

// holesOf is the gross score of each hole, penalty strokes included. What was not
// scored, and what the committee excluded, was not played; a hole picked up on was
// started.
func holesOf(s *card.State) []handicap.HoleForHandicap {
	out := make([]handicap.HoleForHandicap, len(s.Holes))
	for i, h := range s.Holes {
		switch v := h.Counting(); {
		case v.Strokes > 0:
			out[i] = handicap.HoleForHandicap{State: handicap.HoledOut, Strokes: v.Strokes + s.PenaltyOn(0, h.Number)}
		case v.None == events.PickedUp:
			out[i] = handicap.HoleForHandicap{State: handicap.Started}
		}
	}
	return out
}

// numbered is the sum of the adjusted gross score with the numbers of the holes in
// place of their places on the card.
func numbered(adjusted handicap.AdjustedGross, s *card.State) handicap.Explanation {
	lines := slices.Clone(adjusted.Explanation)
	at := 0
	for i, h := range adjusted.Holes {
		if h.Why == "" {
			continue
		}
		place := fmt.Sprintf("Hole at place %d", i+1)
		for at < len(lines) && lines[at].Label != place {
			at++
		}
		if at < len(lines) {
			lines[at].Label = fmt.Sprintf("Hole %d", s.Holes[i].Number)
		}
	}
	return lines
}

// conditions are those of the day, 0 while they are pending.
func (c Card) conditions(shown *Round) int {
	line := handicap.Line{Label: "Playing conditions", Rule: "Rules of Handicapping 5.6: worked out by the association alone"}
	if c.Conditions == nil {
		line.Arithmetic = "pending: the association’s figure for the day is not entered, and 0 is used until it is"
		shown.Explanation = append(shown.Explanation, line)
		return 0
	}
	n := c.Conditions.Adjustment
	shown.PlayingConditions = &n
	line.Arithmetic = fmt.Sprintf("%+d, from %s", n, c.Conditions.Source)
	if n == 0 {
		line.Arithmetic = "0, from " + c.Conditions.Source
	}
	shown.Explanation = append(shown.Explanation, line)
	return n
}
