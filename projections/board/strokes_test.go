package board_test

import (
	"encoding/json"
	"fmt"
	"testing"
	"testing/synctest"
	"time"

	"github.com/stretchr/testify/require"

	"marram.example/events"
	"marram.example/events/card"
	"marram.example/projections/board"
	"marram.example/projections/board/boardtest"
)

// Strokes that a player logs are the player's alone: no board shows them, nobody who
// watches is sent anything because of them, and a score that follows from them is a
// score like any other.
func TestNothingOfStrokesReachesABoard(t *testing.T) {
	t.Parallel()
	synctest.Test(t, func(t *testing.T) {
		club := boardtest.NewClub()
		c := boardtest.Play(t, club, boardtest.Options{Players: 3, Playing: scratch})
		b := board.New(board.Options{History: club.Log.Competition})
		defer b.Close()
		require.NoError(t, b.Apply(club.Log.After(0)))
		s, err := b.Subscribe(t.Context(), c.ID, 0)
		require.NoError(t, err)
		defer s.Close()
		v := &viewer{}
		sent := func() (text string) {
			require.NoError(t, b.Apply(club.Log.After(b.Position())))
			time.Sleep(time.Second)
			synctest.Wait()
			for _, m := range waiting(s) {
				require.NoError(t, v.receive(m.Data))
				text += string(m.Data)
			}
			return text
		}
		require.NotEmpty(t, sent(), "the board as it stands")
		before := snapshot(t, b, c.ID)

		no := false
		x := events.Stroke{
			Lie: events.LieTee, DistanceM: 371.2464, Club: "pitching-wedge", Target: events.TargetLeft, Strike: events.StrikePoor, GoodEnough: &no, Words: []byte("sealed"),
		}
		for i := range 20 {
			require.NoError(t, c.DoCard("e0", card.RecordStroke{StrokeID: fmt.Sprintf("stroke-%d", i), Hole: 1 + i%2, Stroke: x}))
		}
		require.NoError(t, c.DoCard("e0", card.AmendStroke{StrokeID: "stroke-3", Stroke: events.Stroke{Lie: events.LieTee, DistanceM: 2}}))
		require.NoError(t, c.DoCard("e0", card.RemoveStroke{StrokeID: "stroke-4"}))
		require.Empty(t, sent(), "logging sends nothing to anybody")
		require.Equal(t, club.Log.Last(), b.Position(), "the board has seen it all the same")
		require.Equal(t, before, snapshot(t, b, c.ID))
		past, err := b.AsOf(t.Context(), c.ID, club.Log.Last())
		require.NoError(t, err)
		require.Equal(t, before, past)

		in := events.Stroke{Lie: events.LieTee, DistanceM: 111.7777, Club: "gap-wedge", Finish: &events.Finish{Holed: true}}
		require.NoError(t, c.DoCard("e0", card.RecordStroke{StrokeID: "stroke-in", Hole: 3, Stroke: in, Score: true}))
		frame := sent()
		require.NotEmpty(t, frame, "a score that follows is shown")
		require.Equal(t, 1, *row(t, v.board, "e0").Gross)
		whole, err := json.Marshal(snapshot(t, b, c.ID))
		require.NoError(t, err)
		for _, text := range []string{frame, string(whole)} {
			for _, word := range []string{"wedge", "stroke-", "371", "111.7", "poor", "lie\"", "c2VhbGVk"} {
				require.NotContains(t, text, word)
			}
		}
	})
}

func TestABoardSaysThatItIsPractice(t *testing.T) {
	t.Parallel()
	b, c := opened(t, boardtest.Options{Players: 2, Playing: scratch, Change: func(t *events.Terms) { t.Practice = true }}, board.Options{})
	require.True(t, snapshot(t, b, c.ID).Practice)
	b, c = opened(t, boardtest.Options{Players: 2, Playing: scratch}, board.Options{})
	require.False(t, snapshot(t, b, c.ID).Practice)
}
