package command

import (
	"context"
	"fmt"
	"io"
	"slices"
	"strings"

	"marram.example/api/csvfile"
	"marram.example/events"
	eventlog "marram.example/events/log"
)

// ImportKind says what a file holds.
type ImportKind string

// The kinds, in the order in which a new club needs them.
const (
	ImportCourse  ImportKind = "course"
	ImportPlayers ImportKind = "players"
	ImportEntries ImportKind = "entries"
	ImportCards   ImportKind = "cards"
	ImportStrokes ImportKind = "strokes"

	ImportExpected ImportKind = "expected-scores" // of the club, at any time
)

var importOrder = []ImportKind{ImportCourse, ImportPlayers, ImportEntries, ImportCards, ImportStrokes, ImportExpected}

// OfCompetition reports whether files of this kind belong to one competition.
func (k ImportKind) OfCompetition() bool {
	return k == ImportEntries || k == ImportCards || k == ImportStrokes
}

// ImportProblem is one fault of a file: line, column, code, sentence and rule.
type ImportProblem = csvfile.Problem

// ImportReport says what a file would do, or did. It counts tees of a course
// file and rows of the others.
type ImportReport struct {
	Kind         ImportKind      `json:"kind"`
	Name         string          `json:"name,omitempty"` // of the file, where the caller gave one
	Rows         int             `json:"rows"`           // that hold something, besides the header
	Added        int             `json:"added"`
	Changed      int             `json:"changed"`
	Unchanged    int             `json:"unchanged"`
	Problems     []ImportProblem `json:"problems"`
	MoreProblems int             `json:"more_problems"` // counted, not listed
	Notes        []string        `json:"notes"`         // what deserves a second look; no reason to refuse
	DryRun       bool            `json:"dry_run"`       // nothing was stored
	Position     events.Position `json:"position"`      // in the log, of the last event that was stored; 0 for none
	Done         Done            `json:"-"`
}

// ImportError says that an import was refused and nothing was stored. It wraps
// an *events.Error of kind invalid with the code import_refused.
type ImportError struct {
	Report  ImportReport // of the first file with a problem
	refusal *events.Error
}

// Error counts the problems and states the first.
func (e *ImportError) Error() string { return e.refusal.Error() }

// Unwrap is the domain error.
func (e *ImportError) Unwrap() error { return e.refusal }

// ImportFile is one file of several that are imported together.
type ImportFile struct {
	Name string     // for the report; may be empty
	Kind ImportKind // empty to recognise it by its header
	Body io.Reader
}

// RecognizeImport says which kind of file has this header.
func RecognizeImport(data []byte) (ImportKind, error) {
	t, err := csvfile.Recognize(data)
	return ImportKind(t.Name), err
}

// Import takes a CSV file in, all of it or nothing. It decides every row on
// trial states first, so that a dry run says what the real run would do, and
// collects the problems of all rows: with one or more of them it returns the
// report with an *ImportError. The same file a second time changes nothing.
//
// The competition is needed for entries, cards and strokes. Request.Expect is not looked
// at: what the plan was made on is expected instead, and the plan is made again
// where somebody else was faster.
func (s *Service) Import(ctx context.Context, r Request, kind ImportKind, competitionID string, body io.Reader, dryRun bool) (ImportReport, error) {
	if err := s.committee(r); err != nil {
		return ImportReport{}, err
	}
	if kind.OfCompetition() {
		if competitionID == "" {
			return ImportReport{}, events.Invalid("competition", "required", fmt.Sprintf("say which competition the %s belong to", kind))
		}
		if _, _, err := s.Competition(ctx, competitionID); err != nil {
			if e := events.AsError(err); e != nil {
				return ImportReport{}, e.WithField("competition")
			}
			return ImportReport{}, err
		}
	}
	reports, err := s.ImportFiles(ctx, r, competitionID, []ImportFile{{Kind: kind, Body: body}}, dryRun)
	if len(reports) == 0 {
		return ImportReport{}, err
	}
	return reports[0], err
}

// ImportFiles takes several files in together, all of them or nothing: course
// before players before entries before cards before strokes, each seeing what the earlier ones
// do, also in a dry run. Reports come in the order of the files; a competition
// that is missing or not ready is a problem of the file that needs it.
func (s *Service) ImportFiles(ctx context.Context, r Request, competitionID string, files []ImportFile, dryRun bool) ([]ImportReport, error) {
	if err := s.committee(r); err != nil {
		return nil, err
	}
	read := make([]*readFile, len(files))
	for i, f := range files {
		var err error
		if read[i], err = openImport(f); err != nil {
			return nil, err
		}
	}
	return replan(func() ([]ImportReport, error) { return s.importOnce(ctx, r, competitionID, read, dryRun) })
}

// readFile is a file cut into rows, and how they go into a draft.
type readFile struct {
	name string
	kind ImportKind
	file *csvfile.File
	plan func(context.Context, *importing) error
}

