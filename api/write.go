package api

import (
	"context"
	"net/http"

	"github.com/labstack/echo/v4"

	"marram.example/api/command"
	"marram.example/events"
)

// Written is what a write is answered with.
type Written struct {
	ID       string          `json:"id"`       // of what was written
	Sequence events.Sequence `json:"sequence"` // version now, as in the ETag
	Position events.Position `json:"position"` // in the log: min_sequence of a query that must see it
	Changed  bool            `json:"changed"`  // false where everything stood so already
}

// nothing is the input of a use case that needs none: an empty body or {}.
type nothing struct{}

// writing is one write as its handler sees it.
type writing[In any] struct {
	echo.Context
	request command.Request
	in      In
}

// created says where what a write made can be read; see write.
type created func(c echo.Context, d command.Done) string

// write decodes the request of a use case strictly, carries it out, and answers
// with Written. With a location the status is 201, else 200; a repeat of the
// same request gets the first answer.
func write[In any](location created, do func(ctx context.Context, w writing[In]) (command.Done, error)) func(a *API) echo.HandlerFunc {
	return func(a *API) echo.HandlerFunc {
		return func(c echo.Context) error {
			w, err := begin[In](a, c)
			if err != nil {
				return err
			}
			done, err := do(c.Request().Context(), w)
			if err != nil {
				return err
			}
			return written(c, done, location)
		}
	}
}

// begin reads what every write needs. Nobody's requests are refused before their
// body is looked at.
func begin[In any](a *API, c echo.Context) (writing[In], error) {
	w := writing[In]{Context: c}
	if err := checkPath(c); err != nil {
		return w, err
	}
	if a.anonymous(c) {
		return w, events.Forbidden("forbidden", "sign in, or open the link of the card")
	}
	r, body, err := request(c, a.Auth, MaxBody)
	if err != nil {
		return w, err
	}
	w.request = r
	return w, decode(c.Request(), body, &w.in)
}

func written(c echo.Context, d command.Done, location created) error {
	out, status := heading(c, d, location)
	return encodeJSON(c, status, out)
}

// heading sets the headers of what was written and gives what every answer to a write
// begins with, and its status.
func heading(c echo.Context, d command.Done, location created) (Written, int) {
	h := c.Response().Header()
	h.Set("ETag", etag(d.Sequence))
	if d.Known {
		h.Set(HeaderRepeat, "true")
	}
	status := http.StatusOK
	if location != nil {
		h.Set(echo.HeaderLocation, Root+location(c, d))
		status = http.StatusCreated
	}
	return Written{ID: d.ID, Sequence: d.Sequence, Position: d.Position, Changed: d.Changed}, status
}

// checkPath refuses what cannot be an id: there is nothing at such an address.
func checkPath(c echo.Context) error {
	for _, p := range c.ParamNames() {
		switch p {
		case "kind", "role", "tee", "*":
			continue
		}
		if !events.ValidToken(c.Param(p)) {
			return events.NotFound(p+"_id", "there is nothing with this id")
		}
	}
	return nil
}

// fieldAs gives the field of a domain error the name that the API has for it.
func fieldAs(err error, names map[string]string) error {
	if e := events.AsError(err); e != nil {
		if name, ok := names[e.Field]; ok {
			return e.WithField(name)
		}
	}
	return err
}
