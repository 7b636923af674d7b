package board_test

import (
	"context"
	"errors"
	"strings"
	"sync"
	"testing"
	"testing/synctest"
	"time"

	"github.com/stretchr/testify/require"

	"marram.example/events"
	"marram.example/events/competition"
	"marram.example/projections/board"
	"marram.example/projections/board/boardtest"
)

func subscribe(t *testing.T, b *board.Boards, id string, after events.Position) *board.Subscription {
	t.Helper()
	s, err := b.Subscribe(context.Background(), id, after)
	require.NoError(t, err)
	t.Cleanup(s.Close)
	return s
}

func TestPublicationsAreAtOnceAndThenTogether(t *testing.T) {
	t.Parallel()
	synctest.Test(t, func(t *testing.T) {
		var sizes []int
		b, c := opened(t, boardtest.Options{Players: 4}, board.Options{Metrics: board.Metrics{
			Frames: func(bytes, listeners int) { sizes = append(sizes, listeners) },
		}})
		s := subscribe(t, b, c.ID, 0)
		first := waiting(s)
		require.Len(t, first, 1)
		require.True(t, first[0].Whole)
		score := func(hole int) {
			require.NoError(t, c.Score("e0", hole, 4))
			catchUp(t, b, c.Club)
			synctest.Wait()
		}
		score(1)
		require.Len(t, waiting(s), 1, "the first one waits for nothing")
		time.Sleep(10 * time.Millisecond)
		score(2)
		score(3)
		require.Empty(t, waiting(s), "the interval is not over")
		time.Sleep(19 * time.Millisecond)
		synctest.Wait()
		require.Empty(t, waiting(s))
		time.Sleep(time.Millisecond)
		synctest.Wait()
		both := waiting(s)
		require.Len(t, both, 1)
		require.Equal(t, c.Club.Log.Last(), both[0].Position)
		require.Equal(t, []int{1, 1}, sizes)
	})
}

func TestNothingIsPublishedWhereNobodyWatches(t *testing.T) {
	t.Parallel()
	b, c := opened(t, boardtest.Options{Players: 2}, board.Options{Metrics: board.Metrics{
		Frames: func(int, int) { t.Error("a frame for nobody") },
	}})
	require.NoError(t, c.Score("e0", 1, 4))
	catchUp(t, b, c.Club)
	_, ok := b.Since(c.ID, 1)
	require.False(t, ok)
}

func TestSlowListenerGetsTheBoardAsItStands(t *testing.T) {
	t.Parallel()
	synctest.Test(t, func(t *testing.T) {
		dropped, listeners := 0, 0
		b, c := opened(t, boardtest.Options{Players: 4}, board.Options{Queue: 3, Metrics: board.Metrics{
			Dropped: func(n int) { dropped += n }, Listeners: func(n int) { listeners += n },
		}})
		slow, quick := subscribe(t, b, c.ID, 0), subscribe(t, b, c.ID, 0)
		require.Equal(t, 2, listeners)
		waiting(slow)
		v := viewer{}
		require.NoError(t, v.receive(waiting(quick)[0].Data))
		for hole := range 9 {
			require.NoError(t, c.Score("e0", hole+1, 4))
			catchUp(t, b, c.Club)
			time.Sleep(50 * time.Millisecond)
			synctest.Wait()
			for _, m := range waiting(quick) {
				require.NoError(t, v.receive(m.Data))
			}
		}
		require.Equal(t, 9, v.frames)
		late := waiting(slow)
		require.Len(t, late, 1)
		require.True(t, late[0].Whole)
		require.Equal(t, c.Club.Log.Last(), late[0].Position)
		require.Equal(t, 9, dropped)
		require.NoError(t, c.Score("e1", 1, 4))
		catchUp(t, b, c.Club)
		time.Sleep(50 * time.Millisecond)
		synctest.Wait()
		after := waiting(slow)
		require.Len(t, after, 1)
		require.False(t, after[0].Whole, "it has caught up")
		slow.Close()
		slow.Close()
		require.Equal(t, 1, listeners)
		_, err := slow.Next(context.Background())
		require.ErrorIs(t, err, board.ErrClosed)
	})
}

