// Package card decides what may become of a card: issue, scores by player,
// marker and committee, penalties, certification, return, reopening and rulings.
package card

import (
	"slices"

	"marram.example/events"
)

// HoleLine is one hole of a card. Player, marker and committee each have a
// value of their own: nobody overwrites another in silence.
type HoleLine struct {
	events.Hole
	Received  int          `json:"received"` // strokes received; negative where given back
	Player    events.Score `json:"player"`
	Marker    events.Score `json:"marker"`
	Committee events.Score `json:"committee"`

	// SetAside is what the committee had entered before it excluded the hole; lifting
	// the exclusion puts it back.
	SetAside events.Score `json:"set_aside,omitzero"`
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

// Excluded reports whether the committee took the hole out of play.
func (h HoleLine) Excluded() bool { return h.Committee.None == events.Excluded }

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

// PartnerBall is a partner's own ball on the card of a side: ball 1 and on.
type PartnerBall struct {
	PlayerID string         `json:"player_id"`
	Tee      string         `json:"tee"`
	Figures  events.Figures `json:"figures"`
	Holes    []HoleLine     `json:"holes"` // the same numbers as the card's
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

	events.Play               // who the entry is, the maximum, and which balls count
	Partners    []PartnerBall `json:"partners,omitempty"`  // balls 1 and on; Holes, Tee and Figures above are ball 0
	Penalties   []Penalty     `json:"penalties,omitempty"` // in the order in which they were added

	Date     string       `json:"date,omitempty"`     // of the round, YYYY-MM-DD; empty on cards issued before it was kept
	Practice bool         `json:"practice,omitempty"` // a practice round: what interprets its strokes is not withheld
	Strokes  []StrokeLine `json:"strokes,omitempty"`  // by ball and hole, in order of play within one
}

// New is a card of which nothing has happened yet.
func New() *State { return &State{} }

// Clone copies a state so that evolving the copy leaves the original alone.
func Clone(s *State) *State {
	c := *s
	c.Holes, c.Partners, c.Penalties = slices.Clone(s.Holes), slices.Clone(s.Partners), slices.Clone(s.Penalties)
	c.Strokes = slices.Clone(s.Strokes)
	for i := range c.Partners {
		c.Partners[i].Holes = slices.Clone(c.Partners[i].Holes)
	}
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

// Line finds a hole by its number on the course: its index on every ball.
func (s *State) Line(hole int) (int, bool) {
	if i := numbered(s.Holes, hole); i >= 0 {
		return i, true
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

// Evolve adds an event to the state.
func Evolve(s *State, e events.Event) {
	switch e := e.(type) {
	case events.CardIssued:
		s.CompetitionID, s.Round, s.EntryID, s.PlayerID, s.MarkerID = e.CompetitionID, e.Round, e.EntryID, e.PlayerID, e.MarkerID
		s.CourseID, s.StartingHole, s.Format, s.Play = e.CourseID, e.StartingHole, e.Format, e.Play
		s.Date, s.Practice = e.Date, e.Practice
		s.lay(e.Tee, e.Holes, e.Figures, e.Partners)
	case events.CardReissued:
		s.MarkerID, s.StartingHole = e.MarkerID, e.StartingHole
		s.lay(e.Tee, e.Holes, e.Figures, e.Partners)
	case events.MarkerAssigned:
		s.MarkerID, s.StartingHole = e.MarkerID, e.StartingHole
	case events.HoleScored:
		s.put(e.Ball, e.Hole, e.By, e.Score)
	case events.HoleScoreCorrected:
		s.put(e.Ball, e.Hole, e.By, e.New)
	case events.PenaltyAdded:
		s.Penalties = append(s.Penalties, Penalty{ID: e.PenaltyID, Ball: e.Ball, Hole: e.Hole, Strokes: e.Strokes, Rule: e.Rule, Reason: e.Reason})
	case events.PenaltyRemoved:
		s.forget(e.PenaltyID)
	case events.StrokeRecorded:
		s.play(e)
	case events.StrokeAmended:
		if i := s.stroke(e.StrokeID); i >= 0 {
			s.Strokes[i].Stroke = e.Stroke
		}
	case events.StrokeRemoved:
		s.unplay(e.StrokeID)
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

// lay puts the holes of every ball on the card; scores that stand on it stay, and
// so does the exclusion of a hole, on a ball that is new as well.
func (s *State) lay(tee string, holes []events.Hole, f events.Figures, partners []events.Ball) {
	lines := laid(s.Holes, holes, f)
	var balls []PartnerBall
	for i, b := range partners {
		ball := PartnerBall{PlayerID: b.PlayerID, Tee: b.Tee, Figures: b.Figures, Holes: laid(s.Lines(i+1), b.Holes, b.Figures)}
		for at, h := range lines {
			if h.Excluded() {
				ball.Holes[at].Committee = h.Committee
			}
		}
		balls = append(balls, ball)
	}
	s.Tee, s.Figures, s.Holes, s.Partners = tee, f, lines, balls
}

// laid is the holes of one ball with what was entered there before.
func laid(before []HoleLine, holes []events.Hole, f events.Figures) []HoleLine {
	lines := make([]HoleLine, len(holes))
	for i, h := range holes {
		if at := numbered(before, h.Number); at >= 0 {
			lines[i] = before[at]
		}
		lines[i].Hole, lines[i].Received = h, f.StrokesByHole[i]
	}
	return lines
}

// numbered finds a hole by its number, or gives -1.
func numbered(lines []HoleLine, hole int) int {
	return slices.IndexFunc(lines, func(h HoleLine) bool { return h.Number == hole })
}

// layout is the holes as they play from the tee of a ball, without scores.
func layout(lines []HoleLine) []events.Hole {
	holes := make([]events.Hole, len(lines))
	for i, h := range lines {
		holes[i] = h.Hole
	}
	return holes
}

// put stores a value; before the return, certification of what was before is void.
func (s *State) put(ball, hole int, by events.Role, v events.Score) {
	lines := s.Lines(ball)
	i := numbered(lines, hole)
	if i < 0 {
		return
	}
	switch h := &lines[i]; by {
	case events.RoleCommittee:
		h.SetAside = events.Score{}
		if v.None == events.Excluded {
			h.SetAside = h.Committee
		}
		h.Committee = v
	case events.RoleMarker:
		h.Marker = v
	default:
		h.Player = v
	}
	if !s.Returned {
		s.uncertify()
	}
}

func (s *State) uncertify() {
	s.CertifiedPlayer, s.CertifiedMarker, s.CertifiedOnPaper = false, false, false
}
