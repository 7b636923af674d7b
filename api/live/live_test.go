package live_test

import (
	"bufio"
	"context"
	"errors"
	"io"
	"math/rand/v2"
	"net"
	"net/http"
	"net/http/httptest"
	"strconv"
	"sync/atomic"
	"testing"
	"time"

	"github.com/labstack/echo/v4"
	"github.com/stretchr/testify/require"

	"marram.example/api/live"
	"marram.example/events"
	"marram.example/projections/board"
	"marram.example/projections/board/boardtest"
)

// statuses stands for the one table of the api.
var statuses = map[events.Kind]int{events.KindNotFound: 404, events.KindInvalid: 400, events.KindForbidden: 403}

type house struct {
	boards    *board.Boards
	listeners *live.Listeners
	server    *httptest.Server
	comp      *boardtest.Competition
}

// serve runs a board behind a real server on loopback.
func serve(t testing.TB, play boardtest.Options, bo board.Options, lo live.Options, mayWatch live.MayWatch) *house {
	t.Helper()
	club := boardtest.NewClub()
	h := &house{comp: boardtest.Play(t, club, play)}
	bo.History = club.Log.Competition
	h.boards = board.New(bo)
	require.NoError(t, h.boards.Apply(club.Log.After(0)))
	if mayWatch == nil {
		mayWatch = func(echo.Context, string) error { return nil }
	}
	h.listeners = live.New(h.boards, mayWatch, lo)
	h.server = newServer(h.listeners, 100*time.Millisecond)
	t.Cleanup(func() {
		ctx, cancel := context.WithTimeout(context.Background(), 5*time.Second)
		defer cancel()
		require.NoError(t, h.listeners.Stop(ctx))
		h.server.Close()
		h.boards.Close()
	})
	return h
}

// newServer has timeouts, as a careful service has; streams must outlive them.
func newServer(l *live.Listeners, timeout time.Duration) *httptest.Server {
	e := echo.New()
	e.HTTPErrorHandler = func(err error, c echo.Context) {
		var he *echo.HTTPError
		switch {
		case c.Response().Committed:
		case errors.As(err, &he):
			_ = c.NoContent(he.Code)
		case events.AsError(err) != nil:
			_ = c.NoContent(statuses[events.AsError(err).Kind])
		default:
			_ = c.NoContent(http.StatusInternalServerError)
		}
	}
	e.GET(live.Route, l.Handler())
	s := httptest.NewUnstartedServer(e)
	s.Config.WriteTimeout, s.Config.ReadTimeout = timeout, timeout
	s.Config.ConnContext = func(ctx context.Context, c net.Conn) context.Context {
		_ = c.(*net.TCPConn).SetWriteBuffer(8192) // so that who does not read is noticed soon
		return ctx
	}
	s.Start()
	return s
}

func (h *house) url() string {
	return h.server.URL + "/api/v1/competitions/" + h.comp.ID + "/board/stream"
}

func (h *house) page() *page { return pageOf(h.server, h.comp.ID) }

func (h *house) catchUp(t testing.TB) {
	t.Helper()
	require.NoError(t, h.boards.Apply(h.comp.Club.Log.After(h.boards.Position())))
}

func (h *house) snapshot(t testing.TB) board.Board {
	t.Helper()
	b, ok := h.boards.Snapshot(context.Background(), h.comp.ID)
	require.True(t, ok)
	return b
}

