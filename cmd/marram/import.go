package main

import (
	"bytes"
	"cmp"
	"context"
	"crypto/rand"
	"errors"
	"fmt"
	"io"
	"log/slog"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"text/tabwriter"

	"marram.example/api/command"
	"marram.example/api/csvfile"
	"marram.example/events"
	eventlog "marram.example/events/log"
)

// ImportCmd brings CSV files in: straight into the event log where no server
// runs on it, else through the server.
type ImportCmd struct {
	Place       `embed:""`
	Files       []string `arg:"" optional:"" name:"file" help:"CSV files with course, players, entries, cards, strokes or expected scores; the header tells which." type:"path"`
	DryRun      bool     `help:"Only say what the files would do. Nothing is stored."`
	Competition string   `help:"Id or name of the competition that entries, cards and strokes belong to."`
	Server      string   `help:"Send the files to a running server, such as http://127.0.0.1:8080. Each file is then taken by itself." env:"MARRAM_SERVER"`
	TokenFile   string   `help:"File that holds the token of a committee session on that server." type:"path" env:"MARRAM_TOKEN_FILE"`
	Columns     bool     `help:"Print the columns of every kind of file and stop."`
}

// errRefused ends the command with a status other than 0.
var errRefused = errors.New("nothing was imported; mend what is listed above and try again")

// csvFile is one file of the command line.
type csvFile struct {
	name string
	kind command.ImportKind
	data []byte
}

// Run imports, and prints what it did or what is wrong, one problem a line as
// file:line: column: sentence.
func (c *ImportCmd) Run(ctx context.Context, out io.Writer, lines *slog.Logger) error {
	if c.Columns {
		return printColumns(out)
	}
	if len(c.Files) == 0 {
		return errors.New("name at least one file; --columns prints what they hold")
	}
	files, err := readFiles(out, c.Files)
	if err != nil {
		return err
	}
	if c.Server != "" {
		return c.send(ctx, out, files)
	}
	return c.store(ctx, out, files, lines)
}

func readFiles(out io.Writer, names []string) ([]csvFile, error) {
	files := make([]csvFile, 0, len(names))
	unknown := false
	for _, name := range names {
		data, err := readFile(name)
		if err != nil {
			return nil, err
		}
		kind, err := command.RecognizeImport(data)
		if e := events.AsError(err); e != nil {
			printProblem(out, name, command.ImportProblem{Detail: e.Detail})
			unknown = true
			continue
		}
		if err != nil {
			return nil, err
		}
		files = append(files, csvFile{name: name, kind: kind, data: data})
	}
	if unknown {
		return nil, errRefused
	}
	return files, nil
}

func readFile(name string) ([]byte, error) {
	f, err := os.Open(name)
	if err != nil {
		return nil, err
	}
	data, err := csvfile.Load(f)
	return data, errors.Join(err, f.Close())
}

// store imports all files in one command, all of them or nothing.
func (c *ImportCmd) store(ctx context.Context, out io.Writer, files []csvFile, lines *slog.Logger) (err error) {
	folder, remove, err := c.folder()
	if err != nil {
		return err
	}
	defer func() { err = errors.Join(err, remove()) }()
	l, err := eventlog.Open(ctx, eventlog.Options{Dir: folder, NATSURL: c.NATSURL, Replicas: c.Replicas, Club: c.Club, Logger: lines})
	if errors.Is(err, eventlog.ErrLocked) {
		return fmt.Errorf("a server runs on %s; send the files to it with --server URL and --token-file FILE, or stop it first", c.Data)
	}
	if err != nil {
		return fmt.Errorf("open the event log: %w", err)
	}
	defer func() { err = errors.Join(err, l.Close()) }()
	commands, err := command.New(ctx, command.Options{Log: l, Club: c.Club, Logger: lines})
	if err != nil {
		return err
	}
	competition := ""
	if c.Competition != "" {
		all, err := plannedIn(ctx, l)
		if err != nil {
			return err
		}
		if competition, err = pick(all, c.Competition); err != nil {
			return err
		}
	}
	in := make([]command.ImportFile, len(files))
	for i, f := range files {
		in[i] = command.ImportFile{Name: f.name, Kind: f.kind, Body: bytes.NewReader(f.data)}
	}
	reports, err := commands.ImportFiles(ctx, command.Request{
		Who: command.Who{Role: events.RoleService, ID: "import"}, CommandID: "import-" + rand.Text(), CorrelationID: "import",
	}, competition, in, c.DryRun)
	for _, r := range reports {
		printReport(out, r)
	}
	var refused *command.ImportError
	if errors.As(err, &refused) {
		return errRefused
	}
	if err != nil {
		return err
	}
	printOutcome(out, c.DryRun, slices.ContainsFunc(reports, changes))
	return nil
}

// folder is where the event log lies. A dry run where there is none yet gets a
// temporary one, so that it leaves nothing behind.
func (c *ImportCmd) folder() (string, func() error, error) {
	folder := filepath.Join(c.Data, "log")
	if c.NATSURL != "" || !c.DryRun {
		return folder, func() error { return nil }, nil
	}
	there, err := os.ReadDir(folder)
	if err != nil && !errors.Is(err, os.ErrNotExist) {
		return "", nil, fmt.Errorf("look into the data folder: %w", err)
	}
	if len(there) > 0 {
		return folder, func() error { return nil }, nil
	}
	folder, err = os.MkdirTemp("", "marram-import-")
	if err != nil {
		return "", nil, fmt.Errorf("make a temporary folder: %w", err)
	}
	return folder, func() error { return os.RemoveAll(folder) }, nil
}

