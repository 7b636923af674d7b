package web

import (
	"net/http"
	"net/url"
	"slices"
	"strings"
	"time"

	"github.com/labstack/echo/v4"

	"marram.example/api/command"
	"marram.example/events/competition"
)

// deskHomePage is the first page of the console: what needs doing.
type deskHomePage struct {
	Open   []*deskComp // those with a step to take, the nearest date first
	Past   []*deskComp // results published
	Done   string
	Course bool // the club has a course
	Player bool // and somebody to play it
}

// deskListed is how many competitions the first page reads.
const deskListed = 30

func (w *Web) deskHome(c echo.Context) error {
	ctx := c.Request().Context()
	all, _, err := w.api.Models.Competitions.List(ctx, deskListed, "")
	if err != nil {
		return err
	}
	p := deskHomePage{Done: doneWord(c)}
	for i := range all {
		k := &deskComp{ID: all[i].ID, State: all[i].State, Shown: all[i].State.Round}
		if k.State.Running() {
			if err := w.deskRound(ctx, k); err != nil {
				return err
			}
		}
		k.Steps = steps(k, "")
		if k.State.Phase == competition.Published {
			p.Past = append(p.Past, k)
		} else {
			p.Open = append(p.Open, k)
		}
	}
	slices.SortStableFunc(p.Open, func(a, b *deskComp) int { return strings.Compare(a.State.Date, b.State.Date) })
	courses, err := w.api.Models.Courses.List(ctx)
	if err != nil {
		return err
	}
	players, _, err := w.api.Models.Players.List(ctx, "", "", 1)
	if err != nil {
		return err
	}
	p.Course, p.Player = len(courses) > 0, len(players) > 0
	return w.deskPage(c, http.StatusOK, "desk_home.html", "Desk", p)
}

// deskPlanPage announces a competition.
type deskPlanPage struct{ Form *form }

func (w *Web) deskNew(c echo.Context) error {
	today := w.now().In(w.location).Format(time.DateOnly)
	return w.deskShowPlan(c, newForm(0, url.Values{"date": {today}}))
}

func (w *Web) deskShowPlan(c echo.Context, f *form) error {
	return w.deskPage(c, f.Status(), "desk_new.html", "New competition", deskPlanPage{f})
}

func (w *Web) deskPlan(c echo.Context) error {
	f, err := readForm(c)
	if err != nil {
		return err
	}
	f.Version = 0
	in := command.PlanCompetition{Name: f.V("name"), Date: f.V("date")}
	made, err := w.api.Commands.Plan(c.Request().Context(), w.request(c, f), "", in)
	if err != nil {
		if err = f.refuse(err); err != nil {
			return err
		}
		return w.deskShowPlan(c, f)
	}
	return done(c, "/desk/competitions/"+made.ID+"/terms", "planned")
}

// deskCompetitionPage is the checklist of one competition.
type deskCompetitionPage struct {
	*deskComp
	Form *form // name and date
}

func planValues(s *competition.State) url.Values {
	return url.Values{"name": {s.Name}, "date": {s.Date}}
}

func (w *Web) deskCompetition(c echo.Context) error { return w.deskShowCompetition(c, nil) }

func (w *Web) deskShowCompetition(c echo.Context, f *form) error {
	k, err := w.deskComp(c, "")
	if err != nil {
		return err
	}
	if f == nil {
		f = newForm(k.Seq, planValues(k.State))
	}
	f.again(k.Seq, planValues(k.State))
	return w.deskPage(c, f.Status(), "desk_competition.html", k.State.Name, deskCompetitionPage{k, f})
}

func (w *Web) deskRename(c echo.Context) error {
	f, err := readForm(c)
	if err != nil {
		return err
	}
	id := c.Param("competition")
	_, err = w.api.Commands.Plan(c.Request().Context(), w.request(c, f), id, command.PlanCompetition{Name: f.V("name"), Date: f.V("date")})
	if err != nil {
		if err = f.refuse(err); err != nil {
			return err
		}
		return w.deskShowCompetition(c, f)
	}
	return done(c, "/desk/competitions/"+id, "renamed")
}
