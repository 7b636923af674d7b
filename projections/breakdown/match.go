package breakdown

import (
	"fmt"
	"slices"

	"marram.example/events"
	"marram.example/events/competition"
	"marram.example/events/match"
	"marram.example/projections/handicap"
	"marram.example/projections/scoring"
)

// Match is everything behind the state of one match.
type Match struct {
	MatchID       string               `json:"match_id"`
	CompetitionID string               `json:"competition_id"`
	Round         int                  `json:"round"`
	Number        int                  `json:"number"` // of its group on the start sheet
	Side          string               `json:"side"`   // as in Terms
	Ranking       string               `json:"ranking"`
	Length        int                  `json:"length"`      // holes
	ExtraHoles    bool                 `json:"extra_holes"` // a tied match goes on
	FullNet       bool                 `json:"full_net"`    // everybody receives their whole playing handicap
	Sequence      events.Sequence      `json:"sequence"`    // of the match's stream, as counted here
	A             MatchSide            `json:"a"`
	B             MatchSide            `json:"b"`
	Strokes       handicap.Explanation `json:"strokes"`    // who receives how many, off the lowest
	Recomputed    bool                 `json:"recomputed"` // every sum done again gives the figures and strokes as arranged
	Holes         []MatchHole          `json:"holes"`      // of which anything is known, in order of play
	Lead          int                  `json:"lead"`       // holes that side A leads by; negative where B does
	Played        int                  `json:"played"`     // holes that count
	Over          bool                 `json:"over"`       // there is a result in force
	Winner        string               `json:"winner"`     // A, B, tied or none; empty while there is no result
	Text          string               `json:"text"`       // such as 3 and 2, or how it stands
	Result        handicap.Explanation `json:"result"`     // how the state follows from holes, concessions and rulings
	Differences   []int                `json:"differences"`
	Table         []TableRow           `json:"table"` // of a round robin, as far as its rounds are closed; else empty
	Events        []EventLine          `json:"events"`
}

// MatchSide is one side of a match.
type MatchSide struct {
	EntryID string      `json:"entry_id"`
	Balls   []MatchBall `json:"balls"`
}

// MatchBall is one ball of a match with its sums.
type MatchBall struct {
	PlayerID string `json:"player_id"`
	Tee      string `json:"tee"`
	Sums
	Received int                  `json:"received"` // strokes in this match, over the holes in play once
	ByHole   []int                `json:"by_hole"`  // in the order of the course's holes in play
	Given    handicap.Explanation `json:"given"`    // how they fall on holes
}

// MatchHole is one hole of a match.
type MatchHole struct {
	Number    int                 `json:"number"` // in the order of play, from 1; extra holes go on
	Hole      int                 `json:"hole"`   // on the course
	Extra     bool                `json:"extra"`  // after the match's length
	Counts    bool                `json:"counts"` // false after the hole that decided the match
	A         []events.MatchScore `json:"a"`      // gross, by ball, as they count; empty where only the winner is told
	B         []events.MatchScore `json:"b"`
	ReceivedA []int               `json:"received_a"` // strokes there, by ball
	ReceivedB []int               `json:"received_b"`
	NetA      *int                `json:"net_a"` // the side's score after strokes; null where no ball was completed or known
	NetB      *int                `json:"net_b"`
	Winner    string              `json:"winner"`   // A, B or tied
	Grounds   string              `json:"grounds"`  // scores, stated, conceded, penalty, last_to_pick_up or nobody_finished
	Conceded  string              `json:"conceded"` // the side that gave the hole; empty where none did
	Settled   bool                `json:"settled"`  // the committee's word counts
	Differs   bool                `json:"differs"`  // the sides name different winners
	SaidA     string              `json:"said_a"`   // who won by the word of side A; empty where it said nothing
	SaidB     string              `json:"said_b"`
	Lead      int                 `json:"lead"` // of side A after the hole
	Sum       handicap.Line       `json:"sum"`
	Positions []events.Position   `json:"positions"` // of the events about this hole
}

