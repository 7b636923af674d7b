package api

import (
	"github.com/labstack/echo/v4"

	"marram.example/api/command"
	"marram.example/events"
)

// Reviewer is as whom the visitor reads the reviews of a player: as that player, by
// the link of a card that he or she plays alone, or as a coach to whom they are
// shared. Everybody else is refused, the committee too; whoever is let through acts
// in that capacity from then on, also where the browser is signed in besides.
func (a *API) Reviewer(c echo.Context, playerID string) (command.Who, error) {
	ctx := c.Request().Context()
	for _, card := range a.Auth.Held(c) {
		who, err := a.Auth.Holder(c, card)
		if err != nil {
			return command.Who{}, err
		}
		if who.Role != events.RolePlayer {
			continue
		}
		switch err := a.Commands.MayReview(ctx, who, playerID); {
		case err == nil:
			a.Auth.ActAs(c, who)
			return who, nil
		case events.AsError(err) == nil:
			return command.Who{}, err
		}
	}
	who, err := a.Auth.Coach(c, playerID)
	if err != nil {
		return command.Who{}, err
	}
	if err := a.Commands.MayReview(ctx, who, playerID); err != nil {
		return command.Who{}, err
	}
	a.Auth.ActAs(c, who)
	return who, nil
}

// MayReview refuses who may not read the reviews of a player; see Reviewer.
func (a *API) MayReview(c echo.Context, playerID string) error {
	_, err := a.Reviewer(c, playerID)
	return err
}

// MayReviewCard refuses who may not read the review of a card: its player link may,
// also a side's, and where one player plays it alone whoever may read that player's
// reviews.
func (a *API) MayReviewCard(c echo.Context, k command.CardView) error {
	if err := a.mayReadStrokes(c, k.ID); events.AsError(err) == nil {
		return err
	}
	if players := k.State.Players(); len(players) == 1 {
		return a.MayReview(c, players[0])
	}
	return events.Forbidden("forbidden", "only the players read the review of this card")
}

// mayReadStrokes refuses who does not hold the player's link of a card.
func (a *API) mayReadStrokes(c echo.Context, cardID string) error {
	who, err := a.Auth.Holder(c, cardID)
	if err != nil {
		return err
	}
	if who.Role != events.RolePlayer {
		return events.Forbidden("forbidden", "this needs the player's link of the card")
	}
	a.Auth.ActAs(c, who)
	return nil
}
