package csvfile

import (
	"bytes"
	"encoding/csv"
	"errors"
	"fmt"
	"io"
	"slices"
	"strings"
	"unicode/utf8"
)

// MaxBytes is the size up to which a file is read.
const MaxBytes = 4 << 20

// File is what was read of one file besides its rows.
type File struct {
	Problems
	Table      Table
	Rows       int // data rows: lines that hold something, besides the header
	HeaderLine int // line of the header; 0 where there is none
	at         map[string]int
	width      int
}

// Has reports whether the file has a column.
func (f *File) Has(column string) bool {
	_, ok := f.at[column]
	return ok
}

// Load reads the bytes of a file, at most one more than MaxBytes.
func Load(r io.Reader) ([]byte, error) {
	data, err := io.ReadAll(io.LimitReader(r, MaxBytes+1))
	if err != nil {
		return nil, fmt.Errorf("read the file: %w", err)
	}
	return data, nil
}

// record is one row, its cells in the order of the file.
type record struct {
	line  int
	cells []string
}

// open finds the header, in lower case, and the reader behind it. It reports
// false where it found a problem.
func (f *File) open(data []byte) (header []string, r *csv.Reader, ok bool) {
	whole := func(code, detail string) { f.Add(Problem{Code: code, Detail: detail}) }
	switch {
	case len(data) > MaxBytes:
		whole("too_large", fmt.Sprintf("the file is larger than %d MiB", MaxBytes>>20))
		return nil, nil, false
	case bytes.HasPrefix(data, []byte{0xFF, 0xFE}), bytes.HasPrefix(data, []byte{0xFE, 0xFF}):
		whole("not_utf8", "the file is UTF-16; save it as UTF-8")
		return nil, nil, false
	}
	data = bytes.TrimPrefix(data, []byte("\xEF\xBB\xBF"))
	if len(bytes.TrimSpace(data)) == 0 {
		whole("empty", "the file is empty")
		return nil, nil, false
	}
	if !bytes.ContainsRune(data, '\n') && bytes.ContainsRune(data, '\r') {
		whole("line_ends", "the lines end in CR alone; save the file with LF or CRLF")
		return nil, nil, false
	}
	r = csv.NewReader(bytes.NewReader(data))
	r.Comma = sniff(data)
	r.FieldsPerRecord = -1 // counted here, to say which line has too many
	r.TrimLeadingSpace = true
	first, ok := f.next(r, data)
	if !ok {
		return nil, nil, false
	}
	f.HeaderLine, f.width = first.line, len(first.cells)
	for i, name := range first.cells {
		if !utf8.ValidString(name) {
			f.Add(notUTF8(first.line, fmt.Sprintf("column %d", i+1), name))
			ok = false
		}
		header = append(header, strings.ToLower(strings.TrimSpace(name)))
	}
	for len(header) > 0 && header[len(header)-1] == "" {
		header = header[:len(header)-1]
	}
	return header, r, ok
}

// sniff tells commas from semicolons by the first line that holds something.
func sniff(data []byte) rune {
	line, _, _ := bytes.Cut(bytes.TrimLeft(data, "\r\n"), []byte("\n"))
	quoted, commas, semicolons := false, 0, 0
	for _, b := range line {
		switch {
		case b == '"':
			quoted = !quoted
		case quoted:
		case b == ',':
			commas++
		case b == ';':
			semicolons++
		}
	}
	if semicolons > commas {
		return ';'
	}
	return ','
}

// next reads a record. It reports false at the end and after a problem that
// makes the rest unreadable.
func (f *File) next(r *csv.Reader, data []byte) (record, bool) {
	cells, err := r.Read()
	if errors.Is(err, io.EOF) {
		return record{}, false
	}
	if err != nil {
		f.Add(f.unreadable(err, data, r.Comma))
		return record{}, false
	}
	line, _ := r.FieldPos(0)
	return record{line: line, cells: cells}, true
}

