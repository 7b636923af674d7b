package command_test

import (
	"encoding/csv"
	"encoding/json"
	"errors"
	"fmt"
	"os"
	"path/filepath"
	"regexp"
	"strings"
	"sync"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"marram.example/api/command"
	"marram.example/api/csvfile"
	"marram.example/events"
	"marram.example/events/card"
	"marram.example/events/competition"
	"marram.example/events/course"
	eventlog "marram.example/events/log"
	"marram.example/events/log/logtest"
)

const medal = "../../testdata/medal/"

// desk is a committee that imports files, on a real log.
type desk struct {
	*command.Service
	t     *testing.T
	log   *eventlog.Log
	id    string // of the competition
	count int
	now   time.Time
}

func mustDesk(t *testing.T) *desk {
	t.Helper()
	d := &desk{t: t, log: logtest.MustOpen(t, func(o *eventlog.Options) { o.Club = "club" }), now: time.Date(2025, 6, 14, 7, 0, 0, 0, time.UTC)}
	var err error
	d.Service, err = command.New(t.Context(), command.Options{Log: d.log, Club: "club", Now: func() time.Time { return d.now }})
	require.NoError(t, err)
	return d
}

func (d *desk) committee() command.Request {
	d.count++
	return command.Request{Who: command.Who{Role: events.RoleCommittee, ID: "office"}, CommandID: fmt.Sprintf("import-%d", d.count), Hash: "h"}
}

func (d *desk) position() events.Position {
	d.t.Helper()
	p, _, err := d.log.Last(d.t.Context())
	require.NoError(d.t, err)
	return p
}

// keys counts the secrets that the club keeps: one a player.
func (d *desk) keys() int {
	d.t.Helper()
	b, err := d.log.Bucket(d.t.Context(), "keys", 0)
	require.NoError(d.t, err)
	keys, err := b.Keys(d.t.Context())
	require.NoError(d.t, err)
	return len(keys)
}

func (d *desk) try(kind command.ImportKind, text string, dry bool) (command.ImportReport, error) {
	return d.Import(d.t.Context(), d.committee(), kind, d.id, strings.NewReader(text), dry)
}

// must imports a text: a dry run stores nothing and says what the real run then
// does, and the same again changes nothing.
func (d *desk) must(kind command.ImportKind, text string) command.ImportReport {
	d.t.Helper()
	before, keys := d.position(), d.keys()
	dry, err := d.try(kind, text, true)
	require.NoError(d.t, err)
	require.Equal(d.t, before, d.position(), "a dry run stores nothing")
	require.Equal(d.t, keys, d.keys(), "a dry run makes no key")
	require.True(d.t, dry.DryRun)
	require.Zero(d.t, dry.Position)

	done, err := d.try(kind, text, false)
	require.NoError(d.t, err)
	require.Empty(d.t, done.Problems)
	changes := done.Added+done.Changed > 0
	require.Equal(d.t, changes, d.position() > before)
	require.Equal(d.t, changes, done.Done.Changed)
	if changes {
		require.Equal(d.t, d.position(), done.Position)
	}
	dry.DryRun, dry.Position, dry.Done = done.DryRun, done.Position, done.Done
	require.Equal(d.t, dry, done, "the dry run says what the real run does")

	after, keys := d.position(), d.keys()
	again, err := d.try(kind, text, false)
	require.NoError(d.t, err)
	require.Zero(d.t, again.Added+again.Changed)
	require.Equal(d.t, done.Added+done.Changed+done.Unchanged, again.Unchanged)
	require.Equal(d.t, after, d.position(), "a second import stores nothing")
	require.Equal(d.t, keys, d.keys())
	require.False(d.t, again.Done.Changed)
	return done
}

type cell struct {
	Row    int
	Column string
	Code   string
}

// refused imports a text that is refused, with what is wrong with it; nothing is stored.
func (d *desk) refused(kind command.ImportKind, text string) []command.ImportProblem {
	d.t.Helper()
	before, keys := d.position(), d.keys()
	dry, err := d.try(kind, text, true)
	require.Error(d.t, err)
	done, err := d.try(kind, text, false)
	var refusal *command.ImportError
	require.ErrorAs(d.t, err, &refusal)
	require.Equal(d.t, done, refusal.Report)
	e := events.AsError(err)
	require.NotNil(d.t, e)
	require.Equal(d.t, events.KindInvalid, e.Kind)
	require.Equal(d.t, "import_refused", e.Code)
	require.Equal(d.t, before, d.position(), "a refused import stores nothing")
	require.Equal(d.t, keys, d.keys(), "a refused import makes no key")
	dry.DryRun = false
	require.Equal(d.t, dry, done)
	require.NotEmpty(d.t, done.Problems)
	lines := strings.Count(text, "\n") + 1
	for _, p := range done.Problems {
		require.NotEmpty(d.t, p.Code)
		require.NotEmpty(d.t, p.Detail)
		require.LessOrEqual(d.t, p.Row, lines)
	}
	return done.Problems
}

func cells(problems []command.ImportProblem) []cell {
	out := make([]cell, len(problems))
	for i, p := range problems {
		out[i] = cell{p.Row, p.Column, p.Code}
	}
	return out
}

