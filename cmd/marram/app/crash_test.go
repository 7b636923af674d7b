package app_test

import (
	"bufio"
	"context"
	"fmt"
	"math/rand/v2"
	"net/http"
	"os"
	"os/exec"
	"strconv"
	"strings"
	"sync"
	"sync/atomic"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"marram.example/api/command"
	"marram.example/cmd/marram/app"
	"marram.example/events"
)

// crashFolder tells the test binary to be the program under test, with its data
// in this folder.
const crashFolder = "MARRAM_CRASH_FOLDER"

// beTheProgram serves until it is killed; the test reads its address from the
// first line.
func beTheProgram(folder string) int {
	o := app.DefaultOptions()
	o.Addr, o.Data = "127.0.0.1:0", folder
	ctx := context.Background()
	a, err := app.New(ctx, o)
	if err == nil {
		err = a.Start(ctx)
	}
	if err != nil {
		_, _ = fmt.Fprintln(os.Stderr, err)
		return 1
	}
	fmt.Println(a.URL())
	<-a.Failed()
	return 1
}

// process is a running program.
type process struct {
	url string
	cmd *exec.Cmd
}

func mustSpawn(t *testing.T, folder string) process {
	t.Helper()
	self, err := os.Executable()
	require.NoError(t, err)
	cmd := exec.CommandContext(t.Context(), self)
	cmd.Env = append(os.Environ(), crashFolder+"="+folder)
	cmd.Stderr = os.Stderr
	out, err := cmd.StdoutPipe()
	require.NoError(t, err)
	require.NoError(t, cmd.Start())
	line, err := bufio.NewReader(out).ReadString('\n')
	require.NoError(t, err)
	return process{url: strings.TrimSpace(line), cmd: cmd}
}

// kill ends it without a warning.
func (p process) kill(t *testing.T) {
	t.Helper()
	require.NoError(t, p.cmd.Process.Kill())
	var end *exec.ExitError
	require.ErrorAs(t, p.cmd.Wait(), &end)
}

// acked is a score that the program said it has.
type acked struct {
	card    string
	hole    int
	strokes int
}

// Players enter scores from many phones while the program is killed again and
// again. What was acknowledged is there after every start, once; a phone that got
// no answer sends the same again and finds one effect.
func TestKilledWhileScoresComeNothingAcknowledgedIsLost(t *testing.T) {
	t.Parallel()
	folder := t.TempDir()
	id, entries, tokens := stageCrash(t, folder)
	var mu sync.Mutex
	var told []acked
	next := make([]int, len(entries)) // hole that each phone enters next
	const rounds = 4
	for round := range rounds {
		p := mustSpawn(t, folder)
		var stop atomic.Bool
		var phones sync.WaitGroup
		for i, entry := range entries {
			phones.Go(func() {
				card := command.CardID(id, entry, 1)
				for !stop.Load() && next[i] < 18 {
					a := acked{card: card, hole: next[i] + 1, strokes: 3 + (i+next[i])%4}
					if !send(t.Context(), p.url, tokens[i], a) {
						return // killed: the same again after the next start
					}
					mu.Lock()
					told = append(told, a)
					mu.Unlock()
					next[i]++
				}
			})
		}
		require.Eventually(t, func() bool {
			mu.Lock()
			defer mu.Unlock()
			return len(told) >= (round+1)*len(entries)*3
		}, time.Minute, 5*time.Millisecond, "scores come in")
		time.Sleep(time.Duration(rand.IntN(40)) * time.Millisecond) // anywhere in the middle of a write
		p.kill(t)
		stop.Store(true)
		phones.Wait()
	}
	t.Logf("%d scores were acknowledged over %d kills", len(told), rounds)
	checkCrash(t, folder, id, entries, told)
}

// send enters one score as a phone does, with a command id that depends on
// nothing but the score; it says whether the answer came.
func send(ctx context.Context, url, token string, a acked) bool {
	body := fmt.Sprintf(`{"hole":%d,"strokes":%d}`, a.hole, a.strokes)
	r, err := http.NewRequestWithContext(ctx, http.MethodPost, url+"/api/v1/cards/"+a.card+"/scores", strings.NewReader(body))
	if err != nil {
		return false
	}
	r.Header.Set("Content-Type", "application/json")
	r.Header.Set("Idempotency-Key", a.card+"-"+strconv.Itoa(a.hole))
	r.Header.Set("Authorization", "Bearer "+token)
	res, err := http.DefaultClient.Do(r)
	if err != nil {
		return false
	}
	defer func() { _ = res.Body.Close() }()
	return res.StatusCode == http.StatusCreated
}

// stageCrash opens a medal of twelve in a folder and stops in good order.
func stageCrash(t *testing.T, folder string) (id string, entries, tokens []string) {
	t.Helper()
	a, err := app.New(t.Context(), withData(folder))
	require.NoError(t, err)
	require.NoError(t, a.Start(t.Context()))
	id, c := bigField(t, a, 12)
	for _, entry := range c.Order {
		token, err := a.Commands.CardLink(t.Context(), command.CardID(id, entry, 1), events.RolePlayer)
		require.NoError(t, err)
		tokens = append(tokens, token)
	}
	require.NoError(t, a.Stop(t.Context()))
	return id, c.Order, tokens
}

func withData(folder string) app.Options {
	o := app.DefaultOptions()
	o.Addr, o.Data = "127.0.0.1:0", folder
	return o
}

// checkCrash opens the folder once more and looks for every acknowledged score.
func checkCrash(t *testing.T, folder, id string, entries []string, told []acked) {
	t.Helper()
	a, err := app.New(t.Context(), withData(folder))
	require.NoError(t, err)
	defer func() { require.NoError(t, a.Stop(t.Context())) }()
	report, err := a.Log.Verify(t.Context(), nil)
	require.NoError(t, err)
	require.True(t, report.Sound(), "%v", report.Problems)
	for _, s := range told {
		k, err := a.Commands.Card(t.Context(), s.card)
		require.NoError(t, err)
		at, ok := k.State.Line(s.hole)
		require.True(t, ok)
		require.Equal(t, s.strokes, k.State.Holes[at].Player.Strokes, "card %s hole %d", s.card, s.hole)
	}
	for _, entry := range entries {
		all, err := a.Log.Stream(t.Context(), events.CardStream("club", id, command.CardID(id, entry, 1)))
		require.NoError(t, err)
		holes := map[int]int{}
		for _, r := range all {
			if s, ok := r.Event.(events.HoleScored); ok {
				holes[s.Hole]++
			}
			_, corrected := r.Event.(events.HoleScoreCorrected)
			require.False(t, corrected, "nothing was entered twice")
		}
		for hole, n := range holes {
			require.Equal(t, 1, n, "hole %d", hole)
		}
	}
	require.NoError(t, a.Runner.CatchUp(t.Context(), nil))
	diffs, err := a.Runner.Verify(t.Context(), nil)
	require.NoError(t, err)
	require.Empty(t, diffs, "the read models say what the log says")
}
