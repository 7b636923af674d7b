package web

import (
	"fmt"
	"strings"

	"marram.example/events"
	"marram.example/events/competition"
	"marram.example/projections/standing"
)

// formatWords name what is played: "Net stroke play over 18 holes".
func formatWords(t *events.Terms) string {
	words := gameWords(t)
	switch {
	case t.Match != nil:
		return words + ", " + bracketWords(t.Match.Bracket) + ", " + count(t.Match.Length, "hole", "holes") + " a match"
	case t.Rounds > 1:
		return fmt.Sprintf("%s over %d rounds of %s", words, t.Rounds, holesText(t.Holes))
	default:
		return words + " over " + holesText(t.Holes)
	}
}

// gameWords name format and side: "Net four-ball Stableford".
func gameWords(t *events.Terms) string {
	basis := "Net "
	if t.Ranking == standing.Gross {
		basis = "Gross "
	}
	if side := sideKind(t); side != "" {
		basis += side + " "
	}
	return basis + formatName(t.Format)
}

// formatName is what a format is called.
func formatName(format string) string {
	switch format {
	case events.Stableford:
		return "Stableford"
	case events.ParBogey:
		return "par/bogey"
	case events.MaximumScore:
		return "maximum score"
	case events.MatchPlay:
		return "match play"
	default:
		return "stroke play"
	}
}

// sideKind is what a side is called; empty for one player.
func sideKind(t *events.Terms) string {
	switch t.Side {
	case events.SideFourBall:
		return "four-ball"
	case events.SideChapman:
		return "Chapman"
	case events.SideBestOf:
		if len(t.Count) == 1 {
			return fmt.Sprintf("best %d of %d", t.Count[0], t.Players())
		}
		return fmt.Sprintf("best balls of %d", t.Players())
	case events.SideAggregate:
		return fmt.Sprintf("aggregate of %d", t.Players())
	case events.SideScramble:
		return fmt.Sprintf("scramble of %d", t.Players())
	default:
		return t.Side // foursomes, greensomes
	}
}

// bracketWords name how matches hang together.
func bracketWords(bracket string) string {
	switch bracket {
	case competition.Knockout:
		return "knockout"
	case competition.RoundRobin:
		return "round robin"
	default:
		return "single matches"
	}
}

// rankingWords name a ranking as a heading: "Net", "Gross, Division 1".
func rankingWords(ranking string) string {
	basis, division, _ := strings.Cut(ranking, "/")
	words := "Net"
	if basis == standing.Matches {
		words = "Matches"
	}
	if basis == standing.Gross {
		words = "Gross"
	}
	if division != "" {
		words += ", " + division
	}
	return words
}

// divisionWords say whose handicap index fits: "index 10.0 to 18.4".
func divisionWords(d events.Division) string {
	return fmt.Sprintf("index %s to %s", handicapText(d.FromTenths), handicapText(d.ToTenths))
}
