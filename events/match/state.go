// Package match decides what may become of a match: who plays whom, hole by hole,
// concessions, the result and the committee's rulings (Rules of Golf 3.2). Both
// sides write one record, each with a word of its own. Its arithmetic is exported,
// so that whoever shows a match counts alike.
package match

import (
	"slices"

	"marram.example/events"
)

// Line is one hole of a match. Each side and the committee have a word of their
// own: nobody overwrites another in silence.
type Line struct {
	Number    int              `json:"number"` // in the order of play, from 1
	Hole      int              `json:"hole"`   // its number on the course
	A         events.MatchHole `json:"a"`
	B         events.MatchHole `json:"b"`
	Committee events.MatchHole `json:"committee"`
	First     string           `json:"first"`    // the side whose word came first; empty where neither said anything
	Conceded  string           `json:"conceded"` // the side that gave the hole; empty where none did
}

// Counting is the word that stands: the committee's, else a concession, else the
// one the sides agree on (with scores where one has them), else the first.
func (l Line) Counting() events.MatchHole {
	first, second := l.A, l.B
	if l.First == events.SideB {
		first, second = l.B, l.A
	}
	switch {
	case l.Committee.Entered():
		return l.Committee
	case l.Conceded != "":
		return events.MatchHole{Winner: Other(l.Conceded), Grounds: events.HoleGiven}
	case first.Winner == second.Winner && first.Grounds == events.HoleStated:
		return second
	default:
		return first
	}
}

// Differs reports whether the sides name different winners and nobody has settled
// it. Different scores that come to the same winner are no difference: in match
// play only the hole counts.
func (l Line) Differs() bool {
	return !l.Committee.Entered() && l.Conceded == "" && l.A.Entered() && l.B.Entered() && l.A.Winner != l.B.Winner
}

// of is what a writer said.
func (l Line) of(w events.MatchWriter) events.MatchHole {
	switch {
	case w.By == events.RoleCommittee:
		return l.Committee
	case w.BySide == events.SideB:
		return l.B
	default:
		return l.A
	}
}

// said reports whether anything stands there.
func (l Line) said() bool {
	return l.A.Entered() || l.B.Entered() || l.Committee.Entered() || l.Conceded != ""
}

// Outcome is how a match ended. It is zero while it has not.
type Outcome struct {
	Winner  string `json:"winner"`  // A, B, tied, or none where both sides are out
	Text    string `json:"text"`    // such as 3 and 2
	Up      int    `json:"up"`      // holes up in the end, or as credited
	Played  int    `json:"played"`  // holes
	Grounds string `json:"grounds"` // holes, stated, conceded or ruled
}

// Agreed is the result that one side stands for; zero where it does not.
type Agreed struct {
	Winner string `json:"winner"`
	Text   string `json:"text"`
}

// Ruling is how the committee ruled; zero where it did not.
type Ruling struct {
	Ruling string `json:"ruling"`
	Winner string `json:"winner"`
	Up     int    `json:"up"`
	Reason string `json:"reason"`
}

// State is what is known of a match.
type State struct {
	Arranged       events.MatchArranged `json:"arranged"`
	Holes          []Line               `json:"holes"` // in order of play, without a gap
	AgreedA        Agreed               `json:"agreed_a"`
	AgreedB        Agreed               `json:"agreed_b"`
	Conceded       string               `json:"conceded"` // the side that gave the match; empty where none did
	Decided        Outcome              `json:"decided"`  // as recorded
	Ruled          Ruling               `json:"ruled"`
	ReopenedReason string               `json:"reopened_reason"`
}

// New is a match of which nothing has happened yet.
func New() *State { return &State{} }

// Clone copies a state so that evolving the copy leaves the original alone. What
// the events brought is never written to and stays shared.
func Clone(s *State) *State {
	c := *s
	c.Holes = append([]Line(nil), s.Holes...)
	return &c
}

// Exists reports whether the match has been arranged.
func (s *State) Exists() bool { return s.Arranged.CompetitionID != "" }

// Standing is how the match stands by the words that count.
func (s *State) Standing() Standing {
	winners := make([]string, len(s.Holes))
	for i, l := range s.Holes {
		winners[i] = l.Counting().Winner
	}
	return Stand(winners, s.Arranged.Length, s.Arranged.ExtraHoles)
}

// Outcome is the result in force: the committee's ruling, else what was recorded.
// It is false while there is none.
func (s *State) Outcome() (Outcome, bool) {
	if r := s.Ruled; r.Ruling != "" {
		return Outcome{Winner: r.Winner, Text: RulingText(r.Ruling), Up: r.Up, Played: s.Standing().Played, Grounds: events.MatchCredited}, true
	}
	return s.Decided, s.Decided.Winner != ""
}

// RulingText is a ruling in words, for the place of a result.
func RulingText(ruling string) string {
	if ruling == events.MatchNotPlayed {
		return "not played"
	}
	return ruling
}

