package api

import (
	"context"

	"github.com/labstack/echo/v4"

	"marram.example/api/command"
	"marram.example/events"
	"marram.example/events/competition"
)

// Competition is what stands about a competition as a whole.
type Competition struct {
	ID string `json:"competition_id"`
	view
	Name       string                  `json:"name"`
	Date       string                  `json:"date"`
	Phase      competition.Phase       `json:"phase"`
	Public     bool                    `json:"public"` // whether anybody may watch
	Terms      *events.Terms           `json:"terms"`  // null before they are set
	Entries    int                     `json:"entries"`
	Drawn      bool                    `json:"drawn"`
	Suspension *competition.Suspension `json:"suspension"` // null while play goes on
	Ties       []competition.Tie       `json:"ties"`       // as the committee settled them
	Published  bool                    `json:"published"`
	Revision   int                     `json:"revision"` // of the result; 0 for the first
}

func competitionView(id string, seq events.Sequence, s *competition.State) Competition {
	out := Competition{
		ID: id, view: view{seq}, Name: s.Name, Date: s.Date, Phase: s.Phase, Public: s.Terms != nil && s.Terms.BoardPublic,
		Terms: s.Terms, Entries: len(s.Field()), Drawn: s.Draw != nil, Suspension: s.Suspend, Ties: s.Ties,
		Published: s.Result != nil, Revision: s.Revision,
	}
	out.Ties = orEmpty(out.Ties)
	if s.Terms != nil {
		t := *s.Terms
		t.Tees, t.Divisions, t.Prizes = orEmpty(t.Tees), orEmpty(t.Divisions), orEmpty(t.Prizes)
		out.Terms = &t
	}
	return out
}

// listCompetitions leaves out what who asks may not watch, so a page may be
// shorter than its limit.
func listCompetitions(ctx context.Context, r reading) (Page[Competition], error) {
	limit, err := r.limit()
	if err != nil {
		return Page[Competition]{}, err
	}
	found, next, err := r.api.Models.Competitions.List(ctx, limit, r.QueryParam("cursor"))
	if err != nil {
		return Page[Competition]{}, fromStore(err)
	}
	p := Page[Competition]{Items: make([]Competition, 0, len(found)), Next: next}
	for _, d := range found {
		if r.api.MayWatch(r.Context, d.ID, d.State.Terms) == nil {
			p.Items = append(p.Items, competitionView(d.ID, d.Sequence, d.State))
		}
	}
	return p, nil
}

func getCompetition(ctx context.Context, r reading) (Competition, error) {
	id := r.Param("competition")
	s, seq, err := r.competition(ctx, id)
	if err != nil {
		return Competition{}, err
	}
	return competitionView(id, seq, s), nil
}

// presetTerms are terms to start from, over the first course that is given.
func presetTerms(_ context.Context, r reading) (events.Terms, error) {
	format := r.QueryParam("format")
	switch format {
	case "", "stroke_play", "stableford":
		return command.PresetTerms(format), nil
	}
	return events.Terms{}, events.Invalid("format", "unknown", "a format is stroke_play or stableford")
}

func competitionAt(_ echo.Context, d command.Done) string { return "/competitions/" + d.ID }

func (a *API) planCompetition(ctx context.Context, w writing[command.PlanCompetition]) (command.Done, error) {
	return a.Commands.Plan(ctx, w.request, "", w.in)
}

func (a *API) changeCompetition(ctx context.Context, w writing[command.PlanCompetition]) (command.Done, error) {
	return a.Commands.Plan(ctx, w.request, w.Param("competition"), w.in)
}

func (a *API) setTerms(ctx context.Context, w writing[events.Terms]) (command.Done, error) {
	return a.Commands.SetTerms(ctx, w.request, w.Param("competition"), w.in)
}

func (a *API) decideTie(ctx context.Context, w writing[command.DecideTie]) (command.Done, error) {
	return a.Commands.DecideTie(ctx, w.request, w.Param("competition"), w.in)
}
