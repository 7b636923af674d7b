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
	return w.formRequestOn(c, c.Param("card"))
}

// formRequestOn is formRequest about a card or a match.
func (w *Web) formRequestOn(c echo.Context, id string) (command.Request, error) {
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
		Who: w.api.Auth.WhoOn(c, id), CommandID: key, Hash: hex.EncodeToString(h[:]), CorrelationID: api.CorrelationID(c),
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
	return c.Redirect(http.StatusSeeOther, "/cards/"+c.Param("card")+"?"+afterEntry(before, in, c.FormValue("undo") != "").Encode())
}

// afterEntry is where a form leads: back to the hole after undoing, and on the
// card of a side until each of its balls has an entry.
func afterEntry(before *cardPage, in command.EnterScore, undone bool) url.Values {
	q := url.Values{}
	hole := strconv.Itoa(in.Hole)
	if undone {
		q.Set("hole", hole)
		return q
	}
	q.Set("after", hole)
	i, ok := before.State.Line(in.Hole)
	if !ok || in.Ball < 0 || in.Ball >= len(before.Balls) {
		return q
	}
	q.Set("was", scoreText(before.Balls[in.Ball].Holes[i].Mine))
	if before.Several() {
		q.Set("ball", strconv.Itoa(in.Ball))
		for b := range before.Balls {
			if b != in.Ball && !before.Balls[b].Holes[i].Mine.Entered() {
				q.Set("hole", hole)
			}
		}
	}
	return q
}

// scoreForm reads the form of one hole.
func scoreForm(c echo.Context) (in command.EnterScore, hole int, err error) {
	hole, err = strconv.Atoi(c.FormValue("hole"))
	if err != nil {
		return in, 0, events.Invalid("hole", "malformed", "the form names no hole")
	}
	in = command.EnterScore{Hole: hole, None: c.FormValue("none"), Clear: c.FormValue("clear") != "", Confirmed: c.FormValue("confirmed") != ""}
	if text := c.FormValue("ball"); text != "" {
		if in.Ball, err = strconv.Atoi(text); err != nil {
			return in, hole, events.Invalid("ball", "malformed", "the form names no ball")
		}
	}
	if text := c.FormValue("strokes"); text != "" {
		n, err := strconv.Atoi(text)
		if err != nil {
			return in, hole, events.Invalid("strokes", "malformed", fmt.Sprintf("strokes are a whole number from 1 to %d", card.MaxStrokes))
		}
		in.Strokes = &n
	}
	in.Saw, err = sawFromText(c.FormValue("saw"))
	return in, hole, err
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
		p.Ask = &ask{Hole: hole, Par: p.Now.Par, Strokes: n, Saw: c.FormValue("saw")}
		if ball, err := strconv.Atoi(c.FormValue("ball")); err == nil && ball < len(p.NowBalls) && ball >= 0 {
			p.Ask.Ball, p.Ask.Whose, p.Ask.Par = ball, p.NowBalls[ball].Whose, p.NowBalls[ball].Par
		}
	} else if p.Conflict = p.conflictOn(c, e); p.Conflict == nil {
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
