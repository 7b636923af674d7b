package shots

// FieldHole is one hole of a round against the field of the day, from scores alone.
type FieldHole struct {
	Number      int      `json:"number"`
	Par         int      `json:"par"`
	N           int      `json:"n"` // players of the field with a score on it
	Mean        float64  `json:"mean"`
	Score       int      `json:"score"`        // 0 for none
	Gained      *float64 `json:"gained"`       // mean less score; null without one of the two
	ForHandicap *float64 `json:"for_handicap"` // the same against what the handicap would have scored; null in a small field
}

// AgainstField compares a round with the day's field, hole by hole, from scores alone: the plain mean of everybody's scores on the
// hole, the player's own included, less the own score.
func AgainstField(own Round, field []Round) []FieldHole {
	return nil
}
