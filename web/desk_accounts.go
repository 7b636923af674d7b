package web

import (
	"github.com/labstack/echo/v4"

	"marram.example/api/auth"
	"marram.example/events"
)

// deskAccountsPage lists who signs in for the committee.
type deskAccountsPage struct {
	Accounts []auth.Account
	Own      string // id of the visitor's account
	Add      *form
	Change   *form
	Remove   *form
	Least    int // characters of a password
	Done     string
}

func (w *Web) deskAccounts(c echo.Context) error { return w.deskShowAccounts(c, nil, nil, nil) }

func (w *Web) deskShowAccounts(c echo.Context, add, change, remove *form) error {
	p := deskAccountsPage{Add: add, Change: change, Remove: remove, Own: w.who(c).ID, Least: auth.MinPassword, Done: doneWord(c)}
	var err error
	if p.Accounts, err = w.api.Auth.Accounts(c.Request().Context()); err != nil {
		return err
	}
	for _, f := range []**form{&p.Add, &p.Change, &p.Remove} {
		if *f == nil {
			*f = newForm(0, nil)
		}
		(*f).Values.Del("password") // never sent back
	}
	p.Change.named("change-")
	p.Remove.named("remove-")
	return w.deskPage(c, max(p.Add.Status(), p.Change.Status(), p.Remove.Status()), "desk_accounts.html", "Accounts", p)
}

func (w *Web) deskAccountAdd(c echo.Context) error {
	f, err := readForm(c)
	if err != nil {
		return err
	}
	if err := w.api.Auth.AddAccount(c.Request().Context(), f.V("name"), f.V("password")); err != nil {
		if err = f.refuse(err); err != nil {
			return err
		}
		return w.deskShowAccounts(c, f, nil, nil)
	}
	return done(c, "/desk/accounts", "account")
}

func (w *Web) deskAccountPassword(c echo.Context) error {
	f, err := readForm(c)
	if err != nil {
		return err
	}
	if err := w.api.Auth.ChangePassword(c.Request().Context(), f.V("name"), f.V("password")); err != nil {
		if err = f.refuse(err); err != nil {
			return err
		}
		return w.deskShowAccounts(c, nil, f, nil)
	}
	return done(c, "/desk/accounts", "password")
}

func (w *Web) deskAccountRemove(c echo.Context) error {
	f, err := readForm(c)
	if err != nil {
		return err
	}
	all, err := w.api.Auth.Accounts(c.Request().Context())
	if err != nil {
		return err
	}
	err = nil
	for _, a := range all {
		if a.Name == f.V("name") && a.ID == w.who(c).ID {
			err = events.NotNow("name", "own_account", "you are signed in with this account; somebody else has to remove it")
		}
	}
	if err == nil {
		err = w.api.Auth.RemoveAccount(c.Request().Context(), f.V("name"))
	}
	if err != nil {
		if err = f.refuse(err); err != nil {
			return err
		}
		return w.deskShowAccounts(c, nil, nil, f)
	}
	return done(c, "/desk/accounts", "removed")
}
