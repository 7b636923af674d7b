package strokes

import (
	"bytes"
	"fmt"
	"net/url"
	"strconv"
	"strings"
	"time"

	"marram.example/events"
	"marram.example/events/card"
)

// holeText is a hole of a ball as one text: number, par, length in metres, strokes
// received, and what player, marker and committee entered.
type holeText card.HoleLine

// MarshalText implements encoding.TextMarshaler.
func (h holeText) MarshalText() ([]byte, error) {
	return fmt.Appendf(nil, "%d,%d,%d,%d,%s,%s,%s", h.Number, h.Par, h.LengthM, h.Received, scoreText(h.Player), scoreText(h.Marker), scoreText(h.Committee)), nil
}

// UnmarshalText implements encoding.TextUnmarshaler.
func (h *holeText) UnmarshalText(text []byte) error {
	f := fields{rest: string(text)}
	h.Number, h.Par, h.LengthM, h.Received = f.int(), f.int(), f.int(), f.int()
	h.Player, h.Marker, h.Committee = scoreOf(f.next()), scoreOf(f.next()), scoreOf(f.next())
	return f.err
}

func scoreText(s events.Score) string {
	if s.None != "" || s.Strokes == 0 {
		return s.None
	}
	return strconv.Itoa(s.Strokes)
}

func scoreOf(text string) events.Score {
	if n, err := strconv.Atoi(text); err == nil {
		return events.Score{Strokes: n}
	}
	return events.Score{None: text}
}

// lines are the strokes of a card as one text, which JSON reads in one go: a stroke
// ends with a semicolon, and its fields with a comma, empty where nothing was said.
// Words are in their short form (codes).
// They are ball, hole, lie, distance, club, target, shape, commitment, time of the
// intent (unix milliseconds), milliseconds from there to the strike (without an intent
// its time), strike, finish (lie or "holed") and what is left, penalty, side and length
// of the miss with their metres, good enough (0 or 1), id.
type lines []card.StrokeLine

const holedOut = "holed"

// MarshalText implements encoding.TextMarshaler.
func (l lines) MarshalText() ([]byte, error) {
	w := writer{out: make([]byte, 0, 80*len(l))}
	for _, x := range l {
		w.stroke(x)
	}
	return w.out, nil
}

// UnmarshalText implements encoding.TextUnmarshaler.
func (l *lines) UnmarshalText(text []byte) error {
	*l = make(lines, bytes.Count(text, []byte{';'}))
	rest := string(text)
	for i := range *l {
		var one string
		one, rest, _ = strings.Cut(rest, ";")
		f := fields{rest: one}
		f.stroke(&(*l)[i])
		if f.err != nil {
			return f.err
		}
	}
	return nil
}

// writer writes fields, empty where a value is zero.
type writer struct{ out []byte }

// word writes a word of the model, or nothing.
func (w *writer) word(s string) { w.out = append(append(w.out, coded(s)...), ',') }

func (w *writer) int(n int) {
	if n != 0 {
		w.out = strconv.AppendInt(w.out, int64(n), 10)
	}
	w.out = append(w.out, ',')
}

func (w *writer) metres(m float64) {
	if m != 0 {
		w.out = strconv.AppendFloat(w.out, m, 'f', -1, 64)
	}
	w.out = append(w.out, ',')
}

// millis writes a time as milliseconds after another, which may be missing.
func (w *writer) millis(t, from time.Time) {
	if !t.IsZero() {
		n := t.UnixMilli()
		if !from.IsZero() {
			n -= from.UnixMilli()
		}
		w.out = strconv.AppendInt(w.out, n, 10)
	}
	w.out = append(w.out, ',')
}

func (w *writer) stroke(x card.StrokeLine) {
	w.int(x.Ball)
	w.int(x.Hole)
	w.word(x.Lie)
	w.metres(x.DistanceM)
	w.word(x.Club)
	w.word(x.Target)
	w.word(x.Shape)
	w.int(x.Commitment)
	w.millis(x.IntentAt, time.Time{})
	w.millis(x.StruckAt, x.IntentAt)
	w.word(x.Strike)
	switch f := x.Finish; {
	case f == nil:
		w.word("")
		w.word("")
	case f.Holed:
		w.word(holedOut)
		w.word("")
	default:
		w.word(f.Lie)
		w.metres(f.DistanceM)
	}
	w.int(x.Penalty)
	w.word(x.Miss.Side)
	w.metres(x.Miss.SideM)
	w.word(x.Miss.Length)
	w.metres(x.Miss.LengthM)
	switch {
	case x.GoodEnough == nil:
	case *x.GoodEnough:
		w.out = append(w.out, '1')
	default:
		w.out = append(w.out, '0')
	}
	w.out = append(append(append(w.out, ','), url.PathEscape(x.ID)...), ';')
}

func (f *fields) stroke(x *card.StrokeLine) {
	x.Ball, x.Hole, x.Lie, x.DistanceM = f.int(), f.int(), f.word(), f.metres()
	x.Club, x.Target, x.Shape, x.Commitment = f.word(), f.word(), f.word(), f.int()
	x.IntentAt = f.time(time.Time{})
	x.StruckAt, x.Strike = f.time(x.IntentAt), f.word()
	switch lie, left := f.word(), f.metres(); lie {
	case "":
	case holedOut:
		x.Finish = &events.Finish{Holed: true}
	default:
		x.Finish = &events.Finish{Lie: lie, DistanceM: left}
	}
	x.Penalty = f.int()
	x.Miss = events.Miss{Side: f.word(), SideM: f.metres(), Length: f.word(), LengthM: f.metres()}
	if good := f.next(); good != "" {
		yes := good == "1"
		x.GoodEnough = &yes
	}
	id, err := url.PathUnescape(f.rest)
	x.ID = id
	f.failed(err)
}

// fields reads a text field by field and keeps the first error.
type fields struct {
	rest string
	err  error
}

func (f *fields) next() string {
	var field string
	field, f.rest, _ = strings.Cut(f.rest, ",")
	return field
}

func (f *fields) word() string { return decoded(f.next()) }

func (f *fields) int() int {
	field := f.next()
	if field == "" {
		return 0
	}
	n, err := strconv.Atoi(field)
	f.failed(err)
	return n
}

func (f *fields) metres() float64 {
	field := f.next()
	if field == "" {
		return 0
	}
	m, err := strconv.ParseFloat(field, 64)
	f.failed(err)
	return m
}

// time reads milliseconds after a time, which may be missing.
func (f *fields) time(from time.Time) time.Time {
	field := f.next()
	if field == "" {
		return time.Time{}
	}
	n, err := strconv.ParseInt(field, 10, 64)
	f.failed(err)
	if !from.IsZero() {
		n += from.UnixMilli()
	}
	return time.UnixMilli(n).UTC()
}

func (f *fields) failed(err error) {
	if err != nil && f.err == nil {
		f.err = fmt.Errorf("read a packed card: %w", err)
	}
}
