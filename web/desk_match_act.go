package web

import (
	"fmt"

	"github.com/labstack/echo/v4"

	"marram.example/api/command"
	"marram.example/events"
)

// matchAct carries out what a form of a match's page asks for. The form is put back
// where it belongs if it is refused.
func (w *Web) matchAct(c echo.Context, word string, forms func(*form) matchForms, act func(id string, f *form, r *cells) error) error {
	f, err := readForm(c)
	if err != nil {
		return err
	}
	id, r := c.Param("match"), &cells{v: f.Values}
	err = act(id, f, r)
	if r.refused(f) {
		return w.deskShowMatch(c, forms(f))
	}
	if err != nil {
		if err = f.refuse(err); err != nil {
			return err
		}
		return w.deskShowMatch(c, forms(f))
	}
	return done(c, "/desk/matches/"+id, word)
}

func (w *Web) deskMatchHole(c echo.Context) error {
	return w.matchAct(c, "hole", func(f *form) matchForms { return matchForms{hole: f} }, func(id string, f *form, r *cells) error {
		m, err := w.api.Commands.Match(c.Request().Context(), id)
		if err != nil {
			return err
		}
		in := command.EnterMatchHole{Number: r.whole("number", 0), Winner: r.text("winner"), Grounds: r.text("grounds"), Reason: r.text("reason")}
		in.A = matchScoresOf(r, "a", len(m.State.Arranged.A.Balls))
		in.B = matchScoresOf(r, "b", len(m.State.Arranged.B.Balls))
		if len(r.errs) > 0 {
			return nil
		}
		_, err = w.api.Commands.EnterMatchHole(c.Request().Context(), w.request(c, f), id, in)
		return err
	})
}

// matchScoresOf reads the scores of a side; nil where none is typed.
func matchScoresOf(r *cells, list string, balls int) []command.MatchScore {
	out := make([]command.MatchScore, balls)
	said := false
	for i := range out {
		name := item(list, i)
		v, err := typedScore(name, r.v.Get(name))
		if e := events.AsError(err); e != nil {
			r.wrong(e)
			continue
		}
		out[i] = command.MatchScore{Strokes: v.Strokes, None: v.None, Conceded: r.ticked(name + ".conceded")}
		said = said || v.Strokes != nil || v.None != ""
	}
	if !said {
		return nil
	}
	return out
}

func (w *Web) deskMatchRemove(c echo.Context) error {
	return w.matchAct(c, "hole-removed", func(f *form) matchForms { return matchForms{remove: f} }, func(id string, f *form, r *cells) error {
		_, err := w.api.Commands.RemoveMatchHole(c.Request().Context(), w.request(c, f), id, r.whole("number", 0), r.text("reason"))
		return err
	})
}

func (w *Web) deskMatchConcedeHole(c echo.Context) error {
	return w.matchAct(c, "given", func(f *form) matchForms { return matchForms{concedeHole: f} }, func(id string, f *form, r *cells) error {
		in := command.ConcedeHole{Number: r.whole("number", 0), Side: r.text("side")}
		_, err := w.api.Commands.ConcedeHole(c.Request().Context(), w.request(c, f), id, in)
		return err
	})
}

func (w *Web) deskMatchConcede(c echo.Context) error {
	return w.matchAct(c, "given", func(f *form) matchForms { return matchForms{concede: f} }, func(id string, f *form, r *cells) error {
		in := command.ConcedeMatch{Side: r.text("side"), Reason: r.text("reason")}
		_, err := w.api.Commands.ConcedeMatch(c.Request().Context(), w.request(c, f), id, in)
		return err
	})
}

func (w *Web) deskMatchResult(c echo.Context) error {
	return w.matchAct(c, "match", func(f *form) matchForms { return matchForms{result: f} }, func(id string, f *form, r *cells) error {
		in := command.MatchResult{Winner: r.text("winner"), Text: r.text("text")}
		_, err := w.api.Commands.ResultOfMatch(c.Request().Context(), w.request(c, f), id, in)
		return err
	})
}

func (w *Web) deskMatchRule(c echo.Context) error {
	return w.matchAct(c, "ruled", func(f *form) matchForms { return matchForms{rule: f} }, func(id string, f *form, r *cells) error {
		in := command.RuleMatch{Ruling: r.text("ruling"), Winner: r.text("winner"), Up: r.whole("up", 0), Reason: r.text("reason")}
		if in.Ruling == events.MatchRulingLifted {
			in.Winner, in.Up = "", 0
		}
		if len(r.errs) > 0 {
			return nil
		}
		_, err := w.api.Commands.RuleMatch(c.Request().Context(), w.request(c, f), id, in)
		return err
	})
}

func (w *Web) deskMatchReopen(c echo.Context) error {
	return w.matchAct(c, "match-reopened", func(f *form) matchForms { return matchForms{reopen: f} }, func(id string, f *form, r *cells) error {
		_, err := w.api.Commands.ReopenMatch(c.Request().Context(), w.request(c, f), id, r.text("reason"))
		return err
	})
}

// deskMatchLink withdraws the link of a side and makes a fresh one.
func (w *Web) deskMatchLink(c echo.Context) error {
	return w.matchAct(c, "link", func(f *form) matchForms { return matchForms{link: f} }, func(id string, f *form, r *cells) error {
		m, err := w.api.Commands.Match(c.Request().Context(), id)
		if err != nil {
			return err
		}
		var entry string
		switch side := r.text("side"); side {
		case events.SideA:
			entry = m.State.Arranged.A.EntryID
		case events.SideB:
			entry = m.State.Arranged.B.EntryID
		default:
			return events.Invalid("side", "unknown", fmt.Sprintf("side A or B has a link, not %q", side))
		}
		_, err = w.api.Commands.RenewMatchLink(c.Request().Context(), w.request(c, f), id, entry)
		return err
	})
}
