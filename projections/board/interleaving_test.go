package board

import (
	"fmt"
	"testing"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"marram.example/events"
	"marram.example/events/competition"
	"marram.example/projections/handicap"
)

// invented is a competition of any format and side with its cards, as one script a
// card.
type invented struct {
	terms   events.Terms
	entries []events.EntryAccepted
	scripts [][]events.Recorded
}

var anySides = []struct {
	side    string
	players int
	count   []int
	by      string
}{
	{}, {events.SideFourBall, 2, nil, ""}, {events.SideAggregate, 3, nil, "hole"}, {events.SideAggregate, 2, nil, "round"},
	{events.SideBestOf, 4, []int{2}, ""}, {events.SideBestOf, 3, []int{2}, "round"}, {events.SideFoursomes, 2, nil, ""},
}

// draw invents a competition.
func (in *invented) draw(t *rapid.T) {
	formats := []string{events.StrokePlay, events.Stableford, events.ParBogey, events.MaximumScore}
	s := rapid.SampledFrom(anySides).Draw(t, "side")
	in.terms = events.Terms{
		Format: rapid.SampledFrom(formats).Draw(t, "format"), Ranking: rapid.SampledFrom([]string{"net", "gross"}).Draw(t, "ranking"),
		Rounds: rapid.IntRange(1, 2).Draw(t, "rounds"), TieMethod: "countback", TieShare: "exact_fraction", Side: s.side, SideSize: s.players, Count: s.count, CountBy: s.by,
	}
	for h := 1; h <= 9; h++ {
		in.terms.Holes = append(in.terms.Holes, h)
	}
	if in.terms.Format == events.MaximumScore {
		in.terms.Maximum = events.Maximum{Kind: events.NetDoubleBogey}
	}
	for e := range rapid.IntRange(2, 5).Draw(t, "entries") {
		id := fmt.Sprintf("e%d", e)
		in.entries = append(in.entries, events.EntryAccepted{EntryID: id, PlayerID: "p" + id, Tee: "White"})
		in.scripts = append(in.scripts, in.card(t, id, 1))
	}
}

// card is what happens to the card of an entry in a round.
func (in *invented) card(t *rapid.T, entry string, round int) []events.Recorded {
	stream := events.CardStream("dunes", "c", fmt.Sprintf("%s-%d", entry, round))
	issued := events.CardIssued{
		CompetitionID: "c", Round: round, EntryID: entry, PlayerID: "p" + entry, Tee: "White", StartingHole: 1, Format: in.terms.Format,
		Play: events.Play{Side: in.terms.Side, Maximum: in.terms.Maximum, Count: in.terms.Count, CountBy: in.terms.CountBy},
	}
	first := in.ball(t)
	issued.Holes, issued.Figures = first.Holes, first.Figures
	balls := 1
	if !events.OneBall(in.terms.Side) {
		for range max(1, in.terms.SideSize) - 1 {
			issued.Partners = append(issued.Partners, in.ball(t))
			balls++
		}
	}
	script := []events.Event{issued}
	for _, h := range in.terms.Holes {
		for ball := range balls {
			score := events.Score{Strokes: rapid.IntRange(2, 8).Draw(t, "strokes")}
			if rapid.IntRange(0, 9).Draw(t, "out") == 0 {
				score = events.Score{None: events.PickedUp}
			}
			script = append(script, events.HoleScored{Hole: h, Ball: ball, Score: score, By: events.RoleMarker})
		}
	}
	if rapid.Bool().Draw(t, "penalty") {
		script = append(script, events.PenaltyAdded{PenaltyID: "p", Ball: balls - 1, Hole: rapid.IntRange(0, 9).Draw(t, "on"), Strokes: 2, Reason: "x"})
	}
	if rapid.IntRange(0, 5).Draw(t, "ruled") == 0 {
		script = append(script, events.CardStatusRuled{Status: rapid.SampledFrom([]string{"NR", "DQ", "WD"}).Draw(t, "status"), Reason: "x"})
	}
	script = script[:rapid.IntRange(1, len(script)).Draw(t, "so far")]
	out := make([]events.Recorded, len(script))
	for i, e := range script {
		out[i] = events.Recorded{Envelope: events.Envelope{Sequence: events.Sequence(i + 1)}, Stream: stream, Event: e}
	}
	return out
}

