package api

import (
	"github.com/labstack/echo/v4"

	"marram.example/api/command"
	"marram.example/events/competition"
)

// What pages about one card share with the routes: the parameter :card names it.

// CardFor reads a card that the visitor may see, with its competition. Holds is
// true for the committee and for who opened this card: they also see receipt and
// reasons.
func (a *API) CardFor(c echo.Context) (k command.CardView, comp *competition.State, holds bool, err error) {
	r, err := a.reading(c)
	if err != nil {
		return command.CardView{}, nil, false, err
	}
	k, comp, err = r.card(c.Request().Context())
	return k, comp, r.holds(k.ID), err
}

// FiguresFor is what GET /cards/{card}/figures answers the visitor.
func (a *API) FiguresFor(c echo.Context) (Figures, error) {
	r, err := a.reading(c)
	if err != nil {
		return Figures{}, err
	}
	return getFigures(c.Request().Context(), r)
}
