package board_test

import (
	"context"
	"fmt"
	"testing"
	"testing/synctest"
	"time"

	"github.com/stretchr/testify/require"

	"marram.example/events"
	"marram.example/events/card"
	"marram.example/events/competition"
	"marram.example/projections/board"
	"marram.example/projections/board/boardtest"
)

// opened returns boards of a club with one competition under way, and the log so far applied.
func opened(t *testing.T, play boardtest.Options, o board.Options) (*board.Boards, *boardtest.Competition) {
	t.Helper()
	club := boardtest.NewClub()
	c := boardtest.Play(t, club, play)
	o.History = club.Log.Competition
	b := board.New(o)
	t.Cleanup(b.Close)
	catchUp(t, b, club)
	return b, c
}

// catchUp applies what the club's log has more than the boards.
func catchUp(t *testing.T, b *board.Boards, club *boardtest.Club) {
	t.Helper()
	require.NoError(t, b.Apply(club.Log.After(b.Position())))
}

func snapshot(t *testing.T, b *board.Boards, id string) board.Board {
	t.Helper()
	s, ok := b.Snapshot(t.Context(), id)
	require.True(t, ok)
	return s
}

func row(t *testing.T, b board.Board, entry string) board.Row {
	t.Helper()
	r, ok := b.Row(entry)
	require.True(t, ok, entry)
	return r
}

// scratch gives everybody no strokes.
func scratch(int) (int, int) { return 0, 0 }

func TestRowSaysHowACardStands(t *testing.T) {
	t.Parallel()
	b, c := opened(t, boardtest.Options{Players: 3, Playing: scratch}, board.Options{})
	before := row(t, snapshot(t, b, c.ID), "e0")
	require.Nil(t, before.Gross)
	require.Nil(t, before.NetToPar)
	require.Empty(t, before.Places["net"].Position)
	require.Equal(t, events.StatusInPlay, before.Status)
	require.Equal(t, "07:00", before.GroupTime)
	require.Equal(t, 1, before.StartingHole)

	require.NoError(t, c.Score("e0", 1, 3)) // par 4
	require.NoError(t, c.Score("e0", 2, 6)) // par 4
	require.NoError(t, c.Score("e1", 1, 4)) // Red tee, par difference 1
	require.NoError(t, c.DoCard("e1", card.EnterScore{Hole: 1, Score: events.Score{Strokes: 5}, By: events.RolePlayer}))
	catchUp(t, b, c.Club)
	board := snapshot(t, b, c.ID)
	r := row(t, board, "e0")
	require.Equal(t, []int{2, 9, 9, 1, 1}, []int{r.Thru, *r.Gross, *r.Net, *r.GrossToPar, *r.NetToPar})
	require.Nil(t, r.Points)
	require.Equal(t, 2, r.LastHole)
	require.Equal(t, "T1", r.Places["net"].Position, "one over on a par of 72, and level on a par of 73")
	other := row(t, board, "e1")
	require.Equal(t, []int{1}, other.Differences)
	require.Equal(t, 1, other.ParDifference)
	require.Equal(t, "T1", other.Places["gross"].Position)
	require.True(t, board.Provisional)
	require.Equal(t, competition.Open, board.Phase)
	require.Equal(t, []string{"net", "gross"}, board.Rankings[:2])
	require.Equal(t, c.Club.Log.Last(), board.Position)
}

func TestStablefordRowHasPoints(t *testing.T) {
	t.Parallel()
	b, c := opened(t, boardtest.Options{Players: 2, Playing: scratch, Change: func(t *events.Terms) { t.Format = "stableford" }}, board.Options{})
	require.NoError(t, c.Score("e0", 1, 3))
	require.NoError(t, c.DoCard("e0", card.EnterScore{Hole: 2, Score: events.Score{None: events.PickedUp}, By: events.RoleMarker}))
	catchUp(t, b, c.Club)
	r := row(t, snapshot(t, b, c.ID), "e0")
	require.Equal(t, []int{2, 3, -1}, []int{r.Thru, *r.Points, *r.Level})
	require.Nil(t, r.Gross, "a hole without a score leaves no strokes to add up")
}

func TestRuledCardHasNoFigures(t *testing.T) {
	t.Parallel()
	b, c := opened(t, boardtest.Options{Players: 2}, board.Options{})
	require.NoError(t, c.Score("e0", 1, 3))
	require.NoError(t, c.DoCard("e0", card.RuleStatus{Status: "DQ", Reason: "ruled"}))
	catchUp(t, b, c.Club)
	r := row(t, snapshot(t, b, c.ID), "e0")
	require.Equal(t, "DQ", r.Status)
	require.Equal(t, 1, r.Thru)
	require.Nil(t, r.Gross)
	require.Empty(t, r.Places["net"].Position)
}