func text(t *testing.T, path string) string {
	t.Helper()
	b, err := os.ReadFile(path)
	require.NoError(t, err)
	return string(b)
}

// plan sets up the medal's competition, ready for entries.
func (d *desk) plan(change func(*events.Terms)) {
	d.t.Helper()
	planned, err := d.Plan(d.t.Context(), d.committee(), "", command.PlanCompetition{Name: "Saturday Medal (invented)", Date: "2025-06-14"})
	require.NoError(d.t, err)
	d.id = planned.ID
	terms := command.PresetTerms("stroke_play")
	terms.CourseID, terms.Tees, terms.AllowancePercent = d.CourseID("Thrumsay Links"), []string{"White", "Yellow", "Red"}, 95
	terms.Divisions = []events.Division{
		{Name: "Division 1", FromTenths: -100, ToTenths: 99}, {Name: "Division 2", FromTenths: 100, ToTenths: 184}, {Name: "Division 3", FromTenths: 185, ToTenths: 540},
	}
	if change != nil {
		change(&terms)
	}
	_, err = d.SetTerms(d.t.Context(), d.committee(), d.id, terms)
	require.NoError(d.t, err)
}

// open draws and opens the round.
func (d *desk) open() {
	d.t.Helper()
	_, err := d.Draw(d.t.Context(), d.committee(), d.id, command.Draw{Method: "as_entered"})
	require.NoError(d.t, err)
	_, err = d.OpenRound(d.t.Context(), d.committee(), d.id)
	require.NoError(d.t, err)
}

// mustMedal is a club with the whole medal but its cards.
func mustMedal(t *testing.T, change func(*events.Terms)) *desk {
	t.Helper()
	d := mustDesk(t)
	for kind, file := range map[command.ImportKind]string{command.ImportCourse: "course.csv", command.ImportPlayers: "players.csv"} {
		_, err := d.try(kind, text(t, medal+file), false)
		require.NoError(t, err)
	}
	d.plan(change)
	_, err := d.try(command.ImportEntries, text(t, medal+"entries.csv"), false)
	require.NoError(t, err)
	d.open()
	return d
}

func (d *desk) cardOf(member string) *card.State {
	d.t.Helper()
	k, err := d.Card(d.t.Context(), command.CardID(d.id, command.EntryID(d.id, d.PlayerID(member)), 1))
	require.NoError(d.t, err)
	return k.State
}

func (d *desk) entryOf(member string) competition.Entry {
	d.t.Helper()
	c, _, err := d.Competition(d.t.Context(), d.id)
	require.NoError(d.t, err)
	return c.Entries[command.EntryID(d.id, d.PlayerID(member))]
}

// The files of the medal, and the same content as spreadsheets write it.
func TestImportTheMedal(t *testing.T) {
	d := mustDesk(t)
	r := d.must(command.ImportCourse, text(t, medal+"course.csv"))
	require.Equal(t, 54, r.Rows)
	require.Equal(t, 3, r.Added)
	r = d.must(command.ImportPlayers, text(t, medal+"players.csv"))
	require.Equal(t, 60, r.Added)
	r = d.must(command.ImportPlayers, text(t, medal+"variants/players-bom-semicolon-decimal-comma.csv"))
	require.Equal(t, 60, r.Unchanged, "the variant has the same content")
	d.plan(nil)
	r = d.must(command.ImportEntries, text(t, medal+"variants/entries-bom-semicolon.csv"))
	require.Equal(t, 60, r.Added)
	r = d.must(command.ImportEntries, text(t, medal+"entries.csv"))
	require.Equal(t, 60, r.Unchanged)
	d.open()
	r = d.must(command.ImportCards, text(t, medal+"cards.csv"))
	require.Equal(t, 60, r.Added)
	_, err := d.CloseRound(t.Context(), d.committee(), d.id, command.CloseRound{})
	require.NoError(t, err, "no card is out")

	zoe, _, err := d.Player(t.Context(), d.PlayerID("0107"))
	require.NoError(t, err)
	name, err := d.OpenPersonal(t.Context(), d.PlayerID("0107"), zoe.Sealed)
	require.NoError(t, err)
	require.Equal(t, "Zoë Ravensdale", name.Name)

	got := d.result()
	for _, want := range table(t, medal+"expected/result.csv") {
		row := got[want["member_no"]]
		status := want["status"]
		if status == "" {
			status = events.StatusReturned
		}
		require.Equal(t, status, row.Status, want["member_no"])
		require.Equal(t, want["gross"], number(row.Gross), want["member_no"])
		require.Equal(t, want["net"], number(row.Net), want["member_no"])
		require.Equal(t, want["net_position"], row.Positions["net"], want["member_no"])
		require.Equal(t, want["playing_handicap"], fmt.Sprint(row.PlayingHandicap), want["member_no"])
	}
}

func (d *desk) result() map[string]events.ResultRow {
	d.t.Helper()
	res, _, err := d.Result(d.t.Context(), d.id)
	require.NoError(d.t, err)
	out := map[string]events.ResultRow{}
	for _, row := range res.Rows {
		p, _, err := d.Player(d.t.Context(), row.PlayerID)
		require.NoError(d.t, err)
		out[p.MemberNo] = row
	}
	return out
}

