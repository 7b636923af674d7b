package api

import (
	"context"
	"fmt"
	"strconv"

	"github.com/labstack/echo/v4"

	"marram.example/api/command"
	"marram.example/events"
	"marram.example/events/competition"
)

// Competition is what stands about a competition as a whole.
type Competition struct {
	ID string `json:"competition_id"`
	view
	Name       string                     `json:"name"`
	Date       string                     `json:"date"`
	Phase      competition.Phase          `json:"phase"`
	Round      int                        `json:"round"`  // that is prepared, played or was closed last
	Rounds     int                        `json:"rounds"` // of the competition
	Public     bool                       `json:"public"` // whether anybody may watch
	Terms      *events.Terms              `json:"terms"`  // null before they are set
	Entries    int                        `json:"entries"`
	Drawn      bool                       `json:"drawn"`
	Suspension *competition.Suspension    `json:"suspension"` // null while play goes on
	Cut        *competition.Cut           `json:"cut"`        // once made
	Conditions []Conditions               `json:"conditions"` // by round, where they are stated
	Excluded   []competition.ExcludedHole `json:"excluded_holes"`
	Past       []PastRound                `json:"past"` // closed rounds that another one followed
	Ties       []competition.Tie          `json:"ties"` // as the committee settled them
	Published  bool                       `json:"published"`
	Revision   int                        `json:"revision"` // of the result; 0 for the first
}

// Conditions are the playing conditions of a round, as the association published
// them.
type Conditions struct {
	Round int `json:"round"`
	competition.Conditions
}

// PastRound is a closed round that another one followed, and where its start sheet
// is read.
type PastRound struct {
	Round    int    `json:"round"`
	Date     string `json:"date"`
	Method   string `json:"method"`
	Revision int    `json:"revision"`
	Groups   int    `json:"groups"`
	Path     string `json:"path"`
}

func competitionView(id string, seq events.Sequence, s *competition.State) Competition {
	out := Competition{
		ID: id, view: view{seq}, Name: s.Name, Date: s.Date, Phase: s.Phase, Public: s.Terms != nil && s.Terms.BoardPublic,
		Terms: s.Terms, Entries: len(s.Field()), Drawn: s.Draw != nil, Suspension: s.Suspend, Ties: s.Ties,
		Published: s.Result != nil, Revision: s.Revision, Round: s.Round, Rounds: s.LastRound(), Cut: cutView(s.Cut),
		Conditions: []Conditions{}, Excluded: append([]competition.ExcludedHole{}, s.Excluded...), Past: []PastRound{},
	}
	out.Ties = orEmpty(out.Ties)
	for round := range s.Round {
		if k, stated := s.Conditions[round+1]; stated {
			out.Conditions = append(out.Conditions, Conditions{Round: round + 1, Conditions: k})
		}
	}
	for _, p := range s.Past {
		out.Past = append(out.Past, PastRound{
			Round: p.Round, Date: s.Terms.DateOf(p.Round, s.Date), Method: p.Draw.Method, Revision: p.Draw.Revision, Groups: len(p.Draw.Groups),
			Path: fmt.Sprintf("%s/competitions/%s/draw?round=%d", Root, id, p.Round),
		})
	}
	if s.Terms != nil {
		t := *s.Terms
		t.Tees, t.Divisions, t.Prizes = orEmpty(t.Tees), orEmpty(t.Divisions), orEmpty(t.Prizes)
		out.Terms = &t
	}
	return out
}

func cutView(c *competition.Cut) *competition.Cut {
	if c == nil {
		return nil
	}
	out := *c
	out.Through, out.Missed = orEmpty(out.Through), orEmpty(out.Missed)
	return &out
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

// presetTerms are terms to start from.
func presetTerms(_ context.Context, r reading) (events.Terms, error) {
	in := command.Preset{Format: r.QueryParam("format"), Side: r.QueryParam("side")}
	var err error
	if in.SideSize, err = wholeNumber(r, "side_size"); err != nil {
		return events.Terms{}, err
	}
	if in.Count, err = wholeNumber(r, "count"); err != nil {
		return events.Terms{}, err
	}
	return command.PresetFor(in)
}

// wholeNumber reads a query parameter; 0 where it is missing.
func wholeNumber(r reading, name string) (int, error) {
	text := r.QueryParam(name)
	if text == "" {
		return 0, nil
	}
	n, err := strconv.Atoi(text)
	if err != nil || n < 0 {
		return 0, events.Invalid(name, "malformed", name+" is a whole number")
	}
	return n, nil
}

// Allowances are the published table.
type Allowances struct {
	Items []command.Allowance `json:"items"`
}

func listAllowances(context.Context, reading) (Allowances, error) {
	return Allowances{Items: command.Allowances()}, nil
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
