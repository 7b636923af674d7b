package web

import (
	"github.com/labstack/echo/v4"

	"marram.example/api/command"
	"marram.example/events"
)

// deskCardPenalty adds penalty strokes to a hole or to the round.
func (w *Web) deskCardPenalty(c echo.Context) error {
	f, err := readForm(c)
	if err != nil {
		return err
	}
	id, r := c.Param("card"), &cells{v: f.Values}
	in := command.AddPenalty{
		Ball: r.whole("ball", 0), Hole: r.whole("hole", 0), Strokes: r.whole("strokes", 0), Rule: r.text("rule"), Reason: r.text("reason"),
		Late: r.ticked("late"),
	}
	if r.refused(f) {
		return w.deskShowCard(c, cardForms{penalty: f})
	}
	if _, err := w.api.Commands.AddPenalty(c.Request().Context(), w.request(c, f), id, in); err != nil {
		if err = f.refuse(err); err != nil {
			return err
		}
		return w.deskShowCard(c, cardForms{penalty: f})
	}
	return done(c, "/desk/cards/"+id, "penalty")
}

func (w *Web) deskCardPenaltyRemove(c echo.Context) error {
	f, err := readForm(c)
	if err != nil {
		return err
	}
	id, r := c.Param("card"), &cells{v: f.Values}
	_, err = w.api.Commands.RemovePenalty(c.Request().Context(), w.request(c, f), id, r.text("penalty_id"), r.text("reason"))
	if err != nil {
		if err = f.refuse(err); err != nil {
			return err
		}
		return w.deskShowCard(c, cardForms{unpenalty: f})
	}
	return done(c, "/desk/cards/"+id, "unpenalty")
}

// deskCardWrongScore rules on a score of a returned card that is not the actual one:
// first it says how the ruling would be, then it makes it.
func (w *Web) deskCardWrongScore(c echo.Context) error {
	f, err := readForm(c)
	if err != nil {
		return err
	}
	ctx, id, r := c.Request().Context(), c.Param("card"), &cells{v: f.Values}
	in := command.RuleScore{
		Ball: r.whole("ball", 0), Hole: r.whole("hole", 0), UnknownPenalty: r.whole("unknown_penalty", 0), Reason: r.text("reason"),
	}
	actual, err := typedScore("actual", f.V("actual"))
	if e := events.AsError(err); e != nil {
		r.wrong(e)
	}
	if in.Actual = actual.Strokes; actual.Strokes == nil && actual.None == "" {
		r.wrong(events.Invalid("actual", "required", "type the strokes, or - where the ball was not holed out"))
	}
	if r.refused(f) {
		return w.deskShowCard(c, cardForms{score: f})
	}
	in.DryRun = f.V("step") != "rule"
	ruling, err := w.api.Commands.RuleScore(ctx, w.request(c, f), id, in)
	if err != nil {
		if err = f.refuse(err); err != nil {
			return err
		}
		return w.deskShowCard(c, cardForms{score: f})
	}
	if in.DryRun {
		return w.deskShowCardRuled(c, cardForms{score: f}, &ruling)
	}
	return done(c, "/desk/cards/"+id, "ruled")
}
