package web

import (
	"errors"
	"net/http"

	"github.com/labstack/echo/v4"

	"marram.example/events"
)

// problem answers an error with a page. What is no refusal stays in the log
// lines; the page names it by its reference alone.
func (w *Web) problem(c echo.Context, err error) error {
	status, t := http.StatusInternalServerError, trouble{Title: "Something went wrong here", Detail: "It is our fault and has been noted. Nothing you entered before is lost."}
	var plain *echo.HTTPError
	if e := events.AsError(err); e != nil {
		status = statusOf(e.Kind)
		t = trouble{Title: titles[status], Detail: sentence(e.Detail), Field: e.Field, Rule: e.Rule}
	} else if errors.As(err, &plain) && plain.Code < http.StatusInternalServerError {
		status = plain.Code
		t = trouble{Title: titles[status], Detail: http.StatusText(status) + "."}
	} else {
		w.Logger.Error("page failed", "path", c.Path(), "error", err)
	}
	t.Back = back(c)
	return w.render(c, status, "problem.html", page{Title: t.Title, Private: true, Data: t})
}

func statusOf(k events.Kind) int {
	switch k {
	case events.KindInvalid:
		return http.StatusUnprocessableEntity
	case events.KindNotFound:
		return http.StatusNotFound
	case events.KindForbidden:
		return http.StatusForbidden
	default:
		return http.StatusConflict
	}
}
