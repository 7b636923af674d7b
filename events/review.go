package events

// ReviewShared says that the player lets somebody read the reviews of their
// rounds, by a link that can be withdrawn. For whom is sealed with the player's
// key.
type ReviewShared struct {
	fact
	ShareID string `json:"share_id"`
	Sealed  []byte `json:"sealed"` // ShareLabel
}

// ReviewShareWithdrawn says that the link of a share opens nothing any more.
type ReviewShareWithdrawn struct {
	fact
	ShareID string `json:"share_id"`
}

// CoachNoteAdded says that somebody with a share wrote a note for the player. Its
// words are sealed with the player's key.
type CoachNoteAdded struct {
	fact
	NoteID  string `json:"note_id"`
	ShareID string `json:"share_id"`          // whose note it is
	CardID  string `json:"card_id,omitempty"` // the round it is about; empty for all of them
	Sealed  []byte `json:"sealed"`            // NoteText
}

// CoachNoteRemoved says that a note stands no more.
type CoachNoteRemoved struct {
	fact
	NoteID string `json:"note_id"`
}

// ShareLabel is for whom a share is, before it is sealed.
type ShareLabel struct {
	For string `json:"for"`
}

// NoteText is what a coach wrote, before it is sealed.
type NoteText struct {
	Text string `json:"text"`
}

// EventType implements Event.
func (ReviewShared) EventType() string { return "marram.player.ReviewShared.v1" }

// EventType implements Event.
func (ReviewShareWithdrawn) EventType() string { return "marram.player.ReviewShareWithdrawn.v1" }

// EventType implements Event.
func (CoachNoteAdded) EventType() string { return "marram.player.CoachNoteAdded.v1" }

// EventType implements Event.
func (CoachNoteRemoved) EventType() string { return "marram.player.CoachNoteRemoved.v1" }
