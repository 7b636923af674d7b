package board

import (
	"slices"

	"marram.example/events"
	"marram.example/events/competition"
	"marram.example/events/match"
	"marram.example/projections/standing"
)

// Match is one match of a board.
type Match struct {
	MatchID     string      `json:"match_id"`
	Round       int         `json:"round"`
	Number      int         `json:"number"` // of its group on the start sheet
	Time        string      `json:"time"`
	Hole        int         `json:"starting_hole"`
	Length      int         `json:"length"` // holes
	A           MatchPlayer `json:"a"`
	B           MatchPlayer `json:"b"`
	Thru        int         `json:"thru"`             // holes that count
	Lead        int         `json:"lead"`             // of side A; negative where B leads
	Leader      string      `json:"leader,omitempty"` // A or B
	Text        string      `json:"text"`             // 2 up, all square, dormie, 3 and 2, tied; empty before the first hole
	Over        bool        `json:"over"`
	Winner      string      `json:"winner,omitempty"` // A or B, once over
	Progress    []int       `json:"progress"`         // side A's lead after every hole
	Differences []int       `json:"differences"`      // holes, in order of play, on which the sides differ
}

// MatchPlayer is a side of a match.
type MatchPlayer struct {
	EntryID string `json:"entry_id"`
	Name    string `json:"name"`
	Strokes []int  `json:"strokes"` // received in the match, by ball
}

// game is the fold of one match.
type game struct {
	id    string
	seq   events.Sequence
	state *match.State
}

func (f *field) foldMatch(r events.Recorded) {
	at := slices.IndexFunc(f.matches, func(g *game) bool { return g.id == r.Stream.ID })
	if at < 0 {
		at = len(f.matches)
		f.matches = append(f.matches, &game{id: r.Stream.ID, state: match.New()})
	}
	g := f.matches[at]
	g.seq = r.Sequence
	match.Evolve(g.state, r.Event)
}

// decided are the matches that have a result, by id.
func (f *field) decided() map[string]events.MatchStanding {
	out := map[string]events.MatchStanding{}
	for _, g := range f.matches {
		if o, over := g.state.Outcome(); over {
			out[g.id] = standing.MatchStanding(g.id, g.seq, g.state.Arranged, o)
		}
	}
	return out
}

// buildMatches fills in the rows and matches of a match competition. A row's place
// is that of the result so far: who is out of a knockout, or the table.
func (f *field) buildMatches(b *Board) {
	res, err := standing.Result(standing.Anew(f.comp, f.decided()), nil)
	if err != nil {
		b.Fault = err.Error()
	}
	for i, r := range res.Rows {
		row := f.row(standing.Row{Entry: f.comp.Entries[r.EntryID]})
		row.Places[standing.Matches] = standing.Place{Position: r.Positions[standing.Matches], Order: i}
		b.Rows = append(b.Rows, row)
	}
	for _, g := range f.matches {
		b.Matches = append(b.Matches, f.matchRow(g))
	}
	b.Table = res.Table
	b.Provisional = f.comp.Phase != competition.Published || !agrees(f.comp, b.Rows)
}

func (f *field) matchRow(g *game) Match {
	a := g.state.Arranged
	s := g.state.Standing()
	out := Match{
		MatchID: g.id, Round: a.Round, Number: a.Number, Hole: a.StartingHole, Length: a.Length,
		A: matchPlayer(a.A), B: matchPlayer(a.B), Thru: s.Played, Lead: s.Lead, Text: s.Text, Progress: orNone(s.Progress),
		Differences: orNone(g.state.Differences()),
	}
	if d := f.comp.Sheet(a.Round); d != nil {
		for _, group := range d.Groups {
			if group.Number == a.Number {
				out.Time = group.Time
			}
		}
	}
	if s.Played == 0 {
		out.Text = ""
	}
	switch {
	case s.Lead > 0:
		out.Leader = events.SideA
	case s.Lead < 0:
		out.Leader = events.SideB
	}
	if o, over := g.state.Outcome(); over {
		out.Over, out.Text, out.Winner, out.Leader = true, o.Text, side(o.Winner), side(o.Winner)
	}
	return out
}

// side is A or B, or empty for a tie and for no winner.
func side(winner string) string {
	if match.Other(winner) == "" {
		return ""
	}
	return winner
}

func matchPlayer(s events.MatchSide) MatchPlayer {
	out := MatchPlayer{EntryID: s.EntryID, Strokes: []int{}}
	for _, b := range s.Balls {
		n := 0
		for _, k := range b.Strokes {
			n += k
		}
		out.Strokes = append(out.Strokes, n)
	}
	return out
}

func orNone(ns []int) []int {
	if ns == nil {
		return []int{}
	}
	return ns
}
