package web

import (
	"fmt"
	"net/http"

	"github.com/labstack/echo/v4"

	"marram.example/events/competition"
)

// competitionPage is a competition's terms in words.
type competitionPage struct {
	ID      string
	State   *competition.State
	Course  string
	Entered string // how many, as what they are
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
	p := competitionPage{ID: id, State: s, Entered: entriesText(s.Terms, len(s.Field())), Phase: phaseWords(s)}
	if s.Terms != nil {
		names, err := w.courseNames(c, s)
		if err != nil {
			return err
		}
		p.Course = names[s.Terms.CourseID]
		p.Facts = termsFacts(s, names)
	}
	return w.render(c, http.StatusOK, "competition.html", page{Title: s.Name, Competition: nav(id, s, "terms"), Data: p})
}

// courseNames finds the names of every course that a competition is played on.
func (w *Web) courseNames(c echo.Context, s *competition.State) (map[string]string, error) {
	out := map[string]string{}
	for n := range max(1, len(s.Terms.PerRound)) {
		id := s.Terms.Round(n + 1).CourseID
		course, _, err := w.api.Commands.Course(c.Request().Context(), id)
		if err != nil {
			return nil, err
		}
		out[id] = course.Name
	}
	return out, nil
}

// phaseWords say how far a competition has come.
func phaseWords(s *competition.State) string {
	switch s.Phase {
	case competition.Drawn:
		if s.Round > 1 {
			return fmt.Sprintf("The start sheet of round %d is up.", s.Round)
		}
		return "The start sheet is up."
	case competition.Open:
		if s.LastRound() > 1 {
			return fmt.Sprintf("Round %d of %d is being played.", s.Round, s.LastRound())
		}
		return "The round is being played."
	case competition.Between:
		return fmt.Sprintf("Round %d is over; round %d follows.", s.Round, s.Next())
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
