package web

import (
	"crypto/sha256"
	"encoding/hex"
	"errors"
	"fmt"
	"net/http"
	"net/url"
	"regexp"
	"strconv"

	"github.com/labstack/echo/v4"

	"marram.example/api"
	"marram.example/api/command"
	"marram.example/events"
	"marram.example/events/card"
)

var formKey = regexp.MustCompile(`^[A-Za-z0-9._:~-]{8,128}$`)

// formRequest is what surrounds the input of a form about one card: the key that
// the page gave it makes a second press the same command.
func (w *Web) formRequest(c echo.Context) (command.Request, error) {
	values, err := c.FormParams()
	var large *echo.HTTPError
	if errors.As(err, &large) {
		return command.Request{}, large
	}
	if err != nil {
		return command.Request{}, events.Invalid("form", "malformed", "the form cannot be read")
	}
	key := values.Get("key")
	if !formKey.MatchString(key) {
		return command.Request{}, events.Invalid("key", "malformed", "open the page again and press once more")
	}
	h := sha256.Sum256([]byte(c.Request().URL.Path + "\n" + values.Encode()))
	return command.Request{
		Who: w.api.Auth.WhoOn(c, c.Param("card")), CommandID: key, Hash: hex.EncodeToString(h[:]), CorrelationID: api.CorrelationID(c),
	}, nil
}

// enterScore takes one hole from the plain form.
func (w *Web) enterScore(c echo.Context) error {
	r, err := w.formRequest(c)
	if err != nil {
		return err
	}
	in, hole, err := scoreForm(c)
	if err != nil {
		return w.refusedOnCard(c, hole, err)
	}
	before, err := w.cardPage(c)
	if err != nil {
		return err
	}
	if _, err := w.api.Commands.EnterScore(c.Request().Context(), r, c.Param("card"), in); err != nil {
		return w.refusedOnCard(c, hole, err)
	}
	q := url.Values{}
	if c.FormValue("undo") != "" {
		q.Set("hole", strconv.Itoa(hole))
	} else {
		q.Set("after", strconv.Itoa(hole))
		if i, ok := before.State.Line(hole); ok {
			q.Set("was", scoreText(before.Holes[i].Mine))
		}
	}
	return c.Redirect(http.StatusSeeOther, "/cards/"+c.Param("card")+"?"+q.Encode())
}

// scoreForm reads the form of one hole.
func scoreForm(c echo.Context) (in command.EnterScore, hole int, err error) {
	hole, err = strconv.Atoi(c.FormValue("hole"))
	if err != nil {
		return in, 0, events.Invalid("hole", "malformed", "the form names no hole")
	}
	in = command.EnterScore{Hole: hole, None: c.FormValue("none"), Clear: c.FormValue("clear") != "", Confirmed: c.FormValue("confirmed") != ""}
	if text := c.FormValue("strokes"); text != "" {
		n, err := strconv.Atoi(text)
		if err != nil {
			return in, hole, events.Invalid("strokes", "malformed", fmt.Sprintf("strokes are a whole number from 1 to %d", card.MaxStrokes))
		}
		in.Strokes = &n
	}
	return in, hole, nil
}

// refusedOnCard shows the card again with what was wrong, or asks an unlikely
// number back.
func (w *Web) refusedOnCard(c echo.Context, hole int, err error) error {
	e := events.AsError(err)
	if e == nil || e.Kind == events.KindForbidden || e.Kind == events.KindNotFound {
		return err
	}
	p, err := w.cardPage(c)
	if err != nil {
		return err
	}
	if hole > 0 {
		p.pick(strconv.Itoa(hole))
	}
	if n, err := strconv.Atoi(c.FormValue("strokes")); err == nil && e.Code == "unlikely_score" && p.Now != nil {
		p.Ask = &ask{Hole: hole, Par: p.Now.Par, Strokes: n}
	} else {
		p.Refusal = e
	}
	status := http.StatusUnprocessableEntity
	if e.Kind != events.KindInvalid {
		status = http.StatusConflict
	}
	return w.showCard(c, status, p)
}

// certify says that the visitor stands for the scores.
func (w *Web) certify(c echo.Context) error {
	r, err := w.formRequest(c)
	if err != nil {
		return err
	}
	if _, err := w.api.Commands.Certify(c.Request().Context(), r, c.Param("card"), r.Who.Role); err != nil {
		return w.refusedOnCard(c, 0, err)
	}
	return c.Redirect(http.StatusSeeOther, "/cards/"+c.Param("card"))
}

// returnCard hands the card in.
func (w *Web) returnCard(c echo.Context) error {
	r, err := w.formRequest(c)
	if err != nil {
		return err
	}
	if _, err := w.api.Commands.Return(c.Request().Context(), r, c.Param("card")); err != nil {
		return w.refusedOnCard(c, 0, err)
	}
	return c.Redirect(http.StatusSeeOther, "/cards/"+c.Param("card"))
}
