package web

import (
	"strings"

	"github.com/labstack/echo/v4"
)

// deskOpenPage opens the round, and stops and resumes play.
type deskOpenPage struct {
	*deskComp
	Form    *form // opens or resumes
	Suspend *form
	Waiting []string // names of entries without a place on the sheet
	Groups  int
	Playing int // entries of the round
	Byes    int
}

func (w *Web) deskOpen(c echo.Context) error { return w.deskShowOpen(c, nil, nil) }

func (w *Web) deskShowOpen(c echo.Context, open, suspend *form) error {
	k, err := w.deskComp(c, "open")
	if err != nil {
		return err
	}
	p := deskOpenPage{deskComp: k, Form: open, Suspend: suspend}
	if open == nil {
		p.Form = newForm(k.Seq, nil)
	}
	if suspend == nil {
		p.Suspend = newForm(k.Seq, nil)
	}
	p.Form.again(k.Seq, nil)
	p.Suspend.named("suspend-").again(k.Seq, nil)
	if d := k.State.Draw; d != nil {
		p.Groups = len(d.Groups)
		for _, g := range d.Groups {
			p.Playing += len(g.Places)
		}
		if k.State.IsMatch() {
			p.Byes = p.Groups - matchesOn(d)
			p.Groups -= p.Byes
		} else {
			for _, e := range k.State.Playing(k.State.Round) {
				if _, _, placed := k.State.Group(e.ID); !placed {
					p.Waiting = append(p.Waiting, k.Names[e.ID])
				}
			}
		}
	}
	return w.deskPage(c, max(p.Form.Status(), p.Suspend.Status()), "desk_open.html", "Round of "+k.State.Name, p)
}

func (w *Web) deskOpenRound(c echo.Context) error {
	f, err := readForm(c)
	if err != nil {
		return err
	}
	id := c.Param("competition")
	if _, err := w.api.Commands.OpenRound(c.Request().Context(), w.request(c, f), id); err != nil {
		if err = f.refuse(err); err != nil {
			return err
		}
		return w.deskShowOpen(c, f, nil)
	}
	word := "opened"
	if k, _, err := w.api.Commands.Competition(c.Request().Context(), id); err == nil && k.IsMatch() {
		word = "arranged"
	}
	return done(c, "/desk/competitions/"+id+"/open", word)
}

// deskSuspend never asks which version the page was made from: stopping play in
// danger must not wait for anything.
func (w *Web) deskSuspend(c echo.Context) error {
	f, err := readForm(c)
	if err != nil {
		return err
	}
	f.Version = 0
	id := c.Param("competition")
	_, err = w.api.Commands.Suspend(c.Request().Context(), w.request(c, f), id, f.V("kind"), strings.TrimSpace(f.V("reason")))
	if err != nil {
		if err = f.refuse(err); err != nil {
			return err
		}
		return w.deskShowOpen(c, nil, f)
	}
	return done(c, "/desk/competitions/"+id+"/open", "suspended")
}

func (w *Web) deskResume(c echo.Context) error {
	f, err := readForm(c)
	if err != nil {
		return err
	}
	id := c.Param("competition")
	if _, err := w.api.Commands.Resume(c.Request().Context(), w.request(c, f), id); err != nil {
		if err = f.refuse(err); err != nil {
			return err
		}
		return w.deskShowOpen(c, f, nil)
	}
	return done(c, "/desk/competitions/"+id+"/open", "resumed")
}