func TestStreamOutlivesTimeoutsAndShowsSignsOfLife(t *testing.T) {
	t.Parallel()
	h := serve(t, boardtest.Options{Players: 6}, board.Options{}, live.Options{Beat: 50 * time.Millisecond}, nil)
	p := h.page()
	res, err := p.open(t.Context())
	require.NoError(t, err)
	defer func() { require.NoError(t, res.Body.Close()) }()
	require.Equal(t, "text/event-stream", res.Header.Get("Content-Type"))
	require.Equal(t, "no-store", res.Header.Get("Cache-Control"))
	require.Equal(t, "no", res.Header.Get("X-Accel-Buffering"))
	r := bufio.NewReader(res.Body)
	first, err := r.ReadString('\n')
	require.NoError(t, err)
	require.Regexp(t, `^retry: [12][0-9]{3}\n$`, first)
	for p.beats < 6 { // 300 ms: three times the server's timeouts
		e, err := readEvent(r)
		require.NoError(t, err)
		_, err = p.take(e)
		require.NoError(t, err)
		if e.event == live.EventBeat {
			require.Equal(t, 1, e.comments)
			require.Empty(t, e.id)
		}
	}
	require.NoError(t, h.comp.Score("e0", 1, 4))
	h.catchUp(t)
	require.NoError(t, p.until(r, h.boards.Position()))
	require.JSONEq(t, shown(t, h.snapshot(t)), shown(t, p.board))
	require.Equal(t, []int{1, 1}, []int{p.wholes, p.patches})
}

// cutter lets a stream run for so many bytes.
type cutter struct {
	io.Reader
	left int
}

func (c *cutter) Read(p []byte) (int, error) {
	if c.left <= 0 {
		return 0, errors.New("the line broke")
	}
	n, err := c.Reader.Read(p[:min(len(p), c.left)])
	c.left -= n
	return n, err
}

// A listener whose line breaks after any number of bytes has, at every event,
// the board of that position, and the server's board in the end.
func TestReconnectAtAnyMoment(t *testing.T) {
	t.Parallel()
	seed := uint64(time.Now().UnixNano())
	t.Logf("seed %d", seed)
	h := serve(t, boardtest.Options{Players: 4}, board.Options{Interval: time.Millisecond, Queue: 4, Recent: 8}, live.Options{}, nil)
	p, r := h.page(), rand.New(rand.NewPCG(seed, 1))
	for range 30 {
		for range r.IntN(12) { // while nobody listens
			h.play(t, r)
		}
		playUntilCut(t, h, p, r, r.IntN(8000))
	}
	res, err := p.open(t.Context())
	require.NoError(t, err)
	require.NoError(t, p.until(res.Body, h.snapshot(t).Position))
	require.NoError(t, res.Body.Close())
	require.JSONEq(t, shown(t, h.snapshot(t)), shown(t, p.board))
	require.Positive(t, p.patches)
	t.Logf("%d whole boards, %d patches, %d events", p.wholes, p.patches, h.boards.Position())
}

// play lets something happen.
func (h *house) play(t *testing.T, r *rand.Rand) {
	t.Helper()
	h.comp.Random(r)
	h.catchUp(t)
}

// playUntilCut plays on and listens until the line breaks, and compares every
// board on the way with the one of that moment.
func playUntilCut(t *testing.T, h *house, p *page, r *rand.Rand, bytes int) {
	t.Helper()
	res, err := p.open(t.Context())
	require.NoError(t, err)
	defer func() { require.NoError(t, res.Body.Close()) }()
	in := bufio.NewReader(&cutter{Reader: res.Body, left: bytes})
	for {
		h.play(t, r)
		for p.board.Position < h.snapshot(t).Position {
			e, err := readEvent(in)
			if err != nil {
				return
			}
			changed, err := p.take(e)
			require.NoError(t, err)
			if !changed {
				continue
			}
			require.Equal(t, strconv.FormatUint(uint64(p.board.Position), 10), p.lastID)
			past, err := h.boards.AsOf(t.Context(), h.comp.ID, p.board.Position)
			require.NoError(t, err)
			past.Position, past.AsOf = p.board.Position, p.board.AsOf // a player's event moves the board without being the competition's
			require.JSONEq(t, shown(t, past), shown(t, p.board))
		}
	}
}

