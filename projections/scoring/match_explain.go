package scoring

import (
	"fmt"
	"strings"

	"marram.example/events"
	"marram.example/events/match"
	"marram.example/projections/handicap"
)

// holeGrounds are the words and the rule for every way to decide a hole but by scores.
var holeGrounds = map[string]struct{ words, rule string }{
	events.HoleStated:      {"as the players say", matchHoleRule},
	events.HoleGiven:       {"conceded", concessionRule},
	events.HoleByPenalty:   {"by the general penalty", "Rules of Golf 1.3c"},
	events.HoleLastPickUp:  {"nobody completed the hole, who picked up last wins it", "Rules of Golf 23.2a, Clarification 23.2a/1"},
	events.HoleNotFinished: {"nobody completed the hole", "Rules of Golf 23.2a, Clarification 23.2a/1"},
}

// ExplainMatch says hole by hole, in words, who won it, why, and how the match stood then, and at last how it ended or
// stands. The holes are those that count, in order; names are what sides A and B are called, "side A" and "side B" where
// empty.
func ExplainMatch(holes []MatchHole, length int, extraHoles bool, names [2]string) handicap.Explanation {
	n := matchNames(names)
	lines := make(handicap.Explanation, 0, len(holes)+1)
	for i, h := range holes {
		line := n.explainHole(h)
		if h.Number > length {
			line.Label += fmt.Sprintf(", extra hole %d", h.Number-length)
		}
		line.Arithmetic += "; " + n.stands(StandOf(holes[:i+1], length, extraHoles))
		lines = append(lines, line)
	}
	return append(lines, n.explainEnd(holes, length, extraHoles))
}

// matchNames are what the sides are called.
type matchNames [2]string

func (n matchNames) of(side string) string {
	name, place := n[0], 0
	if side == events.SideB {
		name, place = n[1], 1
	}
	if name == "" {
		return "side " + []string{events.SideA, events.SideB}[place]
	}
	return name
}

func (n matchNames) explainHole(h MatchHole) handicap.Line {
	line := handicap.Line{Label: fmt.Sprintf("Hole %d", h.Hole), Rule: matchHoleRule}
	var parts []string
	if text := n.scores(events.SideA, h.Said.A, h.ReceivedA); text != "" {
		parts = append(parts, text)
	}
	if text := n.scores(events.SideB, h.Said.B, h.ReceivedB); text != "" {
		parts = append(parts, text)
	}
	verdict := "tied"
	if match.Other(h.Said.Winner) != "" {
		verdict = n.of(h.Said.Winner) + " wins"
	}
	if grounds, ok := holeGrounds[h.Said.Grounds]; ok {
		verdict += ", " + grounds.words
		line.Rule = grounds.rule
	} else if len(h.Said.A) > 1 {
		line.Rule = "Rules of Golf 23.2a"
	}
	line.Arithmetic = strings.Join(append(parts, verdict), "; ")
	return line
}

// scores words a side's balls; a four-ball says which one counts. It is empty where nothing is known.
func (n matchNames) scores(side string, scores []events.MatchScore, received []int) string {
	if len(scores) == 0 {
		return ""
	}
	texts := make([]string, len(scores))
	for ball, s := range scores {
		strokes := 0
		if ball < len(received) {
			strokes = received[ball]
		}
		texts[ball] = matchScoreText(s, strokes)
	}
	text := n.of(side) + " " + strings.Join(texts, " or ")
	if net, ok := match.BestNet(scores, received); ok && len(scores) > 1 {
		text += fmt.Sprintf(", counts %d", net)
	}
	return text
}

// stands words a standing with the name of who leads.
func (n matchNames) stands(s match.Standing) string {
	side := events.SideA
	if s.Lead < 0 {
		side = events.SideB
	}
	switch {
	case s.Lead == 0 && s.Over:
		return "the match is tied"
	case s.Lead == 0:
		return s.Text
	case s.Over:
		return fmt.Sprintf("%s wins %s", n.of(side), s.Text)
	default:
		return fmt.Sprintf("%s %s", n.of(side), s.Text)
	}
}

func (n matchNames) explainEnd(holes []MatchHole, length int, extraHoles bool) handicap.Line {
	s := StandOf(holes, length, extraHoles)
	won := map[string]int{}
	for _, h := range holes {
		won[h.Said.Winner]++
	}
	line := handicap.Line{Label: "So far", Rule: matchRule}
	if s.Over {
		line.Label = "Result"
	}
	remain := ""
	if length > s.Played {
		remain = fmt.Sprintf(" with %d to play", length-s.Played)
	}
	line.Arithmetic = fmt.Sprintf("%s won %d, %s won %d, %d tied: a lead of %d%s; %s",
		n.of(events.SideA), won[events.SideA], n.of(events.SideB), won[events.SideB], won[events.Tied], max(s.Lead, -s.Lead), remain, n.stands(s))
	return line
}
