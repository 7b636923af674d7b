package api

import (
	"context"
	"time"

	"github.com/labstack/echo/v4"

	"marram.example/api/command"
	"marram.example/events"
	"marram.example/events/competition"
)

// Result is a result with names.
type Result struct {
	view
	CompetitionID string                `json:"competition_id"`
	Name          string                `json:"name"` // of the competition
	Date          string                `json:"date"`
	Format        string                `json:"format"`
	Side          string                `json:"side"`        // who an entry is; empty for one player
	Ranking       string                `json:"ranking"`     // net or gross
	Rounds        int                   `json:"rounds"`      // of the competition
	Provisional   bool                  `json:"provisional"` // not published: for the committee alone
	Revision      int                   `json:"revision"`    // 0 as first published
	Reason        string                `json:"reason"`      // why it was revised
	PublishedAt   *time.Time            `json:"published_at"`
	Rows          []ResultRow           `json:"rows"`
	Prizes        []events.PrizeAwarded `json:"prizes"`
	Countbacks    []events.Countback    `json:"countbacks"`
	Matches       []ResultMatch         `json:"matches"` // of a match competition, round by round
	Table         []events.TableRow     `json:"table"`   // of a round robin
}

// ResultRow is one line of a result.
type ResultRow struct {
	events.ResultRow
	Name        string             `json:"name"`    // of a side its team name, or all its players
	Players     []Named            `json:"players"` // everybody who plays, the first player first
	IndexOrigin events.IndexOrigin `json:"index_origin"`
}

// ResultMatch is a match of a result.
type ResultMatch struct {
	events.MatchStanding
	Round int      `json:"round"`
	Names []string `json:"names"` // of side A and side B
}

// getResult is the published result, or for the committee the one that would be
// published now.
func getResult(ctx context.Context, r reading) (Result, error) {
	id := r.Param("competition")
	c, seq, err := r.competition(ctx, id)
	if err != nil {
		return Result{}, err
	}
	out := Result{view: view{seq}, CompetitionID: id, Name: c.Name, Date: c.Date, Revision: c.Revision, Reason: c.Reason}
	var res events.Result
	switch {
	case c.Result != nil:
		res = *c.Result
		out.PublishedAt = r.publishedAt(ctx, id, c.Revision)
	case r.isCommittee():
		if res, c, err = r.api.Commands.Result(ctx, id); err != nil {
			return Result{}, err
		}
		out.Provisional = true
	default:
		return Result{}, events.NotFound("competition_id", "no result has been published for this competition")
	}
	out.Format, out.Side, out.Ranking, out.Rounds = c.Terms.Format, c.Terms.Side, c.Terms.Ranking, c.LastRound()
	names := r.names(ctx, id, c)
	out.Rows = make([]ResultRow, len(res.Rows))
	for i, row := range res.Rows {
		e := c.Entries[row.EntryID]
		out.Rows[i] = ResultRow{ResultRow: row, Name: names[row.EntryID], Players: named(e.Players(), names), IndexOrigin: e.IndexOrigin}
	}
	out.Prizes, out.Countbacks, out.Table = orEmpty(res.Prizes), countbacks(res.Countbacks), orEmpty(res.Table)
	out.Matches = make([]ResultMatch, len(res.Matches))
	for i, m := range res.Matches {
		out.Matches[i] = ResultMatch{MatchStanding: m, Round: roundOf(m, c)}
		for _, id := range m.EntryIDs {
			out.Matches[i].Names = append(out.Matches[i].Names, names[id])
		}
	}
	return out, nil
}

// roundOf is the round in which a match was played.
func roundOf(m events.MatchStanding, c *competition.State) int {
	for round := 1; round < c.Round; round++ {
		if command.MatchID(command.CompetitionOf(m.MatchID), m.Number, round) == m.MatchID {
			return round
		}
	}
	return c.Round
}

// countbacks are those of a result without a null list.
func countbacks(all []events.Countback) []events.Countback {
	out := make([]events.Countback, len(all))
	for i, c := range all {
		c.Order, c.Steps, c.Cards = orEmpty(c.Order), orEmpty(c.Steps), orEmpty(c.Cards)
		out[i] = c
	}
	return out
}

// publishedAt is when a result was published, as far as the read models know.
func (r reading) publishedAt(ctx context.Context, id string, revision int) *time.Time {
	p, err := r.api.Models.Results.Latest(ctx, id)
	if err != nil || p.Revision != revision {
		return nil
	}
	return &p.Time
}

func resultAt(c echo.Context, _ command.Done) string {
	return "/competitions/" + c.Param("competition") + "/result"
}

func (a *API) publishResult(ctx context.Context, w writing[nothing]) (command.Done, error) {
	return a.Commands.Publish(ctx, w.request, w.Param("competition"))
}

func (a *API) reviseResult(ctx context.Context, w writing[because]) (command.Done, error) {
	return a.Commands.Revise(ctx, w.request, w.Param("competition"), w.in.Reason)
}
