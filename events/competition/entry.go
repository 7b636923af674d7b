package competition

import (
	"fmt"
	"slices"

	"marram.example/events"
)

// acceptEntry takes a player in at any time: one who played and was left out is
// an administrative mistake, corrected without time limit (Rules of Golf 20.2d(2)).
func acceptEntry(s *State, c AcceptEntry) ([]events.Event, error) {
	if s.Terms == nil {
		return nil, events.NotNow("terms", "no_terms", "state the terms before taking entries")
	}
	if !events.ValidToken(c.EntryID) {
		return nil, events.Invalid("entry_id", "malformed_id", "an entry id has 1 to 64 letters, digits, hyphens or underscores")
	}
	if c.PlayerID == "" {
		return nil, events.Invalid("player_id", "required", "an entry names a player")
	}
	tee, err := entryTee(s, c.Tee)
	if err != nil {
		return nil, err
	}
	if err := checkIndex(c.IndexTenths, c.IndexOrigin); err != nil {
		return nil, err
	}
	for _, e := range s.Field() {
		if e.PlayerID != c.PlayerID {
			continue
		}
		if e.ID == c.EntryID && e.Tee == tee && e.IndexTenths == c.IndexTenths && e.IndexOrigin == c.IndexOrigin {
			return nil, nil
		}
		return nil, events.Conflict("player_id", "already_entered", "this player is already entered; amend the entry instead")
	}
	if old, used := s.Entries[c.EntryID]; used && old.PlayerID != c.PlayerID {
		return nil, events.Conflict("entry_id", "entry_id_used", "another player has this entry")
	}
	if s.Terms.FieldLimit > 0 && len(s.Field()) >= s.Terms.FieldLimit {
		return nil, events.NotNow("player_id", "field_full", fmt.Sprintf("the field is limited to %d players", s.Terms.FieldLimit))
	}
	return []events.Event{events.EntryAccepted{
		EntryID: c.EntryID, PlayerID: c.PlayerID, Tee: tee, IndexTenths: c.IndexTenths, IndexOrigin: c.IndexOrigin, Late: s.Draw != nil,
	}}, nil
}

// checkIndex refuses an index that no player can have.
func checkIndex(tenths int, origin events.IndexOrigin) error {
	return firstError(
		within("index_tenths", tenths, -100, 540),
		oneOf("index_origin", string(origin), string(events.OriginOfficial), string(events.OriginClub)),
	)
}

func entryTee(s *State, tee string) (string, error) {
	if tee == "" {
		return s.Terms.Tees[0], nil
	}
	if !slices.Contains(s.Terms.Tees, tee) {
		return "", events.Invalid("tee", "unknown", fmt.Sprintf("tee %q is not played in this competition", tee))
	}
	return tee, nil
}

// entry finds an entry that is in the field.
func entry(s *State, id string) (Entry, error) {
	e, ok := s.Entries[id]
	if !ok || e.Withdrawn {
		return Entry{}, events.NotFound("entry_id", "no such entry")
	}
	return e, nil
}

func amendEntry(s *State, c AmendEntry) ([]events.Event, error) {
	e, err := entry(s, c.EntryID)
	if err != nil {
		return nil, err
	}
	if s.over() {
		return nil, events.NotNow("entry_id", "round_closed", "the round is closed")
	}
	tee, err := entryTee(s, c.Tee)
	if err != nil {
		return nil, err
	}
	if err := checkIndex(c.IndexTenths, c.IndexOrigin); err != nil {
		return nil, err
	}
	if e.Tee == tee && e.IndexTenths == c.IndexTenths && e.IndexOrigin == c.IndexOrigin {
		return nil, nil
	}
	return []events.Event{events.EntryAmended{
		EntryID: e.ID, Tee: tee, IndexTenths: c.IndexTenths, IndexOrigin: c.IndexOrigin, Reason: c.Reason,
	}}, nil
}

func withdrawEntry(s *State, c WithdrawEntry) ([]events.Event, error) {
	e, ok := s.Entries[c.EntryID]
	if !ok {
		return nil, events.NotFound("entry_id", "no such entry")
	}
	if e.Withdrawn {
		return nil, nil
	}
	// An entry without a place on the sheet has no card yet: a slip can be undone.
	if _, _, placed := s.Group(e.ID); placed && s.CardsOut() {
		return nil, events.NotNow("entry_id", "cards_out", "cards are out: rule the card WD or NS instead")
	}
	return []events.Event{events.EntryWithdrawn{EntryID: e.ID, Reason: c.Reason}}, nil
}
