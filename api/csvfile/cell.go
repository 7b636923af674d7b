package csvfile

import (
	"errors"
	"fmt"
	"regexp"
	"strconv"
	"strings"
	"time"
	"unicode"

	"marram.example/events"
	"marram.example/projections/handicap"
)

// row reads the cells of one record; ok turns false with the first problem.
type row struct {
	f   *File
	rec record
	ok  bool
}

// get is the text of a cell; a column that is not there is blank.
func (r *row) get(column string) string {
	at, ok := r.f.at[column]
	if !ok {
		return ""
	}
	return strings.TrimSpace(r.rec.cells[at])
}

func (r *row) fail(column, code, rule, format string, args ...any) {
	r.ok = false
	r.f.Add(Problem{Row: r.rec.line, Column: column, Code: code, Rule: rule, Detail: fmt.Sprintf(format, args...)})
}

// value is the text of a cell. It reports false for a blank one, and refuses
// that where the column is required.
func (r *row) value(column string) (string, bool) {
	text := r.get(column)
	if text == "" {
		if c, _ := r.f.Table.Column(column); c.Required {
			r.fail(column, "required", "", "%s is empty", column)
		}
		return "", false
	}
	return text, true
}

// text is a value as people write it.
func (r *row) text(column string) string {
	text, _ := r.value(column)
	if strings.ContainsFunc(text, func(c rune) bool { return unicode.IsControl(c) && !unicode.IsSpace(c) }) {
		r.fail(column, "control_character", "", "%s holds a character that cannot be seen", column)
	}
	return strings.Join(strings.Fields(text), " ")
}

var digits = regexp.MustCompile(`^-?[0-9]+$`)

// whole is a whole number within the limits of its column; 0 where blank.
func (r *row) whole(column string) int {
	text, given := r.value(column)
	if !given {
		return 0
	}
	n, err := wholeNumber(r.f.Table, column, text)
	if err != nil {
		r.fail(column, err.Code, err.Rule, "%s", err.Detail)
	}
	return n
}

// wholeNumber reads a whole number within the limits of a column.
func wholeNumber(t Table, column, text string) (int, *events.Error) {
	c, _ := t.Column(column)
	if !digits.MatchString(text) {
		return 0, events.Invalid(column, "malformed", fmt.Sprintf("%q is not a whole number", clip(text))).WithRule(c.Rule)
	}
	n, err := strconv.Atoi(text)
	if err != nil || n < c.Min || n > c.Max {
		return 0, events.Invalid(column, "out_of_range", fmt.Sprintf("%s lies outside %d to %d", clip(text), c.Min, c.Max)).WithRule(c.Rule)
	}
	return n, nil
}

// clip keeps what is quoted in a sentence short.
func clip(text string) string {
	const most = 40
	if r := []rune(text); len(r) > most {
		return string(r[:most]) + "…"
	}
	return text
}

// index is a handicap index in tenths; nil where blank.
func (r *row) index(column string) *int {
	text, given := r.value(column)
	if !given {
		return nil
	}
	i, err := handicap.ParseIndex(clip(text))
	if err != nil {
		r.arithmetic(column, err)
		return nil
	}
	tenths := int(i)
	return &tenths
}

// rating is a course rating in tenths; 0 where blank.
func (r *row) rating(column string) int {
	text, given := r.value(column)
	if !given {
		return 0
	}
	v, err := handicap.ParseRating(clip(text))
	if err != nil {
		r.arithmetic(column, err)
	}
	return int(v)
}

var decimals = regexp.MustCompile(`^(-?)([0-9]{1,3})(?:[.,]([0-9]{1,4}))?$`)

// exact is a number with at most four decimals as num/den, den a power of ten.
func (r *row) exact(column string) (num, den int64) {
	text, given := r.value(column)
	if !given {
		return 0, 1
	}
	parts := decimals.FindStringSubmatch(strings.ReplaceAll(text, "\u2212", "-"))
	if parts == nil {
		r.fail(column, "malformed", "", "%q is not a number with at most four decimals", clip(text))
		return 0, 1
	}
	den = 1
	for range parts[3] {
		den *= 10
	}
	num, err := strconv.ParseInt(parts[1]+parts[2]+parts[3], 10, 64)
	if err != nil { // eight digits: never
		r.fail(column, "malformed", "", "%q is not a number", clip(text))
	}
	return num, den
}

// arithmetic passes on a refusal of the handicap package.
func (r *row) arithmetic(column string, err error) {
	var in *handicap.InputError
	if !errors.As(err, &in) {
		r.fail(column, "malformed", "", "%s", err)
		return
	}
	code := "malformed"
	if in.Rule != "" {
		code = "out_of_range"
	}
	r.fail(column, code, in.Rule, "%s", in.Problem)
}

// date is a day as YYYY-MM-DD; empty where blank.
func (r *row) date(column string) string {
	text, given := r.value(column)
	if !given {
		return ""
	}
	if _, err := time.Parse(time.DateOnly, text); err != nil {
		r.fail(column, "malformed", "", "%q is not a day of the calendar; a date is written YYYY-MM-DD", clip(text))
	}
	return text
}

// score is what a card says for a hole; the zero score where blank.
func (r *row) score(column string) events.Score {
	text, given := r.value(column)
	switch {
	case !given:
		return events.Score{}
	case strings.EqualFold(text, "PU"):
		return events.Score{None: events.PickedUp}
	}
	n, err := wholeNumber(r.f.Table, column, text)
	if err != nil {
		detail := err.Detail
		if err.Code == "malformed" {
			detail += "; write strokes, PU for picked up, or nothing"
		}
		r.fail(column, err.Code, err.Rule, "%s", detail)
	}
	return events.Score{Strokes: n}
}

// oneOf is a word out of a few, in upper case; empty where blank.
func (r *row) oneOf(column string, words ...string) string {
	text, given := r.value(column)
	if !given {
		return ""
	}
	for _, w := range words {
		if strings.EqualFold(text, w) {
			return w
		}
	}
	c, _ := r.f.Table.Column(column)
	r.fail(column, "unknown", c.Rule, "%q is none of %s; leave it blank for a returned card", clip(text), strings.Join(words, ", "))
	return ""
}
