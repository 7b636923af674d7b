package api

import (
	"context"

	"github.com/labstack/echo/v4"

	"marram.example/events"
	"marram.example/projections/breakdown"
)

// MatchFigures is everything behind the state of a match, with names.
type MatchFigures struct {
	breakdown.Match
	NameA string            `json:"name_a"`
	NameB string            `json:"name_b"`
	Names map[string]string `json:"names"` // by player and entry id

	seen events.Sequence // of the match and of its competition, added up
}

func (f MatchFigures) version() events.Sequence { return f.seen }

// getMatchFigures opens a match for who may see it. Reasons are for the committee
// and who plays it.
func getMatchFigures(ctx context.Context, r reading) (MatchFigures, error) {
	m, err := r.api.Commands.Match(ctx, r.Param("match"))
	if err != nil {
		return MatchFigures{}, err
	}
	a := m.State.Arranged
	c, seq, err := r.api.Commands.Competition(ctx, a.CompetitionID)
	if err != nil {
		return MatchFigures{}, err
	}
	if !r.holds(m.ID) {
		if err := r.api.MayWatch(r.Context, a.CompetitionID, c.Terms); err != nil {
			return MatchFigures{}, err
		}
	}
	if c, err = r.api.Commands.Anew(ctx, a.CompetitionID, c); err != nil {
		return MatchFigures{}, err
	}
	all, err := r.api.Log.Stream(ctx, events.MatchStream(r.api.Club, a.CompetitionID, m.ID))
	if err != nil {
		return MatchFigures{}, err
	}
	if !r.holds(m.ID) {
		for i := range all {
			all[i] = inPublic(all[i])
		}
	}
	names := r.names(ctx, a.CompetitionID, c)
	out := MatchFigures{NameA: names[a.A.EntryID], NameB: names[a.B.EntryID], Names: map[string]string{}, seen: seq + m.Sequence}
	if out.Match, err = breakdown.OfMatch(m.ID, c, all, [2]string{out.NameA, out.NameB}); err != nil {
		return MatchFigures{}, err
	}
	for _, side := range []breakdown.MatchSide{out.A, out.B} {
		for _, b := range side.Balls {
			out.Names[b.PlayerID] = names[b.PlayerID]
			for _, p := range b.Shares {
				out.Names[p.PlayerID] = names[p.PlayerID]
			}
		}
	}
	for _, row := range out.Table {
		out.Names[row.EntryID] = names[row.EntryID]
	}
	return out, nil
}

// MatchFiguresFor is what GET /matches/{match}/figures answers the visitor.
func (a *API) MatchFiguresFor(c echo.Context) (MatchFigures, error) {
	r, err := a.reading(c)
	if err != nil {
		return MatchFigures{}, err
	}
	return getMatchFigures(c.Request().Context(), r)
}
