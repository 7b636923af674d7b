package live_test

import (
	"bufio"
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"net/http"
	"strings"
	"testing"

	"marram.example/events"
	"marram.example/projections/board"
)

// sse is one server-sent event as a browser takes it.
type sse struct {
	id, event, data string
	comments        int
}

// readEvent reads up to the next blank line. What is cut off before that is
// lost, as the standard says.
func readEvent(r *bufio.Reader) (sse, error) {
	var e sse
	for {
		l, err := r.ReadString('\n')
		if err != nil {
			return sse{}, err
		}
		l = strings.TrimSuffix(l, "\n")
		field, value, _ := strings.Cut(l, ":")
		value = strings.TrimPrefix(value, " ")
		switch {
		case l == "":
			return e, nil
		case field == "":
			e.comments++
		case field == "id":
			e.id = value
		case field == "event":
			e.event = value
		case field == "data":
			e.data += value
		case field == "retry":
			if e.event != "" {
				return sse{}, errors.New("retry inside of an event")
			}
		default:
			return sse{}, fmt.Errorf("unexpected line %q", l)
		}
	}
}

// page is a listener that keeps the board and comes back where it was.
type page struct {
	url           string
	client        *http.Client
	lastID        string
	board         board.Board
	wholes, beats int
	patches       int
}

// open connects. The caller closes the body.
func (p *page) open(ctx context.Context) (*http.Response, error) {
	req, err := http.NewRequestWithContext(ctx, http.MethodGet, p.url, nil)
	if err != nil {
		return nil, err
	}
	if p.lastID != "" {
		req.Header.Set("Last-Event-ID", p.lastID)
	}
	res, err := p.client.Do(req)
	if err != nil {
		return nil, err
	}
	if res.StatusCode != http.StatusOK {
		_ = res.Body.Close()
		return nil, fmt.Errorf("status %d", res.StatusCode)
	}
	return res, nil
}

// take puts an event on the board. It reports whether the board changed.
func (p *page) take(e sse) (bool, error) {
	if e.id != "" {
		p.lastID = e.id
	}
	switch e.event {
	case board.EventBoard:
		p.wholes++
		p.board = board.Board{}
		return true, json.Unmarshal([]byte(e.data), &p.board)
	case board.EventPatch:
		p.patches++
		var f board.Frame
		if err := json.Unmarshal([]byte(e.data), &f); err != nil {
			return false, err
		}
		return true, p.board.Patch(f)
	case "beat":
		p.beats++
	}
	return false, nil
}

// until reads from an open stream until the board stands at a position.
func (p *page) until(body io.Reader, at events.Position) error {
	r := bufio.NewReader(body)
	for p.board.Position < at {
		e, err := readEvent(r)
		if err != nil {
			return err
		}
		if _, err := p.take(e); err != nil {
			return err
		}
	}
	return nil
}

func shown(t testing.TB, b board.Board) string {
	t.Helper()
	out, err := json.Marshal(b)
	if err != nil {
		t.Fatal(err)
	}
	return string(out)
}
