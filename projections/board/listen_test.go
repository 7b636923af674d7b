package board_test

import (
	"bytes"
	"context"
	"encoding/json"
	"fmt"
	"math/rand/v2"
	"strconv"
	"strings"
	"testing"
	"testing/synctest"
	"time"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"marram.example/events"
	"marram.example/projections/board"
	"marram.example/projections/board/boardtest"
)

// viewer keeps a board from what it is sent, as a page does.
type viewer struct {
	board  board.Board
	lastID events.Position
	wholes int
	frames int
}

// receive reads one server-sent event.
func (v *viewer) receive(data []byte) error {
	var event string
	for _, l := range strings.Split(strings.TrimSuffix(string(data), "\n\n"), "\n") {
		field, value, _ := strings.Cut(l, ": ")
		switch field {
		case "id":
			id, err := strconv.ParseUint(value, 10, 64)
			if err != nil {
				return err
			}
			v.lastID = events.Position(id)
		case "event":
			event = value
		case "data":
			if err := v.show(event, []byte(value)); err != nil {
				return err
			}
		default:
			return fmt.Errorf("unexpected field %q", field)
		}
	}
	return nil
}

func (v *viewer) show(event string, data []byte) error {
	switch event {
	case board.EventBoard:
		v.wholes++
		v.board = board.Board{}
		return json.Unmarshal(data, &v.board)
	case board.EventPatch:
		v.frames++
		var f board.Frame
		if err := json.Unmarshal(data, &f); err != nil {
			return err
		}
		if f.Position <= v.board.Position {
			return fmt.Errorf("position %d twice", f.Position)
		}
		return v.board.Patch(f)
	default:
		return fmt.Errorf("unexpected event %q", event)
	}
}

// same compares two boards as they are shown.
func same(want, got board.Board) error {
	w, err := json.Marshal(want)
	if err != nil {
		return err
	}
	g, err := json.Marshal(got)
	if err != nil {
		return err
	}
	if !bytes.Equal(w, g) {
		return fmt.Errorf("position %d:\nwant %s\ngot  %s", want.Position, w, g)
	}
	return nil
}

// waiting takes what a subscription has, without waiting for more.
func waiting(s *board.Subscription) []board.Message {
	over, cancel := context.WithCancel(context.Background())
	cancel()
	var out []board.Message
	for {
		m, err := s.Next(over)
		if err != nil {
			return out
		}
		out = append(out, m...)
	}
}

// watched plays a random competition while viewers come, go, sleep and return.
type watched struct {
	r       *rand.Rand
	boards  *board.Boards
	comp    *boardtest.Competition
	viewers []*viewer
	subs    []*board.Subscription
}

func (w *watched) step() error {
	for range 1 + w.r.IntN(4) {
		w.comp.Random(w.r)
	}
	pending := w.comp.Club.Log.After(w.boards.Position())
	if len(pending) > 0 {
		if err := w.boards.Apply(pending[:1+w.r.IntN(len(pending))]); err != nil {
			return err
		}
	}
	if w.r.IntN(3) > 0 {
		time.Sleep(time.Duration(w.r.IntN(60)) * time.Millisecond) // the bubble's clock
		synctest.Wait()
	}
	i := w.r.IntN(len(w.viewers))
	switch w.r.IntN(6) {
	case 0: // the line breaks; what was under way is lost
		if w.subs[i] != nil {
			w.subs[i].Close()
			w.subs[i] = nil
		}
	case 1: // asleep
	default:
		return w.read(i)
	}
	return nil
}

// read connects where there is no connection and takes in what came.
func (w *watched) read(i int) error {
	v := w.viewers[i]
	if w.subs[i] == nil {
		s, err := w.boards.Subscribe(context.Background(), w.comp.ID, v.lastID)
		if err != nil {
			return err
		}
		w.subs[i] = s
	}
	for _, m := range waiting(w.subs[i]) {
		if err := v.receive(m.Data); err != nil {
			return err
		}
		if m.Position != v.board.Position || v.lastID != m.Position {
			return fmt.Errorf("message of position %d leads to %d", m.Position, v.board.Position)
		}
		past, err := w.boards.AsOf(context.Background(), w.comp.ID, m.Position)
		if err != nil {
			return err
		}
		// A change of a name is no event of the competition.
		past.Position, past.AsOf = v.board.Position, v.board.AsOf
		if err := same(past, v.board); err != nil {
			return fmt.Errorf("as of: %w", err)
		}
	}
	return nil
}

func (w *watched) finish() error {
	if err := w.boards.Apply(w.comp.Club.Log.After(w.boards.Position())); err != nil {
		return err
	}
	time.Sleep(time.Second)
	synctest.Wait()
	now, _ := w.boards.Snapshot(context.Background(), w.comp.ID)
	for i := range w.viewers {
		if err := w.read(i); err != nil {
			return err
		}
		if err := same(now, w.viewers[i].board); err != nil {
			return fmt.Errorf("viewer %d at the end: %w", i, err)
		}
		w.subs[i].Close()
	}
	return nil
}

func TestViewerHasTheServersBoardWhateverTheLineDoes(t *testing.T) {
	t.Parallel()
	frames, wholes := 0, 0
	rapid.Check(t, func(rt *rapid.T) {
		seed := rapid.Uint64().Draw(rt, "seed")
		players := rapid.IntRange(1, 6).Draw(rt, "players")
		steps := rapid.IntRange(1, 30).Draw(rt, "steps")
		change := rapid.SampledFrom(changes).Draw(rt, "terms")
		queue := rapid.IntRange(1, 8).Draw(rt, "queue")
		var failed error
		synctest.Test(t, func(t *testing.T) {
			names := func(_ context.Context, ids []string, at events.Position) (map[string]string, error) {
				out := map[string]string{}
				for _, id := range ids {
					out[id] = "Player " + id
				}
				return out, nil
			}
			club := boardtest.NewClub()
			w := &watched{
				r: rand.New(rand.NewPCG(seed, 1)), comp: boardtest.Play(t, club, boardtest.Options{Players: players, Change: change.change}),
				boards:  board.New(board.Options{History: club.Log.Competition, Queue: queue, Recent: 12, Names: names}),
				viewers: []*viewer{{}, {}, {}}, subs: make([]*board.Subscription, 3),
			}
			defer w.boards.Close()
			if failed = w.boards.Apply(club.Log.After(0)); failed != nil {
				return
			}
			for range steps {
				if failed = w.step(); failed != nil {
					return
				}
			}
			failed = w.finish()
			for _, v := range w.viewers {
				frames, wholes = frames+v.frames, wholes+v.wholes
			}
		})
		if failed != nil {
			rt.Fatal(failed)
		}
	})
	require.Positive(t, frames)
	require.Positive(t, wholes)
	t.Logf("%d frames and %d whole boards received", frames, wholes)
}

// changes are terms to play under.
var changes = []struct {
	name   string
	change func(*events.Terms)
}{
	{"net medal", nil},
	{"gross medal", func(t *events.Terms) { t.Ranking = "gross" }},
	{"Stableford", func(t *events.Terms) { t.Format, t.ParDifference = "stableford", false }},
	{"nine holes, ties shared, initials", func(t *events.Terms) {
		t.Holes, t.TieMethod, t.NamesAs = t.Holes[9:], "shared", "initials"
	}},
	{"no divisions, share as allocated", func(t *events.Terms) { t.Divisions, t.TieShare = nil, "as_allocated" }},
}
