package web

import (
	"net/http"
	"net/url"
	"strings"

	"github.com/labstack/echo/v4"

	"marram.example/api"
)

// trouble is what the problem page says.
type trouble struct {
	api.Problem
	Back      string // address of the page before, where it was one of ours
	SignIn    string // address of the sign-in page that leads back here, where that helps; never with a secret in it
	Reference string // to find the fault in the log lines, where it is ours
}

// Problem answers a refused request with a page. It is what the API's error
// handler calls for people; the table of problems is the API's.
func (w *Web) Problem(c echo.Context, p api.Problem) error {
	t := trouble{Problem: p, Back: back(c)}
	if p.Status == http.StatusUnauthorized && c.Request().Method == http.MethodGet && c.Param("token") == "" {
		t.SignIn = "/sign-in?to=" + url.QueryEscape(c.Request().URL.RequestURI())
	}
	if p.Status >= http.StatusInternalServerError {
		t.Reference = p.CorrelationID
	}
	return w.render(c, p.Status, "problem.html", page{Title: p.Title, Private: true, Data: t})
}

// back is the address of one of our pages that the visitor came from.
func back(c echo.Context) string {
	from, err := url.Parse(c.Request().Referer())
	if err != nil || from.Host != c.Request().Host || from.Path == c.Request().URL.Path || !strings.HasPrefix(from.Path, "/") ||
		strings.HasPrefix(from.RequestURI(), "//") { // a browser takes what follows two slashes for a host
		return ""
	}
	return from.RequestURI()
}