func openImport(f ImportFile) (*readFile, error) {
	data, err := csvfile.Load(f.Body)
	if err != nil {
		return nil, err
	}
	kind := f.Kind
	if kind == "" {
		if kind, err = RecognizeImport(data); err != nil {
			return nil, ofFile(err, f.Name)
		}
	}
	out := &readFile{name: f.Name, kind: kind}
	switch kind {
	case ImportCourse:
		read, rows := csvfile.ReadCourses(data)
		out.file, out.plan = read, func(ctx context.Context, i *importing) error { return i.courses(ctx, rows) }
	case ImportPlayers:
		read, rows := csvfile.ReadPlayers(data)
		out.file, out.plan = read, func(ctx context.Context, i *importing) error { return i.players(ctx, rows) }
	case ImportEntries:
		read, rows := csvfile.ReadEntries(data)
		out.file, out.plan = read, func(ctx context.Context, i *importing) error { return i.entries(ctx, rows) }
	case ImportCards:
		read, rows := csvfile.ReadCards(data)
		out.file, out.plan = read, func(ctx context.Context, i *importing) error { return i.cards(ctx, rows) }
	case ImportStrokes:
		read, rows := csvfile.ReadClubStrokes(data)
		out.file, out.plan = read, func(ctx context.Context, i *importing) error { return i.strokes(ctx, rows) }
	case ImportExpected:
		read, rows := csvfile.ReadExpected(data)
		out.file, out.plan = read, func(ctx context.Context, i *importing) error { return i.expected(ctx, rows) }
	default:
		return nil, events.Invalid("kind", "unknown", fmt.Sprintf("%q is not a kind of file; use course, players, entries, cards, strokes or expected-scores", string(kind)))
	}
	return out, nil
}

// ofFile puts the name of a file before the sentence of a refusal.
func ofFile(err error, file string) error {
	e := events.AsError(err)
	if e == nil || file == "" {
		return err
	}
	c := *e
	c.Detail = file + ": " + c.Detail
	return &c
}

// importOnce plans all files on the states of the moment and, where there is no
// problem, carries the plan out.
func (s *Service) importOnce(ctx context.Context, r Request, competitionID string, files []*readFile, dryRun bool) ([]ImportReport, error) {
	d := newDraft(s)
	reports := make([]ImportReport, len(files))
	for _, kind := range importOrder {
		for i, f := range files {
			if f.kind != kind {
				continue
			}
			x := &importing{draft: d, request: r, competitionID: competitionID, file: f.file, problems: f.file.Clone()}
			x.report = ImportReport{Kind: kind, Name: f.name, Rows: f.file.Rows, DryRun: dryRun, Notes: []string{}}
			if err := f.plan(ctx, x); err != nil {
				return nil, err
			}
			reports[i] = x.close()
		}
	}
	if i := slices.IndexFunc(reports, func(x ImportReport) bool { return len(x.Problems) > 0 }); i >= 0 {
		return reports, refusal(reports, i)
	}
	if dryRun || len(d.steps) == 0 {
		return reports, nil
	}
	done, err := d.run(ctx, r)
	if err != nil {
		return nil, err
	}
	for i := range reports {
		reports[i].Done = done
		if done.Changed {
			reports[i].Position = done.Position
		}
		if done.Known {
			reports[i].Notes = append(reports[i].Notes, "this import had been carried out already")
		}
	}
	return reports, nil
}

// refusal is the error for reports of which number first is the first with a
// problem.
func refusal(reports []ImportReport, first int) error {
	total := 0
	for _, r := range reports {
		total += len(r.Problems) + r.MoreProblems
	}
	r := reports[first]
	p := r.Problems[0]
	count := "1 problem"
	if total > 1 {
		count = fmt.Sprintf("%d problems", total)
	}
	where := []string{}
	if p.Row > 0 {
		where = append(where, fmt.Sprintf("line %d", p.Row))
	}
	if p.Column != "" {
		where = append(where, "column "+p.Column)
	}
	if len(where) > 0 {
		where = []string{strings.Join(where, ", "), p.Detail}
	} else {
		where = []string{p.Detail}
	}
	detail := fmt.Sprintf("%s, nothing was stored; the first in the %s file: %s", count, r.Kind, strings.Join(where, ": "))
	return &ImportError{Report: r, refusal: events.Invalid("file", "import_refused", detail).WithRule(p.Rule)}
}

// importing is one file on its way into a draft.
type importing struct {
	*draft
	request       Request
	competitionID string
	file          *csvfile.File
	problems      *csvfile.Problems
	report        ImportReport
	hushed        int // notes that were counted, not kept
}

// close finishes the report.
func (i *importing) close() ImportReport {
	i.report.Problems, i.report.MoreProblems = i.problems.List(), i.problems.More()
	if i.report.Problems == nil {
		i.report.Problems = []ImportProblem{}
	}
	if i.hushed > 0 {
		i.report.Notes = append(i.report.Notes, fmt.Sprintf("%d more notes are left out", i.hushed))
	}
	return i.report
}

func (i *importing) problem(row int, column, code, rule, format string, args ...any) {
	i.problems.Add(ImportProblem{Row: row, Column: column, Code: code, Rule: rule, Detail: fmt.Sprintf(format, args...)})
}

// refused keeps a refusal as a problem of a row, in the column that the field
// maps to, and passes other errors on.
func (i *importing) refused(err error, row int, column func(field string) string) error {
	e := events.AsError(domain(err))
	if e == nil {
		return err
	}
	i.problem(row, column(e.Field), e.Code, e.Rule, "%s", e.Detail)
	return nil
}

// maxNotes is how many notes a report keeps.
const maxNotes = 200

func (i *importing) note(row int, format string, args ...any) {
	if len(i.report.Notes) >= maxNotes {
		i.hushed++
		return
	}
	text := fmt.Sprintf(format, args...)
	if row > 0 {
		text = fmt.Sprintf("line %d, %s", row, text)
	}
	i.report.Notes = append(i.report.Notes, text)
}

// count notes what became of one thing.
func (i *importing) count(existed, changed bool) {
	switch {
	case !changed:
		i.report.Unchanged++
	case existed:
		i.report.Changed++
	default:
		i.report.Added++
	}
}

// run carries a draft out as one command.
func (d *draft) run(ctx context.Context, r Request) (Done, error) {
	steps := make([]eventlog.Step, 0, len(d.steps))
	for _, build := range d.steps {
		step, err := build(ctx)
		if err != nil {
			return Done{}, err
		}
		steps = append(steps, step)
	}
	return d.service.run(ctx, r, steps...)
}
