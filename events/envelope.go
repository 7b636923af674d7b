package events

import "time"

// Envelope is what surrounds an event in the log: CloudEvents 1.0 attributes,
// carried as message headers in binary mode, with a JSON body.
type Envelope struct {
	ID            string    // UUID; the deduplication id, unique for ever
	Type          string    // marram.<aggregate>.<event>.v<n>
	Source        string    // the club
	Subject       string    // id of the aggregate
	Time          time.Time // when the service accepted it, UTC
	RecordedAt    time.Time // the device's clock when it was entered; zero where unknown
	Actor         Actor     // who did it
	CommandID     string    // the command that caused it (causation id); the same on every event of the command
	CommandHash   string    // fingerprint of the command's content, to tell a retry from another command with the same id
	CorrelationID string    // the request or larger piece of work it belongs to
	Sequence      Sequence  // place in the aggregate's stream
	Last          bool      // whether it is the last event of its command on this stream
}

// Role is in what capacity somebody acts.
type Role string

// The roles.
const (
	RoleCommittee Role = "committee"
	RolePlayer    Role = "player"
	RoleMarker    Role = "marker"
	RoleCoach     Role = "coach"   // who reads a player's reviews by a share
	RoleService   Role = "service" // the program itself, for example the demo
)

// Actor is who did something: a role and an opaque id (account, entry or card
// link), never a name.
type Actor struct {
	Role Role   `json:"role"`
	ID   string `json:"id"`
}

// Recorded is an event as read from the log.
type Recorded struct {
	Envelope
	Stream   StreamID
	Position Position
	Event    Event
}