// Differences lists the numbers, in order of play, of the holes on which the sides
// name different winners.
func (s *State) Differences() []int {
	var out []int
	for _, l := range s.Holes {
		if l.Differs() {
			out = append(out, l.Number)
		}
	}
	return out
}

// ResultDiffers reports whether both sides stand for a result, and not for the same.
func (s *State) ResultDiffers() bool {
	return s.AgreedA.Winner != "" && s.AgreedB.Winner != "" && s.AgreedA != s.AgreedB
}

// HoleAt is the number on the course of the n-th hole played, from 1; 0 where the
// match has no such hole.
func (s *State) HoleAt(n int) int {
	holes, i := s.holes(), s.at(n)
	if i < 0 {
		return 0
	}
	return holes[i].Number
}

// Received are the strokes that the balls of a side receive on the n-th hole played.
func (s *State) Received(side string, n int) []int {
	i := s.at(n)
	if i < 0 {
		return nil
	}
	var out []int
	for _, b := range s.side(side).Balls {
		out = append(out, b.Strokes[i])
	}
	return out
}

// at is the index among the holes in play of the n-th hole played, or -1.
func (s *State) at(n int) int {
	holes := s.holes()
	start := slices.IndexFunc(holes, func(h events.Hole) bool { return h.Number == s.Arranged.StartingHole })
	if n < 1 || start < 0 || n > s.Arranged.Length && !s.Arranged.ExtraHoles {
		return -1
	}
	return PlayIndex(len(holes), start, n)
}

func (s *State) holes() []events.Hole {
	if len(s.Arranged.A.Balls) == 0 {
		return nil
	}
	return s.Arranged.A.Balls[0].Holes
}

func (s *State) side(side string) events.MatchSide {
	if side == events.SideB {
		return s.Arranged.B
	}
	return s.Arranged.A
}

// closed reports whether no further hole counts, whichever word of a side is right.
func (s *State) closed() bool { return s.Standing().Over && len(s.Differences()) == 0 }

// Evolve adds an event to the state.
func Evolve(s *State, e events.Event) {
	switch e := e.(type) {
	case events.MatchArranged:
		s.Arranged = e
	case events.MatchHoleDecided:
		s.put(e.Number, e.Hole, e.MatchWriter, e.MatchHole)
	case events.MatchHoleCorrected:
		s.put(e.Number, e.Hole, e.MatchWriter, e.New)
	case events.MatchHoleRemoved:
		s.change(e.Number, e.Hole, func(l *Line) { *l = Line{Number: l.Number, Hole: l.Hole} })
	case events.HoleConceded:
		s.change(e.Number, e.Hole, func(l *Line) { l.Conceded, l.Committee = e.Side, events.MatchHole{} })
	case events.MatchConceded:
		s.Conceded = e.Side
	case events.MatchResultAgreed:
		if e.BySide == events.SideB {
			s.AgreedB = Agreed{Winner: e.Winner, Text: e.Text}
		} else {
			s.AgreedA = Agreed{Winner: e.Winner, Text: e.Text}
		}
	case events.MatchDecided:
		s.Decided = Outcome{Winner: e.Winner, Text: e.Text, Up: e.Up, Played: e.Played, Grounds: e.Grounds}
	case events.MatchRuled:
		s.Ruled = Ruling{Ruling: e.Ruling, Winner: e.Winner, Up: e.Up, Reason: e.Reason}
		if e.Ruling == events.MatchRulingLifted {
			s.Ruled = Ruling{}
		}
	case events.MatchReopened:
		s.Decided, s.Ruled, s.Conceded, s.ReopenedReason = Outcome{}, Ruling{}, "", e.Reason
		s.disagree()
	}
}

// put stores a word.
func (s *State) put(number, hole int, w events.MatchWriter, v events.MatchHole) {
	s.change(number, hole, func(l *Line) { l.put(w, v) })
}

func (l *Line) put(w events.MatchWriter, v events.MatchHole) {
	switch {
	case w.By == events.RoleCommittee:
		l.Committee = v
		return
	case w.BySide == events.SideB:
		l.B = v
	default:
		l.A = v
	}
	switch {
	case l.A.Entered() && !l.B.Entered():
		l.First = events.SideA
	case l.B.Entered() && !l.A.Entered():
		l.First = events.SideB
	case !l.A.Entered():
		l.First = ""
	}
}

// change changes a hole. A last hole of which nothing stands any more is gone, and
// what a side agreed to before is void.
func (s *State) change(number, hole int, by func(*Line)) {
	if number < 1 || number > len(s.Holes)+1 {
		return
	}
	if number > len(s.Holes) {
		s.Holes = append(s.Holes, Line{Number: number, Hole: hole})
	}
	by(&s.Holes[number-1])
	for n := len(s.Holes); n > 0 && !s.Holes[n-1].said(); n-- {
		s.Holes = s.Holes[:n-1]
	}
	if len(s.Holes) == 0 {
		s.Holes = nil // as in a new state
	}
	s.disagree()
}

func (s *State) disagree() { s.AgreedA, s.AgreedB = Agreed{}, Agreed{} }
