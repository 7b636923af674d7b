package api

import (
	"context"
	"strconv"
	"time"

	"marram.example/events"
	"marram.example/projections/board"
)

// getBoard is the board now, or as it stood at a position of the log.
func getBoard(ctx context.Context, r reading) (board.Board, error) {
	id := r.Param("competition")
	if _, _, err := r.competition(ctx, id); err != nil {
		return board.Board{}, err
	}
	at := r.QueryParam("as_of")
	if at == "" {
		b, ok := r.api.Boards.Snapshot(ctx, id)
		if !ok {
			return board.Board{}, errBehind
		}
		return b, nil
	}
	n, err := strconv.ParseUint(at, 10, 63)
	if err != nil {
		return board.Board{}, events.Invalid("as_of", "malformed", "as_of is a position of the log")
	}
	return r.api.pastBoard(ctx, func() (board.Board, error) { return r.api.Boards.AsOf(ctx, id, events.Position(n)) })
}

// pastBoard reads a board as it stood. Folding the past anew is work: one asks at a
// time, so that it never takes both hands from the scores that come in.
func (a *API) pastBoard(ctx context.Context, read func() (board.Board, error)) (board.Board, error) {
	select {
	case a.past <- struct{}{}:
		defer func() { <-a.past }()
	case <-time.After(a.Patience):
		return board.Board{}, errBehind
	case <-ctx.Done():
		return board.Board{}, ctx.Err()
	}
	b, err := read()
	if e := events.AsError(err); e != nil && e.Kind == events.KindNotFound {
		return board.Board{}, events.NotFound("competition_id", "this competition had not been planned by then")
	}
	return b, err
}