// OfMatch opens a match from the events of its stream. names are what sides A and
// B are called in words; empty for "side A" and "side B". It fails where the events
// are not those of a match.
func OfMatch(matchID string, comp *competition.State, recorded []events.Recorded, names [2]string) (Match, error) {
	s, called := match.New(), sideNames(names)
	out := Match{MatchID: matchID, Events: make([]EventLine, 0, len(recorded))}
	at := map[int][]events.Position{}
	for _, r := range recorded {
		match.Evolve(s, r.Event)
		out.Sequence = r.Sequence
		out.Events = append(out.Events, lineOf(r, matchWords(r.Event, called)))
		if n := numberOf(r.Event); n > 0 {
			at[n] = append(at[n], r.Position)
		}
	}
	if !s.Exists() {
		return Match{}, events.NotFound("match_id", "no such match")
	}
	a := s.Arranged
	out.CompetitionID, out.Round, out.Number, out.Side, out.Ranking = a.CompetitionID, a.Round, a.Number, a.Side, a.Ranking
	out.Length, out.ExtraHoles, out.FullNet, out.Differences = a.Length, a.ExtraHoles, a.FullNet, orNone(s.Differences())
	out.sums(comp, a, called)
	out.holes(s, at, called)
	out.state(s, called)
	return out, out.table(comp)
}

// sums explains the handicaps of every ball, and what they give in this match.
func (m *Match) sums(comp *competition.State, a events.MatchArranged, called sideNames) {
	leaveOut := comp.Terms != nil && comp.Terms.LeaveOutPar
	var playing []handicap.Playing
	for _, b := range append(append([]events.MatchBall{}, a.A.Balls...), a.B.Balls...) {
		playing = append(playing, handicap.Playing(b.Figures.PlayingHandicap))
	}
	due := make([]handicap.Playing, len(playing))
	m.Strokes = handicap.Explanation{{Label: "Strokes in the match", Arithmetic: "it is played without strokes", Rule: "the terms of the competition"}}
	m.Recomputed = true
	if a.Ranking != "gross" {
		var err error
		if due, m.Strokes, err = handicap.MatchStrokes(playing, !a.FullNet); err != nil {
			due, m.Recomputed = make([]handicap.Playing, len(playing)), false
			m.Strokes = handicap.Explanation{{Label: "The sum cannot be done again", Arithmetic: err.Error()}}
		}
	}
	m.nameStrokes(a, called)
	m.A, due = m.side(a.A, due, leaveOut)
	m.B, _ = m.side(a.B, due, leaveOut)
}

// nameStrokes says whose strokes a line is about: lines count players from 1, A's
// balls first.
func (m *Match) nameStrokes(a events.MatchArranged, called sideNames) {
	next := 0
	for i := range m.Strokes {
		if m.Strokes[i].Label != fmt.Sprintf("Strokes of player or side %d", next+1) {
			continue
		}
		side, ball, count := events.SideA, next, len(a.A.Balls)
		if next >= count {
			side, ball, count = events.SideB, next-count, len(a.B.Balls)
		}
		m.Strokes[i].Label = "Strokes of " + called.of(side)
		if count > 1 {
			m.Strokes[i].Label += fmt.Sprintf(", ball %d", ball+1)
		}
		next++
	}
}

// side opens the balls of a side and takes what is due to them off the list.
func (m *Match) side(s events.MatchSide, due []handicap.Playing, leaveOut bool) (MatchSide, []handicap.Playing) {
	out := MatchSide{EntryID: s.EntryID}
	for i, b := range s.Balls {
		x := MatchBall{PlayerID: b.PlayerID, Tee: b.Tee, Sums: sumsOf(b.Figures, b.Holes, leaveOut), ByHole: b.Strokes}
		for _, n := range b.Strokes {
			x.Received += n
		}
		var err error
		if x.Given, err = handicap.ExplainStrokes(due[i], indexes(b.Holes)); err != nil {
			x.Given = handicap.Explanation{{Label: "The sum cannot be done again", Arithmetic: err.Error()}}
		}
		byHole, err := handicap.StrokesReceived(due[i], indexes(b.Holes))
		x.Recomputed = x.Recomputed && err == nil && slices.Equal(byHole, b.Strokes)
		m.Recomputed = m.Recomputed && x.Recomputed
		out.Balls = append(out.Balls, x)
	}
	return out, due[len(s.Balls):]
}

