package board

import (
	"bytes"
	"encoding/json"
	"errors"
	"fmt"
	"maps"
	"reflect"
	"slices"

	"marram.example/events"
	"marram.example/projections/standing"
)

// Frame is what changed between two publications of a board. Putting it on the
// board of its Base makes the board of its Position.
type Frame struct {
	Heading                   // as it stands now
	Base    events.Position   `json:"base"`              // position of the board that the frame changes
	Changed []Row             `json:"changed"`           // rows that are new or say something else, whole
	Removed []int             `json:"removed"`           // numbers of the rows that are gone
	Spans   []Span            `json:"spans"`             // what moved in each ranking
	Matches []Match           `json:"matches,omitempty"` // matches that are new or say something else
	Table   []events.TableRow `json:"table,omitempty"`   // where it says something else
}

// Span is a stretch of a ranking that others stand on now: the rows numbered
// Rows, in order from From, with their positions.
type Span struct {
	Ranking   string   `json:"ranking"`
	From      int      `json:"from"` // order of the first one, from 0
	Rows      []int    `json:"rows"`
	Positions []string `json:"positions"` // "1", "T2"; empty without one
}

// ErrGap says that a frame does not follow the board that it is put on.
var ErrGap = errors.New("the frame does not follow this board")

// Patch puts a frame on a board, as every listener does. The board's rows are
// replaced, not changed in place. It fails with ErrGap where the frame is based
// on another position.
func (b *Board) Patch(f Frame) error {
	if f.Base != b.Position || f.CompetitionID != b.CompetitionID {
		return fmt.Errorf("%w: it changes position %d, the board stands at %d", ErrGap, f.Base, b.Position)
	}
	rows := make(map[int]Row, len(b.Rows))
	for _, r := range b.Rows {
		rows[r.No] = r
	}
	for _, n := range f.Removed {
		delete(rows, n)
	}
	for _, r := range f.Changed {
		rows[r.No] = r
	}
	copied := map[int]bool{}
	for _, s := range f.Spans {
		for i, n := range s.Rows {
			r, ok := rows[n]
			if !ok || i >= len(s.Positions) {
				return fmt.Errorf("frame of position %d: row %d of ranking %s is not on the board", f.Position, n, s.Ranking)
			}
			if !copied[n] {
				r.Places, copied[n] = maps.Clone(r.Places), true
				rows[n] = r
			}
			r.Places[s.Ranking] = standing.Place{Position: s.Positions[i], Order: s.From + i}
		}
	}
	b.Heading, b.Rows = f.Heading, make([]Row, 0, len(rows))
	for _, n := range slices.Sorted(maps.Keys(rows)) {
		b.Rows = append(b.Rows, rows[n])
	}
	b.patchMatches(f)
	if len(b.Rankings) > 0 {
		own := b.Rankings[0]
		slices.SortStableFunc(b.Rows, func(x, y Row) int { return x.Places[own].Order - y.Places[own].Order })
	}
	return nil
}

// patchMatches puts the matches of a frame in their places, the first round first.
func (b *Board) patchMatches(f Frame) {
	if len(f.Table) > 0 {
		b.Table = f.Table
	}
	matches := slices.Clone(b.Matches)
	for _, m := range f.Matches {
		if at := slices.IndexFunc(matches, func(o Match) bool { return o.MatchID == m.MatchID }); at >= 0 {
			matches[at] = m
		} else {
			matches = append(matches, m)
		}
	}
	b.Matches = matches
}

// line is one place of a ranking.
type line struct {
	row      int
	position string
}

// ranking lists the lines of one ranking in order.
func (b *Board) ranking(name string) []line {
	out := make([]line, 0, len(b.Rows))
	for _, r := range b.Rows {
		if p, ok := r.Places[name]; ok {
			if missing := p.Order + 1 - len(out); missing > 0 {
				out = append(out, make([]line, missing)...)
			}
			out[p.Order] = line{row: r.No, position: p.Position}
		}
	}
	return out
}

// between finds what changed from one board to the next.
func between(old, now *Board) Frame {
	f := Frame{Heading: now.Heading, Base: old.Position, Changed: []Row{}, Removed: []int{}, Spans: []Span{}}
	before := make(map[int]*Row, len(old.Rows))
	for i := range old.Rows {
		before[old.Rows[i].No] = &old.Rows[i]
	}
	terms := slices.Equal(old.Rankings, now.Rankings)
	for i := range now.Rows {
		r := &now.Rows[i]
		was := before[r.No]
		if was == nil || !terms || !saysSame(was, r) {
			f.Changed = append(f.Changed, *r)
		}
		delete(before, r.No)
	}
	if !reflect.DeepEqual(old.Table, now.Table) {
		f.Table = now.Table
	}
	for _, m := range now.Matches {
		if !slices.ContainsFunc(old.Matches, func(o Match) bool { return reflect.DeepEqual(o, m) }) {
			f.Matches = append(f.Matches, m)
		}
	}
	f.Removed = slices.AppendSeq(f.Removed, maps.Keys(before))
	slices.Sort(f.Removed)
	for _, name := range now.Rankings {
		if s, moved := span(name, old.ranking(name), now.ranking(name)); moved {
			f.Spans = append(f.Spans, s)
		}
	}
	return f
}

// saysSame compares two states of a row apart from its order in the rankings
// that it takes part in, which spans carry.
func saysSame(a, b *Row) bool {
	if len(a.Places) != len(b.Places) {
		return false
	}
	for name := range a.Places {
		if _, ok := b.Places[name]; !ok {
			return false
		}
	}
	x, y := *a, *b
	x.Places, y.Places = nil, nil
	return reflect.DeepEqual(x, y)
}

// span is the stretch in which two states of a ranking differ.
func span(name string, old, now []line) (Span, bool) {
	from := 0
	for from < len(old) && from < len(now) && old[from] == now[from] {
		from++
	}
	end := len(now)
	if len(old) == len(now) {
		for end > from && old[end-1] == now[end-1] {
			end--
		}
	}
	s := Span{Ranking: name, From: from, Rows: make([]int, 0, end-from), Positions: make([]string, 0, end-from)}
	for _, l := range now[from:end] {
		s.Rows, s.Positions = append(s.Rows, l.row), append(s.Positions, l.position)
	}
	return s, end > from
}

// The names of the server-sent events that carry a board.
const (
	EventBoard = "board" // data: a whole Board
	EventPatch = "patch" // data: a Frame
)

// encode writes one server-sent event (WHATWG HTML, server-sent events). JSON
// from encoding/json has no line break, so one data line holds it. A board
// without names has no id: who connects again gets it anew.
func encode(event string, h *Heading, v any) ([]byte, error) {
	body, err := json.Marshal(v)
	if err != nil {
		return nil, fmt.Errorf("encode %s of competition %s: %w", event, h.CompetitionID, err)
	}
	var b bytes.Buffer
	b.Grow(len(body) + 64)
	if !h.Unnamed {
		fmt.Fprintf(&b, "id: %d\n", h.Position)
	}
	fmt.Fprintf(&b, "event: %s\ndata: ", event)
	b.Write(body)
	b.WriteString("\n\n")
	return b.Bytes(), nil
}
