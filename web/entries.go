package web

import (
	"net/http"

	"github.com/labstack/echo/v4"

	"marram.example/events"
	"marram.example/events/competition"
)

// entriesPage is the field of a competition.
type entriesPage struct {
	ID    string
	Phase competition.Phase
	Draw  bool
	Rows  []entryRow
}

// entryRow is one entry.
type entryRow struct {
	No       int
	Name     string
	PlayerID string // where there is a page of the player to see
	Index    int    // tenths
	Origin   events.IndexOrigin
	Division string
	Tee      string
	Late     bool
	Time     string
	Hole     int
}

func (w *Web) entries(c echo.Context) error {
	id, s, err := w.watched(c)
	if err != nil {
		return err
	}
	names := w.names(c, id, s)
	cards, err := w.api.Commands.Cards(c.Request().Context(), id, s, s.Round)
	if err != nil {
		return err
	}
	p := entriesPage{ID: id, Phase: s.Phase, Draw: s.Draw != nil}
	for i, e := range s.Field() {
		g, _, _ := s.Group(e.ID)
		playerID := e.PlayerID
		if _, plays := cards[e.ID]; !plays && !isCommittee(w.who(c)) {
			playerID = ""
		}
		p.Rows = append(p.Rows, entryRow{
			No: i + 1, Name: nameOf(names, e.ID), PlayerID: playerID, Index: e.IndexTenths, Origin: e.IndexOrigin,
			Division: competition.DivisionOf(s.Terms, e.IndexTenths), Tee: e.Tee, Late: e.Late, Time: g.Time, Hole: g.StartingHole,
		})
	}
	return w.render(c, http.StatusOK, "entries.html", page{Title: "Entries, " + s.Name, Competition: nav(id, s, "entries"), Data: p})
}