func TestResumeByQueryAndByHeader(t *testing.T) {
	t.Parallel()
	h := serve(t, boardtest.Options{Players: 6}, board.Options{}, live.Options{}, nil)
	first := h.page()
	res, err := first.open(t.Context())
	require.NoError(t, err)
	defer func() { require.NoError(t, res.Body.Close()) }()
	in := bufio.NewReader(res.Body)
	require.NoError(t, first.until(in, h.boards.Position()))
	at := h.boards.Position()
	old := first.board
	require.NoError(t, h.comp.Score("e0", 1, 4))
	h.catchUp(t)
	require.NoError(t, first.until(in, h.boards.Position()))

	cases := []struct {
		name, query, header string
		whole               bool
	}{
		{"a page drawn earlier", "?after=" + strconv.Itoa(int(at)), "", false},
		{"a browser that comes back", "", strconv.Itoa(int(at)), false},
		{"a browser that comes back to the page's address", "?after=1", strconv.Itoa(int(at)), false},
		{"nothing known", "", "", true},
		{"a position that is not kept", "?after=1", "", true},
		{"somebody else's id", "", "abc", true},
		{"a position still to come", "?after=" + strconv.Itoa(int(at)+1000), "", true},
	}
	for _, c := range cases {
		t.Run(c.name, func(t *testing.T) {
			p := &page{url: h.url() + c.query, client: h.server.Client(), lastID: c.header, board: old}
			if c.whole {
				p.board = board.Board{}
			}
			res, err := p.open(t.Context())
			require.NoError(t, err)
			defer func() { require.NoError(t, res.Body.Close()) }()
			require.NoError(t, p.until(res.Body, h.boards.Position()))
			require.Equal(t, c.whole, p.wholes == 1)
			require.JSONEq(t, shown(t, h.snapshot(t)), shown(t, p.board))
		})
	}
}

func TestRefusals(t *testing.T) {
	t.Parallel()
	h := serve(t, boardtest.Options{Players: 3}, board.Options{}, live.Options{}, func(c echo.Context, competition string) error {
		if c.Request().Header.Get("Authorization") == "" {
			return events.Forbidden("board_closed", "the board of "+competition+" is for members")
		}
		return nil
	})
	cases := []struct {
		name, url, auth string
		status          int
	}{
		{"unknown competition", h.server.URL + "/api/v1/competitions/none/board/stream", "yes", 404},
		{"may not watch", h.url(), "", 403},
		{"malformed position", h.url() + "?after=soon", "yes", 400},
		{"negative position", h.url() + "?after=-1", "yes", 400},
	}
	for _, c := range cases {
		t.Run(c.name, func(t *testing.T) {
			req, err := http.NewRequestWithContext(t.Context(), http.MethodGet, c.url, nil)
			require.NoError(t, err)
			req.Header.Set("Authorization", c.auth)
			res, err := h.server.Client().Do(req)
			require.NoError(t, err)
			require.NoError(t, res.Body.Close())
			require.Equal(t, c.status, res.StatusCode)
		})
	}
}

// A listener that does not read must not hold up the others, and is dropped
// once a write takes too long.
func TestListenerThatDoesNotRead(t *testing.T) {
	t.Parallel()
	left := make(chan int, 8)
	open := make(chan int, 8)
	h := serve(t, boardtest.Options{Players: 150}, board.Options{Interval: time.Millisecond, Metrics: board.Metrics{Listeners: func(n int) {
		if n < 0 {
			left <- n
		} else {
			open <- n
		}
	}}}, live.Options{WriteTimeout: 200 * time.Millisecond}, nil)
	conn, err := net.Dial("tcp", h.server.Listener.Addr().String())
	require.NoError(t, err)
	defer func() { _ = conn.Close() }()
	require.NoError(t, conn.(*net.TCPConn).SetReadBuffer(4096))
	_, err = io.WriteString(conn, "GET /api/v1/competitions/"+h.comp.ID+"/board/stream HTTP/1.1\r\nHost: board\r\n\r\n")
	require.NoError(t, err)
	<-open

	p := h.page()
	res, err := p.open(t.Context())
	require.NoError(t, err)
	in := bufio.NewReader(res.Body)
	<-open
	r := rand.New(rand.NewPCG(1, 1))
	for gone := false; !gone; {
		for range 20 {
			require.NoError(t, h.comp.Score(boardtest.EntryID(r.IntN(150)), 1+r.IntN(18), 3+r.IntN(4)))
		}
		h.catchUp(t)
		require.NoError(t, p.until(in, h.boards.Position()), "the other listener is up to date")
		select {
		case <-left:
			gone = true
		default:
		}
	}
	require.JSONEq(t, shown(t, h.snapshot(t)), shown(t, p.board))
	require.NoError(t, res.Body.Close())
	<-left
}

