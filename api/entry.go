package api

import (
	"context"

	"github.com/labstack/echo/v4"

	"marram.example/api/command"
	"marram.example/events"
	"marram.example/events/competition"
)

// Entry is the place of a player, or of a side, in the field.
type Entry struct {
	competition.Entry
	Name        string  `json:"name"`               // of a side its team name, or all its players
	Players     []Named `json:"players"`            // everybody who plays, the first player first
	Division    string  `json:"division"`           // empty where there is none
	GroupNumber int     `json:"group_number"`       // 0 before the draw
	GroupTime   string  `json:"group_time"`         // HH:MM; empty before the draw
	CardID      string  `json:"card_id"`            // of the present round; empty before cards are out
	MatchID     string  `json:"match_id,omitempty"` // of the present round; empty without a match
}

func entryViews(id string, s *competition.State, names map[string]string) []Entry {
	out := make([]Entry, 0, len(s.Order))
	for _, entryID := range s.Order {
		e := Entry{Entry: s.Entries[entryID], Name: names[entryID]}
		e.Players = named(e.Entry.Players(), names)
		e.Division = competition.DivisionOf(s.Terms, e.Index())
		if g, _, ok := s.Group(entryID); ok {
			e.GroupNumber, e.GroupTime = g.Number, g.Time
			switch {
			case !s.CardsOut(), s.IsMatch() && len(g.Places) < 2:
			case s.IsMatch():
				e.MatchID = command.MatchID(id, g.Number, s.Round)
			default:
				e.CardID = command.CardID(id, entryID, s.Round)
			}
		}
		out = append(out, e)
	}
	return out
}

func (r reading) entries(ctx context.Context) ([]Entry, error) {
	id := r.Param("competition")
	s, seq, err := r.competition(ctx, id)
	if err != nil {
		return nil, err
	}
	r.Response().Header().Set("ETag", etag(seq))
	return entryViews(id, s, r.names(ctx, id, s)), nil
}

func listEntries(ctx context.Context, r reading) (Page[Entry], error) {
	all, err := r.entries(ctx)
	if err != nil {
		return Page[Entry]{}, err
	}
	return pageOf(r, all, func(e Entry) string { return e.ID })
}

func getEntry(ctx context.Context, r reading) (Entry, error) {
	all, err := r.entries(ctx)
	if err != nil {
		return Entry{}, err
	}
	for _, e := range all {
		if e.ID == r.Param("entry") {
			return e, nil
		}
	}
	return Entry{}, events.NotFound("entry_id", "no such entry")
}

func entryAt(c echo.Context, d command.Done) string {
	return "/competitions/" + c.Param("competition") + "/entries/" + d.ID
}

func (a *API) addEntry(ctx context.Context, w writing[command.EnterPlayer]) (command.Done, error) {
	return a.Commands.Enter(ctx, w.request, w.Param("competition"), w.in)
}

func (a *API) amendEntry(ctx context.Context, w writing[command.AmendEntry]) (command.Done, error) {
	return a.Commands.Amend(ctx, w.request, w.Param("competition"), w.Param("entry"), w.in)
}

func (a *API) withdrawEntry(ctx context.Context, w writing[because]) (command.Done, error) {
	return a.Commands.Withdraw(ctx, w.request, w.Param("competition"), w.Param("entry"), w.in.Reason)
}
