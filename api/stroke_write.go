package api

import (
	"context"
	"encoding/json"
	"net/http"
	"strconv"

	"github.com/labstack/echo/v4"

	"marram.example/api/command"
	"marram.example/events"
)

// StrokesWritten is what a write of strokes is answered with: nothing that follows
// from them is silent. Scored and differs are for the player alone.
type StrokesWritten struct {
	Written
	Scored  *command.HoleScored  `json:"scored"`  // the score that followed; null for none
	Differs *command.HoleDiffers `json:"differs"` // where strokes and card disagree; null where they do not
}

// logging is write for the strokes of a card. Who holds its player's link writes as
// the player, whatever else the browser is signed in as.
func logging[In any](location created, do func(ctx context.Context, w writing[In]) (command.Done, error)) func(a *API) echo.HandlerFunc {
	return func(a *API) echo.HandlerFunc {
		return func(c echo.Context) error {
			if err := a.asPlayer(c); err != nil {
				return err
			}
			w, err := begin[In](a, c)
			if err != nil {
				return err
			}
			done, err := do(c.Request().Context(), w)
			if err != nil {
				return err
			}
			head, status := heading(c, done, location)
			return encodeJSON(c, status, StrokesWritten{Written: head, Scored: done.Scored, Differs: done.Differs})
		}
	}
}

// asPlayer lets a request go on as the player of its card, where it holds that link.
func (a *API) asPlayer(c echo.Context) error {
	who, err := a.Auth.Holder(c, c.Param("card"))
	if err == nil && who.Role == events.RolePlayer {
		a.Auth.ActAs(c, who)
	}
	return err
}

func strokesAt(c echo.Context, _ command.Done) string {
	return "/cards/" + c.Param("card") + "/strokes"
}

// withoutWords is the fingerprint of a request whose words are sealed: it stands in
// the log, where one of the words would let a guess be proved after they were erased.
func withoutWords(c echo.Context, in any) string {
	body, _ := json.Marshal(in) // plain fields: never fails
	return fingerprint(c.Request(), body)
}

func silent(s command.Stroke) command.Stroke {
	s.Aim, s.Word = "", ""
	return s
}

func (a *API) recordStroke(ctx context.Context, w writing[command.RecordStroke]) (command.Done, error) {
	in := w.in
	in.Stroke = silent(in.Stroke)
	w.request.Hash = withoutWords(w.Context, in)
	return a.Commands.RecordStroke(ctx, w.request, w.Param("card"), w.in)
}

func (a *API) amendStroke(ctx context.Context, w writing[command.Stroke]) (command.Done, error) {
	w.request.Hash = withoutWords(w.Context, silent(w.in))
	return a.Commands.AmendStroke(ctx, w.request, w.Param("card"), w.Param("stroke"), w.in)
}

func (a *API) removeStroke(ctx context.Context, w writing[nothing]) (command.Done, error) {
	return a.Commands.RemoveStroke(ctx, w.request, w.Param("card"), w.Param("stroke"))
}

func (a *API) logHole(ctx context.Context, w writing[command.LogHole]) (command.Done, error) {
	hole, err := strconv.Atoi(w.Param("hole"))
	if err != nil {
		return command.Done{}, events.NotFound("hole", "a hole is a number")
	}
	in := command.LogHole{Ball: w.in.Ball}
	for _, x := range w.in.Strokes {
		x.Stroke = silent(x.Stroke)
		in.Strokes = append(in.Strokes, x)
	}
	w.request.Hash = withoutWords(w.Context, in)
	return a.Commands.LogHole(ctx, w.request, w.Param("card"), hole, w.in)
}

func getStrokes(ctx context.Context, r reading) (CardStrokes, error) {
	if err := r.api.mayReadStrokes(r.Context, r.Param("card")); err != nil {
		return CardStrokes{}, err
	}
	k, err := r.api.Commands.Card(ctx, r.Param("card"))
	if err != nil {
		return CardStrokes{}, err
	}
	return r.api.CardStrokes(ctx, k)
}

// strokesCSV answers with the strokes of a card as a table, in the form in which
// takeStrokesCSV takes them.
func (a *API) strokesCSV(c echo.Context) error {
	r, err := a.reading(c)
	if err != nil {
		return err
	}
	id := c.Param("card")
	if err := a.mayReadStrokes(c, id); err != nil {
		return err
	}
	k, err := a.Commands.Card(c.Request().Context(), id)
	if err != nil {
		return err
	}
	if fresh(c, k.Sequence) {
		return c.NoContent(http.StatusNotModified)
	}
	body, err := r.api.Commands.StrokesTable(c.Request().Context(), k)
	if err != nil {
		return err
	}
	c.Response().Header().Set(echo.HeaderContentDisposition, `attachment; filename="strokes-`+id+`.csv"`)
	return c.Blob(http.StatusOK, "text/csv; charset=utf-8", body)
}

// takeStrokesCSV takes the strokes of a card in, all of them or nothing.
func (a *API) takeStrokesCSV(c echo.Context) error {
	if err := a.asPlayer(c); err != nil {
		return err
	}
	if a.anonymous(c) {
		return events.Forbidden("forbidden", "open the link of the card first")
	}
	if err := checkPath(c); err != nil {
		return err
	}
	dry, r, body, err := a.table(c)
	if err != nil {
		return err
	}
	report, err := a.Commands.ImportStrokes(c.Request().Context(), r, c.Param("card"), body, dry)
	return answerImport(c, report, err)
}