func TestResumeTakesFramesWhileTheyAreKept(t *testing.T) {
	t.Parallel()
	synctest.Test(t, func(t *testing.T) {
		b, c := opened(t, boardtest.Options{Players: 4}, board.Options{Recent: 3})
		subscribe(t, b, c.ID, 0)
		var at []events.Position
		for hole := range 6 {
			at = append(at, b.Position())
			require.NoError(t, c.Score("e0", hole+1, 4))
			catchUp(t, b, c.Club)
			time.Sleep(50 * time.Millisecond)
			synctest.Wait()
		}
		frames, ok := b.Since(c.ID, at[3])
		require.True(t, ok)
		require.Len(t, frames, 3)
		require.Equal(t, at[3], frames[0].Base)
		require.Equal(t, b.Position(), frames[2].Position)
		for _, p := range []events.Position{0, at[2], at[4] + 100} {
			_, ok = b.Since(c.ID, p)
			require.False(t, ok, p)
		}
		none, ok := b.Since(c.ID, b.Position())
		require.True(t, ok)
		require.Empty(t, none)
		resumed := waiting(subscribe(t, b, c.ID, at[4]))
		require.Len(t, resumed, 2)
		require.False(t, resumed[0].Whole)
		require.Empty(t, waiting(subscribe(t, b, c.ID, b.Position())))
		require.True(t, waiting(subscribe(t, b, c.ID, at[0]))[0].Whole)
	})
}

// A page that was drawn a moment before the frame went out has a newer board
// than the last frame.
func TestListenerWithANewerBoardIsNotThrownBack(t *testing.T) {
	t.Parallel()
	synctest.Test(t, func(t *testing.T) {
		b, c := opened(t, boardtest.Options{Players: 4}, board.Options{})
		subscribe(t, b, c.ID, 0)
		for hole := range 3 {
			require.NoError(t, c.Score("e0", hole+1, 4))
			catchUp(t, b, c.Club)
			synctest.Wait()
		}
		drawn := snapshot(t, b, c.ID) // two of the three are not published yet
		s := subscribe(t, b, c.ID, drawn.Position)
		require.Empty(t, waiting(s))
		require.NoError(t, c.Score("e0", 4, 4))
		catchUp(t, b, c.Club)
		time.Sleep(time.Second)
		synctest.Wait()
		next := waiting(s)
		require.Len(t, next, 1)
		require.False(t, next[0].Whole)
	})
}

func TestUnknownCompetitionHasNoListeners(t *testing.T) {
	t.Parallel()
	b := board.New(board.Options{})
	t.Cleanup(b.Close)
	_, err := b.Subscribe(t.Context(), "nothing", 0)
	require.Equal(t, events.KindNotFound, events.AsError(err).Kind)
}

func TestCloseEndsEveryListener(t *testing.T) {
	t.Parallel()
	b, c := opened(t, boardtest.Options{Players: 2}, board.Options{})
	s := subscribe(t, b, c.ID, 0)
	waiting(s)
	done := make(chan error, 1)
	go func() {
		_, err := s.Next(context.Background())
		done <- err
	}()
	require.NoError(t, c.Score("e0", 1, 4))
	b.Close()
	require.ErrorIs(t, <-done, board.ErrClosed)
	_, err := b.Subscribe(t.Context(), c.ID, 0)
	require.ErrorIs(t, err, board.ErrClosed)
	require.ErrorIs(t, b.WaitFor(t.Context(), b.Position()+1), board.ErrClosed)
	b.Close()
}

// register is a Namer over a table of names that can be out of reach.
type register struct {
	mu    sync.Mutex
	names map[string]string
	down  bool
	asked []string
	asOf  events.Position
}

func (r *register) look(_ context.Context, ids []string, asOf events.Position) (map[string]string, error) {
	r.mu.Lock()
	defer r.mu.Unlock()
	r.asked, r.asOf = append(r.asked, ids...), asOf
	if r.down {
		return nil, errors.New("out of reach")
	}
	out := map[string]string{}
	for _, id := range ids {
		if n, ok := r.names[id]; ok {
			out[id] = n
		}
	}
	return out, nil
}

func (r *register) set(change func()) {
	r.mu.Lock()
	defer r.mu.Unlock()
	change()
}

func TestNamesAreKeptUntilTheyChange(t *testing.T) {
	t.Parallel()
	synctest.Test(t, func(t *testing.T) {
		reg := &register{names: map[string]string{"p0": "Ada Brook", "p1": "Cem Dale"}}
		b, c := opened(t, boardtest.Options{Players: 2}, board.Options{Names: reg.look})
		v := viewer{}
		s := subscribe(t, b, c.ID, 0)
		read := func() {
			time.Sleep(50 * time.Millisecond)
			synctest.Wait()
			for _, m := range waiting(s) {
				require.NoError(t, v.receive(m.Data))
			}
		}
		read()
		require.Equal(t, "Ada Brook", row(t, v.board, "e0").Name)
		require.NoError(t, c.Score("e0", 1, 4))
		catchUp(t, b, c.Club)
		read()
		require.Len(t, reg.asked, 2, "asked once a player")

		reg.set(func() { reg.names["p0"] = "Ada Brook-Hill" })
		at := c.Club.Record(events.PlayerStream(boardtest.ClubName, "p0"), events.PlayerDetailsChanged{})
		catchUp(t, b, c.Club)
		read()
		require.Equal(t, "Ada Brook-Hill", row(t, v.board, "e0").Name)
		require.Equal(t, at, reg.asOf)
		require.Equal(t, at, v.lastID)
		require.Zero(t, v.wholes-1)

		c.Club.Record(events.PlayerStream(boardtest.ClubName, "p0"), events.PlayerErased{})
		catchUp(t, b, c.Club)
		read()
		require.Empty(t, row(t, v.board, "e0").Name)
		require.Len(t, reg.asked, 3, "nobody is asked for somebody who was erased")
		require.False(t, v.board.Unnamed)
		require.NoError(t, same(snapshot(t, b, c.ID), v.board))
	})
}

