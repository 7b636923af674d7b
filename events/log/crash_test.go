package log_test

import (
	"bufio"
	"context"
	"fmt"
	"math/rand/v2"
	"os"
	"os/exec"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/require"
	"go.uber.org/goleak"

	"marram.example/events"
	"marram.example/events/log"
	"marram.example/events/log/logtest"
)

const (
	crashDir   = "MARRAM_TEST_CRASH_DIR"
	crashRound = "MARRAM_TEST_CRASH_ROUND"
)

func TestMain(m *testing.M) {
	if dir := os.Getenv(crashDir); dir != "" {
		writeUntilKilled(dir, os.Getenv(crashRound))
		return
	}
	goleak.VerifyTestMain(m)
}

// writeUntilKilled is the child of TestKill: 32 writers, some with commands of
// several events, that print every acknowledgement until the process is killed.
func writeUntilKilled(dir, round string) {
	ctx := context.Background()
	l, err := log.Open(ctx, log.Options{Dir: dir, Club: logtest.Club})
	if err != nil {
		fmt.Println("failed", err)
		return
	}
	failed := make(chan error)
	for w := range 32 {
		go func() {
			s := logtest.Stream("crash", w)
			for i := 0; ; i++ {
				holes := []int{i%18 + 1}
				if w%4 == 0 {
					holes = append(holes, 19, 20, 21)
				}
				id := fmt.Sprintf("%s-%d-%d", round, w, i)
				r, err := l.Execute(ctx, logtest.Meta(id), log.Do(logtest.Card(), s, logtest.Enter{Holes: holes, Strokes: 4}))
				if err != nil {
					failed <- err
					return
				}
				// One write call a line: a line is whole or not there.
				_, _ = fmt.Fprintf(os.Stdout, "ack %s %d\n", id, r[0].Position)
			}
		}()
	}
	fmt.Println("failed", <-failed)
}

// The process is killed at a random moment, over and over, on the same folder.
// What it said it had stored must be there, once, and the log must be sound.
func TestKill(t *testing.T) {
	dir := t.TempDir()
	seed := rand.Uint64()
	t.Logf("seed %d", seed)
	r := rand.New(rand.NewPCG(seed, 0))
	var books ledger
	const rounds = 5
	for round := range rounds {
		before := len(books.acked)
		killOnce(t, dir, round, 1+r.IntN(400), time.Duration(r.IntN(20_000))*time.Microsecond, &books)
		require.Greater(t, len(books.acked), before, "nothing was acknowledged in this round")

		l := logtest.MustOpen(t, func(o *log.Options) { o.Dir = dir })
		books.requireKept(t, l)
		report, err := l.Verify(context.Background(), nil)
		require.NoError(t, err)
		require.Empty(t, report.Problems)
		if round == rounds-1 {
			requireWholeCommands(t, l)
		}
		require.NoError(t, l.Close())
	}
	t.Logf("%d acknowledged commands over all rounds", len(books.acked))
}

// killOnce runs the child, kills it a moment after it has acknowledged a number
// of commands, and notes every acknowledgement that it printed.
func killOnce(t *testing.T, dir string, round, acks int, moment time.Duration, books *ledger) {
	t.Helper()
	child := exec.Command(os.Args[0])
	child.Env = append(os.Environ(), crashDir+"="+dir, fmt.Sprintf("%s=%d", crashRound, round))
	child.Stderr = os.Stderr
	out, err := child.StdoutPipe()
	require.NoError(t, err)
	require.NoError(t, child.Start())
	lines := bufio.NewScanner(out)
	for n := 0; lines.Scan(); n++ {
		var id string
		var at events.Position
		line := lines.Text()
		if !strings.HasPrefix(line, "ack ") {
			require.Failf(t, "child", "%s", line)
		}
		_, err := fmt.Sscanf(line, "ack %s %d", &id, &at)
		require.NoError(t, err, line)
		books.ack(id, at)
		if n == acks {
			time.AfterFunc(moment, func() { _ = child.Process.Kill() })
		}
	}
	require.Error(t, child.Wait(), "the child must have been killed")
}

// requireWholeCommands checks that commands of four events have four events.
func requireWholeCommands(t *testing.T, l *log.Log) {
	t.Helper()
	count := make(map[string]int)
	_, err := l.Replay(context.Background(), 0, func(batch []events.Recorded) error {
		for _, e := range batch {
			count[e.CommandID]++
		}
		return nil
	})
	require.NoError(t, err)
	for id, n := range count {
		var round, w, i int
		_, err := fmt.Sscanf(id, "%d-%d-%d", &round, &w, &i)
		require.NoError(t, err)
		want := 1
		if w%4 == 0 {
			want = 4
		}
		require.Equal(t, want, n, "command %s", id)
	}
}
