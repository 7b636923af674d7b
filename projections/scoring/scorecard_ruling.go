package scoring

import (
	"fmt"

	"marram.example/events"
	"marram.example/projections/handicap"
)

const scorecardRule = "Rules of Golf 3.3b(3)"

// ReturnedScore is one hole of a returned card beside what really happened on it. Par, Received and Maximum matter where
// the format needs them.
type ReturnedScore struct {
	// Returned is what the card says: gross strokes, or no score.
	Returned Score
	// Actual is what it should say under the Rules: every penalty stroke included, whether the player knew of it or not; no
	// score where the ball was not holed out.
	Actual Score
	// UnknownPenalty are the strokes of Actual for a penalty that the player did not know of when the card was returned. It
	// is 0 where the player had been told or was in doubt and did not raise it, and for a penalty of disqualification.
	UnknownPenalty int
	// Closed is true where this came to light after the close of the competition.
	Closed bool
	// Uncertified is true where the player or the marker did not certify the card, NotReturned where the card was not
	// returned, or not promptly. Either disqualifies in every format.
	Uncertified, NotReturned bool

	Par      int
	Received int
	Maximum  events.Maximum
}

// ScorecardRuling is what becomes of the hole.
type ScorecardRuling struct {
	Disqualified bool
	// Strokes is the gross score that stands, reduced to the maximum where the format has one; 0 where there is none.
	Strokes int
	// Figure is what the hole counts in the format before handicap in stroke formats: the strokes that stand, the points, or
	// the result of the hole. It says nothing where Disqualified is true.
	Figure int
	Words  handicap.Explanation
}

// RuleOnScore rules on a hole score that is not the actual one (Rules of Golf 3.3b(3)). A score higher than the actual
// one stands. A lower one disqualifies, but in Stableford, maximum score and par/bogey only where it changes what the
// hole counts (21.1c, 21.2c, 21.3c). Where it is lower only because of a penalty that the player did not know of, the
// committee adds that penalty and there is no disqualification; after the close nothing is added (20.2e(2)), and after
// it a lower score still disqualifies for any other reason. No score on a hole disqualifies in stroke play; elsewhere it
// counts nothing, the maximum, or a hole lost. A card that was not certified or not returned disqualifies whatever it says
// (3.3b(2)). Impossible strokes, pars and maximums are refused with an error that
// names the field.
func RuleOnScore(format Format, hole ReturnedScore) (ScorecardRuling, error) {
	if err := hole.validate(format); err != nil {
		return ScorecardRuling{}, err
	}
	stands, reason := hole.stands()
	counts := format.countOne(hole, stands)
	ruling := ScorecardRuling{Strokes: counts.Gross, Figure: figureBeforeHandicap(format, counts)}
	lower := hole.lower()
	changed := lower
	if format.EveryHole {
		ruling.Disqualified = stands.State != Holed || lower
	} else if lower {
		// With a penalty added to both, the shortfall may matter where it did not before.
		should := hole.Actual
		if hole.Closed {
			should = hole.known()
		}
		changed = figureBeforeHandicap(format, format.countOne(hole, should)) != ruling.Figure
		ruling.Disqualified = changed
	}
	ruling.Disqualified = ruling.Disqualified || hole.Uncertified || hole.NotReturned
	if ruling.Disqualified {
		ruling.Strokes, ruling.Figure = 0, 0
	}
	ruling.Words = ruling.explain(format, hole, reason, lower, changed, counts)
	return ruling, nil
}

func (h ReturnedScore) validate(format Format) error {
	if err := h.Returned.Validate(); err != nil {
		return refuse("returned", scorecardRule, "%v", err)
	}
	if err := h.Actual.Validate(); err != nil {
		return refuse("actual", scorecardRule, "%v", err)
	}
	if h.UnknownPenalty < 0 || h.Actual.State == Holed && h.UnknownPenalty >= h.Actual.Strokes {
		return refuse("unknown_penalty", scorecardRule, "%d strokes cannot be part of %s", h.UnknownPenalty, h.Actual)
	}
	if !format.EveryHole && (h.Par < 3 || h.Par > 6) {
		return refuse("par", "holes of par 3 to 6", "%d is outside 3 to 6", h.Par)
	}
	if format.Capped {
		return ValidateMaximum(h.Maximum)
	}
	return nil
}

