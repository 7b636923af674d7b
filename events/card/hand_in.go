package card

import (
	"fmt"
	"slices"
	"strings"

	"marram.example/events"
)

func certify(s *State, c Certify) ([]events.Event, error) {
	if c.By != events.RolePlayer && c.By != events.RoleMarker {
		return nil, events.Forbidden("role", "player and marker certify a card")
	}
	if s.Returned {
		return nil, events.NotNow("card_id", "card_returned", "the card is returned")
	}
	if s.Ruled != "" {
		return nil, events.NotNow("card_id", "card_ruled", fmt.Sprintf("the committee ruled this card %s", s.Ruled))
	}
	if err := complete(s); err != nil {
		return nil, err
	}
	if c.By == events.RoleMarker && s.CertifiedMarker || c.By == events.RolePlayer && s.CertifiedPlayer {
		return nil, nil
	}
	return []events.Event{events.CardCertified{By: c.By, Keeper: c.Keeper}}, nil
}

// hand returns the card. A phone card is in when both have certified and the
// player presses return.
func hand(s *State, c Return) ([]events.Event, error) {
	if s.Returned {
		return nil, nil
	}
	if s.Ruled != "" {
		return nil, events.NotNow("card_id", "card_ruled", fmt.Sprintf("the committee ruled this card %s", s.Ruled))
	}
	if err := complete(s); err != nil {
		return nil, err
	}
	if !s.CertifiedPlayer {
		return nil, events.NotNow("certified_player", "not_certified", "the player has not certified the card").WithRule("Rules of Golf 3.3b(2)")
	}
	if !s.CertifiedMarker {
		return nil, events.NotNow("certified_marker", "not_certified", "the marker has not certified the card").WithRule("Rules of Golf 3.3b(1)")
	}
	if c.Receipt == "" {
		return nil, events.Invalid("receipt", "required", "a return has a receipt code")
	}
	return withNoReturn(s, []events.Event{events.CardReturned{Receipt: c.Receipt}}), nil
}

func reopen(s *State, c Reopen) ([]events.Event, error) {
	if !s.Returned && s.Ruled == "" {
		return nil, events.NotNow("card_id", "in_play", "the card is in play already")
	}
	if strings.TrimSpace(c.Reason) == "" {
		return nil, events.Invalid("reason", "required", "say why the card is reopened")
	}
	return []events.Event{events.CardReopened{Reason: c.Reason}}, nil
}

func ruleStatus(s *State, c RuleStatus) ([]events.Event, error) {
	rulings := []string{
		events.StatusNoReturn, events.StatusRetired, events.StatusWithdrew, events.StatusNoShow, events.StatusDisqualified, events.StatusInPlay,
	}
	if !slices.Contains(rulings, c.Status) {
		return nil, events.Invalid("status", "unknown", fmt.Sprintf("%q is not a ruling; use NR, RTD, WD, NS, DQ or in_play", c.Status))
	}
	if strings.TrimSpace(c.Reason) == "" {
		return nil, events.Invalid("reason", "required", "say why")
	}
	if c.Status == s.Ruled && c.Reason == s.RuledReason || c.Status == events.StatusInPlay && s.Ruled == "" {
		return nil, nil
	}
	if lacks := s.lacking(); lacks != "" && c.Status == events.StatusInPlay && s.Ruled == events.StatusNoReturn {
		return nil, events.NotNow("status", "hole_missing", lacks+": enter it or reopen the card").
			WithRule("Rules of Golf 3.3c")
	}
	if c.Status == events.StatusNoShow && s.scored() {
		return nil, events.NotNow("status", "has_scores", "a card with scores is no no-show; use RTD or NR")
	}
	out := []events.Event{events.CardStatusRuled{Status: c.Status, Reason: c.Reason}}
	if c.Status == events.StatusInPlay {
		return withNoReturn(s, out), nil // under the ruling the card may lack a score
	}
	return out, nil
}