func (in *invented) ball(t *rapid.T) events.Ball {
	b := events.Ball{PlayerID: "partner", Tee: "White"}
	index := make([]int, len(in.terms.Holes))
	for i, n := range in.terms.Holes {
		index[i] = (i*5)%9 + 1
		b.Holes = append(b.Holes, events.Hole{Number: n, Par: 3 + i%3, StrokeIndex: index[i]})
		b.Figures.Par += 3 + i%3
	}
	b.Figures.PlayingHandicap, b.Figures.CourseHandicapDen = rapid.IntRange(-3, 20).Draw(t, "playing handicap"), 1
	var err error
	b.Figures.StrokesByHole, err = handicap.StrokesReceived(handicap.Playing(b.Figures.PlayingHandicap), index)
	if err != nil {
		t.Fatal(err)
	}
	return b
}

// play folds the competition with its cards in a random interleaving, each card's
// events in their own order.
func (in *invented) play(t *rapid.T, entries []events.EntryAccepted, label string) *field {
	f := newField("c")
	at := events.Position(0)
	record := func(r events.Recorded) {
		at++
		r.Position = at
		f.fold(r)
	}
	comp := events.CompetitionStream("dunes", "c")
	var places []events.GroupSlot
	for _, e := range []events.Event{events.CompetitionPlanned{Name: "Any", Date: "2031-05-03"}, events.TermsSet{Terms: in.terms}} {
		record(events.Recorded{Stream: comp, Event: e})
	}
	for _, e := range entries {
		record(events.Recorded{Stream: comp, Event: e})
		places = append(places, events.GroupSlot{EntryID: e.EntryID})
	}
	record(events.Recorded{Stream: comp, Event: events.DrawPublished{Round: 1, Groups: []events.Group{{Number: 1, Places: places}}}})
	record(events.Recorded{Stream: comp, Event: events.RoundOpened{Round: 1}})
	left := make([][]events.Recorded, len(in.scripts))
	copy(left, in.scripts)
	for len(left) > 0 {
		i := rapid.IntRange(0, len(left)-1).Draw(t, label)
		record(left[i][0])
		if rapid.IntRange(0, 4).Draw(t, label+" looked at") == 0 {
			f.board() // what is worked out in between must not matter
		}
		if left[i] = left[i][1:]; len(left[i]) == 0 {
			left = append(left[:i:i], left[i+1:]...)
		}
	}
	return f
}

// stripped are the rows by entry, without what tells how the board came about.
func stripped(f *field) map[string]Row {
	out := map[string]Row{}
	for _, r := range f.board().Rows {
		r.Movement, r.No, r.LastHole = 0, 0, 0
		out[r.EntryID] = r
	}
	return out
}

// The order in which events of different cards arrive changes nothing, in any
// format, for any side; nor does the order of entry change a position.
func TestOtherOrdersOfEventsGiveTheSameBoard(t *testing.T) {
	t.Parallel()
	rapid.Check(t, func(t *rapid.T) {
		var in invented
		in.draw(t)
		one := stripped(in.play(t, in.entries, "first"))
		require.Equal(t, one, stripped(in.play(t, in.entries, "second")))

		entries := rapid.Permutation(in.entries).Draw(t, "entries")
		for id, r := range stripped(in.play(t, entries, "third")) {
			for name, p := range r.Places {
				require.Equal(t, one[id].Places[name].Position, p.Position, "%s in %s", id, name)
			}
		}
	})
}

// A result worked out from the same cards does not depend on the order of entry.
func TestOtherOrdersOfEntryGiveTheSameResult(t *testing.T) {
	t.Parallel()
	rapid.Check(t, func(t *rapid.T) {
		var in invented
		in.draw(t)
		results := make([]map[string]map[string]string, 2)
		for i, entries := range [][]events.EntryAccepted{in.entries, rapid.Permutation(in.entries).Draw(t, "entries")} {
			f := in.play(t, entries, fmt.Sprint("play ", i))
			f.fold(events.Recorded{Position: 1 << 20, Stream: events.CompetitionStream("dunes", "c"), Event: events.RoundClosed{Round: 1}})
			f.comp.Phase = competition.Closed
			f.built = nil
			results[i] = map[string]map[string]string{}
			for _, r := range f.board().Rows {
				results[i][r.EntryID] = positions(r)
			}
		}
		require.Equal(t, results[0], results[1])
	})
}
