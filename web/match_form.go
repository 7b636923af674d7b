package web

import (
	"fmt"
	"net/url"
	"strconv"

	"github.com/labstack/echo/v4"

	"marram.example/api/command"
	"marram.example/events"
	"marram.example/events/match"
)

// enterMatchHole takes one hole from the plain form, or takes it back.
func (w *Web) enterMatchHole(c echo.Context) error {
	r, err := w.matchRequest(c)
	if err != nil {
		return err
	}
	ctx, id, text := c.Request().Context(), c.Param("match"), c.FormValue("number")
	number, err := strconv.Atoi(text)
	if err != nil {
		return w.refusedOnMatch(c, "", events.Invalid("number", "malformed", "the form names no hole"))
	}
	if c.FormValue("undo") != "" {
		if _, err := w.api.Commands.RemoveMatchHole(ctx, r, id, number, ""); err != nil {
			return w.refusedOnMatch(c, text, err)
		}
		return toMatch(c)
	}
	m, err := w.api.Commands.Match(ctx, id)
	if err != nil {
		return err
	}
	in, err := matchHoleForm(c, number, m.State)
	if err != nil {
		return w.refusedOnMatch(c, text, err)
	}
	if _, err := w.api.Commands.EnterMatchHole(ctx, r, id, in); err != nil {
		return w.refusedOnMatch(c, text, err)
	}
	return toMatch(c)
}

// matchHoleForm reads what a side says of a hole: who won it, or the scores.
func matchHoleForm(c echo.Context, number int, s *match.State) (command.EnterMatchHole, error) {
	in := command.EnterMatchHole{Number: number, Winner: c.FormValue("winner"), Grounds: c.FormValue("grounds")}
	values, err := c.FormParams()
	if err != nil {
		return in, events.Invalid("form", "malformed", "the form cannot be read")
	}
	if in.A, err = matchScoresForm(values, events.SideA, len(s.Arranged.A.Balls)); err != nil {
		return in, err
	}
	in.B, err = matchScoresForm(values, events.SideB, len(s.Arranged.B.Balls))
	return in, err
}

// matchScoresForm reads the balls of one side; nil where nothing is said of any.
func matchScoresForm(values url.Values, side string, balls int) ([]command.MatchScore, error) {
	out := make([]command.MatchScore, balls)
	said := false
	for i := range out {
		field := side + strconv.Itoa(i)
		text := values.Get(field + "_many")
		if text == "" {
			text = values.Get(field)
		}
		switch text {
		case "":
			continue
		case events.PickedUp, events.NoScore:
			out[i].None = text
		default:
			n, err := strconv.Atoi(text)
			if err != nil {
				return nil, events.Invalid(field, "malformed", fmt.Sprintf("strokes are a whole number from 1 to %d", match.MaxStrokes))
			}
			out[i].Strokes = &n
			out[i].Conceded = values.Get(field+"_conceded") != ""
		}
		said = true
	}
	if !said {
		return nil, nil
	}
	return out, nil
}

// concede gives a hole or the match. A match needs a second word: it is final.
func (w *Web) concede(c echo.Context) error {
	r, err := w.matchRequest(c)
	if err != nil {
		return err
	}
	ctx, id := c.Request().Context(), c.Param("match")
	switch c.FormValue("what") {
	case "hole":
		text := c.FormValue("number")
		number, err := strconv.Atoi(text)
		if err != nil {
			return w.refusedOnMatch(c, "", events.Invalid("number", "malformed", "the form names no hole"))
		}
		if _, err := w.api.Commands.ConcedeHole(ctx, r, id, command.ConcedeHole{Number: number}); err != nil {
			return w.refusedOnMatch(c, text, err)
		}
	case "match":
		if c.FormValue("sure") == "" {
			return w.refusedOnMatch(c, "", events.Invalid("sure", "required", "tick that you are sure: a concession is final").WithRule("Rules of Golf 3.2b"))
		}
		if _, err := w.api.Commands.ConcedeMatch(ctx, r, id, command.ConcedeMatch{}); err != nil {
			return w.refusedOnMatch(c, "", err)
		}
	default:
		return w.refusedOnMatch(c, "", events.Invalid("what", "unknown", "a hole or the match is conceded"))
	}
	return toMatch(c)
}

// agreeResult says that the visitor's side stands for the result.
func (w *Web) agreeResult(c echo.Context) error {
	r, err := w.matchRequest(c)
	if err != nil {
		return err
	}
	in := command.MatchResult{Winner: c.FormValue("winner"), Text: c.FormValue("text")}
	if _, err := w.api.Commands.ResultOfMatch(c.Request().Context(), r, c.Param("match"), in); err != nil {
		return w.refusedOnMatch(c, "", err)
	}
	return toMatch(c)
}
