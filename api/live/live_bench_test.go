package live_test

import (
	"bufio"
	"context"
	"fmt"
	"math/rand/v2"
	"net/http"
	"slices"
	"strconv"
	"sync"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"marram.example/api/live"
	"marram.example/events"
	"marram.example/events/log"
	"marram.example/events/log/logtest"
	"marram.example/projections/board"
	"marram.example/projections/board/boardtest"
)

// scoresPerSecond is the pace of the load: far above what a field of 300 enters.
const scoresPerSecond = 50

// entered appends what a club's deciders decided to a real log.
type entered struct {
	log  *log.Log
	club *boardtest.Club
	done events.Position
	n    int
}

// copyDecider stores events that were decided elsewhere.
var copyDecider = log.Decider[*struct{}, []events.Event]{
	New: func() *struct{} { return &struct{}{} }, Clone: func(s *struct{}) *struct{} { return s },
	Evolve: func(*struct{}, events.Event) {},
	Decide: func(_ *struct{}, es []events.Event) ([]events.Event, error) { return es, nil },
}

// append stores what is new in the club and returns its last position in the log.
func (e *entered) append(ctx context.Context) (events.Position, error) {
	var at events.Position
	news := e.club.Log.After(e.done)
	for len(news) > 0 {
		n := 1
		for n < len(news) && news[n].Stream == news[0].Stream {
			n++
		}
		var es []events.Event
		for _, r := range news[:n] {
			es = append(es, r.Event)
		}
		e.n++
		done, err := e.log.Execute(ctx, log.Meta{
			CommandID: "command-" + strconv.Itoa(e.n), Time: news[0].Time, Actor: events.Actor{Role: events.RoleCommittee, ID: "desk"},
		}, log.Do(copyDecider, news[0].Stream, es))
		if err != nil {
			return 0, err
		}
		at = done[0].Position
		e.done = news[n-1].Position
		news = news[n:]
	}
	return at, nil
}

// onRealLog runs boards that follow a real log with a competition in it.
func onRealLog(t testing.TB, players int) (*entered, *boardtest.Competition, *board.Boards) {
	t.Helper()
	l := logtest.MustOpen(t, func(o *log.Options) { o.Club = boardtest.ClubName })
	club := boardtest.NewClub()
	c := boardtest.Play(t, club, boardtest.Options{Players: players})
	e := &entered{log: l, club: club}
	at, err := e.append(t.Context())
	require.NoError(t, err)
	b := board.New(board.Options{History: l.Competition})
	ctx, cancel := context.WithCancel(context.Background())
	var follow sync.WaitGroup
	follow.Go(func() { _ = b.Run(ctx, l) })
	t.Cleanup(func() {
		cancel()
		follow.Wait()
		b.Close()
	})
	require.NoError(t, b.WaitFor(t.Context(), at))
	return e, c, b
}

// arrivals is when a listener had each position of the log.
type arrivals struct {
	mu    sync.Mutex
	stood events.Position
	at    []time.Time // by position from the first one measured
	base  events.Position
}

func (a *arrivals) reach(p events.Position, now time.Time) {
	a.mu.Lock()
	defer a.mu.Unlock()
	for ; a.stood < p; a.stood++ {
		a.at = append(a.at, now)
	}
}

// listen reads a stream until it ends.
func listen(t testing.TB, client *http.Client, url string, base events.Position, ready func()) *arrivals {
	defer ready() // also where it never was, which is an error
	a := &arrivals{stood: base, base: base}
	res, err := client.Get(url)
	if err != nil {
		t.Error(err)
		return a
	}
	defer func() { _ = res.Body.Close() }()
	in := bufio.NewReaderSize(res.Body, 1<<18)
	for {
		e, err := readEvent(in)
		if err != nil {
			return a
		}
		if e.id != "" {
			at, err := strconv.ParseUint(e.id, 10, 64)
			if err != nil {
				t.Error(err)
				return a
			}
			a.reach(events.Position(at), time.Now())
			ready()
		}
	}
}

// BenchmarkScoreToListener enters b.N scores, 50 a second, in a field of 300 in
// three divisions, and measures how long it takes from the moment that the log
// is told until each of the listeners, connected over HTTP, has the frame. The
// load generator, the listeners and the service share the machine.
func BenchmarkScoreToListener(b *testing.B) {
	for _, listeners := range []int{1, 50, 300} {
		b.Run(fmt.Sprintf("field=300/listeners=%d", listeners), func(b *testing.B) { scoreToListener(b, listeners) })
	}
}

func scoreToListener(b *testing.B, listeners int) {
	e, c, boards := onRealLog(b, 300)
	l := live.New(boards, watchAll, live.Options{})
	server := newServer(l, 10*time.Second)
	defer server.Close()
	base := boards.Position()
	var all sync.WaitGroup
	var ready sync.WaitGroup
	ready.Add(listeners)
	got := make([]*arrivals, listeners)
	for i := range listeners {
		all.Go(func() {
			got[i] = listen(b, server.Client(), server.URL+"/api/v1/competitions/"+c.ID+"/board/stream", base, sync.OnceFunc(ready.Done))
		})
	}
	ready.Wait()
	r := rand.New(rand.NewPCG(1, 1))
	sent := map[events.Position]time.Time{}
	acknowledged := map[events.Position]time.Time{}
	pace := time.NewTicker(time.Second / scoresPerSecond)
	defer pace.Stop()
	b.ResetTimer()
	for n := range b.N {
		due := <-pace.C
		hole := 1 + n/300%18
		require.NoError(b, c.Score(boardtest.EntryID(r.IntN(300)), hole, 3+r.IntN(4)))
		at, err := e.append(b.Context())
		require.NoError(b, err)
		if at > 0 { // the same number again is no event
			sent[at], acknowledged[at] = due, time.Now()
		}
	}
	b.StopTimer()
	require.NoError(b, boards.WaitFor(b.Context(), base+events.Position(len(sent))))
	time.Sleep(200 * time.Millisecond) // the last frame is on its way
	require.NoError(b, l.Stop(b.Context()))
	all.Wait()
	report(b, "sent", got, sent)
	report(b, "ack", got, acknowledged)
}

func report(b *testing.B, from string, got []*arrivals, since map[events.Position]time.Time) {
	b.Helper()
	var took []time.Duration
	for _, a := range got {
		for at, start := range since {
			i := int(at - a.base - 1)
			if i >= len(a.at) {
				b.Fatalf("a listener never got position %d", at)
			}
			took = append(took, a.at[i].Sub(start))
		}
	}
	slices.Sort(took)
	at := func(q float64) float64 { return float64(took[int(q*float64(len(took)-1))]) / float64(time.Millisecond) }
	b.ReportMetric(at(0.5), from+"-p50-ms")
	b.ReportMetric(at(0.99), from+"-p99-ms")
	b.ReportMetric(at(1), from+"-max-ms")
}
