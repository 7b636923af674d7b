package api

import (
	"context"
	"time"

	"github.com/labstack/echo/v4"

	"marram.example/api/command"
	"marram.example/events"
)

// Result is a result with names.
type Result struct {
	view
	CompetitionID string                `json:"competition_id"`
	Name          string                `json:"name"` // of the competition
	Date          string                `json:"date"`
	Format        string                `json:"format"`
	Ranking       string                `json:"ranking"`     // net or gross
	Provisional   bool                  `json:"provisional"` // not published: for the committee alone
	Revision      int                   `json:"revision"`    // 0 as first published
	Reason        string                `json:"reason"`      // why it was revised
	PublishedAt   *time.Time            `json:"published_at"`
	Rows          []ResultRow           `json:"rows"`
	Prizes        []events.PrizeAwarded `json:"prizes"`
	Countbacks    []events.Countback    `json:"countbacks"`
}

// ResultRow is one line of a result.
type ResultRow struct {
	events.ResultRow
	Name string `json:"name"`
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
	out.Format, out.Ranking = c.Terms.Format, c.Terms.Ranking
	names := r.names(ctx, id, c)
	out.Rows = make([]ResultRow, len(res.Rows))
	for i, row := range res.Rows {
		out.Rows[i] = ResultRow{ResultRow: row, Name: names[row.EntryID]}
	}
	out.Prizes, out.Countbacks = orEmpty(res.Prizes), countbacks(res.Countbacks)
	return out, nil
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
