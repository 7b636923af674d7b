package main

import (
	"bytes"
	"context"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"marram.example/api/command"
	"marram.example/events"
	eventlog "marram.example/events/log"
)

const medal = "../../testdata/medal/"

// marram runs the command line and gives its exit status and what it printed.
func marram(t *testing.T, args ...string) (status int, out, errs string) {
	t.Helper()
	var o, e bytes.Buffer
	status = run(t.Context(), args, &o, &e)
	return status, o.String(), e.String()
}

// base makes what was printed independent of where the tests run.
func base(t *testing.T, printed string) string {
	t.Helper()
	here, err := filepath.Abs("../../testdata")
	require.NoError(t, err)
	return strings.ReplaceAll(printed, here+string(filepath.Separator), "")
}

func TestImportIntoAFolder(t *testing.T) {
	data := filepath.Join(t.TempDir(), "club")
	course, players := medal+"course.csv", medal+"players.csv"
	temporary := t.TempDir()
	t.Setenv("TMPDIR", temporary)

	status, out, errs := marram(t, "import", "--dry-run", "--data", data, players, course)
	require.Zero(t, status, errs)
	require.Equal(t, "medal/players.csv: players, 60 rows: 60 new, 0 changed, 0 as before\n"+
		"medal/course.csv: course, in tees, 54 rows: 3 new, 0 changed, 0 as before\nDry run: nothing was stored.\n", base(t, out))
	require.NoDirExists(t, data, "a dry run makes no folder")
	left, err := os.ReadDir(temporary)
	require.NoError(t, err)
	require.Empty(t, left, "a dry run leaves nothing behind")

	status, out, errs = marram(t, "import", "--data", data, players, course)
	require.Zero(t, status, errs)
	require.True(t, strings.HasSuffix(out, "\nImported.\n"), out)

	status, out, errs = marram(t, "import", "--data", data, players, course)
	require.Zero(t, status, errs)
	require.Equal(t, "medal/players.csv: players, 60 rows: 0 new, 0 changed, 60 as before\n"+
		"medal/course.csv: course, in tees, 54 rows: 0 new, 0 changed, 3 as before\nEverything was there already; nothing changed.\n", base(t, out))
}

func TestImportPrintsProblems(t *testing.T) {
	data := filepath.Join(t.TempDir(), "club")
	status, out, errs := marram(t, "import", "--dry-run", "--data", data, medal+"players.csv",
		"../../testdata/bad/course-slope-out-of-range.csv", medal+"cards.csv")
	require.Equal(t, 1, status)
	require.Equal(t, "medal/players.csv: players, 60 rows: 60 new, 0 changed, 0 as before\n"+
		"bad/course-slope-out-of-range.csv:2: slope_rating: 156 lies outside 55 to 155 (Rules of Handicapping, definition of Slope Rating: 55 to 155)\n"+
		"medal/cards.csv: note: no competition is named, so only the file itself was checked\n"+
		"medal/cards.csv: cards, 60 rows: 0 new, 0 changed, 0 as before\n", base(t, out))
	require.Equal(t, "marram: nothing was imported; mend what is listed above and try again\n", errs)
	require.NoDirExists(t, data)

	status, out, _ = marram(t, "import", "--data", data, "../../testdata/bad/empty.csv", medal+"terms.json")
	require.Equal(t, 1, status)
	require.Contains(t, base(t, out), "bad/empty.csv: the file is empty\nmedal/terms.json: the first line does not tell")
	require.NoDirExists(t, data)

	for _, args := range [][]string{{}, {"nowhere.csv"}, {"--server", "ftp://x", medal + "players.csv"}, {"--server", "http://127.0.0.1:1", medal + "players.csv"}} {
		status, _, errs = marram(t, append([]string{"import", "--data", data}, args...)...)
		require.Equal(t, 1, status, args)
		require.NotEmpty(t, errs)
	}
}