func TestStopSendsListenersAway(t *testing.T) {
	t.Parallel()
	h := serve(t, boardtest.Options{Players: 3}, board.Options{}, live.Options{}, nil)
	p := h.page()
	res, err := p.open(t.Context())
	require.NoError(t, err)
	in := bufio.NewReader(res.Body)
	require.NoError(t, p.until(in, h.boards.Position()))
	require.NoError(t, h.listeners.Stop(t.Context()))
	rest, err := io.ReadAll(in)
	require.NoError(t, err, "a proper end, not a broken line")
	require.Regexp(t, `^retry: [0-9]+\n\n$`, string(rest))
	require.NoError(t, res.Body.Close())
	again, err := h.server.Client().Get(h.url())
	require.NoError(t, err)
	require.NoError(t, again.Body.Close())
	require.Equal(t, http.StatusServiceUnavailable, again.StatusCode)
	require.Equal(t, "1", again.Header.Get("Retry-After"))
	require.NoError(t, h.listeners.Stop(t.Context()))
}

func TestListenerWhoLeavesIsForgotten(t *testing.T) {
	t.Parallel()
	changes := make(chan int, 2)
	h := serve(t, boardtest.Options{Players: 3}, board.Options{Metrics: board.Metrics{Listeners: func(n int) { changes <- n }}}, live.Options{}, nil)
	ctx, leave := context.WithCancel(t.Context())
	res, err := h.page().open(ctx)
	require.NoError(t, err)
	require.Equal(t, 1, <-changes)
	leave()
	require.Equal(t, -1, <-changes)
	_ = res.Body.Close() // of a request that was called off
}

// A stream does not outlive the right to watch: it ends after a while, and who
// comes back is asked again.
func TestAStreamEndsAndItsListenerIsAskedAgain(t *testing.T) {
	var asked atomic.Int64
	var refused atomic.Bool
	h := serve(t, boardtest.Options{Players: 2}, board.Options{}, live.Options{Longest: 200 * time.Millisecond}, func(echo.Context, string) error {
		asked.Add(1)
		if !refused.Load() {
			return nil
		}
		return events.Forbidden("not_public", "no")
	})
	res, err := http.Get(h.server.URL + "/api/v1/competitions/" + h.comp.ID + "/board/stream")
	require.NoError(t, err)
	_, err = io.ReadAll(res.Body)
	require.NoError(t, err, "it ends in good order")
	require.NoError(t, res.Body.Close())
	refused.Store(true)
	res, err = http.Get(h.server.URL + "/api/v1/competitions/" + h.comp.ID + "/board/stream")
	require.NoError(t, err)
	require.NoError(t, res.Body.Close())
	require.Equal(t, http.StatusForbidden, res.StatusCode)
	require.Equal(t, int64(2), asked.Load())
}

// More than so many are sent away for a moment, and one who leaves makes room.
func TestListenersAreLimited(t *testing.T) {
	h := serve(t, boardtest.Options{Players: 2}, board.Options{}, live.Options{Most: 1}, nil)
	url := h.server.URL + "/api/v1/competitions/" + h.comp.ID + "/board/stream"
	first, err := http.Get(url)
	require.NoError(t, err)
	require.Equal(t, http.StatusOK, first.StatusCode)
	second, err := http.Get(url)
	require.NoError(t, err)
	require.NoError(t, second.Body.Close())
	require.Equal(t, http.StatusServiceUnavailable, second.StatusCode)
	require.NotEmpty(t, second.Header.Get("Retry-After"))
	require.NoError(t, first.Body.Close())
	require.Eventually(t, func() bool {
		res, err := http.Get(url)
		if err != nil {
			return false
		}
		_ = res.Body.Close()
		return res.StatusCode == http.StatusOK
	}, 5*time.Second, 10*time.Millisecond)
}
