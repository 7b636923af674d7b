package breakdown_test

import (
	"encoding/json"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"marram.example/events"
	"marram.example/events/card"
	"marram.example/events/competition"
	"marram.example/projections/breakdown"
)

// issued is a card of nine holes of par 4 with playing handicap 5:
// 10.4/2 = 5.2; 5.2 x 113/113 + (36.0 - 36) = 5.2; 95 % = 4.94.
func issued(format string) events.CardIssued {
	e := events.CardIssued{
		CompetitionID: "c", Round: 1, EntryID: "e", PlayerID: "p", MarkerID: "m", CourseID: "k", Tee: "White", StartingHole: 1, Format: format,
		Figures: events.Figures{
			IndexTenths: 104, IndexUsedTenths: 104, CourseRatingTenths: 360, SlopeRating: 113, Par: 36, LowestPar: 36,
			CourseHandicapNum: 26, CourseHandicapDen: 5, CourseHandicap: 5, AllowancePercent: 95, PlayingHandicap: 5,
			StrokesByHole: []int{1, 1, 1, 1, 1, 0, 0, 0, 0},
		},
	}
	for n := 1; n <= 9; n++ {
		e.Holes = append(e.Holes, events.Hole{Number: n, Par: 4, StrokeIndex: n})
	}
	return e
}

func record(es ...events.Event) []events.Recorded {
	out := make([]events.Recorded, len(es))
	for i, e := range es {
		out[i] = events.Recorded{
			Envelope: events.Envelope{
				ID: "id", Type: e.EventType(), Time: time.Date(2026, 5, 30, 9, i, 0, 0, time.UTC), Sequence: events.Sequence(i + 1),
				Actor: events.Actor{Role: events.RoleMarker},
			},
			Position: events.Position(100 + i), Event: e,
		}
	}
	return out
}

func scored(hole, strokes int, by events.Role) events.Event {
	return events.HoleScored{Hole: hole, Score: events.Score{Strokes: strokes}, By: by}
}

func cardOf(es []events.Event) *card.State {
	k := card.New()
	for _, e := range es {
		card.Evolve(k, e)
	}
	return k
}

func comp() *competition.State {
	c := competition.New()
	c.Terms = &events.Terms{}
	return c
}

func TestATotalOpensIntoItsHolesAndSums(t *testing.T) {
	t.Parallel()
	es := []events.Event{issued("stroke_play")}
	for n := 1; n <= 9; n++ {
		es = append(es, scored(n, 5, events.RoleMarker))
	}
	b, err := breakdown.Of("card", comp(), record(es...))
	require.NoError(t, err)
	require.Equal(t, 45, *b.Gross)
	require.Equal(t, 40, *b.Net)
	require.Nil(t, b.Points)
	require.True(t, b.Recomputed)
	require.Equal(t, events.Sequence(10), b.Sequence)
	require.Equal(t, 4, *b.Holes[0].Net)
	require.Equal(t, 1, *b.Holes[0].ToPar)
	require.Equal(t, []events.Position{101}, b.Holes[0].Positions)
	require.Equal(t, events.RoleMarker, b.Holes[0].CountingBy)
	require.NotEmpty(t, b.Handicap)
	require.NotEmpty(t, b.Strokes)
	require.NotEmpty(t, b.Total)
	require.Equal(t, "Hole 1: 5 entered by the marker", b.Events[1].Words)
}

func TestAFigureThatTheSumDoesNotGiveIsSaid(t *testing.T) {
	t.Parallel()
	wrong := issued("stroke_play")
	wrong.Figures.CourseRatingTenths = 380
	b, err := breakdown.Of("card", comp(), record(wrong))
	require.NoError(t, err)
	require.False(t, b.Recomputed)
}

