package events

// How a ball's holes count (Terms.Format).
const (
	StrokePlay   = "stroke_play"   // Rules of Golf 3.3
	Stableford   = "stableford"    // Rules of Golf 21.1
	MaximumScore = "maximum_score" // Rules of Golf 21.2
	ParBogey     = "par_bogey"     // Rules of Golf 21.3
	MatchPlay    = "match"         // Rules of Golf 3.2
)

// Who an entry is (Terms.Side). The empty text is one player.
const (
	SideFourBall   = "four_ball"  // two players, two balls, the better one counts (Rules of Golf 23)
	SideFoursomes  = "foursomes"  // two players, one ball, alternate strokes (Rules of Golf 22)
	SideGreensomes = "greensomes" // both drive, one ball is played on (Committee Procedures 9B)
	SideChapman    = "chapman"    // both drive, swap balls, then one is chosen (Committee Procedures 9B)
	SideScramble   = "scramble"   // everybody plays from the chosen spot (Committee Procedures 9C)
	SideBestOf     = "best_of"    // the best so many of the team's balls count (Committee Procedures 9D)
	SideAggregate  = "aggregate"  // all balls of the side count
)

// What the most strokes on a hole are (Maximum.Kind).
const (
	NetDoubleBogey = "net_double_bogey" // par + 2 + strokes received there
	DoublePar      = "double_par"
	FixedStrokes   = "strokes"
)

// OneBall reports whether the players of a side play one ball together.
func OneBall(side string) bool {
	switch side {
	case SideFoursomes, SideGreensomes, SideChapman, SideScramble:
		return true
	default:
		return false
	}
}
