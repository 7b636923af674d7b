package log_test

import (
	"context"
	"testing"

	"github.com/stretchr/testify/require"

	"marram.example/events"
	"marram.example/events/log"
	"marram.example/events/log/logtest"
)

func TestSmoke(t *testing.T) {
	l := logtest.MustOpen(t)
	ctx := context.Background()
	s := logtest.Stream("c1", 1)
	r, err := l.Execute(ctx, logtest.Meta("a"), logtest.Score(s, 1, 4))
	require.NoError(t, err)
	require.Equal(t, events.Position(1), r[0].Position)
	r, err = l.Execute(ctx, logtest.Meta("b"), log.Do(logtest.Card(), s, logtest.Enter{Holes: []int{2, 3, 4}, Strokes: 5}))
	require.NoError(t, err)
	require.Equal(t, events.Position(4), r[0].Position)
	require.Equal(t, events.Sequence(4), r[0].Sequence)
	again, err := l.Execute(ctx, logtest.Meta("b"), log.Do(logtest.Card(), s, logtest.Enter{Holes: []int{2, 3, 4}, Strokes: 5}))
	require.NoError(t, err)
	require.True(t, again[0].Known)
	require.Equal(t, r[0].Events, again[0].Events)
	st, v, err := log.Load(ctx, l, logtest.Card(), s)
	require.NoError(t, err)
	require.Equal(t, 4, st.Count)
	require.Equal(t, events.Sequence(4), v.Sequence)
	n := 0
	at, err := l.Replay(ctx, 0, func(b []events.Recorded) error { n += len(b); return nil })
	require.NoError(t, err)
	require.Equal(t, 4, n)
	require.Equal(t, events.Position(4), at)
	all, err := l.Competition(ctx, "c1", 0)
	require.NoError(t, err)
	require.Len(t, all, 4)
	b, err := l.Bucket(ctx, "keys", 0)
	require.NoError(t, err)
	require.NoError(t, b.Put(ctx, "a.b/ü", []byte("x")))
	require.ErrorIs(t, b.Create(ctx, "a.b/ü", []byte("y")), log.ErrKeyExists)
	k, err := b.Keys(ctx)
	require.NoError(t, err)
	require.Equal(t, []string{"a.b/ü"}, k)
	require.NoError(t, b.Delete(ctx, "a.b/ü"))
	_, err = b.Get(ctx, "a.b/ü")
	require.ErrorIs(t, err, log.ErrNoKey)
	require.NoError(t, b.Create(ctx, "a.b/ü", []byte("y")))
}
