package web

import (
	"github.com/labstack/echo/v4"

	"marram.example/api/command"
	"marram.example/events"
	"marram.example/events/competition"
)

// deskClosePage ends the round, and says after it who plays on.
type deskClosePage struct {
	*deskComp
	Form    *form
	Cut     *form // makes the cut again
	Missing []deskCardRow
	Open    []deskMatchRow // matches without a result
	Cuts    bool           // the terms make the cut after this round
}

func (w *Web) deskClose(c echo.Context) error { return w.deskShowClose(c, nil, nil) }

func (w *Web) deskShowClose(c echo.Context, f, cut *form) error {
	k, err := w.deskComp(c, "close")
	if err != nil {
		return err
	}
	p := deskClosePage{deskComp: k, Form: f, Cut: cut}
	if f == nil {
		p.Form = newForm(k.Seq, nil)
	}
	if cut == nil {
		p.Cut = newForm(k.Seq, nil)
	}
	p.Form.again(k.Seq, nil)
	p.Cut.named("cut-").again(k.Seq, nil)
	if k.State.Terms != nil && k.State.Terms.Cut != nil {
		p.Cuts = k.State.Terms.Cut.AfterRound == k.State.Round
	}
	for _, r := range w.cardRows(c, k) {
		if r.Status == events.StatusInPlay {
			p.Missing = append(p.Missing, r)
		}
	}
	for _, r := range k.matchRows() {
		if !r.Over {
			p.Open = append(p.Open, r)
		}
	}
	return w.deskPage(c, max(p.Form.Status(), p.Cut.Status()), "desk_close.html", "Close "+k.State.Name, p)
}

func (w *Web) deskCloseRound(c echo.Context) error {
	f, err := readForm(c)
	if err != nil {
		return err
	}
	ctx, id, r := c.Request().Context(), c.Param("competition"), &cells{v: f.Values}
	in := command.CloseRound{Reason: r.text("reason")}
	if r.ticked("missing_as") {
		in.MissingAs = events.StatusNoReturn
	}
	if _, err := w.api.Commands.CloseRound(ctx, w.request(c, f), id, in); err != nil {
		if err = f.refuse(err); err != nil {
			return err
		}
		return w.deskShowClose(c, f, nil)
	}
	s, _, err := w.api.Commands.Competition(ctx, id)
	if err != nil {
		return err
	}
	if s.Phase == competition.Between {
		return done(c, "/desk/competitions/"+id+"/close", "between")
	}
	return done(c, "/desk/competitions/"+id+"/result", "closed")
}

// deskCutAgain makes the cut again after a card was corrected.
func (w *Web) deskCutAgain(c echo.Context) error {
	f, err := readForm(c)
	if err != nil {
		return err
	}
	id := c.Param("competition")
	if _, err := w.api.Commands.MakeCut(c.Request().Context(), w.request(c, f), id); err != nil {
		if err = f.refuse(err); err != nil {
			return err
		}
		return w.deskShowClose(c, nil, f)
	}
	return done(c, "/desk/competitions/"+id+"/close", "cut")
}
