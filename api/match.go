package api

import (
	"context"

	"marram.example/api/command"
	"marram.example/events"
	"marram.example/events/competition"
	"marram.example/events/match"
	"marram.example/projections/handicap"
	"marram.example/projections/scoring"
)

// Match is a match as it stands. What the committee wrote about it is for the
// committee and who plays it.
type Match struct {
	ID string `json:"match_id"`
	view
	CompetitionID  string                  `json:"competition_id"`
	Round          int                     `json:"round"`
	Number         int                     `json:"number"` // of its group on the start sheet
	Time           string                  `json:"time"`
	CourseID       string                  `json:"course_id"`
	Side           string                  `json:"side"`
	Ranking        string                  `json:"ranking"` // net or gross: gross is played without strokes
	StartingHole   int                     `json:"starting_hole"`
	Length         int                     `json:"length"` // holes
	ExtraHoles     bool                    `json:"extra_holes"`
	FullNet        bool                    `json:"full_net"`
	A              MatchSide               `json:"a"`
	B              MatchSide               `json:"b"`
	Holes          []MatchHole             `json:"holes"` // of which anything is said, in order of play
	Standing       MatchNow                `json:"standing"`
	Outcome        *match.Outcome          `json:"outcome"` // the result in force; null without
	AgreedA        match.Agreed            `json:"agreed_a"`
	AgreedB        match.Agreed            `json:"agreed_b"`
	ResultDiffers  bool                    `json:"result_differs"`
	Differences    []int                   `json:"differences"` // holes, in order of play, on which the sides differ
	Conceded       string                  `json:"conceded"`    // the side that gave the match
	Ruling         *match.Ruling           `json:"ruling"`      // null without
	ReopenedReason string                  `json:"reopened_reason"`
	Explanation    handicap.Explanation    `json:"explanation"` // strokes and holes in words
	Phase          competition.Phase       `json:"phase"`       // of the competition
	Suspension     *competition.Suspension `json:"suspension"`
	YourRole       string                  `json:"your_role"` // in which who asks may write here; empty for none
	YourSide       string                  `json:"your_side"` // A or B; empty for none
}

// MatchNow is how a match stands by its holes.
type MatchNow struct {
	Lead     int    `json:"lead"`   // of side A; negative where B leads
	Played   int    `json:"played"` // holes that count
	Progress []int  `json:"progress"`
	Over     bool   `json:"over"`
	Winner   string `json:"winner"` // A, B or tied; empty while it is not over
	Text     string `json:"text"`
}

// MatchSide is a side of a match.
type MatchSide struct {
	EntryID  string      `json:"entry_id"`
	Name     string      `json:"name"`
	TeamName string      `json:"team_name,omitempty"`
	Balls    []MatchBall `json:"balls"`
}

// MatchBall is one ball of a side with the strokes that it receives in the match.
type MatchBall struct {
	Ball     int            `json:"ball"`
	Players  []Named        `json:"players"` // one, or all of a side that plays one ball
	Tee      string         `json:"tee"`
	Figures  events.Figures `json:"figures"`
	Received int            `json:"received"` // in all; negative where given back
	Holes    []MatchTee     `json:"holes"`
}

// MatchTee is a hole as a ball plays it.
type MatchTee struct {
	events.Hole
	Received int `json:"received"`
}

// MatchHole is one hole with every word and what counts.
type MatchHole struct {
	match.Line
	Counting  events.MatchHole `json:"counting"`
	Differs   bool             `json:"differs"`
	Counts    bool             `json:"counts"`     // false after the hole that decided the match
	ReceivedA []int            `json:"received_a"` // strokes there, by ball
	ReceivedB []int            `json:"received_b"`
	Lead      int              `json:"lead"` // of side A after it
	Text      string           `json:"text"` // how the match stood then
}

func matchView(m command.MatchView, c *competition.State, names map[string]string) Match {
	s, a := m.State, m.State.Arranged
	out := Match{
		ID: m.ID, view: view{m.Sequence}, CompetitionID: a.CompetitionID, Round: a.Round, Number: a.Number, CourseID: a.CourseID,
		Side: a.Side, Ranking: a.Ranking, StartingHole: a.StartingHole, Length: a.Length, ExtraHoles: a.ExtraHoles, FullNet: a.FullNet,
		Time: matchTime(a, c), A: matchSide(a.A, c, names), B: matchSide(a.B, c, names),
		Holes: make([]MatchHole, len(s.Holes)), AgreedA: s.AgreedA, AgreedB: s.AgreedB, ResultDiffers: s.ResultDiffers(),
		Differences: orEmpty(s.Differences()), Conceded: s.Conceded, ReopenedReason: s.ReopenedReason, Phase: c.Phase, Suspension: c.Suspend,
	}
	stands := s.Standing()
	out.Standing = MatchNow{
		Lead: stands.Lead, Played: stands.Played, Progress: orEmpty(stands.Progress), Over: stands.Over, Winner: stands.Winner, Text: stands.Text,
	}
	if o, over := s.Outcome(); over {
		out.Outcome = &o
	}
	if s.Ruled.Ruling != "" {
		r := s.Ruled
		out.Ruling = &r
	}
	counting := scoring.MatchHoles(s)
	for i, l := range s.Holes {
		out.Holes[i] = MatchHole{
			Line: l, Counting: l.Counting(), Differs: l.Differs(), Counts: i < len(counting),
			ReceivedA: orEmpty(s.Received(events.SideA, l.Number)), ReceivedB: orEmpty(s.Received(events.SideB, l.Number)),
		}
		after := scoring.StandOf(counting[:min(i+1, len(counting))], a.Length, a.ExtraHoles)
		out.Holes[i].Lead, out.Holes[i].Text = after.Lead, after.Text
	}
	out.Explanation = append(matchStrokes(a), scoring.ExplainMatch(counting, a.Length, a.ExtraHoles, [2]string{out.A.Name, out.B.Name})...)
	return out
}

