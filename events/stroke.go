package events

import "time"

// Where a ball lies (Stroke.Lie). Sand is any bunker, the fringe counts as fairway,
// and recovery is where the way to the hole is blocked.
const (
	LieTee      = "tee"
	LieFairway  = "fairway"
	LieRough    = "rough"
	LieSand     = "sand"
	LieRecovery = "recovery"
	LieGreen    = "green"
)

// The intended line (Stroke.Target), seen from the ball.
const (
	TargetLeft  = "left"  // of the hole, or of the middle of the fairway
	TargetAt    = "at"    // it
	TargetRight = "right" // of it
)

// The intended flight (Stroke.Shape), as a right-handed player says it.
const (
	ShapeStraight = "straight"
	ShapeDraw     = "draw"
	ShapeFade     = "fade"
)

// How the stroke was struck, whatever became of the ball (Stroke.Strike).
const (
	StrikePoor = "poor"
	StrikeFair = "fair"
	StrikeGood = "good"
)

// Where the ball finished, seen from the target (Miss).
const (
	MissLeft   = "left"
	MissRight  = "right"
	MissOnLine = "on_line"
	MissShort  = "short"
	MissLong   = "long"
	MissLevel  = "level"
)

// Stroke is one stroke in the player's own words: the intent before it and the
// review after it. Every field but lie and distance may be missing.
type Stroke struct {
	Lie       string  `json:"lie"`
	DistanceM float64 `json:"distance_m"` // metres to the hole, above 0, to a tenth of a millimetre

	Club       string    `json:"club,omitempty"`       // one of Clubs
	Target     string    `json:"target,omitempty"`     // left, at or right
	Shape      string    `json:"shape,omitempty"`      // straight, draw or fade
	Commitment int       `json:"commitment,omitempty"` // 1 to 5; 0 where not said
	IntentAt   time.Time `json:"intent_at,omitzero"`   // clock of the device, when the intent was given
	StruckAt   time.Time `json:"struck_at,omitzero"`   // the same clock, when the strike was judged

	Strike     string  `json:"strike,omitempty"`  // poor, fair or good
	Finish     *Finish `json:"finish,omitempty"`  // null where not said
	Penalty    int     `json:"penalty,omitempty"` // penalty strokes that this stroke incurred
	Miss       Miss    `json:"miss,omitzero"`
	GoodEnough *bool   `json:"good_enough,omitempty"` // to go on with; null where not said

	// Words are what the player said about target and outcome (StrokeWords), sealed
	// with the player's key: erasing the key erases them.
	Words []byte `json:"words,omitempty"`
}

// Finish is where a stroke finished: holed, or a lie and what is left.
type Finish struct {
	Holed     bool    `json:"holed,omitempty"`
	Lie       string  `json:"lie,omitempty"`
	DistanceM float64 `json:"distance_m,omitempty"` // metres left, above 0
}

// Miss is how far from the target a stroke finished, and on which side. An amount
// is 0 where it was not said.
type Miss struct {
	Side    string  `json:"side,omitempty"`     // left, right or on_line
	SideM   float64 `json:"side_m,omitempty"`   // metres to that side
	Length  string  `json:"length,omitempty"`   // short, long or level
	LengthM float64 `json:"length_m,omitempty"` // metres in that direction
}

// StrokeWords are the free words of a stroke, before they are sealed. They never
// stand in an event in the clear.
type StrokeWords struct {
	Target string `json:"target,omitempty"` // what was aimed at
	After  string `json:"after,omitempty"`  // a word afterwards
}

// StrokeRecorded says that the player logged a stroke.
type StrokeRecorded struct {
	fact
	StrokeID string `json:"stroke_id"`
	Ball     int    `json:"ball,omitempty"`
	Hole     int    `json:"hole"`             // its number on the course
	Before   string `json:"before,omitempty"` // the stroke of that hole that it was played before; empty at the end
	Stroke
}

// StrokeAmended replaces what was logged of a stroke.
type StrokeAmended struct {
	fact
	StrokeID string `json:"stroke_id"`
	Stroke
}

// StrokeRemoved says that a stroke was logged in error.
type StrokeRemoved struct {
	fact
	StrokeID string `json:"stroke_id"`
}

// EventType implements Event.
func (StrokeRecorded) EventType() string { return "marram.card.StrokeRecorded.v1" }

// EventType implements Event.
func (StrokeAmended) EventType() string { return "marram.card.StrokeAmended.v1" }

// EventType implements Event.
func (StrokeRemoved) EventType() string { return "marram.card.StrokeRemoved.v1" }

// AboutStrokes reports whether an event on a card is about strokes that the player
// logged: it changes no score, and is the player's alone to read.
func AboutStrokes(e Event) bool {
	switch e.(type) {
	case StrokeRecorded, StrokeAmended, StrokeRemoved:
		return true
	default:
		return false
	}
}

// Clubs are the clubs that a stroke may name, the longest first.
func Clubs() []string {
	return []string{
		"driver", "wood-2", "wood-3", "wood-4", "wood-5", "wood-7", "wood-9", "hybrid-2", "hybrid-3", "hybrid-4", "hybrid-5", "hybrid-6", "hybrid-7",
		"iron-1", "iron-2", "iron-3", "iron-4", "iron-5", "iron-6", "iron-7", "iron-8", "iron-9",
		"pitching-wedge", "gap-wedge", "sand-wedge", "lob-wedge", "putter",
	}
}
