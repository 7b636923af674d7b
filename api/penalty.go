package api

import (
	"context"
	"net/http"

	"github.com/labstack/echo/v4"

	"marram.example/api/command"
	"marram.example/projections/handicap"
)

func (a *API) addPenalty(ctx context.Context, w writing[command.AddPenalty]) (command.Done, error) {
	return a.Commands.AddPenalty(ctx, w.request, w.Param("card"), w.in)
}

func (a *API) removePenalty(ctx context.Context, w writing[because]) (command.Done, error) {
	return a.Commands.RemovePenalty(ctx, w.request, w.Param("card"), w.Param("penalty"), w.in.Reason)
}

// ScoreRuling is a ruling on a wrong score, with what came of it.
type ScoreRuling struct {
	Written
	DryRun       bool                 `json:"dry_run"` // nothing was stored
	Outcome      string               `json:"outcome"` // disqualified, ball_out, penalty_added or stands
	Disqualified bool                 `json:"disqualified"`
	Penalty      int                  `json:"penalty"` // strokes that are added
	Strokes      int                  `json:"strokes"` // that stand; 0 where there are none
	Figure       int                  `json:"figure"`  // what the hole counts in the format
	Words        handicap.Explanation `json:"words"`
}

// ruleScore rules on a score that is not the actual one.
func (a *API) ruleScore(c echo.Context) error {
	w, err := begin[command.RuleScore](a, c)
	if err != nil {
		return err
	}
	ruling, err := a.Commands.RuleScore(c.Request().Context(), w.request, c.Param("card"), w.in)
	if err != nil {
		return fieldAs(err, map[string]string{"returned": "hole"})
	}
	c.Response().Header().Set("ETag", etag(ruling.Done.Sequence))
	if ruling.Done.Known {
		c.Response().Header().Set(HeaderRepeat, "true")
	}
	d := ruling.Done
	return encodeJSON(c, http.StatusOK, ScoreRuling{
		Written: Written{ID: c.Param("card"), Sequence: d.Sequence, Position: d.Position, Changed: d.Changed},
		DryRun:  w.in.DryRun, Outcome: ruling.Outcome, Disqualified: ruling.Disqualified, Penalty: ruling.Penalty,
		Strokes: ruling.Strokes, Figure: ruling.Figure, Words: orEmpty(ruling.Words),
	})
}
