package csvfile_test

import (
	"bytes"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"marram.example/api/csvfile"
	"marram.example/events"
)

const players = "member_no,name,handicap_index,index_date\n"

func TestPlainFileIsRead(t *testing.T) {
	f, rows := csvfile.ReadPlayers([]byte(players + "0107,Zoë Ravensdale,16.0,2025-06-13\n0220,Ruaridh MacStrand,+2.3,\n0009,Ottoline Farthing,,\n"))
	require.Empty(t, f.List())
	require.Equal(t, 3, f.Rows)
	sixteen, plus := 160, -23
	require.Equal(t, []csvfile.PlayerRow{
		{Line: 2, MemberNo: "0107", Name: "Zoë Ravensdale", IndexTenths: &sixteen, IndexDate: "2025-06-13"},
		{Line: 3, MemberNo: "0220", Name: "Ruaridh MacStrand", IndexTenths: &plus},
		{Line: 4, MemberNo: "0009", Name: "Ottoline Farthing"},
	}, rows)
}

// The same content, as different programs write it, gives the same rows.
func TestWaysToWriteTheSameFile(t *testing.T) {
	_, want := csvfile.ReadPlayers([]byte(players + "0107,Zoë Ravensdale,16.0,2025-06-13\n0220,\"MacStrand, Ruaridh\",+2.3,2025-06-13\n"))
	require.Len(t, want, 2)
	for name, text := range map[string]string{
		"byte order mark":           "\ufeff" + players + "0107,Zoë Ravensdale,16.0,2025-06-13\n0220,\"MacStrand, Ruaridh\",+2.3,2025-06-13\n",
		"mark and quoted header":    "\ufeff\"member_no\",\"name\",\"handicap_index\",\"index_date\"\n0107,Zoë Ravensdale,16.0,2025-06-13\n0220,\"MacStrand, Ruaridh\",+2.3,2025-06-13\n",
		"semicolons, decimal comma": "member_no;name;handicap_index;index_date\n0107;Zoë Ravensdale;16,0;2025-06-13\n0220;MacStrand, Ruaridh;+2,3;2025-06-13\n",
		"CRLF":                      strings.ReplaceAll(players+"0107,Zoë Ravensdale,16.0,2025-06-13\n0220,\"MacStrand, Ruaridh\",+2.3,2025-06-13\n", "\n", "\r\n"),
		"no end of the last line":   players + "0107,Zoë Ravensdale,16.0,2025-06-13\n0220,\"MacStrand, Ruaridh\",+2.3,2025-06-13",
		"capitals and spaces":       "Member_No, NAME ,handicap_INDEX,Index_date\n 0107 , Zoë  Ravensdale ,16.0,2025-06-13\n0220, \"MacStrand, Ruaridh\",+2.3,2025-06-13\n",
		"empty cells at the end":    "member_no,name,handicap_index,index_date,,\n0107,Zoë Ravensdale,16.0,2025-06-13,,\n0220,\"MacStrand, Ruaridh\",+2.3,2025-06-13,,\n,,,,,\n",
		"another order":             "index_date,handicap_index,name,member_no\n2025-06-13,16.0,Zoë Ravensdale,0107\n2025-06-13,+2.3,\"MacStrand, Ruaridh\",0220\n",
	} {
		f, got := csvfile.ReadPlayers([]byte(text))
		require.Empty(t, f.List(), name)
		require.Equal(t, want, got, name)
	}
}

func TestLinesCountInTheFile(t *testing.T) {
	f, rows := csvfile.ReadPlayers([]byte(players + "\n\n0107,\"Zoë\nRavensdale\",16.0,2025-06-13\n0023,,12.3,2025-06-12\n"))
	require.Len(t, rows, 1)
	require.Equal(t, 4, rows[0].Line)
	require.Equal(t, "Zoë Ravensdale", rows[0].Name)
	require.Equal(t, []csvfile.Problem{{Row: 6, Column: "name", Code: "required", Detail: "name is empty"}}, f.List())
}