// matchStrokes explains who receives how many strokes.
func matchStrokes(a events.MatchArranged) handicap.Explanation {
	if a.Ranking == "gross" {
		return handicap.Explanation{}
	}
	var playing []handicap.Playing
	for _, side := range []events.MatchSide{a.A, a.B} {
		for _, b := range side.Balls {
			playing = append(playing, handicap.Playing(b.Figures.PlayingHandicap))
		}
	}
	_, lines, err := handicap.MatchStrokes(playing, !a.FullNet)
	if err != nil {
		return handicap.Explanation{} // it was worked out as the match was arranged
	}
	return lines
}

func matchTime(a events.MatchArranged, c *competition.State) string {
	sheet := c.Sheet(a.Round)
	if sheet == nil {
		return ""
	}
	for _, g := range sheet.Groups {
		if g.Number == a.Number {
			return g.Time
		}
	}
	return ""
}

func matchSide(s events.MatchSide, c *competition.State, names map[string]string) MatchSide {
	e := c.Entries[s.EntryID]
	out := MatchSide{EntryID: s.EntryID, Name: names[s.EntryID], TeamName: e.TeamName, Balls: make([]MatchBall, len(s.Balls))}
	for i, b := range s.Balls {
		ball := MatchBall{Ball: i, Players: named([]string{b.PlayerID}, names), Tee: b.Tee, Figures: b.Figures, Holes: make([]MatchTee, len(b.Holes))}
		if len(s.Balls) == 1 {
			ball.Players = named(e.Players(), names)
		}
		for j, h := range b.Holes {
			ball.Holes[j] = MatchTee{Hole: h, Received: b.Strokes[j]}
			ball.Received += b.Strokes[j]
		}
		out.Balls[i] = ball
	}
	return out
}

func getMatch(ctx context.Context, r reading) (Match, error) {
	m, err := r.api.Commands.Match(ctx, r.Param("match"))
	if err != nil {
		return Match{}, err
	}
	id := m.State.Arranged.CompetitionID
	c, _, err := r.api.Commands.Competition(ctx, id)
	if err != nil {
		return Match{}, err
	}
	if !r.holds(m.ID) {
		if err := r.api.MayWatch(r.Context, id, c.Terms); err != nil {
			return Match{}, err
		}
	}
	out := matchView(m, c, r.names(ctx, id, c))
	if !r.holds(m.ID) {
		out.ReopenedReason = ""
		if out.Ruling != nil {
			out.Ruling.Reason = ""
		}
		return out, nil
	}
	out.YourRole = string(r.who.Role)
	switch {
	case r.isCommittee():
	case r.who.ID == out.A.EntryID:
		out.YourSide = events.SideA
	case r.who.ID == out.B.EntryID:
		out.YourSide = events.SideB
	}
	return out, nil
}

// MatchLine is one match in a list.
type MatchLine struct {
	MatchID       string          `json:"match_id"`
	Sequence      events.Sequence `json:"sequence"`
	Round         int             `json:"round"`
	Number        int             `json:"number"`
	Time          string          `json:"time"`
	StartingHole  int             `json:"starting_hole"`
	A             MatchLineSide   `json:"a"`
	B             MatchLineSide   `json:"b"`
	Played        int             `json:"played"` // holes that count
	Lead          int             `json:"lead"`   // of side A; negative where B leads
	Text          string          `json:"text"`
	Over          bool            `json:"over"` // a result is in force
	Winner        string          `json:"winner"`
	Differences   []int           `json:"differences"`
	ResultDiffers bool            `json:"result_differs"`
}

// MatchLineSide is who plays.
type MatchLineSide struct {
	EntryID string `json:"entry_id"`
	Name    string `json:"name"`
}

func matchLine(m command.MatchView, c *competition.State, names map[string]string) MatchLine {
	a, s := m.State.Arranged, m.State.Standing()
	out := MatchLine{
		MatchID: m.ID, Sequence: m.Sequence, Round: a.Round, Number: a.Number, Time: matchTime(a, c), StartingHole: a.StartingHole,
		A: MatchLineSide{a.A.EntryID, names[a.A.EntryID]}, B: MatchLineSide{a.B.EntryID, names[a.B.EntryID]},
		Played: s.Played, Lead: s.Lead, Text: s.Text, Winner: s.Winner,
		Differences: orEmpty(m.State.Differences()), ResultDiffers: m.State.ResultDiffers(),
	}
	if o, over := m.State.Outcome(); over {
		out.Over, out.Text, out.Winner = true, o.Text, o.Winner
	}
	return out
}

// listMatches lists the matches of every round, or of one.
func listMatches(ctx context.Context, r reading) (Page[MatchLine], error) {
	id := r.Param("competition")
	c, _, err := r.competition(ctx, id)
	if err != nil {
		return Page[MatchLine]{}, err
	}
	round, err := r.round()
	if err != nil {
		return Page[MatchLine]{}, err
	}
	names := r.names(ctx, id, c)
	var all []MatchLine
	for n := 1; n <= c.Round && c.IsMatch(); n++ {
		if round != 0 && round != n {
			continue
		}
		found, err := r.api.Commands.MatchesOf(ctx, id, c, n)
		if err != nil {
			return Page[MatchLine]{}, err
		}
		for _, m := range found {
			all = append(all, matchLine(m, c, names))
		}
	}
	return pageOf(r, all, func(m MatchLine) string { return m.MatchID })
}