// plannedCompetition is a competition that can be chosen by id or name.
type plannedCompetition struct{ id, name, date string }

// plannedIn finds the competitions of a log. The read models know them too, but
// an import does not need these.
func plannedIn(ctx context.Context, l *eventlog.Log) ([]plannedCompetition, error) {
	at := map[string]plannedCompetition{}
	_, err := l.Replay(ctx, 0, func(batch []events.Recorded) error {
		for _, r := range batch {
			if e, ok := r.Event.(events.CompetitionPlanned); ok {
				at[r.Stream.ID] = plannedCompetition{id: r.Stream.ID, name: e.Name, date: e.Date}
			}
		}
		return nil
	})
	if err != nil {
		return nil, fmt.Errorf("look for the competition: %w", err)
	}
	out := make([]plannedCompetition, 0, len(at))
	for _, p := range at {
		out = append(out, p)
	}
	slices.SortFunc(out, func(a, b plannedCompetition) int {
		return cmp.Or(cmp.Compare(b.date, a.date), cmp.Compare(a.name, b.name), cmp.Compare(a.id, b.id))
	})
	return out, nil
}

// pick finds the one competition with an id or a name.
func pick(all []plannedCompetition, wanted string) (string, error) {
	var found []plannedCompetition
	for _, p := range all {
		if p.id == wanted {
			return p.id, nil
		}
		if strings.EqualFold(p.name, strings.TrimSpace(wanted)) {
			found = append(found, p)
		}
	}
	if len(found) == 1 {
		return found[0].id, nil
	}
	text, list := "there is no competition %q", all
	if len(found) > 1 {
		text, list = "several competitions are called %q; name the id", found
	}
	const most = 20
	for i, p := range list {
		if i == most {
			text += "\n  ..."
			break
		}
		text += fmt.Sprintf("\n  %s  %s  %s", p.id, p.date, strings.ReplaceAll(p.name, "%", "%%"))
	}
	return "", fmt.Errorf(text, wanted)
}

func changes(r command.ImportReport) bool { return r.Added+r.Changed > 0 }

func printReport(out io.Writer, r command.ImportReport) {
	for _, p := range r.Problems {
		printProblem(out, r.Name, p)
	}
	if r.MoreProblems > 0 {
		_, _ = fmt.Fprintf(out, "%s: %d more problems\n", r.Name, r.MoreProblems)
	}
	for _, n := range r.Notes {
		_, _ = fmt.Fprintf(out, "%s: note: %s\n", r.Name, n)
	}
	if len(r.Problems) == 0 {
		_, _ = fmt.Fprintf(out, "%s: %s, %d rows: %d new, %d changed, %d as before\n", r.Name, counted(r.Kind), r.Rows, r.Added, r.Changed, r.Unchanged)
	}
}

// counted says what the numbers of a report count: of a course, its tees.
func counted(k command.ImportKind) string {
	if k == command.ImportCourse {
		return "course, in tees"
	}
	return string(k)
}

// printProblem writes file:line: column: sentence, so that an editor can jump there.
func printProblem(out io.Writer, file string, p command.ImportProblem) {
	where := file
	if p.Row > 0 {
		where += fmt.Sprintf(":%d", p.Row)
	}
	if p.Column != "" {
		where += ": " + p.Column
	}
	text := p.Detail
	if p.Rule != "" && !strings.Contains(text, p.Rule) {
		text += " (" + p.Rule + ")"
	}
	_, _ = fmt.Fprintf(out, "%s: %s\n", where, text)
}

func printOutcome(out io.Writer, dry, changed bool) {
	switch {
	case dry:
		_, _ = fmt.Fprintln(out, "Dry run: nothing was stored.")
	case changed:
		_, _ = fmt.Fprintln(out, "Imported.")
	default:
		_, _ = fmt.Fprintln(out, "Everything was there already; nothing changed.")
	}
}

// printColumns prints the columns of every kind of file.
func printColumns(out io.Writer) error {
	for _, t := range csvfile.Tables() {
		_, _ = fmt.Fprintf(out, "%s: %s. At most %d rows.\n", t.Name, t.Meaning, t.MaxRows)
		w := tabwriter.NewWriter(out, 0, 0, 2, ' ', 0)
		_, _ = fmt.Fprintln(w, "  column\tholds\tmeaning\twhere blank\texample")
		for _, c := range t.Columns {
			blank := c.Blank
			if c.Required {
				blank = "required"
			}
			_, _ = fmt.Fprintf(w, "  %s\t%s\t%s\t%s\t%s\n", c.Name, c.Limits(), c.Meaning, blank, c.Example)
		}
		if err := w.Flush(); err != nil {
			return fmt.Errorf("print: %w", err)
		}
		_, _ = fmt.Fprintln(out)
	}
	return nil
}