func number(n *int) string {
	if n == nil {
		return ""
	}
	return fmt.Sprint(*n)
}

func table(t *testing.T, path string) []map[string]string {
	t.Helper()
	records, err := csv.NewReader(strings.NewReader(text(t, path))).ReadAll()
	require.NoError(t, err)
	out := make([]map[string]string, 0, len(records))
	for _, rec := range records[1:] {
		m := map[string]string{}
		for i, name := range records[0] {
			m[name] = rec[i]
		}
		out = append(out, m)
	}
	require.NotEmpty(t, out)
	return out
}

// The same cards in Stableford: a hole that was picked up counts no points, and
// its card counts.
func TestImportCardsOfAStableford(t *testing.T) {
	d := mustMedal(t, func(terms *events.Terms) { terms.Format, terms.ParDifference = "stableford", false })
	r := d.must(command.ImportCards, text(t, medal+"cards.csv"))
	require.Contains(t, strings.Join(r.Notes, "\n"), "0748: NR is left aside")
	got := d.result()
	for _, want := range table(t, medal+"expected/stableford.csv") {
		row := got[want["member_no"]]
		require.Equal(t, want["total"], number(row.Points), want["member_no"])
		require.Equal(t, want["position"], row.Positions["net"], want["member_no"])
	}
	require.Equal(t, events.StatusReturned, got["0748"].Status)
}

// badLine is a line of the table in the README of testdata/bad.
var badLine = regexp.MustCompile(`(?m)^\| ([a-z0-9-]+\.csv) \| (\d+|-) \| ([a-z0-9_]+|-) \| (.+) \|$`)

func TestBadFilesAreRefused(t *testing.T) {
	const bad = "../../testdata/bad/"
	codes := map[string]string{
		"course-duplicate-stroke-index": "duplicate", "course-seventeen-holes": "hole_missing", "course-slope-out-of-range": "out_of_range",
		"course-missing-column": "missing_column", "course-ratings-disagree": "disagree", "course-hole-twice": "duplicate",
		"course-par-zero": "out_of_range", "course-length-negative": "out_of_range", "players-bad-index": "malformed",
		"players-minus-index": "malformed", "players-index-too-high": "out_of_range", "players-index-two-decimals": "malformed",
		"players-duplicate-member": "duplicate", "players-no-name": "required", "players-bad-date": "malformed", "players-latin1": "not_utf8",
		"players-too-many-fields": "field_count", "broken-quote": "quote", "empty": "empty", "header-only": "no_rows",
		"entries-unknown-member": "unknown", "entries-duplicate": "duplicate", "entries-unknown-tee": "unknown",
		"cards-hundred-strokes": "out_of_range", "cards-zero": "out_of_range", "cards-negative": "out_of_range", "cards-half-stroke": "malformed",
		"cards-word": "malformed", "cards-unknown-member": "unknown", "cards-unknown-status": "unknown", "cards-duplicate": "duplicate",
	}
	ruled := []string{ // those that a published rule, or a limit of ours, stands behind
		"course-duplicate-stroke-index", "course-seventeen-holes", "course-slope-out-of-range", "course-ratings-disagree", "course-hole-twice",
		"course-par-zero", "players-index-too-high", "cards-hundred-strokes", "cards-zero", "cards-negative", "cards-half-stroke", "cards-word", "cards-unknown-status",
	}
	full, empty := mustMedal(t, nil), mustDesk(t)
	lines := badLine.FindAllStringSubmatch(text(t, bad+"README.md"), -1)
	files, err := filepath.Glob(bad + "*.csv")
	require.NoError(t, err)
	require.Len(t, lines, len(files), "the README speaks of every file")
	require.Len(t, codes, len(files))
	for _, l := range lines {
		name := strings.TrimSuffix(l[1], ".csv")
		t.Run(name, func(t *testing.T) {
			want := cell{Code: codes[name]}
			if l[2] != "-" {
				_, err := fmt.Sscan(l[2], &want.Row)
				require.NoError(t, err)
			}
			if l[3] != "-" {
				want.Column = l[3]
			}
			wanted := []cell{want}
			if name == "players-latin1" { // the README names its second line in words
				wanted = append(wanted, cell{3, "name", "not_utf8"})
			}
			word, _, _ := strings.Cut(name, "-")
			kind := command.ImportKind(word)
			desks := []*desk{full}
			switch kind {
			case command.ImportEntries, command.ImportCards:
			case command.ImportCourse, command.ImportPlayers:
				desks = append(desks, empty)
			default:
				kind = command.ImportPlayers
			}
			for _, d := range desks {
				problems := d.refused(kind, text(t, bad+l[1]))
				require.Equal(t, wanted, cells(problems))
				require.Equal(t, contains(ruled, name), problems[0].Rule != "", "rule %q", problems[0].Rule)
			}
		})
	}
}

func contains(list []string, word string) bool {
	for _, l := range list {
		if l == word {
			return true
		}
	}
	return false
}

