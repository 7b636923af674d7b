package api

import (
	"context"
	"strings"

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

// names finds the names of a field by entry id and by player id: in full for the
// committee, as the terms show them for others. A side goes by its team name, or by
// all its players. Where names cannot be looked up at the moment they are empty,
// because scores are worth more than names.
func (r reading) names(ctx context.Context, id string, c *competition.State) map[string]string {
	out := make(map[string]string, len(c.Entries))
	if !r.isCommittee() {
		b, _ := r.api.Boards.Snapshot(ctx, id)
		for _, row := range b.Rows {
			out[row.EntryID], out[row.PlayerID] = row.Name, row.Name
			if len(row.Partners) > 0 {
				out[row.PlayerID] = row.PlayerName
			}
			for _, p := range row.Partners {
				out[p.PlayerID] = p.Name
			}
		}
		return out
	}
	ids := make([]string, 0, len(c.Entries))
	for _, e := range c.Entries {
		ids = append(ids, e.Players()...)
	}
	names, err := r.api.Models.Players.Names(ctx, ids)
	if err != nil {
		r.api.lines.Warn("names not found", "competition", id, "error", err)
		return out
	}
	for _, e := range c.Entries {
		var all []string
		for _, id := range e.Players() {
			out[id] = names[id]
			if names[id] != "" {
				all = append(all, names[id])
			}
		}
		if out[e.ID] = e.TeamName; e.TeamName == "" {
			out[e.ID] = strings.Join(all, " & ")
		}
	}
	return out
}

// Named is a player with the name to be shown.
type Named struct {
	PlayerID string `json:"player_id"`
	Name     string `json:"name"` // empty where erased or unknown
}

func named(ids []string, names map[string]string) []Named {
	out := make([]Named, len(ids))
	for i, id := range ids {
		out[i] = Named{PlayerID: id, Name: names[id]}
	}
	return out
}
