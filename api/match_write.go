package api

import (
	"context"
	"net/http"

	"github.com/labstack/echo/v4"

	"marram.example/api/command"
)

func matchAt(c echo.Context, _ command.Done) string { return "/matches/" + c.Param("match") }

func (a *API) enterMatchHole(ctx context.Context, w writing[command.EnterMatchHole]) (command.Done, error) {
	return a.Commands.EnterMatchHole(ctx, w.request, w.Param("match"), w.in)
}

// removeHole names a hole that was a slip.
type removeHole struct {
	Number int    `json:"number"` // in the order of play, from 1
	Reason string `json:"reason"`
}

func (a *API) removeMatchHole(ctx context.Context, w writing[removeHole]) (command.Done, error) {
	return a.Commands.RemoveMatchHole(ctx, w.request, w.Param("match"), w.in.Number, w.in.Reason)
}

func (a *API) concedeHole(ctx context.Context, w writing[command.ConcedeHole]) (command.Done, error) {
	return a.Commands.ConcedeHole(ctx, w.request, w.Param("match"), w.in)
}

func (a *API) concedeMatch(ctx context.Context, w writing[command.ConcedeMatch]) (command.Done, error) {
	return a.Commands.ConcedeMatch(ctx, w.request, w.Param("match"), w.in)
}

func (a *API) resultOfMatch(ctx context.Context, w writing[command.MatchResult]) (command.Done, error) {
	return a.Commands.ResultOfMatch(ctx, w.request, w.Param("match"), w.in)
}

func (a *API) ruleMatch(ctx context.Context, w writing[command.RuleMatch]) (command.Done, error) {
	return a.Commands.RuleMatch(ctx, w.request, w.Param("match"), w.in)
}

func (a *API) reopenMatch(ctx context.Context, w writing[because]) (command.Done, error) {
	return a.Commands.ReopenMatch(ctx, w.request, w.Param("match"), w.in.Reason)
}

// MatchLink is what opens a match for the players of an entry.
type MatchLink struct {
	MatchID string `json:"match_id"`
	EntryID string `json:"entry_id"`
	Token   string `json:"token"` // a secret
	Path    string `json:"path"`  // of the page that the token opens
}

// matchLink gives the committee the link of a side of a match; renew=true withdraws
// the old one first.
func (a *API) matchLink(c echo.Context) error {
	w, err := begin[nothing](a, c)
	if err != nil {
		return err
	}
	if err := (reading{Context: c, api: a, who: w.request.Who}).committee(); err != nil {
		return err
	}
	renew, err := flag(c, "renew")
	if err != nil {
		return err
	}
	ctx, id, entry := c.Request().Context(), c.Param("match"), c.Param("entry")
	give := func() (string, error) { return a.Commands.MatchLink(ctx, id, entry) }
	if renew {
		give = func() (string, error) { return a.Commands.RenewMatchLink(ctx, w.request, id, entry) }
	}
	token, err := give()
	if err != nil {
		return err
	}
	return encodeJSON(c, http.StatusOK, MatchLink{MatchID: id, EntryID: entry, Token: token, Path: "/c/" + token})
}
