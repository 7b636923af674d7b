package api

import (
	"time"

	"github.com/labstack/echo/v4"

	"marram.example/api/command"
	"marram.example/events/competition"
	"marram.example/projections/board"
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

// BoardFor is what GET /competitions/{competition}/board answers the visitor: the
// board now, or as_of a position of the log.
func (a *API) BoardFor(c echo.Context) (board.Board, error) {
	r, err := a.reading(c)
	if err != nil {
		return board.Board{}, err
	}
	return getBoard(c.Request().Context(), r)
}

// BoardAt is the board of a competition as it stood at a moment. Whether the
// visitor may watch it is for who calls.
func (a *API) BoardAt(c echo.Context, id string, at time.Time) (board.Board, error) {
	ctx := c.Request().Context()
	return a.pastBoard(ctx, func() (board.Board, error) { return a.Boards.AsOfTime(ctx, id, at) })
}
