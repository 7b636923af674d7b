package card

import (
	"bytes"
	"cmp"
	"fmt"
	"slices"

	"marram.example/events"
)

// StrokeLine is one stroke that the player logged.
type StrokeLine struct {
	ID   string `json:"id"`
	Ball int    `json:"ball"`
	Hole int    `json:"hole"` // its number on the course
	events.Stroke
}

// RecordStroke logs a stroke: at the end of a hole, or before another one of it.
type RecordStroke struct {
	StrokeID string // chosen by who asks; the same again changes nothing
	Ball     int
	Hole     int
	Before   string
	Stroke   events.Stroke
	Score    bool // the round takes entries: a hole that is whole now gets its score
}

// AmendStroke replaces what was logged of a stroke.
type AmendStroke struct {
	StrokeID string
	Stroke   events.Stroke
	Score    bool
}

// RemoveStroke takes a stroke off.
type RemoveStroke struct{ StrokeID string }

// LogHole logs all strokes of a hole at once, in order of play, in place of what
// stood there. An id that the hole knows keeps its stroke.
type LogHole struct {
	Ball    int
	Hole    int
	Strokes []StrokeLine // Ball and Hole are those of the command
	Score   bool
}

func (RecordStroke) command() {}
func (AmendStroke) command()  {}
func (RemoveStroke) command() {}
func (LogHole) command()      {}

// MostStrokes is how many strokes of one ball a hole can hold: more is a mistake.
const MostStrokes = 40

// StrokesOn lists the strokes logged of a ball on a hole, in order of play.
func (s *State) StrokesOn(ball, hole int) []StrokeLine {
	var out []StrokeLine
	for _, x := range s.Strokes {
		if x.Ball == ball && x.Hole == hole {
			out = append(out, x)
		}
	}
	return out
}

// StrokesScore is what the strokes of a ball on a hole add up to, penalties
// included, and whether that is the hole's score: they lead from the tee into the
// hole.
func (s *State) StrokesScore(ball, hole int) (n int, whole bool) {
	return scoreOf(s.StrokesOn(ball, hole))
}

func scoreOf(strokes []StrokeLine) (n int, whole bool) {
	for _, x := range strokes {
		n += 1 + x.Penalty
	}
	return n, len(strokes) > 0 && strokes[0].Lie == events.LieTee && holed(strokes[len(strokes)-1])
}

func holed(x StrokeLine) bool { return x.Finish != nil && x.Finish.Holed }

// StrokesDiffer reports whether the strokes of a ball on a hole add up to another
// score than what the player entered there; where the player entered nothing, or the
// committee settled the hole, than what counts. Penalty strokes that the committee
// put on a hole stand beside its score, and are no part of either.
func (s *State) StrokesDiffer(ball, hole int) bool {
	n, whole := s.StrokesScore(ball, hole)
	i, ok := s.Line(hole)
	if !whole || !ok {
		return false
	}
	h := s.Lines(ball)[i]
	entered := h.Player
	if !entered.Entered() || h.Committee.Entered() {
		entered = h.Counting()
	}
	return entered.Entered() && !h.Excluded() && entered.Strokes != n
}

// stroke finds a logged stroke, or gives -1.
func (s *State) stroke(id string) int {
	return slices.IndexFunc(s.Strokes, func(x StrokeLine) bool { return x.ID == id })
}

// Stroke finds a logged stroke by its id.
func (s *State) Stroke(id string) (StrokeLine, bool) {
	if i := s.stroke(id); i >= 0 {
		return s.Strokes[i], true
	}
	return StrokeLine{}, false
}

