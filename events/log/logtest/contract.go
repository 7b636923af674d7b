package logtest

import (
	"context"
	"errors"
	"fmt"
	"math/rand/v2"
	"sync"
	"sync/atomic"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"marram.example/events"
	"marram.example/events/log"
)

// Run holds the cases that every kind of log must pass. Each gets logs from
// open, which may share one server: every case has its own streams. Open is
// called in the test's own goroutine and cares for closing.
func Run(t *testing.T, open func(t *testing.T) *log.Log) {
	cases := []struct {
		name string
		run  func(t *testing.T, l *log.Log)
	}{
		{"appended events are read back as they were", readBack},
		{"a refusal stores nothing", refusal},
		{"a repeat returns the first result", repeat},
		{"a command id with another content is refused", reused},
		{"a stale expectation is refused", stale},
		{"several streams change together or not at all", allOrNothing},
		{"writers of one stream lose nothing", oneStream},
		{"the same command from many callers counts once", duplicates},
		{"followers see every event once, in order", follow},
		{"a competition is read up to a position", competition},
		{"a big command is stored whole", bigCommand},
		{"a bucket keeps and forgets", bucket},
		{"bad commands are refused", badCommands},
		{"the log verifies", verify},
	}
	for _, c := range cases {
		t.Run(c.name, func(t *testing.T) { c.run(t, open(t)) })
	}
}

var games atomic.Int64

// game is a competition id that no other case uses.
func game() string { return fmt.Sprintf("game%d-%d", games.Add(1), rand.Uint32()) }

// id is a command id that no other case uses.
func id(part any) string { return fmt.Sprintf("%v-%d", part, rand.Uint64()) }

// MustExecute carries out a command of one step.
func MustExecute(t testing.TB, l *log.Log, m log.Meta, s log.Step) log.Result {
	t.Helper()
	r, err := l.Execute(context.Background(), m, s)
	require.NoError(t, err)
	require.Len(t, r, 1)
	return r[0]
}

func readBack(t *testing.T, l *log.Log) {
	ctx := context.Background()
	s := Stream(game(), 1)
	m := Meta(id("read"))
	m.RecordedAt = m.Time.Add(-4 * time.Hour)
	r := MustExecute(t, l, m, log.Do(Card(), s, Enter{Holes: []int{1, 2}, Strokes: 4}))
	require.Equal(t, events.Sequence(2), r.Sequence)
	require.False(t, r.Known)
	require.Len(t, r.Events, 2)

	got, err := l.Stream(ctx, s)
	require.NoError(t, err)
	require.Len(t, got, 2)
	for i, e := range got {
		want := events.Recorded{
			Envelope: events.Envelope{
				ID: e.ID, Type: "marram.card.HoleScored.v1", Source: Club, Subject: s.ID,
				Time: m.Time, RecordedAt: m.RecordedAt, Actor: m.Actor,
				CommandID: m.CommandID, CommandHash: m.CommandHash, CorrelationID: m.CorrelationID,
				Sequence: events.Sequence(i + 1), Last: i == 1,
			},
			Stream: s, Position: r.Position - 1 + events.Position(i), Event: r.Events[i],
		}
		require.Equal(t, want, e)
		at, err := l.At(ctx, e.Position)
		require.NoError(t, err)
		require.Equal(t, want, at)
	}
	require.NotEqual(t, got[0].ID, got[1].ID)

	state, v, err := log.Load(ctx, l, Card(), s)
	require.NoError(t, err)
	require.Equal(t, map[int]int{1: 4, 2: 4}, state.Strokes)
	require.Equal(t, log.Version{Sequence: 2, Position: r.Position}, v)
	_, err = l.At(ctx, r.Position+1_000_000)
	require.ErrorIs(t, err, log.ErrNotFound)
}

func refusal(t *testing.T, l *log.Log) {
	ctx := context.Background()
	s := Stream(game(), 1)
	_, err := l.Execute(ctx, Meta(id("no")), Score(s, 1, 0))
	require.Equal(t, events.KindInvalid, events.AsError(err).Kind)
	got, err := l.Stream(ctx, s)
	require.NoError(t, err)
	require.Empty(t, got)
	state, v, err := log.Load(ctx, l, Card(), s)
	require.NoError(t, err)
	require.Zero(t, state.Count)
	require.Zero(t, v)
}

