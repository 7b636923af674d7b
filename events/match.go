package events

// Who won a hole or a match, and the sides of it.
const (
	SideA    = "A"
	SideB    = "B"
	Tied     = "tied" // nobody did: a hole (Rules of Golf 3.2c), or a match whose tie stands (3.2a(4))
	NoWinner = "none" // of a match that the committee ruled: both sides are out
)

// How a hole was decided (MatchHole.Grounds).
const (
	HoleByScores    = "scores"          // fewer net strokes, or as many (Rules of Golf 3.2c)
	HoleStated      = "stated"          // the players say who won and no more
	HoleGiven       = "conceded"        // by the side that lost it (Rules of Golf 3.2b)
	HoleByPenalty   = "penalty"         // the general penalty, loss of hole (Rules of Golf 1.3c)
	HoleLastPickUp  = "last_to_pick_up" // nobody completed it; who picked up last won (Clarification 23.2a/1)
	HoleNotFinished = "nobody_finished" // nobody completed it and nobody knows who picked up last: tied (the same)
)

// How a match was decided (MatchDecided.Grounds).
const (
	MatchByHoles  = "holes"    // hole by hole, as the log holds them
	MatchStated   = "stated"   // only its result was told
	MatchGivenUp  = "conceded" // Rules of Golf 3.2b
	MatchCredited = "ruled"    // by the committee; never in a MatchDecided
)

// What the committee may rule on a match (MatchRuled.Ruling).
const (
	MatchDisqualified = "disqualified" // a side, or both
	MatchDefault      = "default"      // a side did not come, or neither
	MatchAwarded      = "awarded"      // to a side, for another reason
	MatchNotPlayed    = "not_played"   // credited as the terms say
	MatchRulingLifted = "lifted"       // no ruling any more
)

// MatchWriter is for whom somebody writes: a player for the own side, or the committee.
type MatchWriter struct {
	By     Role   `json:"by"`                // player or committee
	BySide string `json:"by_side,omitempty"` // A or B; empty for the committee
}

// MatchBall is one ball of a match: a player's own, or the one that a side plays.
type MatchBall struct {
	PlayerID string  `json:"player_id"`
	Tee      string  `json:"tee"`
	Holes    []Hole  `json:"holes"`   // in play, in order of number; the same numbers for every ball
	Figures  Figures `json:"figures"` //
	Strokes  []int   `json:"strokes"` // received in this match, in the order of Holes; again on every later playing of a hole
}

// MatchSide is one side of a match.
type MatchSide struct {
	EntryID string      `json:"entry_id"`
	Balls   []MatchBall `json:"balls"` // one, or two in a four-ball
}

// MatchArranged says who plays whom, over which holes and with which strokes. A
// later one corrects it while nothing is entered.
type MatchArranged struct {
	fact
	CompetitionID string    `json:"competition_id"`
	Round         int       `json:"round"`
	Number        int       `json:"number"` // of its group on the start sheet
	CourseID      string    `json:"course_id"`
	Side          string    `json:"side"`          // as in Terms: empty, four_ball, or a side that plays one ball
	Ranking       string    `json:"ranking"`       // net or gross: gross is played without strokes
	StartingHole  int       `json:"starting_hole"` //
	Length        int       `json:"length"`        // holes: as many as are in play, or 36 for 18 holes played twice
	ExtraHoles    bool      `json:"extra_holes"`   // a tied match goes on hole by hole; else the tie stands
	FullNet       bool      `json:"full_net"`      // whole playing handicaps; else the difference to the lowest
	A             MatchSide `json:"a"`
	B             MatchSide `json:"b"`
	Reason        string    `json:"reason,omitempty"` // of a later one
}

// MatchScore is what was entered for one ball on one hole. Nothing is said of a
// ball whose score is zero.
type MatchScore struct {
	Score
	Conceded bool `json:"conceded,omitempty"` // the last stroke counted was conceded (Rules of Golf 3.2b(2))
}

// MatchHole is what is said of one hole. The zero value says nothing.
type MatchHole struct {
	A       []MatchScore `json:"a,omitempty"`       // gross, by ball; empty where only the winner is told
	B       []MatchScore `json:"b,omitempty"`       //
	Winner  string       `json:"winner,omitempty"`  // A, B or tied
	Grounds string       `json:"grounds,omitempty"` // how that follows
}

