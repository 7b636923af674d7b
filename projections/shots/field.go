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

// FieldForHandicap is the smallest number of scores on a hole from which ForHandicap is worked out (common practice, no source).
const FieldForHandicap = 12

// slopeSD is how much a hole's slope on course handicap varies around its share of the round, as a share of that share. A choice of
// ours: half.
const slopeSD = 0.5

// AgainstField compares a round with the day's field, hole by hole, from scores alone: the mean of everybody's scores on the hole
// less the own one. The field holds the player's own round too, so that the figures of all players on a hole add up to 0; where
// everybody finished every hole, those of one player add up to the mean total less the own total.
//
// ForHandicap compares with players of like handicap: the least-squares slope of hole score on course handicap, shrunk to the
// hole's even share of the handicap (1/18 over 18 holes), gives the score to be expected; the residual is how much better the hole
// was played. It needs FieldForHandicap scores.
//
// Where scores are capped (maximum score, stableford), cap them the same way for all before.
func AgainstField(own Round, field []Round) []FieldHole {
	holes := make([]FieldHole, len(own.Holes))
	for i, h := range own.Holes {
		holes[i] = FieldHole{Number: h.Number, Par: h.Par, Score: h.scored()}
		var scores, handicaps []float64
		for _, r := range field {
			for _, other := range r.Holes {
				if other.Number == h.Number && other.scored() > 0 {
					scores, handicaps = append(scores, float64(other.scored())), append(handicaps, r.CourseHandicap)
				}
			}
		}
		hole := &holes[i]
		hole.N = len(scores)
		if hole.N == 0 {
			continue
		}
		hole.Mean = Mean(scores)
		if hole.Score == 0 {
			continue
		}
		gained := hole.Mean - float64(hole.Score)
		hole.Gained = &gained
		if hole.N >= FieldForHandicap {
			residual := gained + handicapSlope(scores, handicaps, 1/float64(len(own.Holes)))*(own.CourseHandicap-Mean(handicaps))
			hole.ForHandicap = &residual
		}
	}
	return holes
}

// handicapSlope is the strokes that one stroke of course handicap adds on a hole: least squares, weighed against the hole's share.
func handicapSlope(scores, handicaps []float64, share float64) float64 {
	middle, centre := Mean(scores), Mean(handicaps)
	sxx, sxy := 0.0, 0.0
	for i := range scores {
		sxx += (handicaps[i] - centre) * (handicaps[i] - centre)
		sxy += (handicaps[i] - centre) * (scores[i] - middle)
	}
	if sxx == 0 {
		return share
	}
	slope, residuals := sxy/sxx, 0.0
	for i := range scores {
		off := scores[i] - middle - slope*(handicaps[i]-centre)
		residuals += off * off
	}
	variance := residuals / float64(len(scores)-2)
	prior := share * share * slopeSD * slopeSD
	weight := prior / (prior + variance/sxx)
	return weight*slope + (1-weight)*share
}