// What is wrong is said in words that help.
func TestProblemsExplainThemselves(t *testing.T) {
	d := mustMedal(t, nil)
	for file, want := range map[string]string{
		"course-duplicate-stroke-index": "stroke index 9 of tee White stands on line 2 already; missing: 8",
		"course-seventeen-holes":        "tee White has no hole 18",
		"course-hole-twice":             "hole 6 of tee White stands on line 7 already; missing: 7",
		"course-ratings-disagree":       "73.4 here, 74.4 on other rows of tee White",
		"players-minus-index":           `"-2.3" has a minus sign; write a plus handicap as +2.3 and any other as 2.3`,
		"players-duplicate-member":      "0107 stands on line 2 already",
		"players-latin1":                "the byte EB is not UTF-8; save the file as UTF-8, so that accented letters stay what they are",
		"players-too-many-fields":       "5 values under 4 columns; a value with a comma or semicolon in it needs quotation marks around it",
		"cards-unknown-status":          `"LOST" is none of NR, RTD, WD, NS, DQ; leave it blank for a returned card`,
		"entries-unknown-tee":           `tee "Purple" is not played in this competition`,
	} {
		kind, _, _ := strings.Cut(file, "-")
		require.Equal(t, want, d.refused(command.ImportKind(kind), text(t, "../../testdata/bad/"+file+".csv"))[0].Detail, file)
	}
	require.Equal(t, "107 is not the number of a registered player; 0107 is: were leading zeros lost?",
		d.refused(command.ImportEntries, "member_no\n107\n")[0].Detail)
	_, err := d.try(command.ImportCards, text(t, "../../testdata/bad/cards-zero.csv"), true)
	require.EqualError(t, err, "file: 1 problem, nothing was stored; the first in the cards file: line 3, column h7: 0 lies outside 1 to 99")
}

// One bad row among good ones keeps all of them out, and all bad rows are told.
func TestAllOrNothing(t *testing.T) {
	d := mustDesk(t)
	whole := text(t, medal+"players.csv")
	problems := d.refused(command.ImportPlayers, whole+"no/way!,Nobody,1.0,2025-06-01\n2001,Somebody,60,2025-06-01\n2002,"+strings.Repeat("n", 121)+",1.0,2025-06-01\n")
	require.Equal(t, []cell{{62, "member_no", "malformed"}, {63, "handicap_index", "out_of_range"}, {64, "name", "required"}}, cells(problems))
	require.Zero(t, d.position())
	require.Zero(t, d.keys())
}

func TestWhoMayImport(t *testing.T) {
	d := mustDesk(t)
	for _, role := range []events.Role{"", events.RolePlayer, events.RoleMarker} {
		r := d.committee()
		r.Who = command.Who{Role: role, CardID: "a-b-1"}
		_, err := d.Import(t.Context(), r, command.ImportPlayers, "", strings.NewReader(text(t, medal+"players.csv")), true)
		require.Equal(t, "forbidden", code(t, err))
		_, err = d.ImportFiles(t.Context(), r, "", nil, true)
		require.Equal(t, "forbidden", code(t, err))
	}
}

func TestImportNeedsItsCompetition(t *testing.T) {
	d := mustDesk(t)
	for id, want := range map[string]string{"": "required", "nowhere": "not_found", "*": "malformed_id"} {
		d.id = id
		_, err := d.try(command.ImportEntries, "member_no\n1\n", true)
		require.Equal(t, want, code(t, err), id)
	}
	_, err := d.try("prizes", "a\n1\n", true)
	require.Equal(t, "unknown", code(t, err))
	_, err = d.try("", "a\n1\n", true)
	require.Equal(t, "unknown_kind", code(t, err))

	planned, err := d.Plan(t.Context(), d.committee(), "", command.PlanCompetition{Name: "Medal", Date: "2025-06-14"})
	require.NoError(t, err)
	d.id = planned.ID
	require.Equal(t, []cell{{0, "", "no_terms"}}, cells(d.refused(command.ImportEntries, "member_no\n1\n")))
	_, err = d.try(command.ImportCourse, text(t, medal+"course.csv"), false)
	require.NoError(t, err)
	d.plan(nil)
	require.Equal(t, []cell{{0, "", "not_open"}}, cells(d.refused(command.ImportCards, text(t, medal+"cards.csv"))))
	require.Equal(t, []cell{{2, "member_no", "unknown"}}, cells(d.refused(command.ImportEntries, "member_no\n1\n")))
}

