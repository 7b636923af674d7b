package web

import (
	"strings"

	"marram.example/events"
	"marram.example/events/competition"
)

// tieWords say how equal results are separated.
func tieWords(t *events.Terms) string {
	if t.Match != nil {
		return matchTieWords(t.Match)
	}
	switch t.TieMethod {
	case "countback":
		return countbackTermsWords(t)
	case "lot":
		return "The committee draws a lot between equal results."
	case "play_off":
		return "A play-off decides between equal results."
	default:
		return "Equal scores share their place."
	}
}

func matchTieWords(m *events.MatchTerms) string {
	switch m.Bracket {
	case competition.Knockout:
		return "Who loses in the same round shares a place."
	case competition.RoundRobin:
		return "Of two with equal points the winner of their own match is ahead, then the better difference of holes over all matches. " +
			"Three or more go by that difference first, then by the matches among those still equal. What stays equal is shared unless the committee settles it."
	default:
		return "Matches are not ranked among one another."
	}
}

// countbackTermsWords name the windows of a countback as the terms set them.
func countbackTermsWords(t *events.Terms) string {
	var out strings.Builder
	if t.Rounds > 1 {
		out.WriteString("The total of the last round decides first; then ")
	}
	first := "Matching scorecards, wherever the round began: "
	if t.TieHoles == "by_play" {
		first = "Matching scorecards in the order in which each played, the last nine first: "
	}
	if t.Rounds > 1 {
		first = strings.ToLower(first[:1]) + first[1:]
	}
	out.WriteString(first)
	switch {
	case len(t.Holes) == 9:
		out.WriteString("the last six, the last three and the last hole by number")
		if t.TieWindows == "hole_by_hole" {
			out.WriteString(", then every hole back to the first")
		}
	case t.TieWindows == "hole_by_hole":
		out.WriteString("holes 10 to 18, 13 to 18, 16 to 18 and 18, then 17, 16, 15 and so on back to the first")
	default:
		out.WriteString("holes 10 to 18, 13 to 18, 16 to 18 and 18, then 4 to 9, 7 to 9 and 9 (Committee Procedures 5A(6))")
	}
	out.WriteString("." + shareWords(t))
	switch t.TieThen {
	case "lot":
		out.WriteString(" Still equal, the committee draws a lot.")
	case "play_off":
		out.WriteString(" Still equal, a play-off decides.")
	default:
		out.WriteString(" Still equal, they share the place unless the committee settles it by lot or play-off.")
	}
	return out.String()
}

// shareWords say what is taken off for the handicap in a net countback of
// strokes with one ball; everything else goes by its figures as allocated.
func shareWords(t *events.Terms) string {
	if t.Format != events.StrokePlay || t.Ranking != "net" || t.Side != "" && !events.OneBall(t.Side) {
		return ""
	}
	whose := "playing handicap"
	if t.TieHandicap == "course" {
		whose = "course handicap"
	}
	switch t.TieShare {
	case "as_allocated":
		return " Strokes count on the holes where they are received."
	case "rounded_half_up":
		return " The share of the " + whose + " is rounded, halves up."
	default:
		return " The exact share of the " + whose + " is taken off."
	}
}
