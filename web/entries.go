package web

import (
	"net/http"
	"slices"

	"github.com/labstack/echo/v4"

	"marram.example/events"
	"marram.example/events/competition"
)

// entriesPage is the field of a competition.
type entriesPage struct {
	ID    string
	Phase competition.Phase
	Draw  bool
	Sides bool // an entry is a side
	Count string
	Rows  []entryRow
}

// entryRow is one entry.
type entryRow struct {
	No       int
	Name     string
	Team     string        // what a side calls itself
	People   []entryPlayer // one, or everybody of a side
	Division string
	Late     bool
	Out      string // why the entry plays no more, in words
	Time     string
	Hole     int
}

// entryPlayer is one player of an entry.
type entryPlayer struct {
	Name     string
	PlayerID string // where there is a page of the player to see
	Index    int    // tenths
	Origin   events.IndexOrigin
	Tee      string
}

func (w *Web) entries(c echo.Context) error {
	id, s, err := w.watched(c)
	if err != nil {
		return err
	}
	names, players := w.fieldNames(c, id, s)
	cards, err := w.api.Commands.Cards(c.Request().Context(), id, s, s.Round)
	if err != nil {
		return err
	}
	field := s.Field()
	p := entriesPage{ID: id, Phase: s.Phase, Draw: s.Draw != nil, Count: entriesText(s.Terms, len(field)), Sides: s.Terms != nil && s.Terms.Players() > 1}
	for i, e := range field {
		g, _, _ := s.Group(e.ID)
		row := entryRow{
			No: i + 1, Name: nameOf(names, e.ID), Team: e.TeamName, Division: competition.DivisionOf(s.Terms, e.Index()), Late: e.Late, Time: g.Time, Hole: g.StartingHole,
			Out: outWords(s, e.ID),
		}
		_, plays := cards[e.ID]
		shown := plays || isCommittee(w.who(c))
		for _, m := range append([]events.Partner{{PlayerID: e.PlayerID, Tee: e.Tee, IndexTenths: e.IndexTenths, IndexOrigin: e.IndexOrigin}}, e.Partners...) {
			one := entryPlayer{Name: nameOf(players, m.PlayerID), Index: m.IndexTenths, Origin: m.IndexOrigin, Tee: m.Tee}
			if shown {
				one.PlayerID = m.PlayerID
			}
			row.People = append(row.People, one)
		}
		p.Rows = append(p.Rows, row)
	}
	return w.render(c, http.StatusOK, "entries.html", page{Title: "Entries, " + s.Name, Styles: []string{"start_sheet.css"}, Competition: nav(id, s, "entries"), Data: p})
}

// outWords say why an entry plays no more.
func outWords(s *competition.State, entryID string) string {
	if s.Cut != nil && slices.Contains(s.Cut.Missed, entryID) {
		return "missed the cut"
	}
	if !s.IsMatch() || s.Terms.Match.Bracket != competition.Knockout {
		return ""
	}
	for round := 1; round <= s.Round; round++ {
		_, matches := s.ClosedRound(round)
		for _, m := range matches {
			if slices.Contains(m.EntryIDs, entryID) && m.Winner != entryID {
				return "out"
			}
		}
	}
	return ""
}
