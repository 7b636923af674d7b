package api

import (
	"context"

	"github.com/labstack/echo/v4"

	"marram.example/api/command"
)

// List is a whole list.
type List[T any] struct {
	Items []T `json:"items"`
}

// ShareWritten is what a new share is answered with. Its link is empty where the
// share was withdrawn before the request came again.
type ShareWritten struct {
	Written
	Token string `json:"token"` // a secret
	Path  string `json:"path"`  // of the page that the token opens
}

// shareReview shares the reviews of a player, by the player's link of a card.
func (a *API) shareReview(c echo.Context) error {
	if err := a.asPlayer(c); err != nil {
		return err
	}
	w, err := begin[command.ShareReview](a, c)
	if err != nil {
		return err
	}
	ctx, card := c.Request().Context(), c.Param("card")
	w.request.Hash = withoutWords(c, nothing{})
	done, err := a.Commands.ShareReview(ctx, w.request, card, w.in)
	if err != nil {
		return err
	}
	all, err := a.Commands.Shares(ctx, w.request.Who, card)
	if err != nil {
		return err
	}
	out := ShareWritten{}
	for _, x := range all {
		if x.ID == done.ID {
			out.Token, out.Path = x.Token, x.Path
		}
	}
	var status int
	out.Written, status = heading(c, done, func(echo.Context, command.Done) string { return "/cards/" + card + "/shares" })
	return encodeJSON(c, status, out)
}

// listShares lists the shares of a player, with their links.
func listShares(ctx context.Context, r reading) (List[command.Share], error) {
	who, err := r.api.Auth.Holder(r.Context, r.Param("card"))
	if err != nil {
		return List[command.Share]{}, err
	}
	all, err := r.api.Commands.Shares(ctx, who, r.Param("card"))
	return List[command.Share]{all}, err
}

func (a *API) withdrawShare(c echo.Context) error {
	if err := a.asPlayer(c); err != nil {
		return err
	}
	w, err := begin[nothing](a, c)
	if err != nil {
		return err
	}
	done, err := a.Commands.WithdrawShare(c.Request().Context(), w.request, c.Param("card"), c.Param("share"))
	if err != nil {
		return err
	}
	return written(c, done, nil)
}

// reviewing is write for who reads the reviews of a player.
func reviewing[In any](location created, do func(ctx context.Context, w writing[In]) (command.Done, error)) func(a *API) echo.HandlerFunc {
	return func(a *API) echo.HandlerFunc {
		return func(c echo.Context) error {
			if err := checkPath(c); err != nil {
				return err
			}
			if _, err := a.Reviewer(c, c.Param("player")); err != nil {
				return err
			}
			return write(location, do)(a)(c)
		}
	}
}

func notesAt(c echo.Context, _ command.Done) string {
	return "/players/" + c.Param("player") + "/notes"
}

func (a *API) addNote(ctx context.Context, w writing[command.AddNote]) (command.Done, error) {
	w.request.Hash = withoutWords(w.Context, command.AddNote{CardID: w.in.CardID})
	return a.Commands.AddNote(ctx, w.request, w.Param("player"), w.in)
}

func (a *API) removeNote(ctx context.Context, w writing[nothing]) (command.Done, error) {
	return a.Commands.RemoveNote(ctx, w.request, w.Param("player"), w.Param("note"))
}

func listNotes(ctx context.Context, r reading) (List[command.Note], error) {
	who, err := r.api.Reviewer(r.Context, r.Param("player"))
	if err != nil {
		return List[command.Note]{}, err
	}
	all, err := r.api.Commands.Notes(ctx, who, r.Param("player"))
	return List[command.Note]{all}, err
}