func repeat(t *testing.T, l *log.Log) {
	ctx := context.Background()
	c := game()
	a, b := Stream(c, 1), Stream(c, 2)
	m := Meta(id("twice"))
	steps := []log.Step{Score(a, 1, 4), Score(b, 1, 5), log.Do(Card(), a, Enter{Holes: []int{2, 3}, Strokes: 3})}
	first, err := l.Execute(ctx, m, steps...)
	require.NoError(t, err)
	require.Len(t, first, 3)
	require.Equal(t, first[0], first[2], "steps on one stream share their result")
	require.Len(t, first[0].Events, 3)
	MustExecute(t, l, Meta(id("other")), Score(a, 1, 9))

	again, err := l.Execute(ctx, m, steps...)
	require.NoError(t, err)
	for i := range first {
		first[i].Known = true
	}
	require.Equal(t, first, again)
	state, _, err := log.Load(ctx, l, Card(), a)
	require.NoError(t, err)
	require.Equal(t, 9, state.Strokes[1], "the repeat did not undo what came after")

	known, err := l.Execute(ctx, m, Score(a, 1, 4, log.Expect(0)))
	require.NoError(t, err, "a repeat is recognised before its expectation is checked")
	require.True(t, known[0].Known)
}

func reused(t *testing.T, l *log.Log) {
	s := Stream(game(), 1)
	m := Meta(id("reused"))
	MustExecute(t, l, m, Score(s, 1, 4))
	m.CommandHash = "another"
	_, err := l.Execute(context.Background(), m, Score(s, 1, 5))
	refused := events.AsError(err)
	require.NotNil(t, refused)
	require.Equal(t, events.KindConflict, refused.Kind)
	require.Equal(t, "command_id_reused", refused.Code)
	require.Equal(t, "Idempotency-Key", refused.Field)
}

func stale(t *testing.T, l *log.Log) {
	ctx := context.Background()
	s := Stream(game(), 1)
	MustExecute(t, l, Meta(id(1)), Score(s, 1, 4, log.Expect(0)))
	MustExecute(t, l, Meta(id(2)), Score(s, 2, 4, log.Expect(1)))
	_, err := l.Execute(ctx, Meta(id(3)), Score(s, 2, 5, log.Expect(1)))
	refused := events.AsError(err)
	require.NotNil(t, refused)
	require.Equal(t, events.KindConflict, refused.Kind)
	require.Equal(t, "stale_sequence", refused.Code)
	require.Contains(t, refused.Detail, "2")
	require.Contains(t, refused.Detail, "1")
	got, err := l.Stream(ctx, s)
	require.NoError(t, err)
	require.Len(t, got, 2)
}

func allOrNothing(t *testing.T, l *log.Log) {
	ctx := context.Background()
	c := game()
	a, b := Stream(c, 1), Stream(c, 2)
	_, err := l.Execute(ctx, Meta(id("half")), Score(a, 1, 4), Score(b, 1, 0))
	require.NotNil(t, events.AsError(err))
	_, err = l.Execute(ctx, Meta(id("half")), Score(a, 1, 4), Score(b, 1, 4, log.Expect(7)))
	require.NotNil(t, events.AsError(err))
	got, err := l.Competition(ctx, c, 0)
	require.NoError(t, err)
	require.Empty(t, got)

	// Commands that cross each other's streams in every order neither block each
	// other nor leave a half.
	const writers, each = 8, 10
	var all sync.WaitGroup
	for w := range writers {
		all.Go(func() {
			for i := range each {
				steps := []log.Step{Score(a, 1, 1+i), Score(b, 1, 1+i)}
				if w%2 == 1 {
					steps[0], steps[1] = steps[1], steps[0]
				}
				_, err := l.Execute(ctx, Meta(id(w)), steps...)
				assert.NoError(t, err)
			}
		})
	}
	all.Wait()
	got, err = l.Competition(ctx, c, 0)
	require.NoError(t, err)
	require.Len(t, got, 2*writers*each)
	for i := 0; i < len(got); i += 2 {
		require.Equal(t, got[i].CommandID, got[i+1].CommandID)
		require.Equal(t, got[i].Position+1, got[i+1].Position)
		require.NotEqual(t, got[i].Stream, got[i+1].Stream)
	}
}

func oneStream(t *testing.T, l *log.Log) {
	ctx := context.Background()
	s := Stream(game(), 1)
	const writers, each = 12, 10
	var all sync.WaitGroup
	for w := range writers {
		all.Go(func() {
			for i := range each {
				_, err := l.Execute(ctx, Meta(id(w)), Score(s, w*each+i, 4))
				assert.NoError(t, err)
			}
		})
	}
	all.Wait()
	state, v, err := log.Load(ctx, l, Card(), s)
	require.NoError(t, err)
	require.Equal(t, writers*each, state.Count)
	require.Len(t, state.Strokes, writers*each)
	require.Equal(t, events.Sequence(writers*each), v.Sequence)
	got, err := l.Stream(ctx, s)
	require.NoError(t, err)
	require.Len(t, got, writers*each)
	for i, e := range got {
		require.Equal(t, events.Sequence(i+1), e.Sequence)
	}
}