func TestHolesInQuestionStayOpen(t *testing.T) {
	t.Parallel()
	b, err := breakdown.Of("card", comp(), record(
		issued("stableford"),
		scored(1, 4, events.RolePlayer), scored(1, 5, events.RoleMarker),
		events.HoleScored{Hole: 2, Score: events.Score{None: events.PickedUp}, By: events.RolePlayer},
		events.HoleScoreCorrected{Hole: 1, Old: events.Score{Strokes: 5}, New: events.Score{Strokes: 4}, By: events.RoleCommittee, Reason: "both asked"},
	))
	require.NoError(t, err)
	require.False(t, b.Holes[0].Differs, "the committee settled it")
	require.Equal(t, 4, b.Holes[0].Player.Strokes)
	require.Equal(t, 5, b.Holes[0].Marker.Strokes, "nothing is overwritten")
	require.Equal(t, 3, *b.Holes[0].Points)
	require.Equal(t, 0, *b.Holes[1].Points)
	require.Nil(t, b.Holes[1].Net)
	require.Nil(t, b.Gross)
	require.Equal(t, 3, *b.Points)
	require.Equal(t, "Hole 1: 5 changed to 4 by the committee: both asked", b.Events[4].Words)
	_, err = json.Marshal(b)
	require.NoError(t, err)
}

func TestTheResultsWordsAreThere(t *testing.T) {
	t.Parallel()
	c := comp()
	c.Result = &events.Result{
		Rows: []events.ResultRow{{EntryID: "x"}, {EntryID: "e", Positions: map[string]string{"net": "2"}}},
		Countbacks: []events.Countback{
			{Ranking: "net", Cards: []events.CountbackWindows{{EntryID: "e"}, {EntryID: "x"}}},
			{Ranking: "gross", Cards: []events.CountbackWindows{{EntryID: "x"}}},
		},
	}
	b, err := breakdown.Of("card", c, record(issued("stroke_play")))
	require.NoError(t, err)
	require.Equal(t, "2", b.Positions["net"])
	require.Len(t, b.Countbacks, 1)
}

func TestEveryEventOfACardHasWords(t *testing.T) {
	t.Parallel()
	for _, e := range []events.Event{
		issued("stroke_play"), events.CardReissued{Reason: "r"}, events.MarkerAssigned{}, events.MarkerAssigned{MarkerID: "x"},
		scored(1, 4, events.RolePlayer), events.HoleScoreCorrected{Hole: 1}, events.CardCertified{By: events.RolePlayer},
		events.CardCertified{By: events.RoleMarker, Keeper: "committee"}, events.CardReturned{Receipt: "ABC"}, events.CardReopened{Reason: "r"},
		events.CardStatusRuled{Status: "DQ", Reason: "r"}, events.CardStatusRuled{Status: "in_play"},
		events.PenaltyAdded{Strokes: 2}, events.PenaltyRemoved{}, events.StrokeRecorded{Hole: 1}, events.StrokeAmended{}, events.StrokeRemoved{},
	} {
		require.NotEqual(t, e.EventType(), breakdown.Words(e), "%T", e)
	}
}

func TestEveryEventOfAMatchHasWords(t *testing.T) {
	t.Parallel()
	for _, e := range []events.Event{
		events.MatchArranged{}, events.MatchHoleDecided{}, events.MatchHoleCorrected{}, events.MatchHoleRemoved{}, events.HoleConceded{},
		events.MatchConceded{}, events.MatchResultAgreed{}, events.MatchDecided{}, events.MatchRuled{}, events.MatchRuled{Ruling: events.MatchRulingLifted},
		events.MatchReopened{},
	} {
		require.NotEqual(t, e.EventType(), breakdown.Words(e), "%T", e)
	}
}

// What a player logs explains no figure, and a breakdown is public.
func TestStrokesAreNoPartOfABreakdown(t *testing.T) {
	t.Parallel()
	c := comp()
	drive := events.Stroke{Lie: events.LieTee, DistanceM: 371.25, Club: "driver", Words: []byte("sealed")}
	all := record(issued("stroke_play"), events.StrokeRecorded{StrokeID: "s1", Hole: 1, Stroke: drive}, scored(1, 4, events.RoleMarker),
		events.StrokeAmended{StrokeID: "s1", Stroke: drive}, events.StrokeRemoved{StrokeID: "s1"})
	b, err := breakdown.Of("card", c, all)
	require.NoError(t, err)
	require.Len(t, b.Events, 2)
	require.Equal(t, events.Sequence(5), b.Sequence, "the card's version is the whole stream's")
	text, err := json.Marshal(b)
	require.NoError(t, err)
	for _, word := range []string{"371.25", "driver", "card.Stroke", "s1", "c2VhbGVk"} {
		require.NotContains(t, string(text), word)
	}
}

func TestNoCardNoBreakdown(t *testing.T) {
	t.Parallel()
	_, err := breakdown.Of("card", comp(), nil)
	require.Equal(t, events.KindNotFound, events.AsError(err).Kind)
}