func recordStroke(s *State, c RecordStroke) ([]events.Event, error) {
	if err := onHole(s, c.Ball, c.Hole); err != nil {
		return nil, err
	}
	line := StrokeLine{ID: c.StrokeID, Ball: c.Ball, Hole: c.Hole, Stroke: c.Stroke}
	if at := s.stroke(c.StrokeID); at >= 0 {
		if sameStroke(s.Strokes[at], line) {
			return nil, nil
		}
		return nil, events.Conflict("stroke_id", "taken", "another stroke of this card has this id")
	}
	if c.Before != "" {
		if at := s.stroke(c.Before); at < 0 || s.Strokes[at].Ball != c.Ball || s.Strokes[at].Hole != c.Hole {
			return nil, events.Invalid("before", "unknown", "this hole has no such stroke")
		}
	}
	return withScore(s, line, c.Score, events.StrokeRecorded{
		StrokeID: c.StrokeID, Ball: c.Ball, Hole: c.Hole, Before: c.Before, Stroke: c.Stroke,
	})
}

func amendStroke(s *State, c AmendStroke) ([]events.Event, error) {
	at := s.stroke(c.StrokeID)
	if at < 0 {
		return nil, events.NotFound("stroke_id", "this card has no such stroke")
	}
	was := s.Strokes[at]
	if sameStroke(was, StrokeLine{ID: was.ID, Ball: was.Ball, Hole: was.Hole, Stroke: c.Stroke}) {
		return nil, nil
	}
	return withScore(s, was, c.Score, events.StrokeAmended{StrokeID: c.StrokeID, Stroke: c.Stroke})
}

func removeStroke(s *State, c RemoveStroke) ([]events.Event, error) {
	at := s.stroke(c.StrokeID)
	if at < 0 {
		return nil, events.NotFound("stroke_id", "this card has no such stroke")
	}
	was := s.Strokes[at]
	return withScore(s, was, false, events.StrokeRemoved{StrokeID: c.StrokeID})
}

// logHole leads from what stands to what is wanted: strokes that stay, and that stand
// in the wanted order, keep their events.
func logHole(s *State, c LogHole) ([]events.Event, error) {
	if err := onHole(s, c.Ball, c.Hole); err != nil {
		return nil, err
	}
	var wanted []string
	for i, x := range c.Strokes {
		if slices.Contains(wanted, x.ID) {
			return nil, events.Invalid(fmt.Sprintf("strokes[%d].stroke_id", i), "twice", "a stroke is listed once")
		}
		wanted = append(wanted, x.ID)
		if at := s.stroke(x.ID); at >= 0 && (s.Strokes[at].Ball != c.Ball || s.Strokes[at].Hole != c.Hole) {
			return nil, events.Conflict(fmt.Sprintf("strokes[%d].stroke_id", i), "taken", "this stroke stands on another hole")
		}
	}
	var out []events.Event
	keep := s.kept(c, wanted)
	for _, x := range s.StrokesOn(c.Ball, c.Hole) {
		if !keep[x.ID] {
			out = append(out, events.StrokeRemoved{StrokeID: x.ID})
		}
	}
	for i, x := range c.Strokes {
		if at := s.stroke(x.ID); at >= 0 && keep[x.ID] {
			if !sameStroke(s.Strokes[at], StrokeLine{ID: x.ID, Ball: c.Ball, Hole: c.Hole, Stroke: x.Stroke}) {
				out = append(out, events.StrokeAmended{StrokeID: x.ID, Stroke: x.Stroke})
			}
			continue
		}
		out = append(out, events.StrokeRecorded{StrokeID: x.ID, Ball: c.Ball, Hole: c.Hole, Before: nextKept(wanted[i+1:], keep), Stroke: x.Stroke})
	}
	if len(out) == 0 {
		return nil, nil
	}
	return withScore(s, StrokeLine{Ball: c.Ball, Hole: c.Hole}, c.Score, out...)
}

// kept are the wanted strokes that stand in the wanted order already, taken from the
// front; a stroke that was moved is taken off and put in again.
func (s *State) kept(c LogHole, wanted []string) map[string]bool {
	keep := map[string]bool{}
	last := -1
	for _, x := range s.StrokesOn(c.Ball, c.Hole) {
		if at := slices.Index(wanted, x.ID); at > last {
			keep[x.ID], last = true, at
		}
	}
	return keep
}

