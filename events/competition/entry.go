package competition

import (
	"fmt"
	"slices"
	"strings"
	"unicode/utf8"

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
	e, err := side(s, Entry{
		ID: c.EntryID, PlayerID: c.PlayerID, Tee: c.Tee, IndexTenths: c.IndexTenths, IndexOrigin: c.IndexOrigin, Side: c.Side,
	})
	if err != nil {
		return nil, err
	}
	old, used := s.Entries[c.EntryID]
	if used && !old.Withdrawn && same(old, e) {
		return nil, nil
	}
	switch {
	case len(s.Past) > 0 || s.Phase == Between:
		return nil, events.NotNow("player_id", "round_over", "the first round is over")
	case s.IsMatch() && s.CardsOut():
		return nil, events.NotNow("player_id", "matches_arranged", "the matches are arranged; nobody can be added to their draw")
	}
	if err := unentered(s, "", e); err != nil {
		return nil, err
	}
	if used && old.PlayerID != c.PlayerID {
		return nil, events.Conflict("entry_id", "entry_id_used", "another player has this entry")
	}
	if s.Terms.FieldLimit > 0 && len(s.Field()) >= s.Terms.FieldLimit {
		return nil, events.NotNow("player_id", "field_full", fmt.Sprintf("the field is limited to %d entries", s.Terms.FieldLimit))
	}
	return []events.Event{events.EntryAccepted{
		EntryID: e.ID, PlayerID: e.PlayerID, Tee: e.Tee, IndexTenths: e.IndexTenths, IndexOrigin: e.IndexOrigin,
		Late: s.Draw != nil, Side: e.Side,
	}}, nil
}

// side checks who plays for an entry and fills in the tees left open.
func side(s *State, e Entry) (Entry, error) {
	var err error
	if e.Tee, err = entryTee(s, "tee", e.Tee); err != nil {
		return e, err
	}
	if err := checkIndex("", e.IndexTenths, e.IndexOrigin); err != nil {
		return e, err
	}
	want := s.Terms.Players()
	if want != 1+len(e.Partners) {
		return e, events.Invalid("partners", "side_size", fmt.Sprintf("an entry has %d player(s) here, not %d", want, 1+len(e.Partners)))
	}
	e.TeamName = strings.TrimSpace(e.TeamName)
	if want == 1 && e.TeamName != "" {
		return e, events.Invalid("team_name", "not_applicable", "a single player has no team name")
	}
	if utf8.RuneCountInString(e.TeamName) > 60 {
		return e, events.Invalid("team_name", "too_long", "a team name has at most 60 characters")
	}
	e.Partners = slices.Clone(e.Partners)
	all := []string{e.PlayerID}
	for i := range e.Partners {
		p, field := &e.Partners[i], fmt.Sprintf("partners[%d].", i)
		if p.PlayerID == "" || slices.Contains(all, p.PlayerID) {
			return e, events.Invalid(field+"player_id", "duplicate", "the players of a side are different people")
		}
		all = append(all, p.PlayerID)
		if p.Tee, err = entryTee(s, field+"tee", p.Tee); err != nil {
			return e, err
		}
		if err := checkIndex(field, p.IndexTenths, p.IndexOrigin); err != nil {
			return e, err
		}
	}
	return e, nil
}

// unentered refuses players who play for another entry already.
func unentered(s *State, except string, e Entry) error {
	for i, player := range e.Players() {
		for _, o := range s.Field() {
			if o.ID == except || !slices.Contains(o.Players(), player) {
				continue
			}
			field := "player_id"
			if i > 0 {
				field = fmt.Sprintf("partners[%d].player_id", i-1)
			}
			return events.Conflict(field, "already_entered", "this player is already entered; amend the entry instead")
		}
	}
	return nil
}

// same reports whether two entries say the same about who plays from where.
func same(a, b Entry) bool {
	return a.Tee == b.Tee && a.IndexTenths == b.IndexTenths && a.IndexOrigin == b.IndexOrigin && a.TeamName == b.TeamName &&
		slices.Equal(a.Players(), b.Players()) && slices.Equal(a.Partners, b.Partners)
}

// checkIndex refuses an index that no player can have.
func checkIndex(prefix string, tenths int, origin events.IndexOrigin) error {
	return firstError(
		within(prefix+"index_tenths", tenths, -100, 540),
		oneOf(prefix+"index_origin", string(origin), string(events.OriginOfficial), string(events.OriginClub)),
	)
}

func entryTee(s *State, field, tee string) (string, error) {
	if tee == "" {
		return s.Terms.Tees[0], nil
	}
	if !slices.Contains(s.Terms.Tees, tee) {
		return "", events.Invalid(field, "unknown", fmt.Sprintf("tee %q is not played in this competition", tee))
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
	n := e
	n.Tee, n.IndexTenths, n.IndexOrigin, n.Side = c.Tee, c.IndexTenths, c.IndexOrigin, c.Side
	if n, err = side(s, n); err != nil {
		return nil, err
	}
	if same(e, n) {
		return nil, nil
	}
	if err := unentered(s, e.ID, n); err != nil {
		return nil, err
	}
	if s.Begun() && !s.Running() && strings.TrimSpace(c.Reason) == "" {
		return nil, events.Invalid("reason", "required", "say why an entry is changed after its round").
			WithRule("Rules of Golf 20.2d(2): administrative mistakes are corrected without time limit")
	}
	return []events.Event{events.EntryAmended{
		EntryID: e.ID, Tee: n.Tee, IndexTenths: n.IndexTenths, IndexOrigin: n.IndexOrigin, Reason: c.Reason, Side: n.Side,
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
	if s.IsMatch() && s.Terms.Match.Bracket == RoundRobin && s.CardsOut() {
		return nil, events.NotNow("entry_id", "matches_arranged", "the schedule of the round robin holds for everybody in it: rule on the matches of this entry instead")
	}
	// An entry without a place on the sheet has no card yet: a slip can be undone.
	if _, _, placed := s.Group(e.ID); len(s.Past) > 0 || placed && s.CardsOut() {
		return nil, events.NotNow("entry_id", "cards_out", "cards are out: rule the card WD or NS instead")
	}
	return []events.Event{events.EntryWithdrawn{EntryID: e.ID, Reason: c.Reason}}, nil
}
