package log_test

import (
	"bytes"
	"context"
	"fmt"
	"os"
	"path/filepath"
	"testing"
	"time"

	"github.com/nats-io/nats.go"
	"github.com/stretchr/testify/require"

	"marram.example/events"
	"marram.example/events/log"
	"marram.example/events/log/logtest"
)

// blocks are the files in which the server keeps a stream of an embedded log.
func blocks(t *testing.T, dir, stream string) []string {
	t.Helper()
	files, err := filepath.Glob(filepath.Join(dir, "jetstream", "*", "streams", stream, "msgs", "*.blk"))
	require.NoError(t, err)
	require.NotEmpty(t, files)
	return files
}

// One flipped bit in the file makes an event unreadable. Nobody may be told the
// events around it as if nothing were missing.
func TestFlippedBit(t *testing.T) {
	ctx, cancel := context.WithTimeout(context.Background(), time.Minute)
	defer cancel()
	dir := t.TempDir()
	in := func(o *log.Options) { o.Dir = dir }
	const cards = 40
	hit := flip(t, dir, cards, cards/2)
	l := logtest.MustOpen(t, in)
	report, err := l.Verify(ctx, nil)
	require.NoError(t, err)
	require.False(t, report.Sound())
	require.Equal(t, hit[0].Position, report.Problems[0].Position, "%+v", report)
	_, err = l.Replay(ctx, 0, func(batch []events.Recorded) error {
		require.Less(t, batch[len(batch)-1].Position, hit[0].Position)
		return nil
	})
	require.ErrorIs(t, err, log.ErrDamaged)
	require.ErrorIs(t, l.Follow(ctx, 0, func([]events.Recorded) error { return nil }), log.ErrDamaged)
}

// flip fills a log with one event a card, closes it, and damages one event.
func flip(t *testing.T, dir string, cards, card int) []events.Recorded {
	t.Helper()
	l := logtest.MustOpen(t, func(o *log.Options) { o.Dir = dir })
	for c := range cards {
		logtest.MustExecute(t, l, logtest.Meta(fmt.Sprint("flip", c)), logtest.Score(logtest.Stream("c", c), 1, 4))
	}
	hit, err := l.Stream(context.Background(), logtest.Stream("c", card))
	require.NoError(t, err)
	require.NoError(t, l.Close())
	file := blocks(t, dir, "MARRAM_"+logtest.Club)[0]
	data, err := os.ReadFile(file)
	require.NoError(t, err)
	at := bytes.Index(data, []byte(hit[0].ID))
	require.Positive(t, at)
	data[at] ^= 0x01
	require.NoError(t, os.WriteFile(file, data, 0o600))
	return hit
}

// Without its last event the log would give the same position out again or
// refuse that stream for ever.
func TestFlippedBitInTheLastEvent(t *testing.T) {
	dir := t.TempDir()
	flip(t, dir, 5, 4)
	_, err := log.Open(context.Background(), log.Options{Dir: dir, Club: logtest.Club})
	require.ErrorIs(t, err, log.ErrDamaged)
	require.ErrorContains(t, err, "position 5")
}

// Verify finds what a fault in the program or a foreign hand could leave.
func TestVerifyFinds(t *testing.T) {
	type fault func(m *nats.Msg, first events.Recorded)
	header := func(name, value string) fault {
		return func(m *nats.Msg, _ events.Recorded) { m.Header.Set(name, value) }
	}
	for name, c := range map[string]struct {
		fault  fault
		detail string
	}{
		"an id twice": {func(m *nats.Msg, first events.Recorded) {
			m.Header.Del("Nats-Msg-Id")
			m.Header.Set("ce-id", first.ID)
		}, "is that of position 1"},
		"a gap in the stream":   {header("ce-sequence", "9"), "sequence 9 follows 1"},
		"an unknown type":       {header("ce-type", "marram.card.Unheard.v1"), "unknown event type"},
		"an unknown field":      {func(m *nats.Msg, _ events.Recorded) { m.Data = []byte(`{"hole":1,"more":2}`) }, "more"},
		"another subject":       {header("ce-subject", "x"), "the subject is"},
		"an id that is no UUID": {header("ce-id", "7"), "not a UUID"},
		"half a command": {func(m *nats.Msg, _ events.Recorded) {
			m.Header.Set("ce-remaining", "1")
			m.Header.Del("ce-last")
		}, "in the middle of command"},
		"more after the end": {header("ce-causationid", "one"), "goes on after its last"},
	} {
		t.Run(name, func(t *testing.T) {
			ctx := context.Background()
			l := logtest.MustOpen(t)
			s := logtest.Stream("c", 1)
			logtest.MustExecute(t, l, logtest.Meta("one"), logtest.Score(s, 1, 4))
			all, err := l.Stream(ctx, s)
			require.NoError(t, err)
			m := forge(t, all[0], 2, "two")
			c.fault(m, all[0])
			require.NoError(t, l.Publish(ctx, []*nats.Msg{m}))
			report, err := l.Verify(ctx, nil)
			require.NoError(t, err)
			require.Len(t, report.Problems, 1, "%+v", report.Problems)
			require.Equal(t, events.Position(2), report.Problems[0].Position)
			require.Contains(t, report.Problems[0].Detail, c.detail)
		})
	}
}

// What is deleted from a bucket is overwritten in the file.
func TestDeletedValueLeavesTheFile(t *testing.T) {
	ctx := context.Background()
	dir := t.TempDir()
	l := logtest.MustOpen(t, func(o *log.Options) { o.Dir = dir })
	b, err := l.Bucket(ctx, "keys", 0)
	require.NoError(t, err)
	secret := []byte("0f1e2d3c4b5a69788796a5b4c3d2e1f0")
	require.NoError(t, b.Create(ctx, "player", secret))
	require.NoError(t, b.Create(ctx, "another", []byte("stays")))
	holds := func(what []byte) bool {
		for _, f := range blocks(t, dir, "KV_marram_"+logtest.Club+"_keys") {
			data, err := os.ReadFile(f)
			require.NoError(t, err)
			if bytes.Contains(data, what) {
				return true
			}
		}
		return false
	}
	require.True(t, holds(secret), "the check itself would see it")
	require.NoError(t, b.Delete(ctx, "player"))
	require.False(t, holds(secret))
	require.True(t, holds([]byte("stays")))
	_, err = b.Get(ctx, "player")
	require.ErrorIs(t, err, log.ErrNoKey)
}