func TestMovementIsWhatTheLastHoleDid(t *testing.T) {
	t.Parallel()
	b, c := opened(t, boardtest.Options{Players: 3, Playing: scratch, Change: func(t *events.Terms) { t.Tees = []string{"White"} }}, board.Options{})
	steps := []struct {
		entry         string
		hole, strokes int
		movement      int
	}{
		{"e0", 1, 4, 0},  // E; the first hole moves nobody
		{"e1", 1, 5, 0},  // +1
		{"e2", 1, 6, 0},  // +2
		{"e2", 2, 2, 2},  // E, past e1 to share the lead
		{"e0", 2, 5, -1}, // +1, from T1 to T2
		{"e1", 2, 4, 0},  // stays at +1
	}
	for _, s := range steps {
		require.NoError(t, c.Score(s.entry, s.hole, s.strokes))
		catchUp(t, b, c.Club)
		require.Equal(t, s.movement, row(t, snapshot(t, b, c.ID), s.entry).Movement, "%+v", s)
	}
	// Only the own hole moves a row; a marker who confirms does not.
	require.NoError(t, c.DoCard("e2", card.EnterScore{Hole: 2, Score: events.Score{Strokes: 2}, By: events.RolePlayer, Confirmed: true}))
	catchUp(t, b, c.Club)
	require.Equal(t, 2, row(t, snapshot(t, b, c.ID), "e2").Movement)
}

func TestSuspensionAndEndAreOnTheBoard(t *testing.T) {
	t.Parallel()
	b, c := opened(t, boardtest.Options{Players: 4}, board.Options{})
	require.NoError(t, c.Do(competition.SuspendRound{Kind: "immediate", Reason: "lightning"}))
	catchUp(t, b, c.Club)
	s := snapshot(t, b, c.ID)
	require.Equal(t, competition.Suspended, s.Phase)
	require.Equal(t, &competition.Suspension{Kind: "immediate", Reason: "lightning"}, s.Suspension)
	require.NoError(t, c.Do(competition.ResumeRound{}))
	for i := range 4 {
		scores := make([]events.Score, 18)
		for h := range scores {
			scores[h].Strokes = 4
		}
		scores[17].Strokes = 4 + i
		require.NoError(t, c.DoCard(boardtest.EntryID(i), card.EnterCard{
			Scores: scores, By: events.RoleCommittee, Confirmed: true, Signed: true, Receipt: "R",
		}))
	}
	var cards []events.CardStanding
	for _, e := range c.State.Field() {
		cards = append(cards, events.CardStanding{CardID: boardtest.CardID(e.ID), EntryID: e.ID, Status: "returned"})
	}
	require.NoError(t, c.Do(competition.CloseRound{Cards: cards}))
	catchUp(t, b, c.Club)
	s = snapshot(t, b, c.ID)
	require.Nil(t, s.Suspension)
	require.Equal(t, competition.Closed, s.Phase)
	require.True(t, s.Provisional)
	require.NoError(t, c.PublishResult())
	catchUp(t, b, c.Club)
	require.False(t, snapshot(t, b, c.ID).Provisional)
	require.NoError(t, c.DoCard("e0", card.EnterScore{Hole: 1, Score: events.Score{Strokes: 6}, By: events.RoleCommittee, Reason: "misread"}))
	catchUp(t, b, c.Club)
	require.True(t, snapshot(t, b, c.ID).Provisional, "the published result says something else now")
}

func TestPlannedCompetitionHasABoardWithoutRanking(t *testing.T) {
	t.Parallel()
	club := boardtest.NewClub()
	c := &boardtest.Competition{ID: "new", Club: club, State: competition.New(), Cards: map[string]*card.State{}}
	require.NoError(t, c.Do(competition.Plan{Name: "Autumn", Date: "2025-10-01"}))
	b := board.New(board.Options{})
	t.Cleanup(b.Close)
	catchUp(t, b, club)
	s := snapshot(t, b, "new")
	require.Equal(t, "Autumn", s.Name)
	require.Empty(t, s.Rows)
	require.Empty(t, s.Rankings)
	_, ok := b.Snapshot(t.Context(), "other")
	require.False(t, ok)
	terms, ok := b.Terms("new")
	require.True(t, ok)
	require.Nil(t, terms)
}

