package web

import (
	"fmt"
	"net/http"
	"strings"

	"github.com/labstack/echo/v4"

	"marram.example/events"
	"marram.example/events/competition"
)

// competitionPage is a competition's terms in words.
type competitionPage struct {
	ID      string
	State   *competition.State
	Course  string
	Players int
	Facts   []fact
	Phase   string // in words
}

// fact is one line of the terms.
type fact struct {
	Label string
	Words []string // a sentence each
}

func (w *Web) competition(c echo.Context) error {
	id, s, err := w.watched(c)
	if err != nil {
		return err
	}
	p := competitionPage{ID: id, State: s, Players: len(s.Field()), Phase: phaseWords(s)}
	if s.Terms != nil {
		course, _, err := w.api.Commands.Course(c.Request().Context(), s.Terms.CourseID)
		if err != nil {
			return err
		}
		p.Course = course.Name
		p.Facts = termsFacts(s.Terms)
	}
	return w.render(c, http.StatusOK, "competition.html", page{Title: s.Name, Competition: nav(id, s, "terms"), Data: p})
}

// phaseWords say how far a competition has come.
func phaseWords(s *competition.State) string {
	switch s.Phase {
	case competition.Drawn:
		return "The start sheet is up."
	case competition.Open:
		return "The round is being played."
	case competition.Suspended:
		return "Play is suspended."
	case competition.Closed:
		return "All cards are in; the result is being checked."
	case competition.Published:
		if s.Revision > 0 {
			return fmt.Sprintf("The result is published, revision %d.", s.Revision)
		}
		return "The result is published."
	default:
		if s.Terms == nil {
			return "The terms are not stated yet."
		}
		return "Entries are open."
	}
}

// termsFacts are the terms of a competition in words.
func termsFacts(t *events.Terms) []fact {
	facts := []fact{
		{"Handicap", handicapWords(t)},
		{"Tees", []string{teesWords(t.Tees)}},
		{"Start", []string{startWords(t.Start)}},
	}
	if len(t.Divisions) > 0 {
		var words []string
		for _, d := range t.Divisions {
			words = append(words, fmt.Sprintf("%s: %s.", d.Name, divisionWords(d)))
		}
		facts = append(facts, fact{"Divisions", words})
	}
	facts = append(facts, fact{"Ties", []string{tieWords(t)}})
	if len(t.Prizes) > 0 {
		facts = append(facts, fact{"Prizes", prizeWords(t)})
	}
	if t.FieldLimit > 0 {
		facts = append(facts, fact{"Field", []string{fmt.Sprintf("At most %s.", count(t.FieldLimit, "player", "players"))}})
	}
	return facts
}

func handicapWords(t *events.Terms) []string {
	words := []string{fmt.Sprintf("%d%% of the course handicap.", t.AllowancePercent)}
	if t.AllowanceSource != "" && t.AllowanceSource != "committee" {
		words[0] = fmt.Sprintf("%d%% of the course handicap (%s).", t.AllowancePercent, t.AllowanceSource)
	}
	if t.MaximumIndexTenths != nil {
		words = append(words, fmt.Sprintf("An index above %s counts as %s.", handicapText(*t.MaximumIndexTenths), handicapText(*t.MaximumIndexTenths)))
	}
	if t.ParDifference && len(t.Tees) > 1 {
		words = append(words, "Who plays a tee with a higher par than the lowest gets the difference added (Rules of Handicapping 6.2b).")
	}
	if t.LeaveOutPar {
		words = append(words, "Course rating less par is left out of the course handicap.")
	}
	return words
}

func teesWords(tees []string) string {
	if len(tees) == 1 {
		return tees[0] + "."
	}
	return strings.Join(tees[:len(tees)-1], ", ") + " or " + tees[len(tees)-1] + "."
}

func startWords(s events.StartTerms) string {
	groups := fmt.Sprintf("groups of %d", s.GroupSize)
	switch s.Kind {
	case "shotgun":
		return fmt.Sprintf("All groups at once at %s, each on its own hole; %s.", s.FirstTime, groups)
	case "two_tee":
		return fmt.Sprintf("From holes 1 and 10 from %s, every %d minutes; %s.", s.FirstTime, s.IntervalMinutes, groups)
	default:
		return fmt.Sprintf("From %s, every %d minutes; %s.", s.FirstTime, s.IntervalMinutes, groups)
	}
}

func tieWords(t *events.Terms) string {
	if t.TieMethod != "countback" {
		return "Equal scores share their place."
	}
	how := ""
	if t.Format == "stroke_play" && t.Ranking == "net" {
		switch t.TieShare {
		case "as_allocated":
			how = " Strokes count on the holes where they are received."
		case "rounded_half_up":
			how = " The share of the playing handicap is rounded, halves up."
		default:
			how = " The exact share of the playing handicap is taken off."
		}
	}
	windows := "holes 10 to 18, 13 to 18, 16 to 18 and 18, then 4 to 9, 7 to 9 and 9 (Committee Procedures 5A(6))"
	if len(t.Holes) == 9 {
		windows = "the last six, the last three and the last hole by number"
	}
	return "Matching scorecards, wherever the round began: " + windows + "." + how + " Still equal, they share the place unless the committee settles it by lot or play-off."
}

func prizeWords(t *events.Terms) []string {
	var words []string
	for _, p := range t.Prizes {
		line := p.Name + ": " + strings.ToLower(rankingWords(p.Ranking))
		if p.Division != "" {
			line += ", " + p.Division
		}
		words = append(words, fmt.Sprintf("%s, %s.", line, count(p.Places, "place", "places")))
	}
	if t.OnePrizeAPlayer {
		words = append(words, "One prize a player: the first that falls to them, in this order.")
	}
	return words
}
