package api

import (
	"context"
	"fmt"
	"net/url"
	"strconv"
	"strings"
	"time"

	"github.com/labstack/echo/v4"

	"marram.example/api/command"
	"marram.example/events"
	"marram.example/projections/standing"
)

// WhatIf is the field as it was played and as it would stand under other terms. It
// is never the result.
type WhatIf struct {
	CompetitionID string        `json:"competition_id"`
	Name          string        `json:"name"`
	Notice        string        `json:"notice"` // that this is not the result
	Final         bool          `json:"final"`  // the rounds are over; else rows stand as in play
	Played        CountingTerms `json:"played"`
	WhatIf        CountingTerms `json:"what_if"`
	Notes         []string      `json:"notes"`   // what else was counted differently
	Changed       int           `json:"changed"` // rows that have another position
	Rows          []WhatIfRow   `json:"rows"`    // in the order of the other terms
}

// WhatIfRow is one entry under both terms.
type WhatIfRow struct {
	standing.Compared
	Name string `json:"name"`
}

// CountingTerms are the terms by which cards are counted.
type CountingTerms struct {
	Rounds    []CountingRound `json:"rounds"`
	Ranking   string          `json:"ranking"`
	TieMethod string          `json:"tie_method"`
}

// CountingRound is how a round's cards are counted.
type CountingRound struct {
	Format           string          `json:"format"`
	Side             string          `json:"side"`
	AllowancePercent int             `json:"allowance_percent"` // 100 where side allowances are stated
	SideAllowances   []int           `json:"side_allowances"`
	Maximum          *events.Maximum `json:"maximum"`
	Count            []int           `json:"count"`
	CountBy          string          `json:"count_by"`
}

func countingTerms(t *events.Terms) CountingTerms {
	out := CountingTerms{Ranking: t.Ranking, TieMethod: t.TieMethod}
	for n := 1; n <= max(1, t.Rounds); n++ {
		r := t.Round(n)
		x := CountingRound{
			Format: r.Format, Side: r.Side, AllowancePercent: r.AllowancePercent, SideAllowances: orEmpty(r.SideAllowances),
			Count: orEmpty(r.Count), CountBy: r.CountBy,
		}
		if r.Maximum.Kind != "" {
			x.Maximum = &r.Maximum
		}
		out.Rounds = append(out.Rounds, x)
	}
	return out
}

// notTheResult stands over everything that is shown under other terms.
const notTheResult = "Not the result: the same cards under other terms."

// otherTerms reads the terms that a query states. Empty parameters are as played.
func otherTerms(q url.Values) (standing.OtherTerms, error) {
	out := standing.OtherTerms{
		Format: q.Get("format"), Side: q.Get("side"), Ranking: q.Get("ranking"), CountBy: q.Get("count_by"), TieMethod: q.Get("tie_method"),
	}
	allowance, err := wholes(q, "allowance_percent")
	if err != nil {
		return out, err
	}
	switch len(allowance) {
	case 0:
	case 1:
		out.AllowancePercent = &allowance[0]
	default:
		return out, events.Invalid("allowance_percent", "malformed", "state one allowance; of a side that plays one ball, side_allowances")
	}
	if out.SideAllowances, err = wholes(q, "side_allowances"); err != nil {
		return out, err
	}
	if out.Count, err = wholes(q, "count"); err != nil {
		return out, err
	}
	if text := strings.TrimSpace(q.Get("maximum")); text != "" {
		out.Maximum = &events.Maximum{Kind: text}
		if n, err := strconv.Atoi(text); err == nil {
			out.Maximum = &events.Maximum{Kind: events.FixedStrokes, Strokes: n}
		}
	}
	return out, nil
}

// wholes reads whole numbers with commas between them.
func wholes(q url.Values, field string) ([]int, error) {
	text := strings.TrimSpace(q.Get(field))
	if text == "" {
		return nil, nil
	}
	var out []int
	for part := range strings.SplitSeq(text, ",") {
		n, err := strconv.Atoi(strings.TrimSpace(part))
		if err != nil || len(out) == 18 {
			return nil, events.Invalid(field, "malformed", fmt.Sprintf("%q is no list of whole numbers such as 60,40", text))
		}
		out = append(out, n)
	}
	return out, nil
}

// getWhatIf counts the cards under other terms: for the committee once cards are
// out, for everybody else once the result is published, because provisional
// results are not everybody's.
func getWhatIf(ctx context.Context, r reading) (WhatIf, error) {
	id := r.Param("competition")
	c, _, err := r.competition(ctx, id)
	if err != nil {
		return WhatIf{}, err
	}
	if !r.isCommittee() {
		if err := command.MayCompare(c); err != nil {
			return WhatIf{}, err
		}
	}
	other, err := otherTerms(r.QueryParams())
	if err != nil {
		return WhatIf{}, err
	}
	found, err := r.api.compare(ctx, id, other)
	if err != nil {
		return WhatIf{}, err
	}
	names := r.names(ctx, id, c)
	out := WhatIf{
		CompetitionID: id, Name: c.Name, Notice: notTheResult, Final: found.Final, Played: countingTerms(&found.Played),
		WhatIf: countingTerms(&found.WhatIf), Notes: found.Notes, Changed: found.Changed, Rows: make([]WhatIfRow, len(found.Rows)),
	}
	for i, row := range found.Rows {
		out.Rows[i] = WhatIfRow{Compared: row, Name: names[row.EntryID]}
	}
	return out, nil
}

// compare counts a field again. That is work, so one asks at a time, as with boards
// of the past.
func (a *API) compare(ctx context.Context, id string, other standing.OtherTerms) (standing.Comparison, error) {
	select {
	case a.past <- struct{}{}:
		defer func() { <-a.past }()
	case <-time.After(a.Patience):
		return standing.Comparison{}, errBehind
	case <-ctx.Done():
		return standing.Comparison{}, ctx.Err()
	}
	out, _, err := a.Commands.WhatIf(ctx, id, other)
	return out, err
}

// WhatIfFor is what GET /competitions/{competition}/what-if answers the visitor.
func (a *API) WhatIfFor(c echo.Context) (WhatIf, error) {
	r, err := a.reading(c)
	if err != nil {
		return WhatIf{}, err
	}
	return getWhatIf(c.Request().Context(), r)
}
