package handicap

import "fmt"

// AwaitingAssociation is the reason given wherever a figure rests on a calculation that the national association does not
// publish.
const AwaitingAssociation = "awaiting the association's figure"

// mostHoleStrokes bounds a gross score on one hole against mistyped figures (common practice, no source).
const mostHoleStrokes = 99

// HoleState says how far a hole of a handicap score was played. A hole counts as played once it was started.
type HoleState int

// The zero value is a hole that was not started, for a valid reason (Rules of Handicapping 3.2). Started is a hole that
// was started and not holed out, for a valid reason (3.3).
const (
	NotPlayed HoleState = iota
	Started
	HoledOut
)

// HoleForHandicap is a player's result on one hole. Strokes are the gross score of a hole that was holed out, and the
// most likely score of one that was only started, 0 where the player gave none; see [MostLikelyScore].
type HoleForHandicap struct {
	State   HoleState
	Strokes int
}

// ScoreForHandicap is a card of 18 or nine holes as the handicap arithmetic sees it. The lists run in parallel.
type ScoreForHandicap struct {
	Par         []int // 3 to 6
	StrokeIndex []int // published indexes of the holes in play
	// Course is the full course handicap for these holes, unrounded, without any limit that the terms of a competition set.
	// nil stands for a player without an index.
	Course *Course
	Holes  []HoleForHandicap
	// NetParApproved says that the association approved net par for the holes that were not played.
	NetParApproved bool
}

// AdjustedHole is the score of one hole for handicap purposes. Counts is 0 where the hole has no score.
type AdjustedHole struct {
	Maximum int    `json:"maximum"` // net double bogey, or par + 5 before an index exists
	Counts  int    `json:"counts"`
	Why     string `json:"why"` // empty where the gross score counts as it is
}

// AdjustedGross is the adjusted gross score of a card. Total is nil where holes were not played and the association did
// not approve net par; Reason then says what is awaited, and PlayedTotal sums the Played holes that have a score.
type AdjustedGross struct {
	Holes       []AdjustedHole `json:"holes"`
	Played      int            `json:"played"`
	PlayedTotal int            `json:"played_total"`
	Total       *int           `json:"total"`
	Reason      string         `json:"reason,omitempty"`
	Explanation Explanation    `json:"explanation"`
}

// Adjust works out the adjusted gross score (Rules of Handicapping 2.2, 3.1 to 3.3):
//   - a hole that was holed out counts at most net double bogey, or par + 5 before an index exists;
//   - a hole that was started counts the lower of the most likely score and that maximum, and the maximum where no most
//     likely score was given (common practice, no source);
//   - a hole that was not played has no score, and the total awaits the association's figure; only where the association
//     approved it does such a hole count net par.
//
// A nine-hole score needs all nine holes played and an 18-hole score at least ten; without an index all 18 or all nine
// are needed. Cards that fall short (field "scores") and impossible inputs are refused with an [InputError].
func (s ScoreForHandicap) Adjust() (AdjustedGross, error) {
	limits, strokes, err := maximumScores(s.Course, s.Par, s.StrokeIndex)
	if err != nil {
		return AdjustedGross{}, err
	}
	if err := s.validateHoles(); err != nil {
		return AdjustedGross{}, err
	}
	result := AdjustedGross{Holes: make([]AdjustedHole, len(s.Holes))}
	if s.Course != nil {
		result.Explanation = append(result.Explanation, roundedCourseLine(*s.Course))
	}
	total := 0
	for i, hole := range s.Holes {
		adjusted := &result.Holes[i]
		adjusted.Maximum = limits[i]
		limit := maximumWithoutIndex(s.Par[i])
		if s.Course != nil {
			limit = maximumLine(s.Par[i], strokes[i], limits[i])
		}
		rule := limit.Rule
		switch hole.State {
		case HoledOut:
			adjusted.Counts = min(hole.Strokes, limits[i])
			if hole.Strokes > limits[i] {
				adjusted.Why = fmt.Sprintf("%d strokes; at most %s", hole.Strokes, limit.Arithmetic)
			}
		case Started:
			rule = mostLikelyRule
			adjusted.Counts, adjusted.Why = limits[i], "started without an estimate; "+limit.Arithmetic
			if hole.Strokes > 0 {
				adjusted.Counts = min(hole.Strokes, limits[i])
				adjusted.Why = fmt.Sprintf("most likely score %d, at most %s", hole.Strokes, limit.Arithmetic)
			}
		case NotPlayed:
			rule = "Rules of Handicapping 3.2"
			adjusted.Why = "not played"
			if s.NetParApproved { // never without an index: then every hole was played
				adjusted.Counts = s.Par[i] + strokes[i]
				adjusted.Why = fmt.Sprintf("not played; net par, approved by the association: par %d + %s strokes = %d", s.Par[i], bracketed(strokes[i]), adjusted.Counts)
			}
		}
		total += adjusted.Counts
		if hole.State != NotPlayed {
			result.Played++
			result.PlayedTotal += adjusted.Counts
		}
		if adjusted.Why != "" {
			result.Explanation = append(result.Explanation, Line{Label: fmt.Sprintf("Hole at place %d", i+1), Arithmetic: adjusted.Why, Rule: rule})
		}
	}
	return result.closed(total, s.NetParApproved), nil
}

// closed fills in the total, or the reason for having none.
func (a AdjustedGross) closed(total int, netPar bool) AdjustedGross {
	missing := len(a.Holes) - a.Played
	if missing > 0 && !netPar {
		a.Reason = AwaitingAssociation
		a.Explanation = append(a.Explanation, Line{
			Label:      "Adjusted gross score",
			Arithmetic: fmt.Sprintf("%d on %d holes; %d not played: %s", a.PlayedTotal, a.Played, missing, AwaitingAssociation),
			Rule:       "Rules of Handicapping 3.2",
		})
		return a
	}
	a.Total = &total
	a.Explanation = append(a.Explanation, Line{
		Label:      "Adjusted gross score",
		Arithmetic: fmt.Sprintf("the sum of %d holes is %d", len(a.Holes), total),
		Rule:       "Rules of Handicapping 3.1",
	})
	return a
}

func (s ScoreForHandicap) validateHoles() error {
	const field, minimumRule = "scores", "Rules of Handicapping 2.2"
	holes := len(s.Par)
	if len(s.Holes) != holes {
		return refuse(field, "a card of 18 or 9 holes", "there are %d scores for %d holes", len(s.Holes), holes)
	}
	played := 0
	for i, hole := range s.Holes {
		fewest, most := 0, mostHoleStrokes
		switch hole.State {
		case HoledOut:
			fewest = 1
			played++
		case Started:
			played++
		case NotPlayed:
			most = 0
		default:
			return refuse(field, "", "the state %d at place %d is unknown", int(hole.State), i+1)
		}
		if hole.Strokes < fewest || hole.Strokes > most {
			return refuse(field, "", "%d strokes at place %d are outside %d to %d", hole.Strokes, i+1, fewest, most)
		}
	}
	switch {
	case played == holes:
		return nil
	case s.Course == nil:
		return refuse(field, minimumRule, "only %d of %d holes were played; before an index exists all are needed", played, holes)
	case holes == 9:
		return refuse(field, minimumRule, "only %d holes were played; a nine-hole score needs all nine", played)
	case played < 10:
		return refuse(field, minimumRule, "only %d holes were played; an 18-hole score needs at least ten", played)
	}
	return nil
}
