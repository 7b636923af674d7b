package auth

import (
	"context"
	"time"

	"github.com/labstack/echo/v4"

	"marram.example/api/command"
	"marram.example/events"
)

// coachCookieLife is how long a browser keeps a share that it opened. Whether it
// still opens anything is for the player to say, at any time.
const coachCookieLife = 365 * 24 * time.Hour

func (a *Auth) coachCookiePrefix() string { return cookieName("coach_", a.secure) }

// CoachCookie exchanges the token of a share for a cookie of that player, which
// scripts cannot read, and returns the player's id. It fails as CardCookie does.
func (a *Auth) CoachCookie(c echo.Context, token string) (playerID string, err error) {
	who, err := a.openLink(c, token)
	if err != nil {
		return "", err
	}
	if who.Role != events.RoleCoach {
		return "", errNotThisLink()
	}
	a.keepLink(c, a.coachCookiePrefix()+who.PlayerID, token, coachCookieLife)
	return who.PlayerID, nil
}

// errNotThisLink refuses a link of one kind where another one is opened.
func errNotThisLink() error {
	return events.Forbidden("bad_link", "this link is not valid here, or not any more; ask for a new one")
}

// Coached lists the players whose shares the browser of a request has opened, or
// the one of its bearer token, each once however often its cookie was sent: what is
// shown of each is work. They may have been withdrawn since: Coach says.
func (a *Auth) Coached(c echo.Context) []string {
	if id := of(c); id.bearer {
		if id.who.Role == events.RoleCoach {
			return []string{id.who.PlayerID}
		}
		return nil
	}
	return kept(c, a.coachCookiePrefix())
}

// Coach is who sent a request where it holds a share of this player that stands;
// else nobody. A session of the committee does not stand in the way.
func (a *Auth) Coach(c echo.Context, playerID string) (command.Who, error) {
	if id := of(c); id.bearer {
		if id.who.Role == events.RoleCoach && id.who.PlayerID == playerID {
			return id.who, nil
		}
		return command.Who{}, nil
	}
	who, err := a.byCookie(c.Request().Context(), c, a.coachCookiePrefix()+playerID)
	if err != nil || who.Role != events.RoleCoach || who.PlayerID != playerID {
		return command.Who{}, err
	}
	return who, nil
}

// Holder is who sent a request by the link of this card alone; nobody where it
// holds none. A session of the committee does not stand in the way.
func (a *Auth) Holder(c echo.Context, cardID string) (command.Who, error) {
	if id := of(c); id.bearer {
		if id.who.CardID == cardID && cardID != "" {
			return id.who, nil
		}
		return command.Who{}, nil
	}
	if !events.ValidToken(cardID) {
		return command.Who{}, nil
	}
	return a.byCardCookie(c.Request().Context(), c, cardID)
}

// Held lists the cards and matches whose links a request holds, by bearer token or
// cookie. They may have been withdrawn since: Holder says.
func (a *Auth) Held(c echo.Context) []string {
	if id := of(c); id.bearer {
		if id.who.CardID != "" {
			return []string{id.who.CardID}
		}
		return nil
	}
	return a.Cards(c)
}

// ActAs lets a request go on as one of those that it may be, in place of its
// session: what it writes is then written in that capacity.
func (a *Auth) ActAs(c echo.Context, who command.Who) {
	id := of(c)
	id.acting = who
	c.Set(contextKey, id)
}

// byCookie is who holds the link in a cookie; nobody where it opens nothing.
func (a *Auth) byCookie(ctx context.Context, c echo.Context, name string) (command.Who, error) {
	var token string
	for _, k := range c.Cookies() {
		if k.Name == name {
			token = k.Value
		}
	}
	if token == "" {
		return command.Who{}, nil
	}
	who, err := a.commands.OpenLink(ctx, token)
	if events.AsError(err) != nil {
		return command.Who{}, nil //nolint:nilerr // a link that opens nothing makes nobody of somebody
	}
	return who, err
}