// Files that come together see one another, also in a dry run.
func TestSeveralFilesAtOnce(t *testing.T) {
	d := mustDesk(t)
	files := func(names ...string) []command.ImportFile {
		var out []command.ImportFile
		for _, n := range names {
			out = append(out, command.ImportFile{Name: n, Body: strings.NewReader(text(t, medal+n))})
		}
		return out
	}
	all := []string{"cards.csv", "entries.csv", "players.csv", "course.csv"}
	reports, err := d.ImportFiles(t.Context(), d.committee(), "", files(all...), true)
	require.NoError(t, err)
	require.NotEmpty(t, reports[0].Notes, "it says that only the file was checked")
	require.Zero(t, reports[0].Added)
	reports, err = d.ImportFiles(t.Context(), d.committee(), "", files(all...), false)
	var refusal *command.ImportError
	require.ErrorAs(t, err, &refusal)
	require.Equal(t, command.ImportCards, refusal.Report.Kind)
	require.Equal(t, []cell{{0, "", "no_competition"}}, cells(reports[0].Problems))
	require.Equal(t, []cell{{0, "", "no_competition"}}, cells(reports[1].Problems))
	require.Equal(t, 60, reports[2].Added)
	require.Equal(t, 3, reports[3].Added)
	require.Zero(t, d.position())

	_, err = d.try(command.ImportCourse, text(t, medal+"course.csv"), false)
	require.NoError(t, err)
	d.plan(nil)
	before := d.position()
	for _, dry := range []bool{true, false} {
		reports, err = d.ImportFiles(t.Context(), d.committee(), d.id, files("entries.csv", "players.csv"), dry)
		require.NoError(t, err)
		require.Equal(t, 60, reports[0].Added, "entries of players who come in the same breath")
		require.Equal(t, 60, reports[1].Added)
		require.Equal(t, dry, before == d.position())
	}
	require.Equal(t, before+60*3, d.position())
	require.Equal(t, 160, d.entryOf("0107").IndexTenths)

	// A fault in one file keeps all of them out.
	d2 := mustDesk(t)
	_, err = d2.ImportFiles(t.Context(), d2.committee(), "", []command.ImportFile{
		{Kind: command.ImportPlayers, Body: strings.NewReader(text(t, medal+"players.csv"))},
		{Kind: command.ImportCourse, Body: strings.NewReader(text(t, "../../testdata/bad/course-par-zero.csv"))},
	}, false)
	require.Equal(t, "import_refused", code(t, err))
	require.Zero(t, d2.position())
}

// The same command sent again is known, and several desks at once do it once.
func TestImportIsRepeatable(t *testing.T) {
	d := mustDesk(t)
	r := d.committee()
	players := text(t, medal+"players.csv")
	first, err := d.Import(t.Context(), r, command.ImportPlayers, "", strings.NewReader(players), false)
	require.NoError(t, err)
	require.False(t, first.Done.Known)
	after := d.position()
	again, err := d.Import(t.Context(), r, command.ImportPlayers, "", strings.NewReader(players), false)
	require.NoError(t, err)
	require.True(t, again.Done.Known)
	require.Equal(t, after, d.position())
	r.Hash = "another"
	_, err = d.Import(t.Context(), r, command.ImportPlayers, "", strings.NewReader(players), false)
	require.Equal(t, "command_id_reused", code(t, err))

	busy := mustDesk(t)
	var all sync.WaitGroup
	requests := []command.Request{busy.committee(), busy.committee(), busy.committee(), busy.committee()}
	for _, r := range requests {
		all.Go(func() {
			_, err := busy.Import(t.Context(), r, command.ImportPlayers, "", strings.NewReader(players), false)
			assert.NoError(t, err)
		})
	}
	all.Wait()
	require.Equal(t, after, busy.position())
	require.Equal(t, 60, busy.keys())
}

func TestPlayersAreChanged(t *testing.T) {
	d := mustDesk(t)
	r := d.must(command.ImportPlayers, "member_no,name,handicap_index\n01,Ann,12.3\n02,Ben,\n03,Cy,+1.5\n")
	require.Equal(t, 3, r.Added)
	d.now = d.now.AddDate(0, 0, 1)
	r = d.must(command.ImportPlayers, "member_no,name,handicap_index\n01,Ann,12.3\n02,Ben Byrd,\n03,Cy,+1.4\n")
	require.Equal(t, 1, r.Unchanged, "an index without a date is not recorded anew every day")
	require.Equal(t, 2, r.Changed)
	p, _, err := d.Player(t.Context(), d.PlayerID("03"))
	require.NoError(t, err)
	now, ok := p.Current("2025-06-15")
	require.True(t, ok)
	require.Equal(t, -14, now.Tenths)
	require.Equal(t, events.OriginOfficial, now.Origin)

	_, err = d.Erase(t.Context(), d.committee(), d.PlayerID("01"), "asked for it")
	require.NoError(t, err)
	require.Equal(t, []cell{{2, "member_no", "player_erased"}}, cells(d.refused(command.ImportPlayers, "member_no,name\n01,Ann\n")))
	// Two files of one kind: the later one counts.
	reports, err := d.ImportFiles(t.Context(), d.committee(), "", []command.ImportFile{
		{Body: strings.NewReader("member_no,name\n04,Dee\n")}, {Body: strings.NewReader("member_no,name\n04,Dee\n")}, {Body: strings.NewReader("member_no,name\n04,Di\n")},
	}, false)
	require.NoError(t, err)
	require.Equal(t, [3]int{1, 0, 0}, [3]int{reports[0].Added, reports[1].Changed, reports[2].Added})
	require.Equal(t, 1, reports[1].Unchanged)
	require.Equal(t, 1, reports[2].Changed)
	dee, _, err := d.Player(t.Context(), d.PlayerID("04"))
	require.NoError(t, err)
	name, err := d.OpenPersonal(t.Context(), d.PlayerID("04"), dee.Sealed)
	require.NoError(t, err)
	require.Equal(t, "Di", name.Name)
}

