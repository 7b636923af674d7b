// Package difficulty measures how hard each hole of a tee has played, from the cards
// that were returned there. It is pure.
package difficulty

import (
	"fmt"

	"marram.example/events"
	"marram.example/events/card"
	"marram.example/projections/handicap"
)

// Fewest is how many scores every hole needs before a proposal is made from them
// (common practice, no source).
const Fewest = 30

// PickedUpRule says what a hole counts that was started and not holed out.
const PickedUpRule = "a hole picked up on counts par + 2 + the strokes that the card gives there, at most par + 5 (common practice, no source)"

// Hole is what was scored on one hole.
type Hole struct {
	Number   int `json:"hole"`
	Par      int `json:"par"`
	Scores   int `json:"scores"`    // that were counted
	OverPar  int `json:"over_par"`  // their sum less par on each
	PickedUp int `json:"picked_up"` // how many of them were picked up
}

// Mean is the mean score over par with two decimals and its sign, a half going up;
// empty without a score.
func (h Hole) Mean() string {
	if h.Scores == 0 {
		return ""
	}
	hundredths, err := handicap.RoundTenth(10*int64(h.OverPar), int64(h.Scores))
	if err != nil { // scores of a hole are far from its limits
		return ""
	}
	sign := "+"
	if hundredths < 0 {
		sign, hundredths = "-", -hundredths
	}
	return fmt.Sprintf("%s%d.%02d", sign, hundredths/100, hundredths%100)
}

// Scores is what was scored from one tee.
type Scores struct {
	Tee   string `json:"tee"`
	Cards int    `json:"cards"` // that were counted
	Holes []Hole `json:"holes"` // of the tee, in order
}

// Of begins with the holes of a tee as it is defined now.
func Of(tee events.TeeDefinition) *Scores {
	s := &Scores{Tee: tee.Tee, Holes: make([]Hole, len(tee.Holes))}
	for i, h := range tee.Holes {
		s.Holes[i] = Hole{Number: h.Number, Par: h.Par}
	}
	return s
}

// Add counts a card of the course and reports whether it was fit: returned, of one
// player with their own ball, from this tee, and not of a practice round. Penalty strokes of a hole belong to
// its score. A hole whose par was another one then is left out, and so is one without
// a score.
func (s *Scores) Add(c *card.State) bool {
	if c.Practice || !c.Returned || c.Ruled != "" && c.Ruled != events.StatusNoReturn || c.Tee != s.Tee {
		return false
	}
	if c.Side != "" || len(c.Partners) > 0 || len(c.Figures.Shares) > 0 {
		return false
	}
	counted := false
	for _, h := range c.Holes {
		if h.Number < 1 || h.Number > len(s.Holes) || s.Holes[h.Number-1].Par != h.Par {
			continue
		}
		v := h.Counting()
		var over int
		switch {
		case v.Strokes > 0:
			over = v.Strokes + c.PenaltyOn(0, h.Number) - h.Par
		case v.None == events.PickedUp:
			over = min(2+h.Received, 5)
		default:
			continue
		}
		x := &s.Holes[h.Number-1]
		x.Scores++
		x.OverPar += over
		if v.None == events.PickedUp {
			x.PickedUp++
		}
		counted = true
	}
	if counted {
		s.Cards++
	}
	return counted
}

// Difficulties are the mean scores over par, as the arithmetic of stroke indexes
// takes them; the second result is false where a hole has fewer than Fewest scores.
func (s *Scores) Difficulties() ([]handicap.HoleDifficulty, bool) {
	out := make([]handicap.HoleDifficulty, len(s.Holes))
	for i, h := range s.Holes {
		if h.Scores < Fewest {
			return nil, false
		}
		out[i] = handicap.HoleDifficulty{Par: h.Par, Num: int64(h.OverPar), Den: int64(h.Scores)}
	}
	return out, true
}

// Scarcest is the fewest scores of any hole.
func (s *Scores) Scarcest() int {
	fewest := 0
	for i, h := range s.Holes {
		if i == 0 || h.Scores < fewest {
			fewest = h.Scores
		}
	}
	return fewest
}
