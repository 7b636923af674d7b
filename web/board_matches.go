package web

import (
	"fmt"
	"slices"
	"strconv"
	"strings"

	"marram.example/events"
	"marram.example/events/competition"
	"marram.example/projections/board"
)

// matchRound are the matches of one round.
type matchRound struct {
	Round   int
	Words   string // "Round 2", "Final"
	Matches []matchCard
}

// matchCard is one match as a board shows it. matches.js fills cards in the same
// way.
type matchCard struct {
	ID     string
	URL    string
	About  string // when and from where
	Thru   string
	State  string // how it stands where nobody leads
	Over   bool
	A, B   matchCardSide
	Strip  strip
	Note   string
	Number int
	Bye    string // who goes on without a match; only where a whole bracket is shown
}

// matchCardSide is one side of a match.
type matchCardSide struct {
	Name  string
	Lead  string // how it stands for this side, where it leads or has won
	Ahead bool
}

// addMatches puts matches by round, the latest first, and the table.
func (p *boardPage) addMatches(b board.Board) {
	names := map[string]string{}
	for _, r := range b.Rows {
		names[r.EntryID] = r.Name
	}
	for _, m := range b.Matches {
		at := slices.IndexFunc(p.Matches, func(r matchRound) bool { return r.Round == m.Round })
		if at < 0 {
			at = len(p.Matches)
			p.Matches = append(p.Matches, matchRound{Round: m.Round, Words: roundName(b.Bracket, m.Round, b.Rounds)})
		}
		p.Matches[at].Matches = append(p.Matches[at].Matches, matchCardOf(m))
	}
	slices.SortStableFunc(p.Matches, func(x, y matchRound) int { return y.Round - x.Round })
	p.Table = tableLines(b.Table, names)
}

// roundName names a round of matches.
func roundName(bracket string, round, of int) string {
	if bracket == competition.Knockout {
		return knockoutRound(round, of)
	}
	return fmt.Sprintf("Round %d", round)
}

// knockoutRound names a round of a knockout from its end.
func knockoutRound(round, of int) string {
	switch of - round {
	case 0:
		return "Final"
	case 1:
		return "Semi-finals"
	case 2:
		return "Quarter-finals"
	default:
		return fmt.Sprintf("Round %d of %d", round, of)
	}
}

// matchCardOf puts a match into words.
func matchCardOf(m board.Match) matchCard {
	out := matchCard{
		ID: m.MatchID, URL: "/matches/" + m.MatchID, Number: m.Number, Over: m.Over, About: matchAbout(m),
		A: matchCardSide{Name: nameOr(m.A.Name)}, B: matchCardSide{Name: nameOr(m.B.Name)},
	}
	out.Strip = stripOf(m.Progress, m.Length, out.A.Name, out.B.Name)
	lead := leadText(m.Text, m.Lead, m.Over)
	switch m.Leader {
	case events.SideA:
		out.A.Ahead, out.A.Lead = true, lead
	case events.SideB:
		out.B.Ahead, out.B.Lead = true, lead
	default:
		out.State = lead
	}
	switch {
	case m.Over:
		out.Thru = "over"
	case m.Thru > 0:
		out.Thru = "thru " + strconv.Itoa(m.Thru)
	default:
		out.Thru = m.Time
	}
	if len(m.Differences) > 0 && !m.Over {
		out.Note = "The sides differ on " + holeList(m.Differences)
	}
	return out
}

func nameOr(name string) string {
	if name == "" {
		return erasedName
	}
	return name
}

// leadText says how a match stands for who leads: a dormie lead with its number.
func leadText(text string, lead int, over bool) string {
	if text == "dormie" && !over {
		return fmt.Sprintf("%d up, dormie", max(lead, -lead))
	}
	return text
}

// matchAbout says when and from where a match goes out, and over how many holes
// where that is not a plain round.
func matchAbout(m board.Match) string {
	words := fmt.Sprintf("Match %d", m.Number)
	if m.Hole > 1 {
		words += fmt.Sprintf(", from hole %d", m.Hole)
	}
	if m.Length != 18 {
		words += fmt.Sprintf(", %d holes", m.Length)
	}
	return words
}

// The drawing of a match: one step a hole, side A's lead above the line, side B's
// below it.
const (
	stripStep  = 10
	stripUnit  = 6
	stripMost  = 5 // holes of lead that are drawn; the words say the rest
	stripLevel = stripUnit*stripMost + 2
)

// strip is the lead of a match hole by hole, to be drawn.
type strip struct {
	Width, Height int
	Level         int    // where nobody leads
	A, B          string // paths of the leads
	Even          string // path of the holes after which the match was all square
	Words         string
}

// stripOf draws side A's lead after every hole of a match.
func stripOf(progress []int, length int, a, b string) strip {
	out := strip{Width: stripStep * max(length, len(progress)), Height: 2 * stripLevel, Level: stripLevel, Words: stripWords(progress, a, b)}
	var pa, pb, pe strings.Builder
	for i, lead := range progress {
		x, tall := i*stripStep, stripUnit*min(stripMost, max(lead, -lead))
		switch {
		case lead > 0:
			_, _ = fmt.Fprintf(&pa, "M%d %dv-%dh%dv%dz", x+1, stripLevel, tall, stripStep-2, tall)
		case lead < 0:
			_, _ = fmt.Fprintf(&pb, "M%d %dv%dh%dv-%dz", x+1, stripLevel, tall, stripStep-2, tall)
		default:
			_, _ = fmt.Fprintf(&pe, "M%d %dh4v4h-4z", x+3, stripLevel-2)
		}
	}
	out.A, out.B, out.Even = pa.String(), pb.String(), pe.String()
	return out
}

// stripWords say what a strip shows.
func stripWords(progress []int, a, b string) string {
	if len(progress) == 0 {
		return "No hole is entered yet"
	}
	words := make([]string, len(progress))
	for i, lead := range progress {
		switch {
		case lead > 0:
			words[i] = fmt.Sprintf("%s %d up", a, lead)
		case lead < 0:
			words[i] = fmt.Sprintf("%s %d up", b, -lead)
		default:
			words[i] = "all square"
		}
		if i > 0 && i < len(progress)-1 && lead == progress[i-1] && lead == progress[i+1] {
			words[i] = ""
		}
	}
	var out []string
	for i, w := range words {
		if w != "" {
			out = append(out, fmt.Sprintf("%d %s", i+1, w))
		}
	}
	return "After hole " + strings.Join(out, ", ")
}

// tableLine is a line of a round robin's table.
type tableLine struct {
	events.TableRow
	Name   string
	Points string // with a half
	Diff   string // holes, with a sign
}

func tableLines(rows []events.TableRow, names map[string]string) []tableLine {
	out := make([]tableLine, 0, len(rows))
	for _, r := range rows {
		out = append(out, tableLine{TableRow: r, Name: nameOf(names, r.EntryID), Points: halfPointsText(r.HalfPoints), Diff: signedWithZero(r.Holes)})
	}
	return out
}

// halfPointsText writes points that are counted in halves: "3½".
func halfPointsText(halves int) string {
	whole := strconv.Itoa(halves / 2)
	switch {
	case halves%2 == 0:
		return whole
	case halves < 2:
		return "½"
	default:
		return whole + "½"
	}
}

// signedWithZero writes a difference: "+3", "0", "−2".
func signedWithZero(n int) string {
	if n == 0 {
		return "0"
	}
	return toParWords(n)
}