func TestCourseIsChanged(t *testing.T) {
	d := mustDesk(t)
	whole := text(t, medal+"course.csv")
	d.must(command.ImportCourse, whole)
	r := d.must(command.ImportCourse, strings.ReplaceAll(whole, "Thrumsay Links,Red,1,", "THRUMSAY LINKS,Red,1,"))
	require.Equal(t, 3, r.Unchanged, "the case of a name does not make another course")
	r = d.must(command.ImportCourse, strings.ReplaceAll(whole, ",371,74.4,", ",372,74.4,"))
	require.Equal(t, [3]int{0, 1, 2}, [3]int{r.Added, r.Changed, r.Unchanged})

	white := strings.Join(strings.SplitAfter(whole, "\n")[:19], "")
	r = d.must(command.ImportCourse, white)
	require.Equal(t, []string{
		"the tee Yellow of Thrumsay Links is not in the file and stays as it is",
		"the tee Red of Thrumsay Links is not in the file and stays as it is",
	}, r.Notes)
	r = d.must(command.ImportCourse, strings.ReplaceAll(white, "Thrumsay Links", "Other Links (invented)"))
	require.Equal(t, 1, r.Added)

	require.Equal(t, []cell{{2, "front_slope_rating", "required"}},
		cells(d.refused(command.ImportCourse, strings.ReplaceAll(white, ",37.0,136,", ",37.0,,"))))
	require.Equal(t, []cell{{2, "back_course_rating", "required"}},
		cells(d.refused(command.ImportCourse, strings.ReplaceAll(white, ",37.4,140", ",,140"))))
	require.Equal(t, []cell{{2, "course_rating", "out_of_range"}},
		cells(d.refused(command.ImportCourse, strings.ReplaceAll(white, ",74.4,", ",95.0,"))))
	require.Equal(t, []cell{{2, "tee", "required"}},
		cells(d.refused(command.ImportCourse, strings.ReplaceAll(white, ",White,", ","+strings.Repeat("W", 41)+","))))
	require.Equal(t, []cell{{2, "course", "required"}},
		cells(d.refused(command.ImportCourse, strings.ReplaceAll(white, "Thrumsay Links", strings.Repeat("L", 101)))))
	require.Equal(t, []cell{{3, "stroke_index", "out_of_range"}},
		cells(d.refused(command.ImportCourse, nine(t, 9, 11))))
	d.must(command.ImportCourse, nine(t, 9, 2))
	require.Equal(t, []cell{{0, "hole", "hole_missing"}}, cells(d.refused(command.ImportCourse, nine(t, 8, 2))))
}

// nine is a course of so many holes; the second has the stroke index given.
func nine(t *testing.T, holes, second int) string {
	t.Helper()
	out := "course,tee,hole,par,stroke_index,course_rating,slope_rating\n"
	for h := 1; h <= holes; h++ {
		si := h
		if h == 2 {
			si = second
		}
		out += fmt.Sprintf("Short Course (invented),Blue,%d,4,%d,35.0,113\n", h, si)
	}
	return out
}

// The limits that the columns state are those that the decider has.
func TestLimitsOfColumnsAreThoseOfTheDecider(t *testing.T) {
	sound := func() events.TeeDefinition {
		def := events.TeeDefinition{Tee: "White", CourseRatingTenths: 720, SlopeRating: 113}
		for h := 1; h <= 18; h++ {
			def.Holes = append(def.Holes, events.Hole{Number: h, Par: 4, StrokeIndex: h, LengthM: 300})
		}
		return def
	}
	for column, set := range map[string]func(*events.TeeDefinition, int){
		"par":          func(d *events.TeeDefinition, n int) { d.Holes[0].Par = n },
		"length_m":     func(d *events.TeeDefinition, n int) { d.Holes[0].LengthM = n },
		"slope_rating": func(d *events.TeeDefinition, n int) { d.SlopeRating = n },
	} {
		c, ok := csvfile.Courses.Column(column)
		require.True(t, ok)
		for n, good := range map[int]bool{c.Min - 1: false, c.Min: true, c.Max: true, c.Max + 1: false} {
			def := sound()
			set(&def, n)
			require.Equal(t, good, course.CheckTee("tee", def) == nil, "%s %d", column, n)
		}
	}
	c, ok := csvfile.Cards.Column("h1")
	require.True(t, ok)
	require.Equal(t, card.MaxStrokes, c.Max)
}

