// Package card decides what may become of a card: issue, scores by player,
// marker and committee, certification, return, reopening and rulings.
package card

import "marram.example/events"

// HoleLine is one hole of a card. Player, marker and committee each have a
// value of their own: nobody overwrites another in silence.
type HoleLine struct {
	events.Hole
	Received  int          `json:"received"` // strokes received; negative where given back
	Player    events.Score `json:"player"`
	Marker    events.Score `json:"marker"`
	Committee events.Score `json:"committee"`
}

// Counting is the value that stands.
func (h HoleLine) Counting() events.Score { return h.by(h.CountingBy()) }

// CountingBy is whose value stands: the committee's where there is one, then the
// marker's, who enters the score (Rules of Golf 3.3b(1)), then the player's.
func (h HoleLine) CountingBy() events.Role {
	switch {
	case h.Committee.Entered():
		return events.RoleCommittee
	case h.Marker.Entered():
		return events.RoleMarker
	default:
		return events.RolePlayer
	}
}

// Differs reports whether player and marker disagree and nobody has settled it.
func (h HoleLine) Differs() bool {
	return !h.Committee.Entered() && h.Player.Entered() && h.Marker.Entered() && h.Player != h.Marker
}

// by is the value that a role entered.
func (h HoleLine) by(r events.Role) events.Score {
	switch r {
	case events.RoleCommittee:
		return h.Committee
	case events.RoleMarker:
		return h.Marker
	default:
		return h.Player
	}
}

// State is what is known of a card.
type State struct {
	CompetitionID    string         `json:"competition_id"`
	Round            int            `json:"round"`
	EntryID          string         `json:"entry_id"`
	PlayerID         string         `json:"player_id"`
	MarkerID         string         `json:"marker_id"` // entry that keeps it; empty where the committee does
	CourseID         string         `json:"course_id"`
	Tee              string         `json:"tee"`
	StartingHole     int            `json:"starting_hole"`
	Format           string         `json:"format"`
	Figures          events.Figures `json:"figures"`
	Holes            []HoleLine     `json:"holes"`
	CertifiedPlayer  bool           `json:"certified_player"`
	CertifiedMarker  bool           `json:"certified_marker"`
	CertifiedOnPaper bool           `json:"certified_on_paper"` // both signatures stand on a paper card that was typed in
	Returned         bool           `json:"returned"`
	Receipt          string         `json:"receipt"` // short code, once returned
	Ruled            string         `json:"ruled"`   // NR, RTD, WD, NS or DQ; empty where the committee ruled nothing
	RuledReason      string         `json:"ruled_reason"`
	ReopenedReason   string         `json:"reopened_reason"`
}

// New is a card of which nothing has happened yet.
func New() *State { return &State{} }

// Clone copies a state so that evolving the copy leaves the original alone.
func Clone(s *State) *State {
	c := *s
	c.Holes = append([]HoleLine(nil), s.Holes...)
	return &c
}

// Exists reports whether the card has been issued.
func (s *State) Exists() bool { return s.EntryID != "" }

// Status is in_play, returned, NR, RTD, WD, NS or DQ.
func (s *State) Status() string {
	switch {
	case s.Ruled != "":
		return s.Ruled
	case s.Returned:
		return events.StatusReturned
	default:
		return events.StatusInPlay
	}
}

// Line finds a hole by its number on the course.
func (s *State) Line(hole int) (int, bool) {
	for i, h := range s.Holes {
		if h.Number == hole {
			return i, true
		}
	}
	return 0, false
}

// PlayOrder lists indexes into Holes in the order in which the group plays them.
func (s *State) PlayOrder() []int {
	order := make([]int, 0, len(s.Holes))
	start, _ := s.Line(s.StartingHole)
	for i := range s.Holes {
		order = append(order, (start+i)%len(s.Holes))
	}
	return order
}

// Played counts the holes on which something is entered.
func (s *State) Played() int {
	n := 0
	for _, h := range s.Holes {
		if h.Counting().Entered() {
			n++
		}
	}
	return n
}

// Differences lists the numbers of the holes on which player and marker disagree.
func (s *State) Differences() []int {
	var out []int
	for _, h := range s.Holes {
		if h.Differs() {
			out = append(out, h.Number)
		}
	}
	return out
}

// scored reports whether anybody has entered anything.
func (s *State) scored() bool {
	for _, h := range s.Holes {
		if h.Player.Entered() || h.Marker.Entered() || h.Committee.Entered() {
			return true
		}
	}
	return false
}

// Evolve adds an event to the state.
func Evolve(s *State, e events.Event) {
	switch e := e.(type) {
	case events.CardIssued:
		s.CompetitionID, s.Round, s.EntryID, s.PlayerID, s.MarkerID = e.CompetitionID, e.Round, e.EntryID, e.PlayerID, e.MarkerID
		s.CourseID, s.StartingHole, s.Format = e.CourseID, e.StartingHole, e.Format
		s.lay(e.Tee, e.Holes, e.Figures)
	case events.CardReissued:
		s.MarkerID, s.StartingHole = e.MarkerID, e.StartingHole
		s.lay(e.Tee, e.Holes, e.Figures)
	case events.MarkerAssigned:
		s.MarkerID, s.StartingHole = e.MarkerID, e.StartingHole
	case events.HoleScored:
		s.put(e.Hole, e.By, e.Score)
	case events.HoleScoreCorrected:
		s.put(e.Hole, e.By, e.New)
	case events.CardCertified:
		if e.By == events.RoleMarker {
			s.CertifiedMarker = true
		} else {
			s.CertifiedPlayer = true
		}
		s.CertifiedOnPaper = e.Keeper != ""
	case events.CardReturned:
		s.Returned, s.Receipt = true, e.Receipt
	case events.CardReopened:
		s.Returned, s.Receipt, s.Ruled, s.RuledReason, s.ReopenedReason = false, "", "", "", e.Reason
		s.uncertify()
	case events.CardStatusRuled:
		s.Ruled, s.RuledReason = e.Status, e.Reason
		if e.Status == events.StatusInPlay {
			s.Ruled = ""
		}
	}
}

// lay puts the holes on the card; scores that stand on it stay.
func (s *State) lay(tee string, holes []events.Hole, f events.Figures) {
	lines := make([]HoleLine, len(holes))
	for i, h := range holes {
		if at, ok := s.Line(h.Number); ok {
			lines[i] = s.Holes[at]
		}
		lines[i].Hole, lines[i].Received = h, f.StrokesByHole[i]
	}
	s.Tee, s.Figures, s.Holes = tee, f, lines
}

// layout is the holes as they play from the tee, without scores.
func (s *State) layout() []events.Hole {
	holes := make([]events.Hole, len(s.Holes))
	for i, h := range s.Holes {
		holes[i] = h.Hole
	}
	return holes
}

// put stores a value; before the return, certification of what was before is void.
func (s *State) put(hole int, by events.Role, v events.Score) {
	i, ok := s.Line(hole)
	if !ok {
		return
	}
	switch by {
	case events.RoleCommittee:
		s.Holes[i].Committee = v
	case events.RoleMarker:
		s.Holes[i].Marker = v
	default:
		s.Holes[i].Player = v
	}
	if !s.Returned {
		s.uncertify()
	}
}

func (s *State) uncertify() {
	s.CertifiedPlayer, s.CertifiedMarker, s.CertifiedOnPaper = false, false, false
}