// Entered reports whether anything is said.
func (h MatchHole) Entered() bool { return h.Winner != "" }

// MatchHoleDecided says what one side, or the committee, entered for a hole for
// the first time. Each has a value of its own, so that nobody overwrites another.
type MatchHoleDecided struct {
	fact
	Number int `json:"number"` // in the order of play, from 1; extra holes go on
	Hole   int `json:"hole"`   // its number on the course
	MatchHole
	MatchWriter
}

// MatchHoleCorrected says that the same side, or the committee, changed a value;
// both stay in the log.
type MatchHoleCorrected struct {
	fact
	Number int       `json:"number"`
	Hole   int       `json:"hole"`
	Old    MatchHole `json:"old"`
	New    MatchHole `json:"new"` // saying nothing takes the value back
	MatchWriter
	Reason string `json:"reason,omitempty"`
}

// MatchHoleRemoved says that the last hole was a slip: every value of it and a
// concession of it are gone.
type MatchHoleRemoved struct {
	fact
	Number int       `json:"number"`
	Hole   int       `json:"hole"`
	Old    MatchHole `json:"old"` // what counted
	MatchWriter
	Reason string `json:"reason"`
}

// HoleConceded says that a side gave the hole. That is final (Rules of Golf 3.2b).
type HoleConceded struct {
	fact
	Number int    `json:"number"`
	Hole   int    `json:"hole"`
	Side   string `json:"side"` // the one that lost it
	MatchWriter
}

// MatchConceded says that a side gave the match. A MatchDecided comes with it.
type MatchConceded struct {
	fact
	Side string `json:"side"` // the one that lost
	MatchWriter
	Reason string `json:"reason,omitempty"`
}

// MatchResultAgreed says that a side stands for the result. The second side's
// word decides the match where it says the same.
type MatchResultAgreed struct {
	fact
	Winner string `json:"winner"` // A, B or tied
	Text   string `json:"text"`   // such as 3 and 2
	MatchWriter
}

// MatchDecided says that this is the result (Rules of Golf 3.2a).
type MatchDecided struct {
	fact
	Winner   string `json:"winner"`             // A, B or tied
	Text     string `json:"text"`               // such as 3 and 2
	Up       int    `json:"up"`                 // holes up in the end; of a conceded match the lead then, at least 1
	Played   int    `json:"played"`             // holes
	Grounds  string `json:"grounds"`            // holes, stated or conceded
	Progress []int  `json:"progress,omitempty"` // side A's lead after every hole, where they are known
	MatchWriter
}

// MatchRuled says how the committee ruled, whatever the holes say, or that a
// ruling is lifted: then stands what stood before it.
type MatchRuled struct {
	fact
	Ruling string `json:"ruling"`           // disqualified, default, awarded, not_played or lifted
	Winner string `json:"winner,omitempty"` // A, B, tied or none; empty for lifted
	Up     int    `json:"up"`               // holes credited to the winner
	Reason string `json:"reason"`
}

// MatchReopened says that the committee took the result back: agreed, recorded,
// conceded or ruled. The holes stand.
type MatchReopened struct {
	fact
	Reason string `json:"reason"`
}

// EventType implements Event.
func (MatchArranged) EventType() string { return "marram.match.MatchArranged.v1" }

// EventType implements Event.
func (MatchHoleDecided) EventType() string { return "marram.match.MatchHoleDecided.v1" }

// EventType implements Event.
func (MatchHoleCorrected) EventType() string { return "marram.match.MatchHoleCorrected.v1" }

// EventType implements Event.
func (MatchHoleRemoved) EventType() string { return "marram.match.MatchHoleRemoved.v1" }

// EventType implements Event.
func (HoleConceded) EventType() string { return "marram.match.HoleConceded.v1" }

// EventType implements Event.
func (MatchConceded) EventType() string { return "marram.match.MatchConceded.v1" }

// EventType implements Event.
func (MatchResultAgreed) EventType() string { return "marram.match.MatchResultAgreed.v1" }

// EventType implements Event.
func (MatchDecided) EventType() string { return "marram.match.MatchDecided.v1" }

// EventType implements Event.
func (MatchRuled) EventType() string { return "marram.match.MatchRuled.v1" }

// EventType implements Event.
func (MatchReopened) EventType() string { return "marram.match.MatchReopened.v1" }
