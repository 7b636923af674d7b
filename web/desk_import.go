package web

import (
	"errors"
	"io"
	"net/http"
	"strings"

	"github.com/labstack/echo/v4"

	"marram.example/api/command"
	"marram.example/api/csvfile"
	"marram.example/events"
	"marram.example/events/competition"
	"marram.example/projections/competitions"
)

// deskImportPage takes files in: first it says what a file would do, then it does.
type deskImportPage struct {
	Form         *form // what was asked for; its key is for the import itself
	Fresh        *form // for another look at a file
	Tables       []csvfile.Table
	Kinds        []choice
	Competitions []competitions.Competition
	Report       *command.ImportReport
	Text         string // of the file looked at, to be sent again when it is meant
	Done         string
}

// importKinds are the kinds of files, in words.
func importKinds() []choice {
	return []choice{
		{"", "Whatever its first line says"}, {string(command.ImportCourse), "Courses and tees"}, {string(command.ImportPlayers), "Players"},
		{string(command.ImportEntries), "Entries of a competition"}, {string(command.ImportCards), "Paper cards of a competition"},
		{string(command.ImportStrokes), "Strokes of the cards of a competition"},
		{string(command.ImportExpected), "Expected scores of the association, over nine holes"},
	}
}

func (w *Web) deskImport(c echo.Context) error {
	f := newForm(0, map[string][]string{"kind": {c.QueryParam("kind")}, "competition": {c.QueryParam("competition")}})
	return w.deskShowImport(c, f, nil, "")
}

func (w *Web) deskShowImport(c echo.Context, f *form, report *command.ImportReport, text string) error {
	p := deskImportPage{Form: f, Tables: csvfile.Tables(), Kinds: importKinds(), Fresh: newForm(0, nil), Report: report, Text: text, Done: doneWord(c)}
	all, _, err := w.api.Models.Competitions.List(c.Request().Context(), deskListed, "")
	if err != nil {
		return err
	}
	for i := range all {
		if all[i].State.Phase != competition.Published { // a closed one takes strokes from memory
			p.Competitions = append(p.Competitions, all[i])
		}
	}
	status := f.Status()
	if report != nil && len(report.Problems) > 0 {
		status = http.StatusUnprocessableEntity
	}
	return w.deskPage(c, status, "desk_import.html", "Import", p)
}

// fileOf is the file that was sent, or its text sent again.
func fileOf(c echo.Context, f *form) (string, error) {
	if text := f.V("text"); text != "" {
		return text, nil
	}
	h, err := c.FormFile("file")
	if errors.Is(err, http.ErrMissingFile) || errors.Is(err, http.ErrNotMultipart) {
		return "", events.Invalid("file", "required", "choose a file")
	}
	if err != nil {
		return "", errForm.WithInternal(err)
	}
	r, err := h.Open()
	if err != nil {
		return "", err
	}
	defer func() { _ = r.Close() }() // only read
	b, err := io.ReadAll(io.LimitReader(r, csvfile.MaxBytes+1))
	return string(b), err
}

// kindOf is the kind that was chosen, or the one whose header the file has. A
// header of no kind counts as a course's, whose columns are then named.
func kindOf(f *form, text string) command.ImportKind {
	kind := command.ImportKind(f.V("kind"))
	if kind != "" {
		return kind
	}
	kind, err := command.RecognizeImport([]byte(text))
	if err != nil {
		return command.ImportCourse
	}
	f.Values.Set("kind", string(kind))
	return kind
}

func (w *Web) deskImportSend(c echo.Context) error {
	f, err := readForm(c)
	if err != nil {
		return err
	}
	f.Version = 0
	text, err := fileOf(c, f)
	f.Values.Del("text")
	really := f.V("step") == "import"
	var report command.ImportReport
	if err == nil {
		kind := kindOf(f, text)
		report, err = w.api.Commands.Import(c.Request().Context(), w.personal(c, f), kind, f.V("competition"), strings.NewReader(text), !really)
	}
	var bad *command.ImportError
	switch {
	case errors.As(err, &bad):
		return w.deskShowImport(c, newForm(0, f.Values), &bad.Report, "")
	case err != nil:
		if err = f.refuse(err); err != nil {
			return err
		}
		return w.deskShowImport(c, f, nil, "")
	case !really:
		return w.deskShowImport(c, newForm(0, f.Values), &report, text)
	}
	w.settle(c, report.Position)
	if kind := command.ImportKind(f.V("kind")); kind.OfCompetition() {
		page := kind
		if kind == command.ImportStrokes {
			page = command.ImportCards // whose strokes they are; the committee reads none
		}
		return done(c, "/desk/competitions/"+f.V("competition")+"/"+string(page), "imported")
	}
	return done(c, "/desk/"+map[string]string{"course": "courses", "players": "players", string(command.ImportExpected): "estimates"}[f.V("kind")], "imported")
}
