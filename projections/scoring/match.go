package scoring

import (
	"fmt"

	"marram.example/events"
	"marram.example/events/match"
	"marram.example/projections/handicap"
)

const (
	matchHoleRule  = "Rules of Golf 3.2c"
	matchRule      = "Rules of Golf 3.2a"
	concessionRule = "Rules of Golf 3.2b"
)

// Match is a match as it stands on the cards of those who play it.
type Match struct {
	// Par and StrokeIndex are of the 18 or nine holes in play, in the order of play, which is also that of their numbers.
	Par, StrokeIndex []int
	// A and B are the balls of the two sides: one each, or two each in a four-ball.
	A, B []MatchBall
	// FullNet gives everybody their whole playing handicap; else the lowest plays off 0 and the others receive the difference.
	FullNet bool
	// Conceded are holes that a side gave, whatever the cards say (Rules of Golf 3.2b).
	Conceded []ConcededHole
	// Extra are the holes played after a tie, in order.
	Extra []ExtraHole
}

// MatchBall is one ball of a side.
type MatchBall struct {
	Playing handicap.Playing
	Scores  []Score // gross; trailing holes on which nobody has any are not played yet
}

// ConcededHole is a hole that was given: its number from 1, and the side that lost it.
type ConcededHole struct {
	Hole int
	Side string
}

// ExtraHole is a hole played again: its number from 1 and the gross scores, one a ball.
type ExtraHole struct {
	Hole int
	A, B []Score
}

// MatchResult is how a match stands, with its grounds.
type MatchResult struct {
	match.Standing
	Strokes     []handicap.Playing   // received in this match, A's balls first
	Holes       []MatchHole          // that count, in order of play
	Explanation handicap.Explanation // in words, with the sides called A and B
}

// MatchHole is one hole of a match, with what it needs to be explained.
type MatchHole struct {
	Number    int              // in the order of play, from 1
	Hole      int              // on the course
	Said      events.MatchHole // scores by ball where they are known, who won it and why
	ReceivedA []int            // strokes there, by ball
	ReceivedB []int
}

// PlayMatch works a match out with the arithmetic of package match: who receives how many strokes and where, who won
// each hole, and how the match stands. Holes after the one that decided it do not count. Impossible inputs are refused
// with a [handicap.InputError] that names the field; so are extra holes of a match that is not tied.
func PlayMatch(m Match) (MatchResult, error) {
	if err := m.validate(); err != nil {
		return MatchResult{}, err
	}
	balls := append(append([]MatchBall{}, m.A...), m.B...)
	playing := make([]handicap.Playing, len(balls))
	for i, b := range balls {
		playing[i] = b.Playing
	}
	strokes, lines, err := handicap.MatchStrokes(playing, !m.FullNet)
	if err != nil {
		return MatchResult{}, err
	}
	received := make([][]int, len(balls))
	for i, n := range strokes {
		if received[i], err = handicap.StrokesReceived(n, m.StrokeIndex); err != nil {
			return MatchResult{}, err
		}
	}
	holes := m.round(received)
	length := len(m.Par)
	if len(m.Extra) > 0 {
		if s := StandOf(holes, length, true); len(holes) != length || s.Over {
			return MatchResult{}, refuse("extra", "Rules of Golf 3.2a(4)", "extra holes follow a tie, yet the match is %s after %d", s.Text, s.Played)
		}
		holes = append(holes, m.extra(received)...)
	}
	result := MatchResult{Standing: StandOf(holes, length, len(m.Extra) > 0), Strokes: strokes}
	result.Holes = holes[:result.Played]
	result.Explanation = append(lines, ExplainMatch(result.Holes, length, len(m.Extra) > 0, [2]string{})...)
	return result, nil
}

// StandOf is how a match of so many holes stands.
func StandOf(holes []MatchHole, length int, extraHoles bool) match.Standing {
	winners := make([]string, len(holes))
	for i, h := range holes {
		winners[i] = h.Said.Winner
	}
	return match.Stand(winners, length, extraHoles)
}

// MatchHoles are the holes of a match that count, as the log holds them.
func MatchHoles(s *match.State) []MatchHole {
	holes := make([]MatchHole, s.Standing().Played)
	for i := range holes {
		l := s.Holes[i]
		holes[i] = MatchHole{
			Number: l.Number, Hole: l.Hole, Said: l.Counting(),
			ReceivedA: s.Received(events.SideA, l.Number), ReceivedB: s.Received(events.SideB, l.Number),
		}
	}
	return holes
}

// MatchState is how a match stands in words, see [match.StateText]; a state that no match is in is refused.
func MatchState(lead, played, length int) (string, error) {
	if err := match.CheckState(lead, played, length); err != nil {
		return "", err
	}
	return match.StateText(lead, played, length), nil
}