// holes opens every hole of which anything is known; those after the one that
// decided the match do not count.
func (m *Match) holes(s *match.State, at map[int][]events.Position, called sideNames) {
	counted := scoring.MatchHoles(s)
	lines := scoring.ExplainMatch(counted, s.Arranged.Length, s.Arranged.ExtraHoles, called)
	stand := s.Standing()
	m.Holes = []MatchHole{}
	for i, l := range s.Holes {
		said := l.Counting()
		h := MatchHole{
			Number: l.Number, Hole: l.Hole, Extra: l.Number > s.Arranged.Length, Counts: i < len(counted),
			A: orNone(said.A), B: orNone(said.B), ReceivedA: orNone(s.Received(events.SideA, l.Number)), ReceivedB: orNone(s.Received(events.SideB, l.Number)),
			Winner: said.Winner, Grounds: said.Grounds, Conceded: l.Conceded, Settled: l.Committee.Entered(), Differs: l.Differs(),
			SaidA: l.A.Winner, SaidB: l.B.Winner, Lead: stand.Lead, Positions: orNone(at[l.Number]),
		}
		h.NetA, h.NetB = netOf(said.A, h.ReceivedA), netOf(said.B, h.ReceivedB)
		h.Sum = handicap.Line{Label: fmt.Sprintf("Hole %d", l.Hole), Arithmetic: "the match was over before it", Rule: "Rules of Golf 3.2a"}
		if h.Counts {
			h.Lead, h.Sum = stand.Progress[i], lines[i]
		}
		m.Holes = append(m.Holes, h)
	}
	m.Result = lines[len(counted):]
}

func netOf(scores []events.MatchScore, received []int) *int {
	if n, ok := match.BestNet(scores, received); ok {
		return &n
	}
	return nil
}

// state says how the match stands or ended, and by what: its holes, a result that
// was told, a concession or a ruling.
func (m *Match) state(s *match.State, called sideNames) {
	stands := s.Standing()
	m.Lead, m.Played, m.Text = stands.Lead, stands.Played, stands.Text
	o, over := s.Outcome()
	if !over {
		return
	}
	m.Over, m.Winner, m.Text = true, o.Winner, o.Text
	line := handicap.Line{Label: "Result", Rule: "Rules of Golf 3.2a"}
	switch o.Grounds {
	case events.MatchByHoles:
		return // the last line of the holes says it
	case events.MatchStated:
		line.Arithmetic = "as both sides, or the committee, tell it: " + called.result(o.Winner, o.Text)
	case events.MatchGivenUp:
		line.Rule = "Rules of Golf 3.2b(1)"
		line.Arithmetic = fmt.Sprintf("%s conceded the match; %s wins, credited with %s", called.of(match.Other(o.Winner)), called.of(o.Winner), up(o.Up))
	case events.MatchCredited:
		line.Label, line.Rule = "Ruling", "the committee's decision"
		line.Arithmetic = called.ruled(o.Winner, o.Text) + because(s.Ruled.Reason)
		if o.Up > 0 {
			line.Arithmetic += ", credited with " + up(o.Up)
		}
	}
	m.Result = append(m.Result, line)
}

func up(n int) string {
	if n == 1 {
		return "1 hole"
	}
	return fmt.Sprintf("%d holes", n)
}

// numberOf is the hole, in the order of play, that an event of a match is about.
func numberOf(e events.Event) int {
	switch e := e.(type) {
	case events.MatchHoleDecided:
		return e.Number
	case events.MatchHoleCorrected:
		return e.Number
	case events.MatchHoleRemoved:
		return e.Number
	case events.HoleConceded:
		return e.Number
	default:
		return 0
	}
}
