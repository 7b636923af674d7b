package player

import (
	"fmt"
	"slices"

	"marram.example/events"
)

// Share is who may read the player's reviews. For whom is only here sealed.
type Share struct {
	ID        string `json:"id"`
	Sealed    []byte `json:"sealed"`
	Withdrawn bool   `json:"withdrawn,omitempty"`
}

// Note is what somebody with a share wrote for the player, sealed.
type Note struct {
	ID      string `json:"id"`
	ShareID string `json:"share_id"`
	CardID  string `json:"card_id,omitempty"` // the round it is about; empty for all of them
	Sealed  []byte `json:"sealed"`
}

// ShareReview lets somebody read the player's reviews.
type ShareReview struct {
	ShareID string // chosen by who asks; the same again shares nothing new
	Sealed  []byte
}

// WithdrawShare ends that. Notes written with the share stay until they are removed.
type WithdrawShare struct{ ShareID string }

// AddNote keeps a note of somebody with a share.
type AddNote struct {
	NoteID  string
	ShareID string
	CardID  string
	Sealed  []byte
}

// RemoveNote takes a note off: its writer's, by the share, or any of them by the
// player.
type RemoveNote struct {
	NoteID  string
	ShareID string // empty for the player
}

// The most that one player can have at a time.
const (
	MostShares = 20 // that are not withdrawn
	MostNotes  = 500
)

// Share finds a share that has not been withdrawn.
func (s *State) Share(id string) (Share, bool) {
	i := slices.IndexFunc(s.Shares, func(x Share) bool { return x.ID == id && !x.Withdrawn })
	if i < 0 {
		return Share{}, false
	}
	return s.Shares[i], true
}

func shareReview(s *State, c ShareReview) ([]events.Event, error) {
	open := 0
	for _, x := range s.Shares {
		if x.ID == c.ShareID {
			return nil, nil
		}
		if !x.Withdrawn {
			open++
		}
	}
	switch {
	case c.ShareID == "":
		return nil, events.Invalid("share_id", "required", "a share has an id")
	case len(c.Sealed) == 0:
		return nil, events.Invalid("for", "required", "say for whom it is")
	case open >= MostShares:
		return nil, events.NotNow("share_id", "too_many", fmt.Sprintf("%d people can read your reviews already; withdraw one of them first", MostShares))
	}
	return []events.Event{events.ReviewShared{ShareID: c.ShareID, Sealed: c.Sealed}}, nil
}

func withdrawShare(s *State, c WithdrawShare) ([]events.Event, error) {
	i := slices.IndexFunc(s.Shares, func(x Share) bool { return x.ID == c.ShareID })
	switch {
	case i < 0:
		return nil, events.NotFound("share_id", "there is no such share")
	case s.Shares[i].Withdrawn:
		return nil, nil
	}
	return []events.Event{events.ReviewShareWithdrawn{ShareID: c.ShareID}}, nil
}

func addNote(s *State, c AddNote) ([]events.Event, error) {
	if slices.ContainsFunc(s.Notes, func(n Note) bool { return n.ID == c.NoteID }) {
		return nil, nil
	}
	switch _, shared := s.Share(c.ShareID); {
	case c.NoteID == "":
		return nil, events.Invalid("note_id", "required", "a note has an id")
	case !shared:
		return nil, notShared()
	case len(c.Sealed) == 0:
		return nil, events.Invalid("text", "required", "a note has words")
	case len(s.Notes) >= MostNotes:
		return nil, events.NotNow("note_id", "too_many", fmt.Sprintf("a player keeps at most %d notes; remove old ones first", MostNotes))
	}
	return []events.Event{events.CoachNoteAdded{NoteID: c.NoteID, ShareID: c.ShareID, CardID: c.CardID, Sealed: c.Sealed}}, nil
}

func notShared() error {
	return events.Forbidden("forbidden", "the player no longer shares reviews with you")
}

func removeNote(s *State, c RemoveNote) ([]events.Event, error) {
	i := slices.IndexFunc(s.Notes, func(n Note) bool { return n.ID == c.NoteID })
	switch {
	case i < 0:
		return nil, events.NotFound("note_id", "there is no such note")
	case c.ShareID == "":
	case s.Notes[i].ShareID != c.ShareID:
		return nil, events.Forbidden("forbidden", "another coach wrote this note")
	default:
		if _, shared := s.Share(c.ShareID); !shared {
			return nil, notShared()
		}
	}
	return []events.Event{events.CoachNoteRemoved{NoteID: c.NoteID}}, nil
}

func evolveShares(s *State, e events.Event) {
	switch e := e.(type) {
	case events.ReviewShared:
		s.Shares = append(s.Shares, Share{ID: e.ShareID, Sealed: e.Sealed})
	case events.ReviewShareWithdrawn:
		for i := range s.Shares {
			if s.Shares[i].ID == e.ShareID {
				s.Shares[i].Withdrawn = true
			}
		}
	case events.CoachNoteAdded:
		s.Notes = append(s.Notes, Note{ID: e.NoteID, ShareID: e.ShareID, CardID: e.CardID, Sealed: e.Sealed})
	case events.CoachNoteRemoved:
		if s.Notes = slices.DeleteFunc(s.Notes, func(n Note) bool { return n.ID == e.NoteID }); len(s.Notes) == 0 {
			s.Notes = nil
		}
	}
}
