package auth

import (
	"net/http"
	"strings"

	"github.com/labstack/echo/v4"

	"marram.example/api/command"
	"marram.example/events"
)

// contextKey is where the identity of a request is kept in its echo context.
const contextKey = "marram.identity"

// identity is what is known of who sent a request.
type identity struct {
	who    command.Who            // by session or bearer token
	bearer bool                   // a bearer token was sent: cookies do not count
	cards  map[string]command.Who // by card cookie, as looked up so far
	acting command.Who            // as whom the request goes on; see ActAs
}

// Identify finds out who a request comes from, for Who and WhoOn. It refuses a
// bearer token that opens nothing, and a request that changes something and that
// a browser sent from another site. A stale cookie just makes nobody of
// somebody. It fails where the event log cannot be asked.
//
// It runs after routing: on a route of a card or a match (see Subject) its cookie
// is looked up too.
func (a *Auth) Identify() echo.MiddlewareFunc {
	return func(next echo.HandlerFunc) echo.HandlerFunc {
		return func(c echo.Context) error {
			id, err := a.identify(c)
			if err != nil {
				return err
			}
			c.Set(contextKey, id)
			return next(c)
		}
	}
}

func (a *Auth) identify(c echo.Context) (*identity, error) {
	id := &identity{cards: make(map[string]command.Who)}
	if token, ok := bearerToken(c.Request()); ok {
		id.bearer = true
		var err error
		id.who, err = a.byBearer(c, token)
		return id, err
	}
	if err := a.cross.Check(c.Request()); err != nil {
		a.lines.Warn("refused", "wanted", "same origin", "reason", err.Error())
		return nil, events.Forbidden("cross_site", "this request came from another site")
	}
	ctx := c.Request().Context()
	if k, err := c.Cookie(a.sessions.Cookie.Name); err == nil {
		acc, ok, err := a.session(ctx, k.Value)
		if err != nil {
			return nil, err
		}
		if ok {
			id.who = committee(acc)
			return id, nil
		}
	}
	if card := Subject(c); events.ValidToken(card) {
		who, err := a.byCardCookie(ctx, c, card)
		if err != nil {
			return nil, err
		}
		id.cards[card] = who
	}
	return id, nil
}

func committee(acc stored) command.Who { return command.Who{Role: events.RoleCommittee, ID: acc.ID} }

// byBearer is who sent a bearer token: of a session, or of a card link.
func (a *Auth) byBearer(c echo.Context, token string) (command.Who, error) {
	acc, ok, err := a.session(c.Request().Context(), token)
	if err != nil {
		return command.Who{}, err
	}
	if ok {
		return committee(acc), nil
	}
	who, err := a.openLink(c, token)
	if e := events.AsError(err); e != nil {
		return command.Who{}, events.Forbidden("bad_token", "this bearer token is not valid, or not any more")
	}
	return who, err
}

// Subject is the card or the match that the address of a request names, by its
// parameter :card or :match; empty for others.
func Subject(c echo.Context) string {
	if id := c.Param("card"); id != "" {
		return id
	}
	return c.Param("match")
}

// bearerToken is what follows Bearer in the header Authorization; ok where there
// is such a header.
func bearerToken(r *http.Request) (token string, ok bool) {
	scheme, token, _ := strings.Cut(r.Header.Get(echo.HeaderAuthorization), " ")
	if !strings.EqualFold(scheme, "Bearer") {
		return "", false
	}
	return strings.TrimSpace(token), true
}

func of(c echo.Context) *identity {
	if id, ok := c.Get(contextKey).(*identity); ok {
		return id
	}
	return &identity{}
}

// Who is who sent a request: the committee, or player or marker of the card (or a
// player of the match) whose link was sent as bearer token. The zero value is nobody.
func (a *Auth) Who(c echo.Context) command.Who { return of(c).who }

// WhoOn is who sent a request about one card or match: Who where that is somebody, else
// player or marker by the cookie of that card.
func (a *Auth) WhoOn(c echo.Context, cardID string) command.Who {
	id := of(c)
	if id.acting.Role != "" {
		return id.acting
	}
	if id.bearer || id.who.Role != "" {
		return id.who
	}
	if who, known := id.cards[cardID]; known || !events.ValidToken(cardID) {
		return who
	}
	who, err := a.byCardCookie(c.Request().Context(), c, cardID)
	if err != nil {
		a.lines.Error("card link not checked", "error", err)
		return command.Who{}
	}
	if id.cards != nil {
		id.cards[cardID] = who
	}
	return who
}
