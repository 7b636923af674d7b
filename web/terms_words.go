package web

import (
	"fmt"
	"strings"

	"marram.example/events"
	"marram.example/projections/standing"
)

// formatWords name what is played: "Net stroke play over 18 holes".
func formatWords(t *events.Terms) string {
	name := "stroke play"
	if t.Format == "stableford" {
		name = "Stableford"
	}
	basis := "Net "
	if t.Ranking == standing.Gross {
		basis = "Gross "
	}
	return basis + name + " over " + holesText(t.Holes)
}

// rankingWords name a ranking as a heading: "Net", "Gross, Division 1".
func rankingWords(ranking string) string {
	basis, division, _ := strings.Cut(ranking, "/")
	words := "Net"
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
