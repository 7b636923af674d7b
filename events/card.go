package events

// Card statuses. A card without a total ranks below every returned card and
// has no position.
const (
	StatusInPlay       = "in_play"
	StatusReturned     = "returned"
	StatusNoReturn     = "NR"  // a card missing or without a score that the format needs
	StatusRetired      = "RTD" // stopped during the round
	StatusWithdrew     = "WD"
	StatusNoShow       = "NS"
	StatusDisqualified = "DQ"

	StatusMissedCut = "MC" // of an entry: every card returned, not through the cut
)

// Score is what was entered for a hole: strokes, or why there are none. The
// zero value means that nothing stands there.
type Score struct {
	Strokes int    `json:"strokes,omitempty"` // 1 to 99, penalty strokes included
	None    string `json:"none,omitempty"`    // picked_up, no_score or excluded; empty with strokes
}

// Why a hole has no strokes.
const (
	PickedUp = "picked_up" // started, not holed out
	NoScore  = "no_score"  // not played, or nothing to be counted
	Excluded = "excluded"  // the committee's word alone: the hole counts for nobody
)

// Entered reports whether anything stands there.
func (s Score) Entered() bool { return s.Strokes > 0 || s.None != "" }

// Figures are the handicap figures of a card, with what they were worked out
// from, so that any later reader can do the sum again.
type Figures struct {
	IndexTenths         int         `json:"index_tenths"`         // tenths, plus negative
	IndexOrigin         IndexOrigin `json:"index_origin"`         //
	IndexUsedTenths     int         `json:"index_used_tenths"`    // after the terms' maximum
	CourseRatingTenths  int         `json:"course_rating_tenths"` // of the holes in play
	SlopeRating         int         `json:"slope_rating"`         // of the holes in play
	Par                 int         `json:"par"`                  // of the holes in play
	LowestPar           int         `json:"lowest_par"`           // among the tees in the competition
	CourseHandicapNum   int64       `json:"course_handicap_num"`  // exact course handicap, numerator
	CourseHandicapDen   int64       `json:"course_handicap_den"`  // and denominator, above 0
	CourseHandicap      int         `json:"course_handicap"`      // rounded, halves up
	AllowancePercent    int         `json:"allowance_percent"`    //
	ParDifference       int         `json:"par_difference"`       // strokes added after the allowance
	PlayingHandicap     int         `json:"playing_handicap"`     // plus negative
	StrokesByHole       []int       `json:"strokes_by_hole"`      // received, in the order of the card's holes; negative where given back
	CourseSequence      Sequence    `json:"course_sequence"`      // what they were read at
	CompetitionSequence Sequence    `json:"competition_sequence"` //
	PlayerSequence      Sequence    `json:"player_sequence"`      //

	// Shares are the players of a side that plays one ball, the lowest course
	// handicap first. The exact course handicap above is then the side's: the sum of
	// the players' ones, each times its percent, and the allowance is 100.
	Shares []Share `json:"shares,omitempty"`
}

// Share is what one player brings to the handicap of a side that plays one ball
// (Rules of Handicapping, Appendix C).
type Share struct {
	PlayerID           string      `json:"player_id"`
	Tee                string      `json:"tee"`
	IndexTenths        int         `json:"index_tenths"`
	IndexOrigin        IndexOrigin `json:"index_origin"`
	IndexUsedTenths    int         `json:"index_used_tenths"`
	CourseRatingTenths int         `json:"course_rating_tenths"`
	SlopeRating        int         `json:"slope_rating"`
	Par                int         `json:"par"`
	CourseHandicapNum  int64       `json:"course_handicap_num"`
	CourseHandicapDen  int64       `json:"course_handicap_den"`
	Percent            int         `json:"percent"`
	PlayerSequence     Sequence    `json:"player_sequence"`
}

// Ball is a partner's own ball on the card of a side.
type Ball struct {
	PlayerID string  `json:"player_id"`
	Tee      string  `json:"tee"`
	Holes    []Hole  `json:"holes"` // the same numbers as the card's
	Figures  Figures `json:"figures"`
}

// Play is how a card of a side counts, and with which maximum. The zero value is
// one player without a maximum.
type Play struct {
	Side    string  `json:"side,omitempty"`     // as in Terms
	Maximum Maximum `json:"maximum,omitzero"`   //
	Count   []int   `json:"count,omitempty"`    //
	CountBy string  `json:"count_by,omitempty"` //
}

