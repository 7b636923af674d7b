package breakdown

import (
	"fmt"
	"strings"
	"unicode"
	"unicode/utf8"

	"marram.example/events"
	"marram.example/events/match"
)

// sideNames are what sides A and B of a match are called; empty for the letters.
type sideNames [2]string

func (n sideNames) of(side string) string {
	switch {
	case side == events.SideA && n[0] != "":
		return n[0]
	case side == events.SideB && n[1] != "":
		return n[1]
	default:
		return "side " + side
	}
}

// result says how a match ended for whom.
func (n sideNames) result(winner, text string) string {
	if match.Other(winner) == "" {
		return text
	}
	return n.of(winner) + " wins " + text
}

// ruled says for whom a ruling is.
func (n sideNames) ruled(winner, text string) string {
	switch winner {
	case events.SideA, events.SideB:
		return n.of(winner) + " wins, " + text
	case events.Tied:
		return "tied, " + text
	default:
		return "nobody wins, " + text
	}
}

// writer says who wrote something.
func (n sideNames) writer(w events.MatchWriter) string {
	if w.By == events.RoleCommittee || match.Other(w.BySide) == "" {
		return "the committee"
	}
	return n.of(w.BySide)
}

// matchWords says in a sentence what an event of a match means.
func matchWords(e events.Event, n sideNames) string {
	switch e := e.(type) {
	case events.MatchArranged:
		return fmt.Sprintf("Match arranged over %s: %s receives %s, %s %s%s",
			up(e.Length), n.of(events.SideA), received(e.A), n.of(events.SideB), received(e.B), because(e.Reason))
	case events.MatchHoleDecided:
		return fmt.Sprintf("%s: %s, entered by %s", playedHole(e.Number, e.Hole), n.said(e.MatchHole), n.writer(e.MatchWriter))
	case events.MatchHoleCorrected:
		return fmt.Sprintf("%s: %s changed to %s by %s%s", playedHole(e.Number, e.Hole), n.said(e.Old), n.said(e.New), n.writer(e.MatchWriter), because(e.Reason))
	case events.MatchHoleRemoved:
		return fmt.Sprintf("%s: %s taken back by %s%s", playedHole(e.Number, e.Hole), n.said(e.Old), n.writer(e.MatchWriter), because(e.Reason))
	case events.HoleConceded:
		return fmt.Sprintf("%s: conceded by %s", playedHole(e.Number, e.Hole), n.of(e.Side))
	case events.MatchConceded:
		return fmt.Sprintf("Match conceded by %s%s", n.of(e.Side), because(e.Reason))
	case events.MatchResultAgreed:
		return fmt.Sprintf("%s stands for the result: %s", capital(n.writer(e.MatchWriter)), n.result(e.Winner, e.Text))
	case events.MatchDecided:
		return "Match decided: " + n.result(e.Winner, e.Text)
	case events.MatchRuled:
		if e.Ruling == events.MatchRulingLifted {
			return "Ruling lifted" + because(e.Reason)
		}
		return "Ruled by the committee: " + n.ruled(e.Winner, match.RulingText(e.Ruling)) + because(e.Reason)
	case events.MatchReopened:
		return "Match reopened by the committee" + because(e.Reason)
	default:
		return e.EventType()
	}
}

// playedHole names a hole of a match; from the 19th on its place in the order of
// play is said too.
func playedHole(number, hole int) string {
	if number > 18 {
		return fmt.Sprintf("Hole %d, played as number %d", hole, number)
	}
	return fmt.Sprintf("Hole %d", hole)
}

// said is what somebody entered for a hole.
func (n sideNames) said(h events.MatchHole) string {
	var parts []string
	for _, x := range []struct {
		side   string
		scores []events.MatchScore
	}{{events.SideA, h.A}, {events.SideB, h.B}} {
		if len(x.scores) > 0 {
			parts = append(parts, n.of(x.side)+" "+scoresText(x.scores))
		}
	}
	switch {
	case h.Winner == "":
		parts = append(parts, "nothing")
	case match.Other(h.Winner) == "":
		parts = append(parts, "tied")
	default:
		parts = append(parts, n.of(h.Winner)+" wins")
	}
	if h.Grounds == events.HoleByPenalty {
		parts[len(parts)-1] += " by the general penalty"
	}
	return strings.Join(parts, ", ")
}

func scoresText(scores []events.MatchScore) string {
	out := make([]string, len(scores))
	for i, s := range scores {
		out[i] = ScoreText(s.Score)
		if s.Conceded {
			out[i] += " with a conceded stroke"
		}
	}
	return strings.Join(out, " and ")
}

// received are the strokes of a side's balls.
func received(s events.MatchSide) string {
	out := make([]string, len(s.Balls))
	for i, b := range s.Balls {
		n := 0
		for _, k := range b.Strokes {
			n += k
		}
		out[i] = fmt.Sprint(n)
	}
	return strings.Join(out, " and ")
}

func capital(s string) string {
	first, size := utf8.DecodeRuneInString(s)
	if size == 0 {
		return s
	}
	return string(unicode.ToUpper(first)) + s[size:]
}
