package web

import (
	"errors"
	"net/http"
	"net/url"

	"github.com/labstack/echo/v4"

	"marram.example/events"
)

// errNoPage is what an unknown address is answered with.
var errNoPage = events.NotFound("", "There is no page at this address. It may have been typed wrongly, or what it showed may be gone.")

// trouble is what the problem page says.
type trouble struct {
	Title     string
	Detail    string
	Field     string
	Rule      string
	Back      string // address of the page before, where it was one of ours
	Reference string // to find the fault in the log lines
}

// titles say in a few words what kind of problem it is.
var titles = map[int]string{
	http.StatusBadRequest: "That could not be read", http.StatusForbidden: "Not with these rights", http.StatusNotFound: "Not found",
	http.StatusConflict: "Not now", http.StatusPreconditionFailed: "Somebody was quicker", http.StatusUnprocessableEntity: "That cannot be",
	http.StatusTooManyRequests: "Too many at once", http.StatusUnauthorized: "Please sign in", http.StatusMethodNotAllowed: "Not that way",
	http.StatusRequestEntityTooLarge: "Too large", http.StatusServiceUnavailable: "One moment",
}

// problems answers errors of pages as pages. It stands before every other
// middleware of the pages, so that their refusals are pages too.
func (w *Web) problems(next echo.HandlerFunc) echo.HandlerFunc {
	return func(c echo.Context) error {
		err := next(c)
		if err == nil || c.Response().Committed || errors.Is(err, errNotOurs) {
			return err
		}
		return w.problem(c, err)
	}
}

// back is the address of one of our pages that the visitor came from.
func back(c echo.Context) string {
	from, err := url.Parse(c.Request().Referer())
	if err != nil || from.Host != c.Request().Host || from.Path == c.Request().URL.Path {
		return ""
	}
	return from.RequestURI()
}
