package board

import (
	"fmt"
	"math/rand/v2"
	"testing"

	"pgregory.net/rapid"

	"marram.example/events"
	"marram.example/projections/board/boardtest"
	"marram.example/projections/scoring"
)

// The place that a movement counts from is the place that the whole ranking gives.
func TestPlaceIsTheOneThatTheRankingGives(t *testing.T) {
	t.Parallel()
	rapid.Check(t, func(rt *rapid.T) {
		r := rand.New(rand.NewPCG(rapid.Uint64().Draw(rt, "seed"), 2))
		stableford := rapid.Bool().Draw(rt, "stableford")
		shared := rapid.Bool().Draw(rt, "shared")
		club := boardtest.NewClub()
		c := boardtest.Play(t, club, boardtest.Options{Players: rapid.IntRange(2, 12).Draw(rt, "players"), Change: func(t *events.Terms) {
			if stableford {
				t.Format, t.ParDifference = "stableford", false
			}
			if shared {
				t.TieMethod = "shared"
			}
		}})
		for range rapid.IntRange(0, 80).Draw(rt, "steps") {
			c.Random(r)
		}
		f := newField(c.ID)
		for _, e := range club.Log.After(0) {
			if e.Stream.Competition == c.ID {
				f.fold(e)
			}
		}
		if f.comp.Over() {
			return // lots may have put the final ranking in another order
		}
		for _, row := range f.board().Rows {
			h := f.last(row.EntryID)
			if h == nil {
				continue
			}
			place := f.placeOf(h, f.entryOf(h))
			shown := row.Places[f.comp.Terms.Ranking].Position
			if want := scoring.PositionText(place, false); shown != want && shown != "T"+want {
				rt.Fatalf("%s: counted %s, ranked %s", row.EntryID, want, shown)
			}
		}
	})
}

func TestInitials(t *testing.T) {
	t.Parallel()
	for name, want := range map[string]string{
		"Ada Brook": "A. B.", "zoë de la Mare": "Z. D. L. M.", "Søren": "S.", "": "", "Anne-Marie Field": "A. F.", "(Jo) 2nd": "J. N.",
	} {
		if got := initials(name); got != want {
			t.Errorf("%q: %s, not %s", name, got, want)
		}
	}
}

func TestSpanCoversWhatMoved(t *testing.T) {
	t.Parallel()
	lines := func(rows ...int) []line {
		out := make([]line, len(rows))
		for i, r := range rows {
			out[i] = line{row: r, position: fmt.Sprint(i + 1)}
		}
		return out
	}
	cases := []struct {
		name     string
		old, now []line
		from, n  int
	}{
		{"nothing", lines(1, 2, 3), lines(1, 2, 3), 0, 0},
		{"two change places", lines(1, 2, 3, 4), lines(1, 3, 2, 4), 1, 2},
		{"one more", lines(1, 2), lines(1, 2, 3), 2, 1},
		{"one more in front", lines(1, 2), lines(3, 1, 2), 0, 3},
		{"one gone", lines(1, 2, 3), lines(1, 3), 1, 1},
		{"the last one gone", lines(1, 2, 3), lines(1, 2), 2, 0},
		{"the first ranking", nil, lines(1), 0, 1},
	}
	for _, c := range cases {
		s, moved := span("net", c.old, c.now)
		if moved != (c.n > 0) || moved && (s.From != c.from || len(s.Rows) != c.n || len(s.Positions) != c.n) {
			t.Errorf("%s: %+v, %v", c.name, s, moved)
		}
	}
}