func TestImportForACompetition(t *testing.T) {
	data := filepath.Join(t.TempDir(), "club")
	status, _, errs := marram(t, "import", "--data", data, medal+"players.csv", medal+"course.csv")
	require.Zero(t, status, errs)
	ids := []string{planMedal(t, data, "a"), planMedal(t, data, "b")}

	status, _, errs = marram(t, "import", "--data", data, "--competition", "Sunday", medal+"entries.csv")
	require.Equal(t, 1, status)
	require.Contains(t, errs, `there is no competition "Sunday"`)
	status, _, errs = marram(t, "import", "--data", data, "--competition", "saturday MEDAL", medal+"entries.csv")
	require.Equal(t, 1, status)
	require.Contains(t, errs, "several competitions are called")
	require.Contains(t, errs, ids[0]+"  2025-06-14  Saturday Medal")
	require.Contains(t, errs, ids[1])
	for _, dry := range [][]string{{"--dry-run"}, nil} {
		args := []string{"import", "--data", data, "--competition", ids[1], medal + "variants/entries-bom-semicolon.csv"}
		status, out, errs := marram(t, append(args, dry...)...)
		require.Zero(t, status, errs)
		require.Contains(t, out, "entries, 60 rows: 60 new, 0 changed, 0 as before")
	}
}

// planMedal plans a competition of the medal in a folder and gives its id.
func planMedal(t *testing.T, data, commandID string) (id string) {
	t.Helper()
	inFolder(t, data, func(ctx context.Context, s *command.Service) {
		r := command.Request{Who: command.Who{Role: events.RoleCommittee, ID: "office"}, CommandID: commandID}
		planned, err := s.Plan(ctx, r, "", command.PlanCompetition{Name: "Saturday Medal", Date: "2025-06-14"})
		require.NoError(t, err)
		terms := command.PresetTerms("stroke_play")
		terms.CourseID, terms.Tees = s.CourseID("Thrumsay Links"), []string{"White", "Yellow", "Red"}
		r.CommandID += "-terms"
		_, err = s.SetTerms(ctx, r, planned.ID, terms)
		require.NoError(t, err)
		id = planned.ID
	})
	return id
}

func inFolder(t *testing.T, data string, do func(context.Context, *command.Service)) {
	t.Helper()
	l, err := eventlog.Open(t.Context(), eventlog.Options{Dir: filepath.Join(data, "log"), Club: "club"})
	require.NoError(t, err)
	defer func() { require.NoError(t, l.Close()) }()
	s, err := command.New(t.Context(), command.Options{Log: l, Club: "club", Now: time.Now})
	require.NoError(t, err)
	do(t.Context(), s)
}

// A folder that a server has open is left alone.
func TestImportBesideAServer(t *testing.T) {
	data := t.TempDir()
	inFolder(t, data, func(context.Context, *command.Service) {
		for _, dry := range [][]string{nil, {"--dry-run"}} {
			status, out, errs := marram(t, append([]string{"import", "--data", data, medal + "players.csv"}, dry...)...)
			require.Equal(t, 1, status)
			require.Empty(t, out)
			require.Contains(t, errs, "a server runs on "+data+"; send the files to it with --server URL")
		}
	})
}

func TestColumnsArePrinted(t *testing.T) {
	status, out, errs := marram(t, "import", "--columns")
	require.Zero(t, status, errs)
	for _, want := range []string{"course: one row for every hole", "stroke_index", "whole number, 55 to 155", "h18", "NR, RTD, WD, NS or DQ", "required"} {
		require.Contains(t, out, want)
	}
	_, err := os.Stat("marram-data")
	require.ErrorIs(t, err, os.ErrNotExist)
}

func TestAMistypedFolderIsNoClub(t *testing.T) {
	nowhere := filepath.Join(t.TempDir(), "typo")
	for _, c := range []string{"verify", "rebuild"} {
		status, _, errs := marram(t, c, "--data", nowhere)
		require.Equal(t, 1, status)
		require.Contains(t, errs, "there is no event log in "+nowhere)
		require.NoDirExists(t, nowhere)
	}
}
