package web

import (
	"strconv"
	"strings"

	"github.com/labstack/echo/v4"

	"marram.example/api/command"
	"marram.example/events"
)

// deskCardEnter stores a paper card as typed and, where both signed it, hands it
// in.
func (w *Web) deskCardEnter(c echo.Context) error {
	f, err := readForm(c)
	if err != nil {
		return err
	}
	ctx, id := c.Request().Context(), c.Param("card")
	k, err := w.api.Commands.Card(ctx, id)
	if err != nil {
		return err
	}
	r := &cells{v: f.Values}
	in := command.EnterCard{Scores: cardOf(r, k.State, 0), Confirmed: r.ticked("confirmed"), Signed: r.ticked("signed"), Reason: r.text("reason")}
	for ball := 1; ball < k.State.Balls(); ball++ {
		in.Partners = append(in.Partners, cardOf(r, k.State, ball))
	}
	if r.refused(f) {
		return w.deskShowCard(c, cardForms{enter: f})
	}
	if _, err := w.api.Commands.EnterCard(ctx, w.request(c, f), id, in); err != nil {
		if err = f.refuse(err); err != nil {
			return err
		}
		return w.deskShowCard(c, cardForms{enter: f})
	}
	if in.Signed {
		return done(c, "/desk/competitions/"+k.State.CompetitionID+"/cards?card="+id+"&round="+strconv.Itoa(k.State.Round), "returned")
	}
	return done(c, "/desk/cards/"+id, "saved")
}

// deskCardSettle lets one of two values stand, or another one.
func (w *Web) deskCardSettle(c echo.Context) error {
	f, err := readForm(c)
	if err != nil {
		return err
	}
	id, r := c.Param("card"), &cells{v: f.Values}
	in := command.EnterScore{Hole: r.whole("hole", 0), Ball: r.whole("ball", 0), Confirmed: r.ticked("confirmed"), Reason: r.text("reason")}
	v, err := typedScore("value", f.V("value"))
	if e := events.AsError(err); e != nil {
		r.wrong(e)
	}
	in.Strokes, in.None = v.Strokes, v.None
	if r.refused(f) {
		return w.deskShowCard(c, cardForms{settle: f})
	}
	if _, err := w.api.Commands.EnterScore(c.Request().Context(), w.request(c, f), id, in); err != nil {
		if err = f.refuse(err); err != nil {
			return err
		}
		return w.deskShowCard(c, cardForms{settle: f})
	}
	return done(c, "/desk/cards/"+id, "settled")
}

func (w *Web) deskCardReopen(c echo.Context) error {
	f, err := readForm(c)
	if err != nil {
		return err
	}
	id := c.Param("card")
	if _, err := w.api.Commands.Reopen(c.Request().Context(), w.request(c, f), id, strings.TrimSpace(f.V("reason"))); err != nil {
		if err = f.refuse(err); err != nil {
			return err
		}
		return w.deskShowCard(c, cardForms{reopen: f})
	}
	return done(c, "/desk/cards/"+id, "reopened")
}

func (w *Web) deskCardRule(c echo.Context) error {
	f, err := readForm(c)
	if err != nil {
		return err
	}
	id := c.Param("card")
	in := command.RuleStatus{Status: f.V("status"), Reason: strings.TrimSpace(f.V("reason"))}
	if _, err := w.api.Commands.Rule(c.Request().Context(), w.request(c, f), id, in); err != nil {
		if err = f.refuse(err); err != nil {
			return err
		}
		return w.deskShowCard(c, cardForms{rule: f})
	}
	if in.Status == events.StatusInPlay {
		return done(c, "/desk/cards/"+id, "lifted")
	}
	return done(c, "/desk/cards/"+id, "ruled")
}

func (w *Web) deskCardMarker(c echo.Context) error {
	f, err := readForm(c)
	if err != nil {
		return err
	}
	id := c.Param("card")
	_, err = w.api.Commands.AssignMarker(c.Request().Context(), w.request(c, f), id, f.V("marker_id"), strings.TrimSpace(f.V("reason")))
	if err != nil {
		if err = f.refuse(err); err != nil {
			return err
		}
		return w.deskShowCard(c, cardForms{marker: f})
	}
	return done(c, "/desk/cards/"+id, "marker")
}

// deskCardLink withdraws a link and makes a fresh one.
func (w *Web) deskCardLink(c echo.Context) error {
	f, err := readForm(c)
	if err != nil {
		return err
	}
	id, role := c.Param("card"), events.Role(f.V("role"))
	if role != events.RolePlayer && role != events.RoleMarker {
		return errForm
	}
	if _, err := w.api.Commands.Card(c.Request().Context(), id); err != nil {
		return err
	}
	if _, err := w.api.Commands.RenewLink(c.Request().Context(), w.request(c, f), id, role); err != nil {
		return err
	}
	return done(c, "/desk/cards/"+id, "link")
}
