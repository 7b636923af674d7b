package strokes

import (
	"fmt"
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

// oneText is a stroke as one text, empty where nothing was said: ball, hole, lie,
// distance, club, target, shape, commitment, time of intent and strike (unix
// milliseconds), strike, finish (lie or "holed") and what is left, penalty, side and
// length of the miss with their metres, good enough (0 or 1), id.
type oneText card.StrokeLine

const holedOut = "holed"

// MarshalText implements encoding.TextMarshaler.
func (x oneText) MarshalText() ([]byte, error) {
	out := make([]byte, 0, 96)
	text := func(s string) { out = append(append(out, s...), ',') }
	whole := func(n int64) {
		if n != 0 {
			out = strconv.AppendInt(out, n, 10)
		}
		out = append(out, ',')
	}
	metres := func(m float64) {
		if m != 0 {
			out = strconv.AppendFloat(out, m, 'f', -1, 64)
		}
		out = append(out, ',')
	}
	whole(int64(x.Ball))
	whole(int64(x.Hole))
	text(x.Lie)
	metres(x.DistanceM)
	text(x.Club)
	text(x.Target)
	text(x.Shape)
	whole(int64(x.Commitment))
	whole(millis(x.IntentAt))
	whole(millis(x.StruckAt))
	text(x.Strike)
	switch f := x.Finish; {
	case f == nil:
		out = append(out, ",,"...)
	case f.Holed:
		text(holedOut)
		out = append(out, ',')
	default:
		text(f.Lie)
		metres(f.DistanceM)
	}
	whole(int64(x.Penalty))
	text(x.Miss.Side)
	metres(x.Miss.SideM)
	text(x.Miss.Length)
	metres(x.Miss.LengthM)
	if g := x.GoodEnough; g != nil && *g {
		out = append(out, '1')
	} else if g != nil {
		out = append(out, '0')
	}
	return append(append(out, ','), x.ID...), nil
}

// UnmarshalText implements encoding.TextUnmarshaler.
func (x *oneText) UnmarshalText(text []byte) error {
	f := fields{rest: string(text)}
	x.Ball, x.Hole, x.Lie, x.DistanceM = f.int(), f.int(), f.next(), f.metres()
	x.Club, x.Target, x.Shape, x.Commitment = f.next(), f.next(), f.next(), f.int()
	x.IntentAt, x.StruckAt, x.Strike = f.time(), f.time(), f.next()
	switch lie, left := f.next(), f.metres(); lie {
	case "":
	case holedOut:
		x.Finish = &events.Finish{Holed: true}
	default:
		x.Finish = &events.Finish{Lie: lie, DistanceM: left}
	}
	x.Penalty = f.int()
	x.Miss = events.Miss{Side: f.next(), SideM: f.metres(), Length: f.next(), LengthM: f.metres()}
	if good := f.next(); good != "" {
		x.GoodEnough = new(bool)
		*x.GoodEnough = good == "1"
	}
	x.ID = f.rest
	return f.err
}

func millis(t time.Time) int64 {
	if t.IsZero() {
		return 0
	}
	return t.UnixMilli()
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

func (f *fields) int() int {
	field := f.next()
	if field == "" {
		return 0
	}
	n, err := strconv.Atoi(field)
	if err != nil && f.err == nil {
		f.err = fmt.Errorf("read a stroke: %w", err)
	}
	return n
}

func (f *fields) metres() float64 {
	field := f.next()
	if field == "" {
		return 0
	}
	m, err := strconv.ParseFloat(field, 64)
	if err != nil && f.err == nil {
		f.err = fmt.Errorf("read a stroke: %w", err)
	}
	return m
}

func (f *fields) time() time.Time {
	if n := f.int(); n != 0 {
		return time.UnixMilli(int64(n)).UTC()
	}
	return time.Time{}
}
