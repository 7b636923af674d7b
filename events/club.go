package events

// HandicapEstimatesSwitched says whether the club's cards are worked into
// unofficial estimates of a handicap index. Official indexes belong to the
// national association, so nothing is worked out before somebody of the committee
// acknowledged a caution.
type HandicapEstimatesSwitched struct {
	fact
	On      bool   `json:"on"`
	Caution string `json:"caution,omitempty"` // as acknowledged, word for word; empty when switched off
	Reason  string `json:"reason,omitempty"`
}

// ExpectedScore is the score differential that the association expects of a player
// with the index over nine holes (Rules of Handicapping 5.1b): num/den strokes.
type ExpectedScore struct {
	IndexTenths int   `json:"index_tenths"` // plus negative
	ExpectedNum int64 `json:"expected_num"` //
	ExpectedDen int64 `json:"expected_den"` // 1, 10, 100, 1000 or 10000: as many decimals as the association states
}

// ExpectedScoresImported says which figures the association gave. A later import
// replaces all of them.
type ExpectedScoresImported struct {
	fact
	Source string          `json:"source"` // where the association states them
	Rows   []ExpectedScore `json:"rows"`   // in rising order of index
}

// ExpectedScoresWithdrawn says that the club has no such figures any more.
type ExpectedScoresWithdrawn struct {
	fact
	Reason string `json:"reason"`
}

// EventType implements Event.
func (HandicapEstimatesSwitched) EventType() string {
	return "marram.club.HandicapEstimatesSwitched.v1"
}

// EventType implements Event.
func (ExpectedScoresImported) EventType() string { return "marram.club.ExpectedScoresImported.v1" }

// EventType implements Event.
func (ExpectedScoresWithdrawn) EventType() string { return "marram.club.ExpectedScoresWithdrawn.v1" }
