package web

import (
	"net/http"

	"github.com/labstack/echo/v4"

	"marram.example/api/command"
	"marram.example/events"
	"marram.example/events/competition"
)

// startSheetPage is who goes out when, from where and with whom.
type startSheetPage struct {
	ID       string
	Kind     string // one_tee, two_tee or shotgun
	First    string // time of the first group
	Drawn    bool
	Revision int
	Reason   string
	Method   string // in words
	Groups   []startGroup
}

// startGroup is one group of the sheet.
type startGroup struct {
	events.Group
	Players []startPlayer
}

// startPlayer is one player of a group.
type startPlayer struct {
	Name    string
	Marks   string // whose card the player keeps
	Tee     string
	Playing *int // playing handicap; nil before the card is issued
	Index   int
	Club    bool   // the index was set by the committee
	CardID  string // once issued
}

func (w *Web) startSheet(c echo.Context) error {
	id, s, err := w.watched(c)
	if err != nil {
		return err
	}
	p := startSheetPage{ID: id}
	if s.Draw != nil && s.Terms != nil {
		cards, err := w.api.Commands.Cards(c.Request().Context(), id, s, s.Round)
		if err != nil {
			return err
		}
		p = startSheetOf(id, s, w.names(c, id, s), cards)
	}
	return w.render(c, http.StatusOK, "start_sheet.html", page{
		Title: "Start sheet, " + s.Name, Body: "sheet", Styles: []string{"start_sheet.css"}, Competition: nav(id, s, "start-sheet"), Data: p,
	})
}

func startSheetOf(id string, s *competition.State, names map[string]string, cards map[string]command.CardView) startSheetPage {
	p := startSheetPage{
		ID: id, Drawn: true, Kind: s.Terms.Start.Kind, First: s.Terms.Start.FirstTime,
		Revision: s.Draw.Revision, Reason: s.Draw.Reason, Method: drawWords(s.Draw.Method),
	}
	for _, g := range s.Draw.Groups {
		marks := map[string]string{} // whose card an entry keeps
		for _, place := range g.Places {
			marks[place.MarkerID] = place.EntryID
		}
		group := startGroup{Group: g}
		for _, place := range g.Places {
			e := s.Entries[place.EntryID]
			row := startPlayer{Name: nameOf(names, place.EntryID), Tee: e.Tee, Index: e.IndexTenths, Club: e.IndexOrigin == events.OriginClub}
			if kept, ok := marks[place.EntryID]; ok {
				row.Marks = nameOf(names, kept)
			}
			if k, ok := cards[place.EntryID]; ok {
				playing := k.State.Figures.PlayingHandicap
				row.Playing, row.CardID, row.Tee = &playing, k.ID, k.State.Tee
			}
			group.Players = append(group.Players, row)
		}
		p.Groups = append(p.Groups, group)
	}
	return p
}

// drawWords say how the groups were made.
func drawWords(method string) string {
	switch method {
	case "handicap":
		return "Drawn by handicap"
	case "random":
		return "Drawn at random"
	case "as_entered":
		return "In the order of entry"
	default:
		return "Made up by the committee"
	}
}