func TestEntriesAreAmended(t *testing.T) {
	d := mustDesk(t)
	d.must(command.ImportCourse, text(t, medal+"course.csv"))
	d.must(command.ImportPlayers, "member_no,name,handicap_index,index_date\n01,Ann,12.3,2025-01-01\n02,Ben,20.0,2025-01-01\n03,Cy,,\n04,Dee,9.9,2025-01-01\n")
	d.plan(func(terms *events.Terms) { terms.FieldLimit = 3 })
	require.Equal(t, []cell{{4, "member_no", "no_index"}}, cells(d.refused(command.ImportEntries, "member_no\n01\n02\n03\n")))
	require.Equal(t, []cell{{2, "handicap_index", "no_index"}}, cells(d.refused(command.ImportEntries, "member_no,handicap_index\n03,\n")))
	d.must(command.ImportEntries, "member_no,tee,handicap_index\n01,Red,\n02,,18.5\n03,White,30\n")
	require.Equal(t, "White", d.entryOf("02").Tee, "the first tee of the terms")
	require.Equal(t, events.OriginClub, d.entryOf("02").IndexOrigin)
	require.Equal(t, 123, d.entryOf("01").IndexTenths)
	require.Equal(t, []cell{{3, "member_no", "field_full"}}, cells(d.refused(command.ImportEntries, "member_no\n01\n04\n")))

	r := d.must(command.ImportEntries, "member_no,tee\n01,\n02,Yellow\n")
	require.Equal(t, [2]int{1, 1}, [2]int{r.Changed, r.Unchanged})
	require.Equal(t, "Red", d.entryOf("01").Tee, "what a row leaves open stays")
	require.Equal(t, 185, d.entryOf("02").IndexTenths, "an index that the committee set stays")

	d.must(command.ImportPlayers, "member_no,name,handicap_index,index_date\n01,Ann,12.0,2025-06-01\n02,Ben,21.0,2025-06-01\n")
	r = d.must(command.ImportEntries, "member_no\n01\n02\n")
	require.Equal(t, []string{"line 2, 01: the index of the entry changes from 12.3 to 12.0"}, r.Notes)
	require.Equal(t, 120, d.entryOf("01").IndexTenths)
	require.Equal(t, 185, d.entryOf("02").IndexTenths)

	_, err := d.Withdraw(t.Context(), d.committee(), d.id, d.entryOf("03").ID, "away")
	require.NoError(t, err)
	d.open()
	before := d.cardOf("01").Figures
	r = d.must(command.ImportEntries, "member_no,tee,handicap_index\n01,White,\n04,,\n")
	require.Equal(t, [2]int{1, 1}, [2]int{r.Added, r.Changed})
	require.Equal(t, []string{"line 3, 04 enters after the draw and needs a place on the start sheet"}, r.Notes)
	require.Equal(t, "White", d.cardOf("01").Tee, "the card that is out follows its entry")
	require.NotEqual(t, before, d.cardOf("01").Figures)
	require.Equal(t, []cell{{2, "member_no", "no_card"}}, cells(d.refused(command.ImportCards, cardsFile("04,"+strings.Repeat("4,", 18)))))
	require.Equal(t, []cell{{2, "member_no", "no_entry"}}, cells(d.refused(command.ImportCards, cardsFile("03,"+strings.Repeat("4,", 18)))))

	_, err = d.Leave(t.Context(), d.committee(), d.PlayerID("03"), "moved")
	require.NoError(t, err)
	require.Equal(t, []cell{{2, "member_no", "player_left"}}, cells(d.refused(command.ImportEntries, "member_no\n03\n")))
}

func cardsFile(rows ...string) string {
	out := "member_no"
	for h := 1; h <= 18; h++ {
		out += fmt.Sprintf(",h%d", h)
	}
	return out + ",status\n" + strings.Join(rows, "\n") + "\n"
}

