package web

import (
	"net/http"
	"net/url"
	"strings"

	"github.com/labstack/echo/v4"

	"marram.example/api"
	"marram.example/api/command"
	"marram.example/events"
	"marram.example/projections/handicap"
)

// deskEstimatesPage is where the committee switches the unofficial estimates on,
// beside the caution, and sees the association's expected scores.
type deskEstimatesPage struct {
	Estimates api.Estimates
	Rows      []expectedRow
	Done      string

	Switch, Withdraw *form
}

// expectedRow is one expected score as people write it.
type expectedRow struct{ Index, Expected string }

func (w *Web) deskEstimates(c echo.Context) error { return w.deskShowEstimates(c, nil, nil) }

func (w *Web) deskShowEstimates(c echo.Context, switching, withdrawing *form) error {
	now, err := w.api.EstimatesOf(c.Request().Context())
	if err != nil {
		return err
	}
	p := deskEstimatesPage{Estimates: now, Done: doneWord(c), Switch: switching, Withdraw: withdrawing}
	status := http.StatusOK
	for _, f := range []**form{&p.Switch, &p.Withdraw} {
		if *f == nil {
			*f = newForm(now.Sequence, nil)
		}
		status = max(status, (*f).Status())
		(*f).again(now.Sequence, url.Values{})
	}
	p.Switch.named("switch-")
	p.Withdraw.named("withdraw-")
	if now.Expected != nil {
		for _, x := range now.Expected.Rows {
			exact, err := handicap.NewExactDifferential(x.ExpectedNum, x.ExpectedDen)
			if err != nil {
				return err
			}
			p.Rows = append(p.Rows, expectedRow{handicapText(x.IndexTenths), signsText(exact.String())})
		}
	}
	return w.deskPage(c, status, "desk_estimates.html", "Handicap estimates", p)
}

func (w *Web) deskEstimatesSwitch(c echo.Context) error {
	f, err := readForm(c)
	if err != nil {
		return err
	}
	r := &cells{v: f.Values}
	in := command.SwitchEstimates{On: r.text("to") == "on", Caution: f.V("caution"), Reason: r.text("reason")}
	if in.On && in.Caution == "" {
		r.wrong(events.Invalid("caution", "not_acknowledged", "tick that the committee has read the caution and answers for it"))
	}
	if r.refused(f) {
		return w.deskShowEstimates(c, f, nil)
	}
	made, err := w.api.Commands.SwitchEstimates(c.Request().Context(), w.request(c, f), in)
	if err != nil {
		if err = f.refuse(err); err != nil {
			return err
		}
		return w.deskShowEstimates(c, f, nil)
	}
	w.settle(c, made.Position)
	if in.On {
		return done(c, "/desk/estimates", "estimates-on")
	}
	return done(c, "/desk/estimates", "estimates-off")
}

func (w *Web) deskExpectedWithdraw(c echo.Context) error {
	f, err := readForm(c)
	if err != nil {
		return err
	}
	made, err := w.api.Commands.WithdrawExpected(c.Request().Context(), w.request(c, f), strings.TrimSpace(f.V("reason")))
	if err != nil {
		if err = f.refuse(err); err != nil {
			return err
		}
		return w.deskShowEstimates(c, nil, f)
	}
	w.settle(c, made.Position)
	return done(c, "/desk/estimates", "expected-withdrawn")
}