func duplicates(t *testing.T, l *log.Log) {
	ctx := context.Background()
	s := Stream(game(), 1)
	m := Meta(id("same"))
	const callers = 24
	var fresh atomic.Int64
	var all sync.WaitGroup
	positions := make([]events.Position, callers)
	for i := range callers {
		all.Go(func() {
			r, err := l.Execute(ctx, m, Score(s, 1, 4))
			if !assert.NoError(t, err) {
				return
			}
			positions[i] = r[0].Position
			if !r[0].Known {
				fresh.Add(1)
			}
		})
	}
	all.Wait()
	require.Equal(t, int64(1), fresh.Load())
	for _, p := range positions {
		require.Equal(t, positions[0], p)
	}
	got, err := l.Stream(ctx, s)
	require.NoError(t, err)
	require.Len(t, got, 1)
}

var errEnough = errors.New("enough")

func follow(t *testing.T, l *log.Log) {
	ctx, cancel := context.WithTimeout(context.Background(), time.Minute)
	defer cancel()
	start, _, err := l.Last(ctx)
	require.NoError(t, err)
	c := game()
	const writers, each = 6, 40
	want := start + writers*each

	var all sync.WaitGroup
	for w := range writers {
		all.Go(func() {
			for i := range each {
				_, err := l.Execute(ctx, Meta(id(w)), Score(Stream(c, w), i, 4))
				assert.NoError(t, err)
			}
		})
	}
	var seen [3][]events.Position
	for f := range seen {
		all.Go(func() {
			err := l.Follow(ctx, start, func(batch []events.Recorded) error {
				for _, e := range batch {
					seen[f] = append(seen[f], e.Position)
				}
				if batch[len(batch)-1].Position >= want {
					return errEnough
				}
				return nil
			})
			assert.ErrorIs(t, err, errEnough)
		})
	}
	all.Wait()
	for _, got := range seen {
		require.Len(t, got, writers*each)
		for i, p := range got {
			require.Equal(t, start+events.Position(i)+1, p)
		}
	}

	var replayed int
	end, err := l.Replay(ctx, start, func(batch []events.Recorded) error {
		replayed += len(batch)
		return nil
	})
	require.NoError(t, err)
	require.Equal(t, want, end)
	require.Equal(t, writers*each, replayed)
	end, err = l.Replay(ctx, want, func([]events.Recorded) error { return errors.New("nothing is left") })
	require.NoError(t, err)
	require.Equal(t, want, end)

	// The end of the context ends a follower that waits.
	short, stop := context.WithCancel(ctx)
	ended := make(chan error, 1)
	go func() { ended <- l.Follow(short, want, func([]events.Recorded) error { return nil }) }()
	stop()
	require.ErrorIs(t, <-ended, context.Canceled)
}

func competition(t *testing.T, l *log.Log) {
	ctx := context.Background()
	c, other := game(), game()
	first := MustExecute(t, l, Meta(id(1)), Score(Stream(c, 1), 1, 4))
	MustExecute(t, l, Meta(id(2)), Score(Stream(other, 1), 1, 4))
	second := MustExecute(t, l, Meta(id(3)), Score(Stream(c, 2), 1, 4))
	for upTo, want := range map[events.Position][]events.Position{
		0:                   {first.Position, second.Position},
		first.Position:      {first.Position},
		second.Position - 1: {first.Position},
		second.Position:     {first.Position, second.Position},
	} {
		got, err := l.Competition(ctx, c, upTo)
		require.NoError(t, err)
		var positions []events.Position
		for _, e := range got {
			positions = append(positions, e.Position)
		}
		require.Equal(t, want, positions, "up to %d", upTo)
	}
	_, err := l.Competition(ctx, "*", 0)
	require.NotNil(t, events.AsError(err))
}

func bigCommand(t *testing.T, l *log.Log) {
	ctx := context.Background()
	s := Stream(game(), 1)
	holes := make([]int, 900) // a server that nobody configured takes 1,000
	for i := range holes {
		holes[i] = i + 1
	}
	r := MustExecute(t, l, Meta(id("big")), log.Do(Card(), s, Enter{Holes: holes, Strokes: 4}))
	require.Equal(t, events.Sequence(len(holes)), r.Sequence)
	got, err := l.Stream(ctx, s)
	require.NoError(t, err)
	require.Len(t, got, len(holes))
	for i, e := range got {
		require.Equal(t, r.Events[i], e.Event)
	}

	tooBig := Enter{Holes: make([]int, 20_001), Strokes: 4}
	_, err = l.Execute(ctx, Meta(id("too big")), log.Do(Card(), s, tooBig))
	refused := events.AsError(err)
	require.NotNil(t, refused, "%v", err)
	require.Equal(t, "too_many_events", refused.Code)
	got, err = l.Stream(ctx, s)
	require.NoError(t, err)
	require.Len(t, got, len(holes))
}