// nextKept is the first of the later strokes that stands already: a new one goes
// before it.
func nextKept(later []string, keep map[string]bool) string {
	if i := slices.IndexFunc(later, func(id string) bool { return keep[id] }); i >= 0 {
		return later[i]
	}
	return ""
}

// onHole makes sure that the card has the ball and the hole.
func onHole(s *State, ball, hole int) error {
	if !s.hasBall(ball) {
		return noSuchBall(ball)
	}
	if _, ok := s.Line(hole); !ok {
		return events.Invalid("hole", "not_in_play", fmt.Sprintf("hole %d is not on this card", hole))
	}
	return nil
}

// withScore makes sure that the hole makes sense after the events, and adds the
// score that follows from a whole hole: never over a value of the player's, never
// where the committee settled the hole or somebody has certified, and never once the
// card is handed in. Strokes leave signatures alone: they stand for hole scores.
func withScore(s *State, about StrokeLine, score bool, out ...events.Event) ([]events.Event, error) {
	after := apply(s, out)
	strokes := after.StrokesOn(about.Ball, about.Hole)
	if err := checkStrokes(strokes, about.ID); err != nil {
		return nil, err
	}
	n, whole := scoreOf(strokes)
	i, _ := s.Line(about.Hole)
	h := s.Lines(about.Ball)[i]
	if whole && score && n <= MaxStrokes && !h.Player.Entered() && !h.Committee.Entered() && !s.Returned && s.Ruled == "" && !s.CertifiedPlayer && !s.CertifiedMarker {
		out = append(out, events.HoleScored{Ball: about.Ball, Hole: about.Hole, Score: events.Score{Strokes: n}, By: events.RolePlayer})
	}
	return out, nil
}

// sameStroke compares what two lines say. Words are the same where the sealed bytes
// are: who asks seals words anew only where they changed.
func sameStroke(a, b StrokeLine) bool {
	return a.ID == b.ID && a.Ball == b.Ball && a.Hole == b.Hole && bytes.Equal(a.Words, b.Words) &&
		a.Lie == b.Lie && a.DistanceM == b.DistanceM && a.Club == b.Club && a.Target == b.Target && a.Shape == b.Shape && a.Commitment == b.Commitment &&
		a.IntentAt.Equal(b.IntentAt) && a.StruckAt.Equal(b.StruckAt) && a.Strike == b.Strike && same(a.Finish, b.Finish) &&
		a.Penalty == b.Penalty && a.Miss == b.Miss && same(a.GoodEnough, b.GoodEnough)
}

func same[T comparable](a, b *T) bool { return a == b || a != nil && b != nil && *a == *b }

// unplay takes a stroke off.
func (s *State) unplay(id string) {
	if s.Strokes = slices.DeleteFunc(s.Strokes, func(x StrokeLine) bool { return x.ID == id }); len(s.Strokes) == 0 {
		s.Strokes = nil
	}
}

// EvolveScores is Evolve for who has no use for strokes: it leaves them out.
func EvolveScores(s *State, e events.Event) {
	if !events.AboutStrokes(e) {
		Evolve(s, e)
	}
}

// play puts a stroke into the order of its hole.
func (s *State) play(e events.StrokeRecorded) {
	line := StrokeLine{ID: e.StrokeID, Ball: e.Ball, Hole: e.Hole, Stroke: e.Stroke}
	at := len(s.Strokes)
	if before := s.stroke(e.Before); e.Before != "" && before >= 0 {
		at = before
	} else if next, found := slices.BinarySearchFunc(s.Strokes, line, func(x, y StrokeLine) int {
		return cmp.Or(cmp.Compare(x.Ball, y.Ball), cmp.Compare(x.Hole, y.Hole), -1) // after its own hole
	}); !found {
		at = next
	}
	s.Strokes = slices.Insert(s.Strokes, at, line)
}