// round are the holes of the stipulated round, up to the last of which anything is known.
func (m Match) round(received [][]int) []MatchHole {
	given := map[int]string{}
	last := 0
	for _, c := range m.Conceded {
		given[c.Hole] = c.Side
		last = max(last, c.Hole)
	}
	for _, b := range append(append([]MatchBall{}, m.A...), m.B...) {
		for place, s := range b.Scores {
			if s.State == Holed || s.State == PickedUp {
				last = max(last, place+1)
			}
		}
	}
	holes := make([]MatchHole, last)
	for place := range holes {
		h := m.hole(place+1, place+1, scoresAt(m.A, place), scoresAt(m.B, place), received)
		if side := given[place+1]; side != "" {
			h.Said = events.MatchHole{Winner: match.Other(side), Grounds: events.HoleGiven}
		}
		holes[place] = h
	}
	return holes
}

func (m Match) extra(received [][]int) []MatchHole {
	holes := make([]MatchHole, len(m.Extra))
	for i, e := range m.Extra {
		holes[i] = m.hole(len(m.Par)+i+1, e.Hole, e.A, e.B, received)
	}
	return holes
}

// hole works one hole out from the scores of both sides.
func (m Match) hole(number, hole int, a, b []Score, received [][]int) MatchHole {
	h := MatchHole{Number: number, Hole: hole, Said: events.MatchHole{A: matchScores(a), B: matchScores(b)}}
	for ball := range received {
		if ball < len(m.A) {
			h.ReceivedA = append(h.ReceivedA, received[ball][hole-1])
		} else {
			h.ReceivedB = append(h.ReceivedB, received[ball][hole-1])
		}
	}
	h.Said.Winner, h.Said.Grounds = match.HoleWinner(h.Said.A, h.Said.B, h.ReceivedA, h.ReceivedB)
	return h
}

func scoresAt(balls []MatchBall, place int) []Score {
	scores := make([]Score, len(balls))
	for i, b := range balls {
		scores[i] = b.Scores[place]
	}
	return scores
}

func matchScores(scores []Score) []events.MatchScore {
	out := make([]events.MatchScore, len(scores))
	for i, s := range scores {
		switch s.State {
		case Holed:
			out[i].Strokes = s.Strokes
		case PickedUp:
			out[i].None = events.PickedUp
		default:
			out[i].None = events.NoScore
		}
	}
	return out
}

// validate refuses what no match can be. Playing handicaps and stroke indexes are the handicap package's to refuse.
func (m Match) validate() error {
	holes := len(m.Par)
	if holes != 18 && holes != 9 {
		return refuse("par", "a match over 18 or 9 holes", "there must be 18 or 9 pars, not %d", holes)
	}
	for place, par := range m.Par {
		if par < 3 || par > 6 {
			return refuse("par", "holes of par 3 to 6", "%d at place %d is outside 3 to 6", par, place+1)
		}
	}
	if len(m.StrokeIndex) != holes {
		return refuse("stroke_index", matchRule, "there are %d for %d holes", len(m.StrokeIndex), holes)
	}
	if len(m.A) < 1 || len(m.A) > 2 || len(m.A) != len(m.B) {
		return refuse("sides", matchRule, "both sides have one ball, or two each, not %d and %d", len(m.A), len(m.B))
	}
	for _, b := range append(append([]MatchBall{}, m.A...), m.B...) {
		if err := validateMatchScores("scores", b.Scores, holes); err != nil {
			return err
		}
	}
	seen := map[int]bool{}
	for _, c := range m.Conceded {
		if c.Hole < 1 || c.Hole > holes || match.Other(c.Side) == "" {
			return refuse("conceded", concessionRule, "side A or B concedes one of holes 1 to %d, not side %q hole %d", holes, c.Side, c.Hole)
		}
		if seen[c.Hole] {
			return refuse("conceded", concessionRule, "hole %d is conceded twice", c.Hole)
		}
		seen[c.Hole] = true
	}
	for _, e := range m.Extra {
		if e.Hole < 1 || e.Hole > holes {
			return refuse("extra", "Rules of Golf 3.2a(4)", "hole %d is not one of 1 to %d", e.Hole, holes)
		}
		for _, scores := range [][]Score{e.A, e.B} {
			if err := validateMatchScores("extra", scores, len(m.A)); err != nil {
				return err
			}
		}
	}
	return nil
}

func validateMatchScores(field string, scores []Score, want int) error {
	if len(scores) != want {
		return refuse(field, matchHoleRule, "there are %d scores where %d are due", len(scores), want)
	}
	for place, s := range scores {
		if err := s.Validate(); err != nil {
			return refuse(field, matchHoleRule, "place %d: %v", place+1, err)
		}
		if s.State == Excluded {
			return refuse(field, matchHoleRule, "place %d: no hole of a match is excluded", place+1)
		}
	}
	return nil
}

// matchScoreText writes the score of one ball: "5", "5 - 1 = 4", "picked up".
func matchScoreText(s events.MatchScore, received int) string {
	switch {
	case s.Strokes == 0 && s.None == events.PickedUp:
		return "picked up"
	case s.Strokes == 0:
		return "no score"
	}
	text := fmt.Sprint(s.Strokes)
	if received != 0 {
		text = fmt.Sprintf("%s = %d", lessText(s.Strokes, received), s.Strokes-received)
	}
	if s.Conceded {
		text += " with a conceded stroke"
	}
	return text
}
