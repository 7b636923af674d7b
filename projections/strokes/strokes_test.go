package strokes_test

import (
	"context"
	"errors"
	"fmt"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"marram.example/events"
	"marram.example/events/card"
	"marram.example/projections"
	"marram.example/projections/projectiontest"
	"marram.example/projections/shots"
	"marram.example/projections/store"
	"marram.example/projections/store/storetest"
	"marram.example/projections/strokes"
)

const club = projectiontest.Club

var (
	drive    = events.Stroke{Lie: events.LieTee, DistanceM: 350, Club: "driver", Words: []byte("sealed words")}
	putt     = events.Stroke{Lie: events.LieGreen, DistanceM: 2, Finish: &events.Finish{Holed: true}}
	returned = events.CardReturned{Receipt: "r"}
)

// season is one player's cards of every kind, and a partner's.
func season() []events.Recorded {
	w := projectiontest.NewWriter()
	add := func(id string, change func(*events.CardIssued), then ...events.Event) {
		k := three()
		k.EntryID = id
		change(&k)
		for _, e := range append([]events.Event{k}, then...) {
			w.Add(events.CardStream(club, "c", id), e)
		}
	}
	on := func(date string) func(*events.CardIssued) { return func(k *events.CardIssued) { k.Date = date } }
	ofBall := func(ball int, id string, x events.Stroke) events.Event {
		return events.StrokeRecorded{StrokeID: id, Ball: ball, Hole: 1, Stroke: x}
	}
	add("undated", on(""), recorded("a", 1, drive), returned) // the first event of a history is on 2 May 2026
	add("early", on("2026-04-01"), recorded("a", 1, drive), recorded("b", 1, putt), returned)
	add("late", on("2026-06-01"), scored(1, 4, events.RolePlayer), returned)
	add("late-2", func(k *events.CardIssued) { k.Date, k.Round = "2026-06-01", 2 }, recorded("a", 1, drive), returned)
	add("out", on("2026-07-01"), recorded("a", 1, drive))
	add("reopened", on("2026-07-02"), recorded("a", 1, drive), returned, events.CardReopened{Reason: "hole 1"})
	add("practice", func(k *events.CardIssued) { k.Date, k.Practice = "2026-07-03", true }, recorded("a", 1, drive))
	add("pair", func(k *events.CardIssued) {
		k.Date, k.PlayerID, k.Side = "2026-05-10", "ben", events.SideFourBall
		k.Partners = []events.Ball{{PlayerID: "ann", Tee: "red", Holes: k.Holes, Figures: k.Figures}}
	}, ofBall(0, "a", drive), ofBall(1, "b", drive), ofBall(1, "c", putt), returned)
	add("together", func(k *events.CardIssued) {
		k.Date, k.Side, k.Figures.Shares = "2026-05-11", events.SideFoursomes, []events.Share{{PlayerID: "ben"}, {PlayerID: "ann"}}
	}, recorded("a", 1, drive), returned)
	return w.All
}

type line struct {
	card, date string
	ball       int
	logged     int
}

func lines(all []strokes.Played) []line {
	out := []line{}
	for _, p := range all {
		out = append(out, line{p.CardID, p.Date, p.Ball, p.Logged})
	}
	return out
}

func TestAPlayersRounds(t *testing.T) {
	all := season()
	storetest.Each(t, func(t *testing.T, s *store.Store) {
		m := strokes.New(s)
		projectiontest.MustCatchUp(t, s, projectiontest.NewLog(all, 3), m)
		want := []line{
			{"practice", "2026-07-03", 0, 1}, {"late-2", "2026-06-01", 0, 1}, {"late", "2026-06-01", 0, 0}, {"pair", "2026-05-10", 1, 2},
			{"undated", "2026-05-02", 0, 1}, {"early", "2026-04-01", 0, 2},
		}
		found, err := m.ByPlayer(t.Context(), "ann", "", 0)
		require.NoError(t, err)
		require.Equal(t, want, lines(found), "what is withheld and what a side plays together is left out, the newest comes first")
		require.Equal(t, "2026-05-02", found[4].Round.Date, "a round carries the date that it is listed under")
		require.Equal(t, 4, found[2].Round.Holes[2].Score)
		pair := found[3]
		require.Equal(t, shots.Round{ID: "pair", Ball: 1, Date: "2026-05-10"}, shots.Round{ID: pair.Round.ID, Ball: pair.Round.Ball, Date: pair.Round.Date})
		pair.Round = shots.Round{}
		require.Equal(t, strokes.Played{
			CardID: "pair", CompetitionID: "c", Number: 1, CourseID: "links", Tee: "red", Date: "2026-05-10", PlayerID: "ann", Ball: 1, Returned: true, Logged: 2,
		}, pair)
		require.True(t, found[0].Practice)
		require.False(t, found[0].Returned)

		found, err = m.ByPlayer(t.Context(), "ann", "", 3)
		require.NoError(t, err)
		require.Equal(t, want[:3], lines(found))
		found, err = m.ByPlayer(t.Context(), "ben", "", 0)
		require.NoError(t, err)
		require.Equal(t, []line{{"pair", "2026-05-10", 0, 1}}, lines(found))
		for _, id := range []string{"", "nobody", "\x00", "\xff"} {
			found, err = m.ByPlayer(t.Context(), id, "", 0)
			require.NoError(t, err)
			require.Equal(t, []strokes.Played{}, found)
		}
	})
}