// known is the score that the player should have returned knowing what they knew.
func (h ReturnedScore) known() Score {
	if h.Actual.State == Holed {
		return Strokes(h.Actual.Strokes - h.UnknownPenalty)
	}
	return h.Actual
}

// lower reports whether the returned score is lower than the player could have known. No score is never lower; a score
// for a ball that was not holed out is.
func (h ReturnedScore) lower() bool {
	known := h.known()
	return h.Returned.State == Holed && (known.State != Holed || h.Returned.Strokes < known.Strokes)
}

// stands is the gross score that counts where nothing disqualifies, and why it is not the returned one.
func (h ReturnedScore) stands() (Score, string) {
	if h.Returned.State != Holed || h.UnknownPenalty == 0 {
		return h.Returned, ""
	}
	if h.Closed {
		return h.Returned, fmt.Sprintf("the penalty of %d, unknown to the player, came to light after the close: nothing is added", h.UnknownPenalty)
	}
	return Strokes(h.Returned.Strokes + h.UnknownPenalty),
		fmt.Sprintf("the committee adds the penalty of %d that the player did not know of: %d + %d = %d", h.UnknownPenalty, h.Returned.Strokes, h.UnknownPenalty, h.Returned.Strokes+h.UnknownPenalty)
}

// countOne works out one hole by itself.
func (f Format) countOne(hole ReturnedScore, score Score) HoleResult {
	if score.State != Holed {
		score = Score{State: NoScore}
	}
	card := Card{Par: []int{hole.Par}, Scores: []Score{score}, Maximum: hole.Maximum}
	received := []int{hole.Received}
	var h HoleResult
	f.scoreHole(&h, &card, 0, received, received)
	return h
}

func figureBeforeHandicap(format Format, h HoleResult) int {
	if format.Unit == UnitStrokes {
		return h.Gross
	}
	return h.Figure
}

func (r ScorecardRuling) explain(format Format, hole ReturnedScore, reason string, lower, changed bool, counts HoleResult) handicap.Explanation {
	line := func(label, text, rule string) handicap.Line {
		return handicap.Line{Label: label, Arithmetic: text, Rule: rule}
	}
	lines := handicap.Explanation{line("Scores", fmt.Sprintf("returned %s, actual %s", scoreWord(hole.Returned), scoreWord(hole.Actual)), scorecardRule)}
	switch {
	case hole.NotReturned:
		return append(lines, line("Ruling", "the card was not returned in time: disqualified", "Rules of Golf 3.3b(2)"))
	case hole.Uncertified:
		return append(lines, line("Ruling", "the card was not certified by both player and marker: disqualified", "Rules of Golf 3.3b(2)"))
	case r.Disqualified && hole.Returned.State != Holed:
		return append(lines, line("Ruling", "a hole without a score: disqualified", "Rules of Golf 3.3b(2), 3.3c"))
	case r.Disqualified:
		text := "lower than the actual score: disqualified"
		if !format.EveryHole {
			text = "lower than the actual score, and it changes what the hole counts: disqualified"
		}
		return append(lines, line("Ruling", text, scorecardRule))
	}
	if reason != "" {
		rule := scorecardRule
		if hole.Closed {
			rule = "Rules of Golf 20.2e(2)"
		}
		lines = append(lines, line("Penalty", reason, rule))
	}
	switch {
	case lower && !changed:
		lines = append(lines, line("No penalty", "lower than the actual score, but the hole counts the same", format.Rule))
	case hole.Returned.State == Holed && hole.known().State == Holed && hole.Returned.Strokes > hole.known().Strokes:
		lines = append(lines, line("Higher score", "a score higher than the actual one stands", scorecardRule))
	}
	text := fmt.Sprintf("%d strokes", r.Figure)
	switch format.Unit {
	case UnitPoints:
		text = fmt.Sprintf("%d points", r.Figure)
	case UnitHoles:
		text = wonText(counts.ParBogey)
	case UnitStrokes:
	}
	return append(lines, line("Counts", text, format.Rule))
}

func scoreWord(s Score) string {
	if s.State == Holed {
		return s.String()
	}
	return "no score"
}