func TestCardsAsTheyComeFromPaper(t *testing.T) {
	d := mustMedal(t, nil)
	fours := strings.Repeat("4,", 18)
	front := strings.Repeat("4,", 9)

	d.must(command.ImportCards, cardsFile("0107,"+fours, "0023,"+front+strings.Repeat(",", 9)+"RTD", "0411,"+fours+"DQ", "0236,"+strings.Repeat(",", 18)+"NS"))
	for member, want := range map[string]string{"0107": "returned", "0023": "RTD", "0411": "DQ", "0236": "NS"} {
		require.Equal(t, want, d.cardOf(member).Status(), member)
		require.Equal(t, want == "returned", d.cardOf(member).Returned, member)
	}
	require.True(t, d.cardOf("0107").CertifiedOnPaper)
	require.Equal(t, 9, d.cardOf("0023").Played(), "a blank hole of a ruled card stays blank")
	require.Equal(t, 18, d.cardOf("0411").Played())
	require.NotEmpty(t, d.cardOf("0107").Receipt)

	// Corrections and unlikely numbers are taken, and noted.
	r := d.must(command.ImportCards, cardsFile("0107,11,"+strings.Repeat("4,", 17)))
	require.Equal(t, 1, r.Changed)
	require.Equal(t, []string{"line 2, 0107: hole 1 changes from 4 to 11", "line 2, 0107: 11 on hole 1, a par 4, is unlikely"}, r.Notes)
	require.True(t, d.cardOf("0107").Returned)

	// Picked up in stroke play: a no return by itself, and the file may say so.
	r = d.must(command.ImportCards, cardsFile("0009,PU,"+strings.Repeat("4,", 17), "0058,PU,"+strings.Repeat("4,", 17)+"NR"))
	require.Equal(t, []string{"line 2, 0009: the card is NR (hole 1 has no score)"}, r.Notes)
	require.Equal(t, "hole 1 has no score", d.cardOf("0058").RuledReason)

	// A reason of its own, and another ruling later.
	header := strings.Replace(cardsFile(), ",status\n", ",status,reason\n", 1)
	d.must(command.ImportCards, header+"0366,"+fours+"NR,handed in too late\n")
	require.Equal(t, "handed in too late", d.cardOf("0366").RuledReason)
	require.False(t, d.cardOf("0366").Returned)
	d.must(command.ImportCards, header+"0366,"+strings.Repeat(",", 18)+"DQ,\n")
	require.Equal(t, "DQ", d.cardOf("0366").Status())
	require.Equal(t, 18, d.cardOf("0366").Played())

	// What a phone entered stays where the file of a ruled card is blank.
	k := d.cardOf("0427")
	id := command.CardID(d.id, k.EntryID, 1)
	player := command.Request{Who: command.Who{Role: events.RolePlayer, ID: k.EntryID, CardID: id}, CommandID: "phone", Hash: "h"}
	_, err := d.EnterScore(t.Context(), player, id, command.EnterScore{Hole: k.StartingHole, Strokes: strokes(5)})
	require.NoError(t, err)
	d.must(command.ImportCards, cardsFile("0427,"+strings.Repeat(",", 18)+"WD"))
	require.Equal(t, 1, d.cardOf("0427").Played())

	for name, c := range map[string]struct {
		row  string
		want []cell
	}{
		"a blank hole":                        {"0704," + strings.Repeat("4,", 16) + ",,", []cell{{2, "h17", "hole_missing"}, {2, "h18", "hole_missing"}}},
		"nothing at all":                      {"0704," + strings.Repeat(",", 18), []cell{{2, "status", "required"}}},
		"no show with scores":                 {"0704," + fours + "NS", []cell{{2, "status", "has_scores"}}},
		"returned although withdrawn":         {"0427," + fours, []cell{{2, "status", "card_ruled"}}},
		"a score on a card that is a no show": {"0236," + fours + "RTD", []cell{{2, "status", "card_ruled"}}},
		"a player of no competition":          {"77777," + fours, []cell{{2, "member_no", "unknown"}}},
	} {
		require.Equal(t, c.want, cells(d.refused(command.ImportCards, cardsFile(c.row))), name)
	}
	require.Equal(t, []cell{{1, "h18", "missing_column"}},
		cells(d.refused(command.ImportCards, strings.Replace(cardsFile("0704,"+strings.Repeat("4,", 17)), "h18,", "", 1))))

	_, err = d.CloseRound(t.Context(), d.committee(), d.id, command.CloseRound{MissingAs: "NR"})
	require.NoError(t, err)
	_, err = d.Publish(t.Context(), d.committee(), d.id)
	require.NoError(t, err)
	r = d.must(command.ImportCards, cardsFile("0107,"+fours))
	require.Contains(t, r.Notes, "a result is published: revise it after cards have changed")
}

func TestCardsOfNineHoles(t *testing.T) {
	d := mustDesk(t)
	d.must(command.ImportCourse, text(t, medal+"course.csv"))
	d.must(command.ImportPlayers, "member_no,name,handicap_index\n0107,Ann,16.0\n0023,Ben,20.0\n")
	d.plan(func(terms *events.Terms) {
		terms.Holes, terms.Tees = command.HoleRange(1, 9), []string{"White", "Yellow"}
	})
	d.must(command.ImportEntries, "member_no\n0107\n0023\n")
	d.open()
	nines := "member_no,h1,h2,h3,h4,h5,h6,h7,h8,h9\n0107,4,4,4,4,4,4,4,4,4\n"
	d.must(command.ImportCards, nines)
	require.Equal(t, 9, d.cardOf("0107").Played())
	require.Equal(t, []cell{{2, "h10", "not_in_play"}}, cells(d.refused(command.ImportCards, cardsFile("0023,"+strings.Repeat("4,", 10)+strings.Repeat(",", 8)))))
}

// A report travels as JSON.
func TestReportOnTheWire(t *testing.T) {
	d := mustDesk(t)
	r, err := d.try(command.ImportPlayers, "member_no,name\n1,\n", true)
	require.Error(t, err)
	got, err := json.Marshal(r)
	require.NoError(t, err)
	require.JSONEq(t, `{"kind": "players", "rows": 1, "added": 0, "changed": 0, "unchanged": 0, "more_problems": 0, "notes": [], "dry_run": true, "position": 0,
		"problems": [{"row": 2, "column": "name", "code": "required", "detail": "name is empty"}]}`, string(got))
}

// failing is a body that breaks off.
type failing struct{}

var errBroken = errors.New("connection lost")

func (failing) Read([]byte) (int, error) { return 0, errBroken }

func TestABodyThatBreaksOff(t *testing.T) {
	d := mustDesk(t)
	_, err := d.Import(t.Context(), d.committee(), command.ImportPlayers, "", failing{}, false)
	require.ErrorIs(t, err, errBroken)
	require.Nil(t, events.AsError(err))
}
