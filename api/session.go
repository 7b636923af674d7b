package api

import (
	"net/http"
	"time"

	"github.com/labstack/echo/v4"
)

// NewSession is what somebody signs in with.
type NewSession struct {
	Name     string `json:"name"`
	Password string `json:"password"`
}

// Session is a sign-in of a program.
type Session struct {
	Token     string    `json:"token"` // to be sent as Authorization: Bearer
	ExpiresAt time.Time `json:"expires_at"`
}

func (a *API) signIn(c echo.Context) error {
	body, err := readBody(c, MaxBody)
	if err != nil {
		return err
	}
	var in NewSession
	if err := decode(c.Request(), body, &in); err != nil {
		return err
	}
	s, err := a.Auth.NewSession(c, in.Name, in.Password)
	if err != nil {
		return err
	}
	c.Response().Header().Set(echo.HeaderLocation, Root+"/sessions/current")
	return encodeJSON(c, http.StatusCreated, Session{Token: s.Token, ExpiresAt: s.Expires})
}

func (a *API) signOut(c echo.Context) error {
	if err := a.Auth.SignOut(c); err != nil {
		return err
	}
	return c.NoContent(http.StatusNoContent)
}
