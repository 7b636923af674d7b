package web

import (
	"errors"
	"net/http"
	"strings"
	"unicode"

	"github.com/labstack/echo/v4"

	"marram.example/api/auth"
	"marram.example/events"
)

// signInPage is the form of an account: to sign in, or to make the first one.
type signInPage struct {
	Name    string // as typed
	To      string // page to go on to
	Refusal string // why it did not work
	Minimum int    // characters of a password
}

func (w *Web) signInForm(c echo.Context) error {
	if isCommittee(w.who(c)) {
		return c.Redirect(http.StatusSeeOther, ownAddress(c.QueryParam("to"), "/desk"))
	}
	return w.showSignIn(c, http.StatusOK, signInPage{To: c.QueryParam("to")})
}

func (w *Web) showSignIn(c echo.Context, status int, p signInPage) error {
	return w.render(c, status, "sign_in.html", page{Title: "Sign in", Private: true, Data: p})
}

func (w *Web) signIn(c echo.Context) error {
	p := signInPage{Name: c.FormValue("name"), To: c.FormValue("to")}
	err := w.api.Auth.SignIn(c, p.Name, c.FormValue("password"))
	if err == nil {
		return c.Redirect(http.StatusSeeOther, ownAddress(p.To, "/desk"))
	}
	status := http.StatusForbidden
	var many *auth.TooMany
	switch {
	case errors.As(err, &many):
		status, p.Refusal = http.StatusTooManyRequests, sentence(many.Detail)
	case events.AsError(err) != nil:
		p.Refusal = sentence(events.AsError(err).Detail)
	default:
		return err
	}
	return w.showSignIn(c, status, p)
}

func (w *Web) signOut(c echo.Context) error {
	if err := w.api.Auth.SignOut(c); err != nil {
		return err
	}
	return c.Redirect(http.StatusSeeOther, "/")
}

// ownAddress is an address of our own to go on to, or the other one where it is
// not: nobody is sent to another site by a link to the sign-in page.
func ownAddress(to, otherwise string) string {
	if !strings.HasPrefix(to, "/") || strings.HasPrefix(to, "//") || strings.Contains(to, `\`) || strings.ContainsFunc(to, unicode.IsControl) {
		return otherwise
	}
	return to
}

func (w *Web) setUpForm(c echo.Context) error {
	if err := w.api.Auth.CheckSetup(c.Request().Context(), c.Param("token")); err != nil {
		return w.notSetUp(c, err)
	}
	return w.showSetUp(c, http.StatusOK, signInPage{})
}

func (w *Web) showSetUp(c echo.Context, status int, p signInPage) error {
	p.Minimum = auth.MinPassword
	return w.render(c, status, "setup.html", page{Title: "Set up", Private: true, Data: p})
}

// notSetUp sends people to the sign-in page where everything is set up already.
func (w *Web) notSetUp(c echo.Context, err error) error {
	if e := events.AsError(err); e != nil && e.Code == "set_up" {
		return c.Redirect(http.StatusSeeOther, "/sign-in")
	}
	return err
}

func (w *Web) setUp(c echo.Context) error {
	p := signInPage{Name: c.FormValue("name")}
	password := c.FormValue("password")
	if password != c.FormValue("again") {
		p.Refusal = "The two passwords differ."
		return w.showSetUp(c, http.StatusUnprocessableEntity, p)
	}
	err := w.api.Auth.SetUp(c.Request().Context(), c.Param("token"), p.Name, password)
	if e := events.AsError(err); e != nil && e.Kind == events.KindInvalid {
		p.Refusal = sentence(e.Detail)
		return w.showSetUp(c, http.StatusUnprocessableEntity, p)
	}
	if err != nil {
		return w.notSetUp(c, err)
	}
	if err := w.api.Auth.SignIn(c, p.Name, password); err != nil {
		return err
	}
	return c.Redirect(http.StatusSeeOther, "/desk")
}
