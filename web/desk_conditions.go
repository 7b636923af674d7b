package web

import (
	"net/url"
	"slices"
	"strconv"
	"strings"

	"github.com/labstack/echo/v4"

	"marram.example/api/command"
	"marram.example/events/competition"
)

// deskConditionsPage is what holds for a whole round: holes taken out, and the
// playing conditions that the association published.
type deskConditionsPage struct {
	*deskComp
	Form    *form // playing conditions
	Exclude *form
	Restore *form
	Out     []competition.ExcludedHole // of the round
	Left    []int                      // holes that count
	Now     *competition.Conditions
}

// Adjustments are what an association may publish for a day.
func (deskConditionsPage) Adjustments() []choice {
	return []choice{{"-1", "\u22121"}, {"0", "0: as usual"}, {"1", "+1"}, {"2", "+2"}, {"3", "+3"}}
}

func (w *Web) deskConditions(c echo.Context) error { return w.deskShowConditions(c, 0, nil, nil, nil) }

func (w *Web) deskShowConditions(c echo.Context, round int, f, exclude, restore *form) error {
	if round == 0 {
		round, _ = strconv.Atoi(c.QueryParam("round")) // what is no number is the round of now
	}
	k, err := w.deskCompAt(c, "cards", round)
	if err != nil {
		return err
	}
	p := deskConditionsPage{deskComp: k}
	var values url.Values
	if now, ok := k.State.Conditions[k.Shown]; ok {
		p.Now = &now
		values = url.Values{"adjustment": {strconv.Itoa(now.Adjustment)}, "source": {now.Source}}
	}
	status := 0
	for _, x := range []struct {
		to   **form
		have *form
		name string
		now  url.Values
	}{{&p.Form, f, "", values}, {&p.Exclude, exclude, "exclude-", nil}, {&p.Restore, restore, "restore-", nil}} {
		if *x.to = x.have; x.have == nil {
			*x.to = newForm(k.Seq, x.now)
		}
		(*x.to).named(x.name).again(k.Seq, x.now)
		status = max(status, (*x.to).Status())
	}
	for _, x := range k.State.Excluded {
		if x.Round == k.Shown {
			p.Out = append(p.Out, x)
		}
	}
	if t := k.Terms(); t != nil {
		p.Left = slices.DeleteFunc(slices.Clone(t.Holes), func(h int) bool { return k.State.IsExcluded(k.Shown, h) })
	}
	return w.deskPage(c, status, "desk_conditions.html", "Conditions of "+k.State.Name, p)
}

// conditionsAt is the address of the page of a round.
func conditionsAt(id string, round int) string {
	return "/desk/competitions/" + id + "/conditions?round=" + strconv.Itoa(round)
}

func (w *Web) deskConditionsSet(c echo.Context) error {
	f, err := readForm(c)
	if err != nil {
		return err
	}
	id, r := c.Param("competition"), &cells{v: f.Values}
	in := command.SetConditions{Round: r.whole("round", 0), Source: r.text("source")}
	if r.text("adjustment") != "" {
		n := r.whole("adjustment", 0)
		in.Adjustment = &n
	}
	if r.refused(f) {
		return w.deskShowConditions(c, in.Round, f, nil, nil)
	}
	if _, err := w.api.Commands.SetConditions(c.Request().Context(), w.request(c, f), id, in); err != nil {
		if err = f.refuse(err); err != nil {
			return err
		}
		return w.deskShowConditions(c, in.Round, f, nil, nil)
	}
	return done(c, conditionsAt(id, in.Round), "conditions")
}

func (w *Web) deskExclude(c echo.Context) error {
	f, in, err := readHoleOut(c)
	if err != nil {
		return err
	}
	if !f.Trouble() {
		_, err := w.api.Commands.ExcludeHole(c.Request().Context(), w.request(c, f), c.Param("competition"), in)
		if err == nil {
			return done(c, conditionsAt(c.Param("competition"), in.Round), "excluded")
		}
		if err = f.refuse(err); err != nil {
			return err
		}
	}
	return w.deskShowConditions(c, in.Round, nil, f, nil)
}

func (w *Web) deskRestore(c echo.Context) error {
	f, in, err := readHoleOut(c)
	if err != nil {
		return err
	}
	if !f.Trouble() {
		_, err := w.api.Commands.RestoreHole(c.Request().Context(), w.request(c, f), c.Param("competition"), in)
		if err == nil {
			return done(c, conditionsAt(c.Param("competition"), in.Round), "restored")
		}
		if err = f.refuse(err); err != nil {
			return err
		}
	}
	return w.deskShowConditions(c, in.Round, nil, nil, f)
}

// readHoleOut reads which hole of which round is meant, and why.
func readHoleOut(c echo.Context) (*form, command.HoleOut, error) {
	f, err := readForm(c)
	if err != nil {
		return nil, command.HoleOut{}, err
	}
	r := &cells{v: f.Values}
	in := command.HoleOut{Round: r.whole("round", 0), Hole: r.whole("hole", 0), Reason: strings.TrimSpace(f.V("reason"))}
	r.refused(f)
	return f, in, nil
}