func TestEveryRoundWithStrokes(t *testing.T) {
	all := season()
	storetest.Each(t, func(t *testing.T, s *store.Store) {
		m := strokes.New(s)
		projectiontest.MustCatchUp(t, s, projectiontest.NewLog(all, 3), m)
		var got []string
		require.NoError(t, m.Every(t.Context(), func(p strokes.Played) error {
			got = append(got, fmt.Sprintf("%s %s %d", p.CardID, p.PlayerID, p.Logged))
			return nil
		}))
		require.Equal(t, []string{"early ann 2", "late-2 ann 1", "pair ben 1", "pair ann 2", "practice ann 1", "undated ann 1"}, got)
		enough, calls := errors.New("enough"), 0
		require.ErrorIs(t, m.Every(t.Context(), func(strokes.Played) error { calls++; return enough }), enough)
		require.Equal(t, 1, calls)
	})
}

// Every reads the table in parts: none is left out or read twice.
func TestEveryReadsBeyondOnePart(t *testing.T) {
	w := projectiontest.NewWriter()
	const cards = 401
	for i := range cards {
		id := fmt.Sprintf("card-%d", i)
		for _, e := range []events.Event{three(), recorded("a", 1, drive), returned} {
			w.Add(events.CardStream(club, "c", id), e)
		}
	}
	storetest.Each(t, func(t *testing.T, s *store.Store) {
		m := strokes.New(s)
		projectiontest.MustCatchUp(t, s, projectiontest.NewLog(w.All, 500), m)
		seen := map[string]int{}
		require.NoError(t, m.Every(t.Context(), func(p strokes.Played) error { seen[p.CardID]++; return nil }))
		require.Len(t, seen, cards)
		for id, n := range seen {
			require.Equal(t, 1, n, id)
		}
	})
}

// Whoever reads the table reads no word of a player's, and no name.
func TestNothingPersonalIsKept(t *testing.T) {
	all := projectiontest.History(5, 1, 4)
	s := storetest.Open(t, store.SQLite)
	projectiontest.MustCatchUp(t, s, projectiontest.NewLog(all, 9), strokes.New(s))
	var docs []string
	require.NoError(t, s.DB().Select(&docs, "SELECT doc FROM strokes"))
	text := strings.Join(docs, "\n")
	require.Contains(t, text, "351.4332,d1,", "strokes are there")
	require.NotContains(t, text, "tower")
	require.NotContains(t, text, "words")
	require.NotContains(t, text, "c2VhbGVk", "nor sealed bytes, as JSON writes them")
	for p := range 4 {
		require.NotContains(t, text, projectiontest.Name(p))
	}
}

func anyStroke() *rapid.Generator[events.Stroke] {
	word := func(words ...string) *rapid.Generator[string] { return rapid.SampledFrom(append(words, "")) }
	metres := rapid.Map(rapid.IntRange(1, 15_000_000), func(n int) float64 { return float64(n) / 1e4 })
	clock := rapid.Custom(func(t *rapid.T) time.Time {
		if rapid.Bool().Draw(t, "no time") {
			return time.Time{}
		}
		return time.Unix(0, rapid.Int64Range(1, 4e18).Draw(t, "time")).UTC()
	})
	return rapid.Custom(func(t *rapid.T) events.Stroke {
		x := events.Stroke{
			Lie: rapid.SampledFrom([]string{"tee", "fairway", "rough", "sand", "recovery", "green"}).Draw(t, "lie"), DistanceM: metres.Draw(t, "distance"),
			Club: word(events.Clubs()...).Draw(t, "club"), Target: word("left", "at", "right").Draw(t, "target"), Shape: word("draw", "fade").Draw(t, "shape"),
			Commitment: rapid.IntRange(0, 5).Draw(t, "commitment"), IntentAt: clock.Draw(t, "intent"), StruckAt: clock.Draw(t, "struck"),
			Strike: word("poor", "fair", "good").Draw(t, "strike"), Penalty: rapid.IntRange(0, 4).Draw(t, "penalty"),
			Miss: events.Miss{Side: word("left", "right", "on_line").Draw(t, "side"), Length: word("short", "long", "level").Draw(t, "length")},
		}
		if x.Miss.Side != "" {
			x.Miss.SideM = metres.Draw(t, "across")
		}
		if x.Miss.Length != "" {
			x.Miss.LengthM = metres.Draw(t, "along")
		}
		switch rapid.IntRange(0, 2).Draw(t, "finish") {
		case 1:
			x.Finish = &events.Finish{Holed: true}
		case 2:
			x.Finish = &events.Finish{Lie: "rough", DistanceM: metres.Draw(t, "left")}
		}
		if rapid.Bool().Draw(t, "judged") {
			good := rapid.Bool().Draw(t, "good enough")
			x.GoodEnough = &good
		}
		return x
	})
}