func TestOneCardThatCannotBeScoredLeavesTheOthers(t *testing.T) {
	t.Parallel()
	b, c := opened(t, boardtest.Options{Players: 2}, board.Options{})
	issued := events.CardIssued{CompetitionID: c.ID, Round: 1, EntryID: "e0", PlayerID: "p0", Tee: "White", Format: "stroke_play",
		Holes: []events.Hole{{Number: 1, Par: 4, StrokeIndex: 1}}, Figures: events.Figures{StrokesByHole: []int{0}}, StartingHole: 1}
	c.Club.Record(events.CardStream(boardtest.ClubName, c.ID, "broken"), issued)
	require.NoError(t, c.Score("e1", 1, 4))
	catchUp(t, b, c.Club)
	s := snapshot(t, b, c.ID)
	require.NotEmpty(t, row(t, s, "e0").Fault)
	require.Equal(t, "1", row(t, s, "e1").Places["net"].Position)
}

func TestApplyRefusesAGapAndPassesOverWhatIsKnown(t *testing.T) {
	t.Parallel()
	b, c := opened(t, boardtest.Options{Players: 2}, board.Options{})
	all := c.Club.Log.After(0)
	require.NoError(t, b.Apply(all))
	require.Equal(t, c.Club.Log.Last(), b.Position())
	require.NoError(t, c.Score("e0", 1, 4))
	require.NoError(t, c.Score("e0", 2, 4))
	require.ErrorContains(t, b.Apply(c.Club.Log.After(b.Position())[1:]), "follows")
	require.Equal(t, events.Position(len(all)), b.Position())
}

func TestWaitFor(t *testing.T) {
	t.Parallel()
	synctest.Test(t, func(t *testing.T) {
		b, c := opened(t, boardtest.Options{Players: 2}, board.Options{})
		at := b.Position() + 1
		done := make(chan error, 1)
		go func() { done <- b.WaitFor(context.Background(), at) }()
		synctest.Wait()
		select {
		case err := <-done:
			t.Fatal("returned before the event was there", err)
		default:
		}
		require.NoError(t, c.Score("e0", 1, 4))
		catchUp(t, b, c.Club)
		require.NoError(t, <-done)
		ctx, cancel := context.WithTimeout(context.Background(), time.Second)
		defer cancel()
		require.ErrorIs(t, b.WaitFor(ctx, at+1), context.DeadlineExceeded)
	})
}

func TestRunFollowsTheLog(t *testing.T) {
	t.Parallel()
	club := boardtest.NewClub()
	c := boardtest.Play(t, club, boardtest.Options{Players: 3})
	b := board.New(board.Options{})
	t.Cleanup(b.Close)
	ctx, cancel := context.WithCancel(t.Context())
	done := make(chan error, 1)
	go func() { done <- b.Run(ctx, club.Log) }()
	require.NoError(t, b.WaitFor(ctx, club.Log.Last()))
	require.NoError(t, c.Score("e0", 1, 4))
	require.NoError(t, b.WaitFor(ctx, club.Log.Last()))
	require.Equal(t, 1, row(t, snapshot(t, b, c.ID), "e0").Thru)
	cancel()
	require.ErrorIs(t, <-done, context.Canceled)
}

func TestAsOfKnowsNothingOfLater(t *testing.T) {
	t.Parallel()
	b, c := opened(t, boardtest.Options{Players: 3}, board.Options{})
	require.NoError(t, c.Score("e0", 1, 4))
	at := c.Club.Log.Last()
	catchUp(t, b, c.Club)
	want := snapshot(t, b, c.ID)
	for i := range 3 {
		require.NoError(t, c.Score(fmt.Sprintf("e%d", i), 2, 4))
	}
	catchUp(t, b, c.Club)
	got, err := b.AsOf(t.Context(), c.ID, at)
	require.NoError(t, err)
	require.Equal(t, want, got)
	got, err = b.AsOfTime(t.Context(), c.ID, want.AsOf)
	require.NoError(t, err)
	require.Equal(t, want, got, "a moment is as good as the position that it led to")
	_, err = b.AsOfTime(t.Context(), c.ID, want.AsOf.AddDate(-1, 0, 0))
	require.Equal(t, events.KindNotFound, events.AsError(err).Kind, "before it was planned")
	for _, id := range []string{c.ID, "other"} {
		_, err = b.AsOf(t.Context(), id, 0)
		require.Equal(t, events.KindNotFound, events.AsError(err).Kind)
	}
}
