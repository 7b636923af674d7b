package api

import (
	"context"

	"github.com/labstack/echo/v4"

	"marram.example/api/command"
	"marram.example/events"
	"marram.example/events/competition"
)

// Draw is the start sheet of a round.
type Draw struct {
	view
	Round    int     `json:"round"`
	Method   string  `json:"method"`
	Seed     uint64  `json:"seed"`     // with which anybody can repeat a random draw
	Revision int     `json:"revision"` // how often it was replaced
	Groups   []Group `json:"groups"`
}

// Group is who plays together, from where and when.
type Group struct {
	Number       int     `json:"number"`
	Time         string  `json:"time"`
	StartingHole int     `json:"starting_hole"`
	Letter       string  `json:"letter"`
	MatchID      string  `json:"match_id,omitempty"` // of match play, once the round is open
	Places       []Place `json:"places"`
}

// Place is one entry of a group.
type Place struct {
	events.GroupSlot
	Name        string  `json:"name"`
	Players     []Named `json:"players"`
	Tee         string  `json:"tee"`
	IndexTenths int     `json:"index_tenths"` // of a side the mean
}

func getDraw(ctx context.Context, r reading) (Draw, error) {
	id := r.Param("competition")
	s, seq, err := r.competition(ctx, id)
	if err != nil {
		return Draw{}, err
	}
	round, err := r.round()
	if err != nil {
		return Draw{}, err
	}
	if round == 0 {
		round = s.Round
	}
	sheet := s.Sheet(round)
	if sheet == nil {
		return Draw{}, events.NotFound("competition_id", "there is no start sheet yet")
	}
	out := drawView(sheet, s, r.names(ctx, id, s))
	out.view, out.Round = view{seq}, round
	if s.IsMatch() && (round < s.Round || s.CardsOut()) {
		for i, g := range out.Groups {
			if len(g.Places) == 2 {
				out.Groups[i].MatchID = command.MatchID(id, g.Number, round)
			}
		}
	}
	return out, nil
}

func drawView(sheet *competition.Draw, s *competition.State, names map[string]string) Draw {
	out := Draw{Method: sheet.Method, Seed: sheet.Seed, Revision: sheet.Revision, Groups: make([]Group, len(sheet.Groups))}
	for i, g := range sheet.Groups {
		out.Groups[i] = Group{Number: g.Number, Time: g.Time, StartingHole: g.StartingHole, Letter: g.Letter, Places: make([]Place, len(g.Places))}
		for j, p := range g.Places {
			e := s.Entries[p.EntryID]
			out.Groups[i].Places[j] = Place{
				GroupSlot: p, Name: names[p.EntryID], Players: named(e.Players(), names), Tee: e.Tee, IndexTenths: e.Index(),
			}
		}
	}
	return out
}

func drawAt(c echo.Context, _ command.Done) string {
	return "/competitions/" + c.Param("competition") + "/draw"
}

func (a *API) publishDraw(ctx context.Context, w writing[command.Draw]) (command.Done, error) {
	return a.Commands.Draw(ctx, w.request, w.Param("competition"), w.in)
}

func (a *API) placeLate(ctx context.Context, w writing[command.PlaceLate]) (command.Done, error) {
	return a.Commands.PlaceLate(ctx, w.request, w.Param("competition"), w.in)
}
