package api

import (
	"context"

	"github.com/labstack/echo/v4"

	"marram.example/api/command"
	"marram.example/events"
	"marram.example/events/competition"
)

// Draw is the start sheet in force.
type Draw struct {
	view
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
	Places       []Place `json:"places"`
}

// Place is one entry of a group.
type Place struct {
	events.GroupSlot
	Name        string `json:"name"`
	Tee         string `json:"tee"`
	IndexTenths int    `json:"index_tenths"`
}

func getDraw(ctx context.Context, r reading) (Draw, error) {
	id := r.Param("competition")
	s, seq, err := r.competition(ctx, id)
	if err != nil {
		return Draw{}, err
	}
	if s.Draw == nil {
		return Draw{}, events.NotFound("competition_id", "there is no start sheet yet")
	}
	return drawView(seq, s, r.names(ctx, id, s)), nil
}

func drawView(seq events.Sequence, s *competition.State, names map[string]string) Draw {
	out := Draw{view: view{seq}, Method: s.Draw.Method, Seed: s.Draw.Seed, Revision: s.Draw.Revision, Groups: make([]Group, len(s.Draw.Groups))}
	for i, g := range s.Draw.Groups {
		out.Groups[i] = Group{Number: g.Number, Time: g.Time, StartingHole: g.StartingHole, Letter: g.Letter, Places: make([]Place, len(g.Places))}
		for j, p := range g.Places {
			e := s.Entries[p.EntryID]
			out.Groups[i].Places[j] = Place{GroupSlot: p, Name: names[p.EntryID], Tee: e.Tee, IndexTenths: e.IndexTenths}
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