// CardIssued says that an entry has its card for a round.
type CardIssued struct {
	fact
	CompetitionID string  `json:"competition_id"`
	Round         int     `json:"round"`
	EntryID       string  `json:"entry_id"`
	PlayerID      string  `json:"player_id"`
	MarkerID      string  `json:"marker_id"` // entry that keeps it; empty where the committee does
	CourseID      string  `json:"course_id"`
	Tee           string  `json:"tee"`
	Holes         []Hole  `json:"holes"`         // in order of number
	StartingHole  int     `json:"starting_hole"` // where the group begins
	Format        string  `json:"format"`        //
	Figures       Figures `json:"figures"`

	Play
	Partners []Ball `json:"partners,omitempty"` // balls 1 and on, where each player plays their own; the card's own figures are ball 0

	Date     string `json:"date,omitempty"`     // of the round, YYYY-MM-DD
	Practice bool   `json:"practice,omitempty"` // the round is practice
}

// CardReissued replaces figures, tee, marker or start of a card. Scores that stand
// on it stay; then the holes in play are the same as before.
type CardReissued struct {
	fact
	MarkerID     string  `json:"marker_id"`
	StartingHole int     `json:"starting_hole"`
	Tee          string  `json:"tee"`
	Holes        []Hole  `json:"holes"`
	Figures      Figures `json:"figures"`
	Reason       string  `json:"reason"`
	Partners     []Ball  `json:"partners,omitempty"`
}

// MarkerAssigned says who keeps the card from now on.
type MarkerAssigned struct {
	fact
	MarkerID     string `json:"marker_id"`
	StartingHole int    `json:"starting_hole"`
	Reason       string `json:"reason,omitempty"`
}

// HoleScored says what one person entered for a hole for the first time. Player,
// marker and committee each have a value of their own, so that two people never
// overwrite each other.
type HoleScored struct {
	fact
	Hole  int   `json:"hole"` // its number on the course
	Score Score `json:"score"`
	By    Role  `json:"by"`
	Ball  int   `json:"ball,omitempty"` // 0 is the card's first player
}

// HoleScoreCorrected says that the same person (or the committee) changed a
// value; both stay in the log.
type HoleScoreCorrected struct {
	fact
	Hole   int    `json:"hole"`
	Old    Score  `json:"old"`
	New    Score  `json:"new"` // the zero score takes the value back
	By     Role   `json:"by"`
	Reason string `json:"reason,omitempty"` // required of the committee on a returned card
	Ball   int    `json:"ball,omitempty"`
}

// PenaltyAdded says that penalty strokes count beside what was entered for a hole,
// or against the whole round.
type PenaltyAdded struct {
	fact
	PenaltyID string `json:"penalty_id"`
	Ball      int    `json:"ball,omitempty"`
	Hole      int    `json:"hole"`           // 0 for the round: a committee's own policy, such as one of pace
	Strokes   int    `json:"strokes"`        // 1, or 2 for the general penalty (Rules of Golf 1.3c)
	Rule      string `json:"rule,omitempty"` // as the committee states it
	Reason    string `json:"reason"`
}

// PenaltyRemoved takes a penalty back.
type PenaltyRemoved struct {
	fact
	PenaltyID string `json:"penalty_id"`
	Reason    string `json:"reason"`
}

// CardCertified says that somebody stands for the hole scores (Rules of Golf 3.3b).
type CardCertified struct {
	fact
	By     Role   `json:"by"`               // player or marker
	Keeper string `json:"keeper,omitempty"` // "committee" where certified on paper and typed in
}

// CardReturned says that the card is in; from now on only the committee changes it.
type CardReturned struct {
	fact
	Receipt string `json:"receipt"` // short code that player and committee both see
}

// CardReopened says that the committee gave the card back.
type CardReopened struct {
	fact
	Reason string `json:"reason"`
}

// CardStatusRuled says that the committee ruled on the card: NR, RTD, WD, NS or
// DQ, or "in_play" to undo an earlier ruling.
type CardStatusRuled struct {
	fact
	Status string `json:"status"`
	Reason string `json:"reason"`
}

// EventType implements Event.
func (CardIssued) EventType() string { return "marram.card.CardIssued.v1" }

// EventType implements Event.
func (CardReissued) EventType() string { return "marram.card.CardReissued.v1" }

// EventType implements Event.
func (MarkerAssigned) EventType() string { return "marram.card.MarkerAssigned.v1" }

// EventType implements Event.
func (HoleScored) EventType() string { return "marram.card.HoleScored.v1" }

// EventType implements Event.
func (HoleScoreCorrected) EventType() string { return "marram.card.HoleScoreCorrected.v1" }

// EventType implements Event.
func (PenaltyAdded) EventType() string { return "marram.card.PenaltyAdded.v1" }

// EventType implements Event.
func (PenaltyRemoved) EventType() string { return "marram.card.PenaltyRemoved.v1" }

// EventType implements Event.
func (CardCertified) EventType() string { return "marram.card.CardCertified.v1" }

// EventType implements Event.
func (CardReturned) EventType() string { return "marram.card.CardReturned.v1" }

// EventType implements Event.
func (CardReopened) EventType() string { return "marram.card.CardReopened.v1" }

// EventType implements Event.
func (CardStatusRuled) EventType() string { return "marram.card.CardStatusRuled.v1" }
