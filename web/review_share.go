package web

import (
	"net/http"
	"slices"

	"github.com/labstack/echo/v4"

	"marram.example/api/command"
	"marram.example/events"
)

// sharesPart is what a player sees of the links that open the reviews.
type sharesPart struct {
	Shares []command.Share
	Origin string // of the links' addresses
	New    string // id of the share made just now
}

// notesPart are notes on a player's rounds; a coach may write one.
type notesPart struct {
	Notes    []command.Note
	Write    bool
	PlayerID string
	CardID   string
}

// openReview exchanges a share's link for a cookie and moves on, so that the secret
// stays out of the address bar.
func (w *Web) openReview(c echo.Context) error {
	playerID, err := w.api.Auth.CoachCookie(c, c.Param("token"))
	if e := events.AsError(err); e != nil && e.Code == "bad_link" {
		return events.Forbidden("bad_link", "this link opens no reviews, or not any more; ask the player for a new one")
	}
	if err != nil {
		return err
	}
	c.Response().Header().Set(echo.HeaderCacheControl, "no-store")
	return c.Redirect(http.StatusSeeOther, "/players/"+playerID+"/review")
}

// Open reports whether somebody besides the player may read.
func (s *sharesPart) Open() bool {
	return slices.ContainsFunc(s.Shares, func(x command.Share) bool { return !x.Withdrawn })
}

// sharesOf are the shares of the player who visits; nil for a coach.
func (w *Web) sharesOf(c echo.Context, who command.Who) (*sharesPart, error) {
	if who.Role != events.RolePlayer {
		return nil, nil
	}
	shares, err := w.api.Commands.Shares(c.Request().Context(), who, who.CardID)
	if err != nil {
		return nil, err
	}
	return &sharesPart{Shares: shares, Origin: c.Scheme() + "://" + c.Request().Host, New: c.QueryParam("share")}, nil
}

// notesOf are the notes on a player's rounds that the visitor may read, or on one of
// them.
func (w *Web) notesOf(c echo.Context, playerID, cardID string) (*notesPart, error) {
	who, err := w.api.Reviewer(c, playerID)
	if err != nil {
		return nil, err
	}
	notes, err := w.api.Commands.Notes(c.Request().Context(), who, playerID)
	if err != nil {
		return nil, err
	}
	part := &notesPart{Write: who.Role == events.RoleCoach, PlayerID: playerID, CardID: cardID}
	for _, n := range notes {
		if cardID == "" || n.CardID == cardID {
			part.Notes = append(part.Notes, n)
		}
	}
	return part, nil
}

// reviewRequest is a form about a player's reviews, by the player or a coach. Its
// fingerprint leaves their words out, as that of strokeRequest does.
func (w *Web) reviewRequest(c echo.Context) (command.Request, error) {
	id := c.Param("player")
	if !events.ValidToken(id) {
		return command.Request{}, events.NotFound("player_id", "there is no such player")
	}
	who, err := w.api.Reviewer(c, id)
	if err != nil {
		return command.Request{}, err
	}
	r, err := w.formRequestOn(c, who.CardID)
	if err != nil {
		return r, err
	}
	r.Who = who
	err = leaveOut(c, &r, "for", "text")
	return r, err
}

// backToReview leads from a form to the page that it stood on.
func backToReview(c echo.Context, query string) error {
	at := "/players/" + c.Param("player") + "/review"
	if card := c.FormValue("card_id"); card != "" && events.ValidToken(card) {
		at = "/cards/" + card + "/review"
	}
	return c.Redirect(http.StatusSeeOther, at+query)
}

func (w *Web) shareReview(c echo.Context) error {
	r, err := w.reviewRequest(c)
	if err != nil {
		return err
	}
	d, err := w.api.Commands.ShareReview(c.Request().Context(), r, r.Who.CardID, command.ShareReview{For: c.FormValue("for")})
	if err != nil {
		return err
	}
	return backToReview(c, "?share="+d.ID+"#shares")
}

func (w *Web) withdrawShare(c echo.Context) error {
	r, err := w.reviewRequest(c)
	if err != nil {
		return err
	}
	if _, err := w.api.Commands.WithdrawShare(c.Request().Context(), r, r.Who.CardID, c.Param("share")); err != nil {
		return err
	}
	return backToReview(c, "#shares")
}

func (w *Web) addNote(c echo.Context) error {
	r, err := w.reviewRequest(c)
	if err != nil {
		return err
	}
	in := command.AddNote{Text: c.FormValue("text"), CardID: c.FormValue("card_id")}
	if _, err := w.api.Commands.AddNote(c.Request().Context(), r, c.Param("player"), in); err != nil {
		return err
	}
	return backToReview(c, "#notes")
}

func (w *Web) removeNote(c echo.Context) error {
	r, err := w.reviewRequest(c)
	if err != nil {
		return err
	}
	if _, err := w.api.Commands.RemoveNote(c.Request().Context(), r, c.Param("player"), c.Param("note")); err != nil {
		return err
	}
	return backToReview(c, "#notes")
}

// readsReviews reports whether the visitor may read the reviews of a player.
func (w *Web) readsReviews(c echo.Context, playerID string) (bool, error) {
	if who, err := w.api.Auth.Coach(c, playerID); err != nil || who.Role == events.RoleCoach {
		return err == nil, err
	}
	for _, card := range w.api.Auth.Held(c) {
		who, err := w.api.Auth.Holder(c, card)
		if err != nil {
			return false, err
		}
		switch err := w.api.Commands.MayReview(c.Request().Context(), who, playerID); {
		case err == nil:
			return true, nil
		case events.AsError(err) == nil:
			return false, err
		}
	}
	return false, nil
}

// readsReview reports whether the visitor may read the review of a card, once it is
// open.
func (w *Web) readsReview(c echo.Context, k command.CardView) (bool, error) {
	who, err := w.api.Auth.Holder(c, k.ID)
	if err != nil || who.Role == events.RolePlayer {
		return err == nil, err
	}
	if players := k.State.Players(); len(players) == 1 {
		return w.readsReviews(c, players[0])
	}
	return false, nil
}