func bucket(t *testing.T, l *log.Log) {
	ctx := context.Background()
	b, err := l.Bucket(ctx, "accounts"+game(), 0)
	require.NoError(t, err)
	const key = "a@b.example/ü =*>"
	_, err = b.Get(ctx, key)
	require.ErrorIs(t, err, log.ErrNoKey)
	require.NoError(t, b.Create(ctx, key, []byte("one")))
	require.ErrorIs(t, b.Create(ctx, key, []byte("two")), log.ErrKeyExists)
	require.NoError(t, b.Put(ctx, key, []byte("three")))
	require.NoError(t, b.Put(ctx, "plain", nil))
	got, err := b.Get(ctx, key)
	require.NoError(t, err)
	require.Equal(t, "three", string(got))
	keys, err := b.Keys(ctx)
	require.NoError(t, err)
	require.ElementsMatch(t, []string{key, "plain"}, keys)
	require.NoError(t, b.Delete(ctx, key))
	require.NoError(t, b.Delete(ctx, key), "deleting what is gone")
	_, err = b.Get(ctx, key)
	require.ErrorIs(t, err, log.ErrNoKey)
	keys, err = b.Keys(ctx)
	require.NoError(t, err)
	require.Equal(t, []string{"plain"}, keys)
	require.NoError(t, b.Create(ctx, key, []byte("four")), "a key may come again")
	require.Error(t, b.Put(ctx, "", []byte("x")))

	brief, err := l.Bucket(ctx, "sessions"+game(), time.Second)
	require.NoError(t, err)
	require.NoError(t, brief.Put(ctx, "s", []byte("x")))
	require.Eventually(t, func() bool {
		_, err := brief.Get(ctx, "s")
		return errors.Is(err, log.ErrNoKey)
	}, 10*time.Second, 50*time.Millisecond)
}

func badCommands(t *testing.T, l *log.Log) {
	s := Stream(game(), 1)
	foreign := events.CardStream("elsewhere", "c", "x")
	wild := events.CardStream(Club, "c", "*")
	wrongKind := events.PlayerStream(Club, "x")
	noID, noTime, noActor := Meta(""), Meta("x"), Meta("x")
	noTime.Time = time.Time{}
	noActor.Actor = events.Actor{}
	for name, try := range map[string]func(context.Context) error{
		"no command id": func(ctx context.Context) error { _, err := l.Execute(ctx, noID, Score(s, 1, 4)); return err },
		"no time":       func(ctx context.Context) error { _, err := l.Execute(ctx, noTime, Score(s, 1, 4)); return err },
		"no actor":      func(ctx context.Context) error { _, err := l.Execute(ctx, noActor, Score(s, 1, 4)); return err },
		"no step":       func(ctx context.Context) error { _, err := l.Execute(ctx, Meta("x")); return err },
		"other club":    func(ctx context.Context) error { _, err := l.Execute(ctx, Meta("x"), Score(foreign, 1, 4)); return err },
		"wildcard":      func(ctx context.Context) error { _, err := l.Execute(ctx, Meta("x"), Score(wild, 1, 4)); return err },
		"wrong kind": func(ctx context.Context) error {
			_, err := l.Execute(ctx, Meta("x"), Score(wrongKind, 1, 4))
			return err
		},
		"load wildcard": func(ctx context.Context) error { _, _, err := log.Load(ctx, l, Card(), wild); return err },
		"read wildcard": func(ctx context.Context) error { _, err := l.Stream(ctx, wild); return err },
	} {
		require.Error(t, try(context.Background()), name)
	}
	ended, cancel := context.WithCancel(context.Background())
	cancel()
	_, err := l.Execute(ended, Meta(id("late")), Score(s, 1, 4))
	require.ErrorIs(t, err, context.Canceled)
	got, err := l.Stream(context.Background(), s)
	require.NoError(t, err)
	require.Empty(t, got)
}

func verify(t *testing.T, l *log.Log) {
	ctx := context.Background()
	MustExecute(t, l, Meta(id(1)), log.Do(Card(), Stream(game(), 1), Enter{Holes: []int{1, 2, 3}, Strokes: 4}))
	last, _, err := l.Last(ctx)
	require.NoError(t, err)
	var reached events.Position
	report, err := l.Verify(ctx, func(done, total events.Position) {
		require.LessOrEqual(t, done, total)
		reached = done
	})
	require.NoError(t, err)
	require.Empty(t, report.Problems)
	require.True(t, report.Sound())
	require.Equal(t, last, report.Last)
	require.Equal(t, last, reached)
	require.Equal(t, int(last), report.Events)
	require.Positive(t, report.Streams)
}