func TestFaultsOfAFile(t *testing.T) {
	type at struct {
		row    int
		column string
		code   string
	}
	for name, c := range map[string]struct {
		text string
		want []at
	}{
		"nothing":                     {"", []at{{0, "", "empty"}}},
		"only a mark and line ends":   {"\ufeff\r\n\r\n", []at{{0, "", "empty"}}},
		"UTF-16":                      {"\xff\xfem\x00", []at{{0, "", "not_utf8"}}},
		"CR alone":                    {"member_no,name\r0107,Zoë\r", []at{{0, "", "line_ends"}}},
		"no row":                      {players, []at{{0, "", "no_rows"}}},
		"unknown and missing columns": {"member_no,title,age\n1,a,2\n", []at{{1, "title", "unknown_column"}, {1, "age", "unknown_column"}, {1, "name", "missing_column"}}},
		"a column twice":              {"member_no,name,Name\n1,a,b\n", []at{{1, "name", "duplicate_column"}}},
		"a column without a name":     {"member_no,,name\n1,a,b\n", []at{{1, "", "unnamed_column"}}},
		"header below blank lines":    {"\n\nmember_no\n1\n", []at{{3, "name", "missing_column"}}},
		"too few and too many values": {players + "1,a\n2,b,1.0,2025-01-01,x\n", []at{{2, "", "field_count"}, {3, "", "field_count"}}},
		"quote in a value":            {players + "1,a\"b,1.0,\n", []at{{2, "name", "quote"}}},
		"quote never closed":          {players + "1,a,1.0,\n2,b,\"1.0,\n3,c,1.0,\n", []at{{3, "handicap_index", "quote"}}},
		"quote closed too early":      {players + "1,\"a\"b,1.0,\n", []at{{2, "name", "quote"}}},
		"quote after a long value":    {players + "1,\"a\nb\",1.\"0,\n", []at{{3, "handicap_index", "quote"}}},
		"bytes of another coding":     {players + "1,a\xe7,1.0,\n2,\xeb,1.0,\n", []at{{2, "name", "not_utf8"}, {3, "name", "not_utf8"}}},
		"several faults, all told":    {players + ",,x,y\n", []at{{2, "member_no", "required"}, {2, "name", "required"}, {2, "handicap_index", "malformed"}, {2, "index_date", "malformed"}}},
		"what cannot be seen":         {players + "1,a\x00b,1.0,\n", []at{{2, "name", "control_character"}}},
		"date without index":          {players + "1,a,,2025-01-01\n", []at{{2, "handicap_index", "required"}}},
	} {
		f, _ := csvfile.ReadPlayers([]byte(c.text))
		var got []at
		for _, p := range f.List() {
			require.NotEmpty(t, p.Detail, name)
			got = append(got, at{p.Row, p.Column, p.Code})
		}
		require.Equal(t, c.want, got, name)
	}
}

func TestLimits(t *testing.T) {
	f, rows := csvfile.ReadEntries([]byte("member_no\n" + strings.Repeat("1\n", csvfile.Entries.MaxRows+1)))
	require.Empty(t, rows)
	last := f.List()[0]
	require.Equal(t, "too_many_rows", last.Code)
	require.Equal(t, csvfile.Entries.MaxRows+2, last.Row)

	f, rows = csvfile.ReadEntries([]byte("member_no\n" + strings.Repeat("1\n", csvfile.Entries.MaxRows)))
	require.Len(t, rows, 1)
	require.Len(t, f.List(), csvfile.MaxProblems)
	require.Equal(t, csvfile.Entries.MaxRows-1-csvfile.MaxProblems, f.More())

	data, err := csvfile.Load(bytes.NewReader(make([]byte, csvfile.MaxBytes+10)))
	require.NoError(t, err)
	f, _ = csvfile.ReadEntries(data)
	require.Equal(t, "too_large", f.List()[0].Code)
}

func TestCardCells(t *testing.T) {
	f, rows := csvfile.ReadCards([]byte("member_no,h1,h2,h3,h18,status,reason\n0107,4,pu,,99,rtd,ill after the 11th\n"))
	require.Empty(t, f.List())
	want := csvfile.CardRow{Line: 2, MemberNo: "0107", Status: events.StatusRetired, Reason: "ill after the 11th"}
	want.Holes[0], want.Holes[1], want.Holes[17] = events.Score{Strokes: 4}, events.Score{None: events.PickedUp}, events.Score{Strokes: 99}
	require.Equal(t, []csvfile.CardRow{want}, rows)
}

// A bad rating stands on every row of its tee, and is told once.
func TestBadRatingIsToldOnce(t *testing.T) {
	data, err := os.ReadFile("../../testdata/bad/course-slope-out-of-range.csv")
	require.NoError(t, err)
	f, rows := csvfile.ReadCourses(data)
	require.Empty(t, rows)
	require.Len(t, f.List(), 1)
	require.Equal(t, 18, f.Rows)
}

func TestRecognize(t *testing.T) {
	for pattern, want := range map[string]string{
		"medal/course.csv": "course", "medal/players.csv": "players", "medal/entries.csv": "entries", "medal/cards.csv": "cards",
		"medal/variants/players*": "players", "medal/variants/entries*": "entries",
		"bad/course-*": "course", "bad/players-*": "players", "bad/entries-*": "entries", "bad/cards-*": "cards",
	} {
		files, err := filepath.Glob("../../testdata/" + pattern)
		require.NoError(t, err)
		require.NotEmpty(t, files, pattern)
		for _, file := range files {
			data, err := os.ReadFile(file)
			require.NoError(t, err)
			got, err := csvfile.Recognize(data)
			require.NoError(t, err, file)
			require.Equal(t, want, got.Name, file)
		}
	}
	for _, text := range []string{"", "member_no\n1\n", "a,b\n", "\"member_no\n", "member_no,handicap_index\n"} {
		_, err := csvfile.Recognize([]byte(text))
		e := events.AsError(err)
		require.NotNil(t, e, "%q", text)
		require.Equal(t, events.KindInvalid, e.Kind)
	}
}