// unreadable names the value with the quotation mark that broke a record.
func (f *File) unreadable(err error, data []byte, comma rune) Problem {
	var p *csv.ParseError
	if !errors.As(err, &p) {
		return Problem{Code: "unreadable", Detail: err.Error()}
	}
	row, field := p.Line, fieldAt(data, p.StartLine, p.Line, p.Column, byte(comma))
	detail := `a quotation mark stands inside a value; put the whole value in quotation marks and double the one inside`
	if errors.Is(p.Err, csv.ErrQuote) {
		row, field = openQuote(data, p.StartLine, byte(comma))
		detail = "the quotation mark is never closed, or something follows after it was"
	}
	return Problem{Row: row, Column: f.nameOf(field), Code: "quote", Detail: detail}
}

// nameOf is the name of a column by its place; empty where it has none.
func (f *File) nameOf(field int) string {
	for _, c := range f.Table.Columns {
		if at, ok := f.at[c.Name]; ok && at == field {
			return c.Name
		}
	}
	return ""
}

// read cuts a file into records under the columns of a table.
func read(data []byte, t Table) (*File, []record) {
	f := &File{Table: t}
	header, r, ok := f.open(data)
	if !ok || !f.columns(header) {
		return f, nil
	}
	var out []record
	seen := 0
	for {
		rec, ok := f.next(r, data)
		if !ok {
			break
		}
		if blank(rec.cells) {
			continue
		}
		if seen++; seen > t.MaxRows {
			f.Rows = seen
			f.Add(Problem{Row: rec.line, Code: "too_many_rows", Detail: fmt.Sprintf("a %s file has at most %d rows; split it", t.Name, t.MaxRows)})
			return f, nil
		}
		if f.fits(rec) {
			out = append(out, rec)
		}
	}
	f.Rows = seen
	if seen == 0 && len(f.list) == 0 {
		f.Add(Problem{Code: "no_rows", Detail: "nothing stands under the header"})
	}
	return f, out
}

func blank(cells []string) bool {
	return !slices.ContainsFunc(cells, func(c string) bool { return strings.TrimSpace(c) != "" })
}

// columns places the columns of the header. It reports false where it found a
// problem, since no cell can be read then.
func (f *File) columns(header []string) bool {
	f.at = make(map[string]int, len(header))
	for i, name := range header {
		p := Problem{Row: f.HeaderLine, Column: clip(name)}
		_, twice := f.at[name]
		_, known := f.Table.Column(name)
		switch {
		case name == "":
			p.Code, p.Detail = "unnamed_column", fmt.Sprintf("column %d has no name", i+1)
		case twice:
			p.Code, p.Detail = "duplicate_column", fmt.Sprintf("the column %s stands twice", clip(name))
		case !known:
			p.Code, p.Detail = "unknown_column", fmt.Sprintf("a %s file has no column %s; it has %s", f.Table.Name, clip(name), f.Table.names())
		}
		if p.Code != "" {
			f.Add(p)
			continue
		}
		f.at[name] = i
	}
	for _, c := range f.Table.Columns {
		if _, ok := f.at[c.Name]; !ok && c.Required {
			f.Missing(c.Name)
		}
	}
	return len(f.list) == 0
}

// Missing says that a column is not there.
func (f *File) Missing(column string) {
	f.Add(Problem{Row: f.HeaderLine, Column: column, Code: "missing_column", Detail: fmt.Sprintf("the column %s is missing", column)})
}

// fits checks the number of cells and that they are text.
func (f *File) fits(rec record) bool {
	if n := len(rec.cells); n < f.width || n > f.width && !blank(rec.cells[f.width:]) {
		f.Add(Problem{
			Row: rec.line, Code: "field_count",
			Detail: fmt.Sprintf("%d values under %d columns; a value with a comma or semicolon in it needs quotation marks around it", n, f.width),
		})
		return false
	}
	ok := true
	for _, c := range f.Table.Columns {
		if at, there := f.at[c.Name]; there && !utf8.ValidString(rec.cells[at]) {
			f.Add(notUTF8(rec.line, c.Name, rec.cells[at]))
			ok = false
		}
	}
	return ok
}

func notUTF8(line int, column, cell string) Problem {
	bad := byte(0)
	for i := 0; i < len(cell); {
		r, n := utf8.DecodeRuneInString(cell[i:])
		if r == utf8.RuneError && n == 1 {
			bad = cell[i]
			break
		}
		i += n
	}
	return Problem{
		Row: line, Column: column, Code: "not_utf8",
		Detail: fmt.Sprintf("the byte %02X is not UTF-8; save the file as UTF-8, so that accented letters stay what they are", bad),
	}
}
