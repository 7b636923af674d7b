package events

// IndexOrigin says where a handicap index comes from.
type IndexOrigin string

// The origins. Official indexes belong to the national association.
const (
	OriginOfficial IndexOrigin = "official" // entered or imported from the association
	OriginClub     IndexOrigin = "club"     // set by the committee, unofficial
)

// PlayerRegistered says that somebody plays at the club. What names the person
// is sealed with a key of that player alone: erasing the key erases the name
// from every copy of the log while scores stay.
type PlayerRegistered struct {
	fact
	MemberNo string `json:"member_no"` // the club's own number, unique in the club
	Sealed   []byte `json:"sealed"`    // Personal, encrypted (see api/command)
}

// PlayerDetailsChanged replaces what names the person.
type PlayerDetailsChanged struct {
	fact
	Sealed []byte `json:"sealed"`
}

// Personal is what a Sealed field holds once opened. It never stands in an
// event in the clear.
type Personal struct {
	Name string `json:"name"`
}

// HandicapIndexRecorded says which index counts from a day on.
type HandicapIndexRecorded struct {
	fact
	IndexTenths int         `json:"index_tenths"` // tenths; plus handicaps negative
	Effective   string      `json:"effective"`    // date, YYYY-MM-DD
	Origin      IndexOrigin `json:"origin"`
}

// PlayerLeft says that the player left the club; past results keep the name.
type PlayerLeft struct {
	fact
	Reason string `json:"reason,omitempty"`
}

// PlayerErased says that the key to the player's personal data was destroyed.
type PlayerErased struct {
	fact
	Reason string `json:"reason,omitempty"`
}

// EventType implements Event.
func (PlayerRegistered) EventType() string { return "marram.player.PlayerRegistered.v1" }

// EventType implements Event.
func (PlayerDetailsChanged) EventType() string { return "marram.player.PlayerDetailsChanged.v1" }

// EventType implements Event.
func (HandicapIndexRecorded) EventType() string { return "marram.player.HandicapIndexRecorded.v1" }

// EventType implements Event.
func (PlayerLeft) EventType() string { return "marram.player.PlayerLeft.v1" }

// EventType implements Event.
func (PlayerErased) EventType() string { return "marram.player.PlayerErased.v1" }