func TestColumnsAreDocumented(t *testing.T) {
	for _, table := range csvfile.Tables() {
		require.NotEmpty(t, table.Meaning)
		require.Positive(t, table.MaxRows)
		for _, c := range table.Columns {
			where := table.Name + " " + c.Name
			require.Equal(t, strings.ToLower(c.Name), c.Name, where)
			require.NotEmpty(t, c.Holds, where)
			require.NotEmpty(t, c.Meaning, where)
			require.NotEmpty(t, c.Example, where)
			require.Equal(t, c.Required, c.Blank == "", "%s: what a blank means is said where it is allowed", where)
		}
	}
}

// check holds what is true of every file, good or bad.
func check(t require.TestingT, data []byte) {
	lines := bytes.Count(data, []byte("\n")) + 1
	for _, read := range []func([]byte) (*csvfile.File, []int){
		func(d []byte) (*csvfile.File, []int) {
			f, rows := csvfile.ReadCourses(d)
			return f, linesOf(rows, func(r csvfile.CourseRow) int { return r.Line })
		},
		func(d []byte) (*csvfile.File, []int) {
			f, rows := csvfile.ReadPlayers(d)
			return f, linesOf(rows, func(r csvfile.PlayerRow) int { return r.Line })
		},
		func(d []byte) (*csvfile.File, []int) {
			f, rows := csvfile.ReadEntries(d)
			return f, linesOf(rows, func(r csvfile.EntryRow) int { return r.Line })
		},
		func(d []byte) (*csvfile.File, []int) {
			f, rows := csvfile.ReadCards(d)
			return f, linesOf(rows, func(r csvfile.CardRow) int { return r.Line })
		},
		func(d []byte) (*csvfile.File, []int) {
			f, rows := csvfile.ReadExpected(d)
			return f, linesOf(rows, func(r csvfile.ExpectedRow) int { return r.Line })
		},
	} {
		f, rows := read(data)
		name := f.Table.Name
		last := f.HeaderLine
		for _, line := range rows {
			require.Greater(t, line, last, "%s: rows come in the order of their lines", name)
			require.LessOrEqual(t, line, lines, name)
			last = line
		}
		require.LessOrEqual(t, len(rows), f.Rows, name)
		require.LessOrEqual(t, len(f.List()), csvfile.MaxProblems, name)
		if len(rows) < f.Rows || f.Rows == 0 {
			require.NotEmpty(t, f.List(), "%s: a row is lost without a word", name)
		}
		for _, p := range f.List() {
			require.GreaterOrEqual(t, p.Row, 0, name)
			require.LessOrEqual(t, p.Row, lines, "%s: %+v", name, p)
			require.NotEmpty(t, p.Code, name)
			require.NotEmpty(t, p.Detail, name)
			require.Less(t, len(p.Detail), 1000, name)
			if _, known := f.Table.Column(p.Column); p.Row > f.HeaderLine && p.Column != "" {
				require.True(t, known, "%s: column %q", name, p.Column)
			}
		}
	}
	_, err := csvfile.Recognize(data)
	if err != nil {
		require.NotNil(t, events.AsError(err))
	}
}

func linesOf[T any](rows []T, line func(T) int) []int {
	out := make([]int, len(rows))
	for i, r := range rows {
		out[i] = line(r)
	}
	return out
}

func FuzzRead(f *testing.F) {
	for _, pattern := range []string{"../../testdata/medal/*.csv", "../../testdata/medal/variants/*.csv", "../../testdata/bad/*.csv"} {
		files, err := filepath.Glob(pattern)
		require.NoError(f, err)
		for _, file := range files {
			data, err := os.ReadFile(file)
			require.NoError(f, err)
			f.Add(data)
		}
	}
	f.Add([]byte("member_no,name\n1,\"a\n\"\"b,\"\r\n"))
	f.Fuzz(func(t *testing.T, data []byte) { check(t, data) })
}

// Random damage to a good file: bytes changed, cut out or put in.
func TestDamagedFiles(t *testing.T) {
	var good [][]byte
	for _, name := range []string{"course", "players", "entries", "cards", "variants/players-bom-semicolon-decimal-comma"} {
		data, err := os.ReadFile("../../testdata/medal/" + name + ".csv")
		require.NoError(t, err)
		good = append(good, data[:min(len(data), 2000)])
	}
	rapid.Check(t, func(t *rapid.T) {
		data := bytes.Clone(rapid.SampledFrom(good).Draw(t, "file"))
		for range rapid.IntRange(1, 8).Draw(t, "wounds") {
			at := rapid.IntRange(0, len(data)-1).Draw(t, "at")
			switch rapid.IntRange(0, 2).Draw(t, "how") {
			case 0:
				data[at] = rapid.Byte().Draw(t, "byte")
			case 1:
				data = append(data[:at], data[min(at+rapid.IntRange(1, 20).Draw(t, "cut"), len(data)):]...)
			default:
				put := rapid.SampledFrom([]string{"\"", ",", ";", "\n", "\r", "\"\"", "\x00", "\xef\xbb\xbf", "-", "9999999999999999999999"}).Draw(t, "put")
				data = append(data[:at], append([]byte(put), data[at:]...)...)
			}
			if len(data) == 0 {
				return
			}
		}
		check(t, data)
	})
}