func anyScore() *rapid.Generator[events.Score] {
	return rapid.SampledFrom([]events.Score{{Strokes: 4}, {Strokes: 12}, {None: events.PickedUp}, {None: events.NoScore}, {None: events.Excluded}, {}})
}

// anyCardEvent is something that may happen on a card of two balls; the fold takes it
// whether or not a decider would have let it happen.
func anyCardEvent() *rapid.Generator[events.Event] {
	id := rapid.SampledFrom([]string{"a", "b", "c", "d", "e,\"f;% g"})
	number := func(t *rapid.T, name string, most int) int { return rapid.IntRange(0, most).Draw(t, name) }
	role := rapid.SampledFrom([]events.Role{events.RolePlayer, events.RoleMarker, events.RoleCommittee})
	return rapid.Custom(func(t *rapid.T) events.Event {
		switch rapid.IntRange(0, 9).Draw(t, "event") {
		case 0, 1, 2:
			return events.StrokeRecorded{
				StrokeID: id.Draw(t, "id"), Ball: number(t, "ball", 1), Hole: 1 + number(t, "hole", 2),
				Before: rapid.SampledFrom([]string{"", "", "a", "b"}).Draw(t, "before"), Stroke: anyStroke().Draw(t, "stroke"),
			}
		case 3:
			return events.StrokeAmended{StrokeID: id.Draw(t, "id"), Stroke: anyStroke().Draw(t, "stroke")}
		case 4:
			return events.StrokeRemoved{StrokeID: id.Draw(t, "id")}
		case 5, 6:
			return events.HoleScored{Ball: number(t, "ball", 1), Hole: 1 + number(t, "hole", 2), By: role.Draw(t, "by"), Score: anyScore().Draw(t, "score")}
		case 7:
			return events.PenaltyAdded{PenaltyID: id.Draw(t, "id"), Ball: number(t, "ball", 1), Hole: number(t, "hole", 3), Strokes: 2}
		case 8:
			return events.PenaltyRemoved{PenaltyID: id.Draw(t, "id")}
		default:
			return rapid.SampledFrom([]events.Event{returned, events.CardReopened{Reason: "r"}, events.MarkerAssigned{StartingHole: 3}, reissued()}).Draw(t, "other")
		}
	})
}

func reissued() events.CardReissued {
	k := two()
	k.Partners[0].Tee, k.Figures.CourseHandicapNum = "blue", 31
	return events.CardReissued{MarkerID: "x", StartingHole: 1, Tee: "red", Holes: k.Holes, Figures: k.Figures, Partners: k.Partners}
}

func two() events.CardIssued {
	k := three()
	k.Side, k.Partners = events.SideFourBall, []events.Ball{{PlayerID: "ben", Tee: "red", Holes: k.Holes, Figures: k.Figures}}
	return k
}

// Packed, read back and folded on one event at a time, a card gives the same rounds
// as the card itself.
func TestPackedRoundsAreThoseOfTheCard(t *testing.T) {
	rapid.Check(t, func(rt *rapid.T) {
		w := projectiontest.NewWriter()
		issued := two()
		issued.Practice = true // so that every state of the card is shown
		want := fold(issued)
		w.Add(events.CardStream(club, "c", "card"), issued)
		for _, e := range rapid.SliceOfN(anyCardEvent(), 0, 40).Draw(rt, "events") {
			r := w.Add(events.CardStream(club, "c", "card"), e)
			card.Evolve(want, r.Event)
		}
		s := storetest.Open(t, store.SQLite)
		defer func() { require.NoError(rt, s.Close()) }()
		m := strokes.New(s)
		r, err := projections.NewRunner(projections.Options{
			Log: projectiontest.NewLog(w.All, rapid.IntRange(1, 20).Draw(rt, "batch")), Store: s, Projections: []projections.Projection{m}, Replay: 1,
		})
		require.NoError(rt, err)
		require.NoError(rt, r.CatchUp(context.Background(), nil))
		for ball, player := range []string{"ann", "ben"} {
			found, err := m.ByPlayer(context.Background(), player, "", 0)
			require.NoError(rt, err)
			require.Len(rt, found, 1)
			require.Equal(rt, strokes.OfCard(want, "card", ball), found[0].Round)
			require.Equal(rt, want.BallTee(ball), found[0].Tee)
			require.Equal(rt, want.Returned, found[0].Returned)
		}
	})
}
