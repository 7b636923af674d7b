package competition

import (
	"fmt"
	"slices"
	"strings"

	"marram.example/events"
)

// setConditions records what the association published for the day of a round.
func setConditions(s *State, c SetConditions) ([]events.Event, error) {
	if err := checkRound(s, c.Round); err != nil {
		return nil, err
	}
	if c.Adjustment < -1 || c.Adjustment > 3 {
		return nil, events.Invalid("adjustment", "out_of_range", fmt.Sprintf("%d lies outside -1 to 3", c.Adjustment)).
			WithRule("Rules of Handicapping 5.6")
	}
	if strings.TrimSpace(c.Source) == "" {
		return nil, events.Invalid("source", "required", "say where the association published it")
	}
	if old, set := s.Conditions[c.Round]; set && old == (Conditions{Adjustment: c.Adjustment, Source: c.Source}) {
		return nil, nil
	}
	return []events.Event{events.PlayingConditionsSet{Round: c.Round, Adjustment: c.Adjustment, Source: c.Source}}, nil
}

// checkRound refuses a round of which no card is out yet.
func checkRound(s *State, round int) error {
	if round < 1 || round > s.Round || round == s.Round && !s.CardsOut() {
		return events.NotNow("round", "not_begun", fmt.Sprintf("round %d has not begun", round))
	}
	return nil
}

func excludeHole(s *State, c ExcludeHole) ([]events.Event, error) {
	if err := checkRound(s, c.Round); err != nil {
		return nil, err
	}
	if s.IsMatch() {
		return nil, events.NotNow("hole", "not_applicable", "in match play a hole is tied or conceded, not excluded")
	}
	inPlay := s.Terms.Round(c.Round).Holes
	if !slices.Contains(inPlay, c.Hole) {
		return nil, events.Invalid("hole", "not_in_play", fmt.Sprintf("hole %d is not in play", c.Hole))
	}
	if strings.TrimSpace(c.Reason) == "" {
		return nil, events.Invalid("reason", "required", "say why the hole counts for nobody")
	}
	if s.IsExcluded(c.Round, c.Hole) {
		return nil, nil
	}
	out := 0
	for _, x := range s.Excluded {
		if x.Round == c.Round {
			out++
		}
	}
	if out+1 == len(inPlay) {
		return nil, events.NotNow("hole", "last_hole", "one hole has to count")
	}
	return []events.Event{events.HoleExcluded{Round: c.Round, Hole: c.Hole, Reason: c.Reason}}, nil
}

func restoreHole(s *State, c RestoreHole) ([]events.Event, error) {
	if !s.IsExcluded(c.Round, c.Hole) {
		return nil, nil
	}
	if strings.TrimSpace(c.Reason) == "" {
		return nil, events.Invalid("reason", "required", "say why the hole counts again")
	}
	return []events.Event{events.HoleRestored{Round: c.Round, Hole: c.Hole, Reason: c.Reason}}, nil
}
