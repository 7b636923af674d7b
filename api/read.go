package api

import (
	"context"
	"errors"
	"fmt"
	"net/http"
	"strconv"

	"github.com/labstack/echo/v4"

	"marram.example/api/auth"
	"marram.example/api/command"
	"marram.example/events"
	eventlog "marram.example/events/log"
	"marram.example/projections"
)

// reading is one query as its handler sees it.
type reading struct {
	echo.Context
	api *API
	who command.Who
}

// versioned is an answer with an ETag.
type versioned interface{ version() events.Sequence }

// A view carries its version.
type view struct {
	Sequence events.Sequence `json:"sequence"` // version, as in the ETag
}

func (v view) version() events.Sequence { return v.Sequence }

// read answers a query with JSON, after waiting for min_sequence where it states
// one.
func read[Out any](ask func(ctx context.Context, r reading) (Out, error)) func(a *API) echo.HandlerFunc {
	return func(a *API) echo.HandlerFunc {
		return func(c echo.Context) error {
			r, err := a.reading(c)
			if err != nil {
				return err
			}
			out, err := ask(c.Request().Context(), r)
			if err != nil {
				return err
			}
			if v, ok := any(out).(versioned); ok && fresh(c, v.version()) {
				return c.NoContent(http.StatusNotModified)
			}
			return encodeJSON(c, http.StatusOK, out)
		}
	}
}

// fresh sets the ETag and reports whether the client has that version already.
func fresh(c echo.Context, seq events.Sequence) bool {
	tag := etag(seq)
	c.Response().Header().Set("ETag", tag)
	return c.Request().Header.Get("If-None-Match") == tag
}

func (a *API) reading(c echo.Context) (reading, error) {
	r := reading{Context: c, api: a, who: a.Auth.WhoOn(c, auth.Subject(c))}
	if err := checkPath(c); err != nil {
		return r, err
	}
	return r, a.catchUp(c)
}

// catchUp waits until boards and read models have seen what min_sequence names,
// which is a position of the log.
func (a *API) catchUp(c echo.Context) error {
	text := c.QueryParam("min_sequence")
	if text == "" {
		return nil
	}
	n, err := strconv.ParseUint(text, 10, 63)
	if err != nil {
		return events.Invalid("min_sequence", "malformed", "min_sequence is a position as a write answered it")
	}
	ctx, cancel := context.WithTimeout(c.Request().Context(), a.Patience)
	defer cancel()
	at := events.Position(n)
	if err := a.Boards.WaitFor(ctx, at); err != nil {
		return fmt.Errorf("%w: %w", errBehind, err)
	}
	if err := a.Runner.WaitFor(ctx, at); err != nil {
		return fmt.Errorf("%w: %w", errBehind, err)
	}
	return nil
}

// committee refuses everybody else.
func (r reading) committee() error {
	if r.isCommittee() {
		return nil
	}
	return events.Forbidden("forbidden", "this needs committee rights")
}

func (r reading) isCommittee() bool {
	return r.who.Role == events.RoleCommittee || r.who.Role == events.RoleService
}

// fromStore marks errors of the read models that are not about the question.
func fromStore(err error) error {
	if err == nil || events.AsError(err) != nil || errors.Is(err, eventlog.ErrUnavailable) {
		return err
	}
	return fmt.Errorf("%w: %w", errReadStore, err)
}

// Page is one page of a list.
type Page[T any] struct {
	Items []T    `json:"items"`
	Next  string `json:"next"` // cursor of the next page; empty on the last
}

// round is which round a query asks for; 0 where it does not say.
func (r reading) round() (int, error) {
	text := r.QueryParam("round")
	if text == "" {
		return 0, nil
	}
	n, err := strconv.Atoi(text)
	if err != nil || n < 1 {
		return 0, events.Invalid("round", "malformed", "a round is a number from 1")
	}
	return n, nil
}

const defaultPage = 50

// limit is how many items are wanted at once: 1 to 200.
func (r reading) limit() (int, error) {
	text := r.QueryParam("limit")
	if text == "" {
		return defaultPage, nil
	}
	n, err := strconv.Atoi(text)
	if err != nil || n < 1 || n > projections.MaxPage {
		return 0, events.Invalid("limit", "out_of_range", fmt.Sprintf("a page has 1 to %d items", projections.MaxPage))
	}
	return n, nil
}

// pageOf cuts a page out of a list that is at hand; id names its items, which
// keep their order.
func pageOf[T any](r reading, all []T, id func(T) string) (Page[T], error) {
	limit, err := r.limit()
	if err != nil {
		return Page[T]{}, err
	}
	from := 0
	if cursor := r.QueryParam("cursor"); cursor != "" {
		after, err := projections.ParseCursor(cursor, 1)
		if err != nil {
			return Page[T]{}, err
		}
		for from < len(all) && id(all[from]) != after[0] {
			from++
		}
		if from == len(all) {
			return Page[T]{}, events.Invalid("cursor", "gone", "what this cursor stands on is not in the list any more; begin again")
		}
		from++
	}
	to := min(from+limit, len(all))
	p := Page[T]{Items: orEmpty(all[from:to])}
	if to < len(all) {
		p.Next = projections.Cursor(id(all[to-1]))
	}
	return p, nil
}

// orEmpty keeps a list from being null in JSON.
func orEmpty[T any](list []T) []T {
	if list == nil {
		return []T{}
	}
	return list
}
