package api

import (
	"context"

	"github.com/labstack/echo/v4"

	"marram.example/api/command"
	"marram.example/events"
	"marram.example/events/competition"
)

// MayWatch refuses who may not see a competition: anybody may where its terms
// say so, else the committee and who opened one of its cards.
func (a *API) MayWatch(c echo.Context, id string, terms *events.Terms) error {
	if terms != nil && terms.BoardPublic || a.insider(c, id) {
		return nil
	}
	return events.Forbidden("not_public", "this competition is not public")
}

// mayWatchNow is MayWatch by the terms as the boards know them.
func (a *API) mayWatchNow(c echo.Context, id string) error {
	terms, _ := a.Boards.Terms(id)
	return a.MayWatch(c, id, terms)
}

// insider reports whether somebody is of the committee or holds a card of a
// competition.
func (a *API) insider(c echo.Context, id string) bool {
	who := a.Auth.Who(c)
	if who.Role == events.RoleCommittee || who.Role == events.RoleService {
		return true
	}
	if who.Role != "" {
		return command.CompetitionOf(who.CardID) == id
	}
	for _, card := range a.Auth.Cards(c) {
		if command.CompetitionOf(card) == id && a.Auth.WhoOn(c, card).CardID == card {
			return true
		}
	}
	return false
}

// competition reads a competition that may be watched by who asks.
func (r reading) competition(ctx context.Context, id string) (*competition.State, events.Sequence, error) {
	c, seq, err := r.api.Commands.Competition(ctx, id)
	if err != nil {
		return nil, 0, err
	}
	return c, seq, r.api.MayWatch(r.Context, id, c.Terms)
}

// names finds the names of a field by entry id: in full for the committee, as
// the terms show them for others. Where names cannot be looked up at the moment
// they are empty, because scores are worth more than names.
func (r reading) names(ctx context.Context, id string, c *competition.State) map[string]string {
	out := make(map[string]string, len(c.Entries))
	if !r.isCommittee() {
		b, _ := r.api.Boards.Snapshot(ctx, id)
		for _, row := range b.Rows {
			out[row.EntryID] = row.Name
		}
		return out
	}
	ids := make([]string, 0, len(c.Entries))
	for _, e := range c.Entries {
		ids = append(ids, e.PlayerID)
	}
	names, err := r.api.Models.Players.Names(ctx, ids)
	if err != nil {
		r.api.lines.Warn("names not found", "competition", id, "error", err)
		return out
	}
	for _, e := range c.Entries {
		out[e.ID] = names[e.PlayerID]
	}
	return out
}
