package auth

import (
	"context"
	"net/http"
	"slices"
	"strings"
	"time"

	"github.com/labstack/echo/v4"

	"marram.example/api/command"
	"marram.example/events"
)

// cardCookieLife is how long a phone keeps a card that it opened. What it may do
// with it ends with the round; reading it afterwards is the point.
const cardCookieLife = 14 * 24 * time.Hour

func (a *Auth) cardCookiePrefix() string { return cookieName("card_", a.secure) }

// CardCookie exchanges the token of a card link for a cookie of that card, which
// scripts cannot read, and returns the card's id. It fails with bad_link, or
// with *TooMany where an address keeps sending bad ones; a good one is never
// refused, because a whole club shares an address.
func (a *Auth) CardCookie(c echo.Context, token string) (cardID string, err error) {
	who, err := a.openLink(c, token)
	if err != nil {
		return "", err
	}
	if who.CardID == "" { // a share opens no card
		return "", errNotThisLink()
	}
	a.keepLink(c, a.cardCookiePrefix()+who.CardID, token, cardCookieLife)
	return who.CardID, nil
}

// Cards lists the cards that the browser of a request has opened, each once. They may
// have been withdrawn since: WhoOn says.
func (a *Auth) Cards(c echo.Context) []string { return kept(c, a.cardCookiePrefix()) }

// keepLink puts the token of a link into a cookie that scripts cannot read.
func (a *Auth) keepLink(c echo.Context, name, token string, life time.Duration) {
	c.SetCookie(&http.Cookie{
		Name: name, Value: token, Path: "/", MaxAge: int(life.Seconds()), HttpOnly: true, Secure: a.secure, SameSite: http.SameSiteLaxMode,
	})
}

// kept lists what the links in cookies of a prefix open, each once however often its
// cookie was sent.
func kept(c echo.Context, prefix string) []string {
	var ids []string
	for _, k := range c.Cookies() {
		if id, ok := strings.CutPrefix(k.Name, prefix); ok && events.ValidToken(id) && !slices.Contains(ids, id) {
			ids = append(ids, id)
		}
	}
	return ids
}

// openLink says what the token of a card link opens and counts bad ones. Tokens
// have 128 random bits, so guessing is hopeless anyway; the limit tells broken
// clients to stop.
func (a *Auth) openLink(c echo.Context, token string) (command.Who, error) {
	who, err := a.commands.OpenLink(c.Request().Context(), token)
	e := events.AsError(err)
	if e == nil {
		return who, err
	}
	if wait, ok := a.badLinks.take(network(c.RealIP()), a.now()); !ok {
		return command.Who{}, &TooMany{After: wait, Detail: "too many card links from here that are not valid; wait a little"}
	}
	return command.Who{}, err
}

// byCardCookie is who the browser is on a card that it opened; nobody where it
// did not, or where the link was withdrawn since.
func (a *Auth) byCardCookie(ctx context.Context, c echo.Context, cardID string) (command.Who, error) {
	who, err := a.byCookie(ctx, c, a.cardCookiePrefix()+cardID)
	if err != nil || who.CardID != cardID {
		return command.Who{}, err
	}
	return who, nil
}
