package web

import (
	"strings"

	"github.com/labstack/echo/v4"

	"marram.example/api/command"
	"marram.example/events"
)

// deskOpenPage opens the round, and stops and resumes play.
type deskOpenPage struct {
	*deskComp
	Form    *form // opens or resumes
	Suspend *form
	Waiting []string // names of entries without a place on the sheet
	Groups  int
	Players int
	Terms   *events.Terms
}

func (w *Web) deskOpen(c echo.Context) error { return w.deskShowOpen(c, nil, nil) }

func (w *Web) deskShowOpen(c echo.Context, open, suspend *form) error {
	k, err := w.deskComp(c, "open")
	if err != nil {
		return err
	}
	p := deskOpenPage{deskComp: k, Form: open, Suspend: suspend, Terms: k.State.Terms, Players: len(k.Field())}
	if open == nil {
		p.Form = newForm(k.Seq, nil)
	}
	if suspend == nil {
		p.Suspend = newForm(k.Seq, nil)
	}
	p.Form.again(k.Seq, nil)
	p.Suspend.named("suspend-").again(k.Seq, nil)
	if k.State.Draw != nil {
		p.Groups = len(k.State.Draw.Groups)
		for _, e := range k.Field() {
			if _, _, placed := k.State.Group(e.ID); !placed {
				p.Waiting = append(p.Waiting, k.Names[e.ID])
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
	return done(c, "/desk/competitions/"+id+"/open", "opened")
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

// deskClosePage ends the round.
type deskClosePage struct {
	*deskComp
	Form    *form
	Missing []deskCardRow
}

func (w *Web) deskClose(c echo.Context) error { return w.deskShowClose(c, nil) }

func (w *Web) deskShowClose(c echo.Context, f *form) error {
	k, err := w.deskComp(c, "close")
	if err != nil {
		return err
	}
	p := deskClosePage{deskComp: k, Form: f}
	if f == nil {
		p.Form = newForm(k.Seq, nil)
	}
	p.Form.again(k.Seq, nil)
	for _, r := range w.cardRows(c, k) {
		if r.Status == events.StatusInPlay {
			p.Missing = append(p.Missing, r)
		}
	}
	return w.deskPage(c, p.Form.Status(), "desk_close.html", "Close "+k.State.Name, p)
}

func (w *Web) deskCloseRound(c echo.Context) error {
	f, err := readForm(c)
	if err != nil {
		return err
	}
	id, r := c.Param("competition"), &cells{v: f.Values}
	in := command.CloseRound{Reason: r.text("reason")}
	if r.ticked("missing_as") {
		in.MissingAs = events.StatusNoReturn
	}
	if _, err := w.api.Commands.CloseRound(c.Request().Context(), w.request(c, f), id, in); err != nil {
		if err = f.refuse(err); err != nil {
			return err
		}
		return w.deskShowClose(c, f)
	}
	return done(c, "/desk/competitions/"+id+"/result", "closed")
}
