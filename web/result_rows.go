package web

import (
	"fmt"
	"slices"
	"strconv"
	"strings"

	"marram.example/api/command"
	"marram.example/events"
	"marram.example/events/competition"
	"marram.example/projections/board"
)

// offText is what an entry played off: of a side with several balls what each did.
func offText(r events.ResultRow) string {
	parts := []string{playingText(r.PlayingHandicap)}
	for _, p := range r.Partners {
		if p.PlayingHandicap != 0 {
			parts = append(parts, playingText(p.PlayingHandicap))
		}
	}
	return strings.Join(parts, ", ")
}

// parts are the rounds of a row, each with its card.
func (p *resultPage) parts(r events.ResultRow) []roundCell {
	var out []roundCell
	for _, f := range r.Rounds {
		cell := roundCell{Round: f.Round, CardID: f.CardID}
		n := f.Net
		switch {
		case p.Unit == "points":
			n = f.Points
		case p.Unit == "holes":
			n = f.ParBogey
		case p.Gross:
			n = f.Gross
		}
		switch {
		case p.Gross && p.Unit != "strokes":
			cell.Figure = "card" // the event holds no gross figure of a round in this unit
		case n == nil:
			cell.Figure = f.Status
		case p.Unit == "holes":
			cell.Figure, cell.Tint = toParWords(*n), tint(-*n)
		default:
			cell.Figure = strconv.Itoa(*n)
		}
		out = append(out, cell)
	}
	return out
}

// addMatches adds the matches as published, round by round, and the table.
func (p *resultPage) addMatches(s *competition.State, b board.Board, names map[string]string) {
	if !s.IsMatch() {
		return
	}
	p.Knockout = s.Terms.Match.Bracket == competition.Knockout
	p.Table = tableLines(s.Result.Table, names)
	published := map[string]events.MatchStanding{}
	for _, m := range s.Result.Matches {
		published[m.MatchID] = m
	}
	for round := 1; round <= s.Round; round++ {
		r := matchRound{Round: round, Words: sheetRound(s, round)}
		sheet := s.Sheet(round)
		if sheet == nil {
			continue
		}
		for _, g := range sheet.Groups {
			if len(g.Places) == 1 {
				r.Matches = append(r.Matches, matchCard{Bye: nameOf(names, g.Places[0].EntryID)})
				continue
			}
			id := command.MatchID(p.ID, g.Number, round)
			m, ok := published[id]
			if !ok {
				continue
			}
			r.Matches = append(r.Matches, publishedMatch(m, b, names))
		}
		p.Matches = append(p.Matches, r)
	}
}

// publishedMatch is a match with its result as published; how it went comes from
// the board.
func publishedMatch(m events.MatchStanding, b board.Board, names map[string]string) matchCard {
	out := matchCard{ID: m.MatchID, URL: "/matches/" + m.MatchID, About: fmt.Sprintf("Match %d", m.Number), Over: true}
	out.A.Name, out.B.Name = nameOf(names, m.EntryIDs[0]), nameOf(names, m.EntryIDs[1])
	switch m.Winner {
	case m.EntryIDs[0]:
		out.A.Ahead, out.A.Lead = true, m.Text
	case m.EntryIDs[1]:
		out.B.Ahead, out.B.Lead = true, m.Text
	default:
		out.State = m.Text
	}
	if at := slices.IndexFunc(b.Matches, func(x board.Match) bool { return x.MatchID == m.MatchID }); at >= 0 {
		out.Strip = stripOf(b.Matches[at].Progress, b.Matches[at].Length, out.A.Name, out.B.Name)
	} else {
		out.Strip = stripOf(nil, 18, out.A.Name, out.B.Name)
	}
	return out
}

// settledWords say how the committee settled a tie.
func settledWords(t competition.Tie, names map[string]string) string {
	order := make([]string, len(t.EntryIDs))
	for i, id := range t.EntryIDs {
		order[i] = nameOf(names, id)
	}
	how := "By lot"
	if t.Method == "play_off" {
		how = "By play-off"
	}
	words := fmt.Sprintf("%s: %s. %s", how, strings.Join(order, " before "), sentence(t.Reason))
	if t.Seed != 0 {
		words += fmt.Sprintf(" Drawn here with the seed %d; anybody can repeat it.", t.Seed)
	}
	return words
}

// FigureHead is the heading of what counts.
func (p resultPage) FigureHead() string {
	switch {
	case p.Unit == "points" && p.Gross:
		return "Points without strokes received"
	case p.Unit == "points":
		return "Points"
	default:
		return "Won less lost"
	}
}
