package api

import (
	"bytes"
	"net/http"

	"github.com/labstack/echo/v4"

	"marram.example/api/command"
	"marram.example/events"
)

// Imported says what a table did, or in a dry run would do.
type Imported struct {
	command.ImportReport
	Sequence events.Sequence `json:"sequence"` // of what was written first; 0 where nothing was
}

// importTable takes a CSV file in, all of it or nothing.
func (a *API) importTable(c echo.Context) error {
	if a.anonymous(c) {
		return events.Forbidden("forbidden", "sign in first")
	}
	kind := command.ImportKind(c.Param("kind"))
	switch kind {
	case command.ImportCourse, command.ImportPlayers, command.ImportEntries, command.ImportCards, command.ImportStrokes, command.ImportExpected:
	default:
		return events.NotFound("kind", "course, players, entries, cards, strokes and expected-scores can be imported")
	}
	dry, r, body, err := a.table(c)
	if err != nil {
		return err
	}
	if kind != command.ImportPlayers && kind != command.ImportStrokes {
		r.Hash = fingerprint(c.Request(), body.Bytes())
	}
	report, err := a.Commands.Import(c.Request().Context(), r, kind, c.QueryParam("competition"), body, dry)
	return answerImport(c, report, err)
}

// table reads a request that carries a table. Its fingerprint leaves the table out,
// as withoutName does with a name.
func (a *API) table(c echo.Context) (dry bool, r command.Request, body *bytes.Buffer, err error) {
	if dry, err = flag(c, "dry_run"); err != nil {
		return dry, r, nil, err
	}
	if err = contentType(c.Request(), "text/csv"); err != nil {
		return dry, r, nil, err
	}
	r, data, err := request(c, a.Auth, MaxImportBody)
	r.Hash = fingerprint(c.Request(), nil)
	return dry, r, bytes.NewBuffer(data), err
}

func answerImport(c echo.Context, report command.ImportReport, err error) error {
	if err != nil {
		return err
	}
	if report.Done.Known {
		c.Response().Header().Set(HeaderRepeat, "true")
	}
	return encodeJSON(c, http.StatusOK, Imported{ImportReport: report, Sequence: report.Done.Sequence})
}

// flag reads a query parameter that is true or false, and false where it is missing.
func flag(c echo.Context, name string) (bool, error) {
	switch c.QueryParam(name) {
	case "", "false":
		return false, nil
	case "true":
		return true, nil
	}
	return false, events.Invalid(name, "malformed", name+" is true or false")
}