func TestBoardWithoutNamesMendsItself(t *testing.T) {
	t.Parallel()
	synctest.Test(t, func(t *testing.T) {
		reg := &register{names: map[string]string{"p0": "Ada Brook", "p1": "Cem Dale"}, down: true}
		b, c := opened(t, boardtest.Options{Players: 2, Change: func(t *events.Terms) { t.NamesAs = "initials" }}, board.Options{Names: reg.look})
		s := subscribe(t, b, c.ID, 0)
		first := waiting(s)
		require.Len(t, first, 1)
		require.NotContains(t, string(first[0].Data), "id:", "who comes back must get the names")
		v := viewer{}
		require.NoError(t, v.receive(first[0].Data))
		require.True(t, v.board.Unnamed)
		require.NoError(t, c.Score("e0", 1, 4))
		catchUp(t, b, c.Club)
		synctest.Wait()
		frame := waiting(s)
		require.Len(t, frame, 1, "scores go on")
		require.NoError(t, v.receive(frame[0].Data))
		require.Zero(t, v.lastID)
		_, ok := b.Since(c.ID, c.Club.Log.Last())
		require.False(t, ok)

		reg.set(func() { reg.down = false })
		time.Sleep(15 * time.Second)
		synctest.Wait()
		for _, m := range waiting(s) {
			require.NoError(t, v.receive(m.Data))
		}
		require.False(t, v.board.Unnamed)
		require.Equal(t, "A. B.", row(t, v.board, "e0").Name)
		require.Equal(t, c.Club.Log.Last(), v.lastID)
	})
}

// A competition that is over has no further event to bring its names.
func TestQuietBoardWithoutNamesMendsItselfToo(t *testing.T) {
	t.Parallel()
	synctest.Test(t, func(t *testing.T) {
		reg := &register{names: map[string]string{"p0": "Ada Brook", "p1": "Cem Dale"}, down: true}
		b, c := opened(t, boardtest.Options{Players: 2}, board.Options{Names: reg.look})
		s := subscribe(t, b, c.ID, 0)
		v := viewer{}
		for _, m := range waiting(s) {
			require.NoError(t, v.receive(m.Data))
		}
		require.True(t, v.board.Unnamed)
		reg.set(func() { reg.down = false })
		time.Sleep(15 * time.Second)
		synctest.Wait()
		for _, m := range waiting(s) {
			require.NoError(t, v.receive(m.Data))
		}
		require.False(t, v.board.Unnamed)
		require.Equal(t, "Ada Brook", row(t, v.board, "e0").Name)
	})
}

func TestFrameHasOnlyWhatChanged(t *testing.T) {
	t.Parallel()
	synctest.Test(t, func(t *testing.T) {
		b, c := opened(t, boardtest.Options{Players: 60}, board.Options{})
		for i := range 60 {
			require.NoError(t, c.Score(boardtest.EntryID(i), 1, 3+i%4))
		}
		catchUp(t, b, c.Club)
		s := subscribe(t, b, c.ID, 0)
		whole := waiting(s)[0]
		at := b.Position()
		require.NoError(t, c.Do(competition.SuspendRound{Kind: "normal", Reason: "dark"}))
		catchUp(t, b, c.Club)
		time.Sleep(time.Second)
		synctest.Wait()
		frames, ok := b.Since(c.ID, at)
		require.True(t, ok)
		require.Len(t, frames, 1)
		require.Empty(t, frames[0].Changed)
		require.Empty(t, frames[0].Spans)
		m := waiting(s)
		require.Less(t, len(m[0].Data), len(whole.Data)/20)
		require.Equal(t, 1, strings.Count(string(m[0].Data), "data: "))
	})
}

func TestFrameOfAnotherBoardIsRefused(t *testing.T) {
	t.Parallel()
	b := board.Board{}
	b.Position = 7
	require.ErrorIs(t, b.Patch(board.Frame{Base: 6}), board.ErrGap)
	f := board.Frame{Base: 7, Spans: []board.Span{{Ranking: "net", Rows: []int{3}, Positions: []string{"1"}}}}
	require.ErrorContains(t, b.Patch(f), "row 3")
}
