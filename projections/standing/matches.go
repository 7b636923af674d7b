package standing

import (
	"math"
	"slices"

	"marram.example/events"
	"marram.example/events/competition"
	"marram.example/events/match"
	"marram.example/projections/draw"
	"marram.example/projections/scoring"
)

// matchResult is the result of a match competition: the places of a knockout by
// the round in which an entry lost, or the table of a round robin.
func matchResult(comp *competition.State) (events.Result, error) {
	out := events.Result{Prizes: []events.PrizeAwarded{}, Countbacks: []events.Countback{}, Matches: comp.PlayedMatches()}
	positions := map[string]string{}
	switch comp.Terms.Match.Bracket {
	case competition.Knockout:
		positions = knockoutPlaces(comp)
	case competition.RoundRobin:
		table, err := GroupTable(comp)
		if err != nil {
			return events.Result{}, err
		}
		out.Table = table.Rows
		positions = tablePlaces(comp, table)
	}
	for _, e := range comp.Field() {
		row := events.ResultRow{
			EntryID: e.ID, PlayerID: e.PlayerID, Tee: e.Tee, IndexTenths: e.IndexTenths, Positions: map[string]string{},
			TeamName: e.TeamName, Partners: partnersOf(Row{Entry: e}),
		}
		if p := positions[e.ID]; p != "" {
			row.Positions[Matches] = p
		}
		out.Rows = append(out.Rows, row)
	}
	slices.SortStableFunc(out.Rows, func(a, b events.ResultRow) int { return placeOrder(a) - placeOrder(b) })
	return out, nil
}

// placeOrder sorts rows by place, those without one last.
func placeOrder(r events.ResultRow) int {
	if p := r.Positions[Matches]; p != "" {
		return placeOf(p)
	}
	return math.MaxInt32
}

// MatchStanding is how a match ended, as the round that it belongs to records it.
func MatchStanding(id string, seq events.Sequence, a events.MatchArranged, o match.Outcome) events.MatchStanding {
	out := events.MatchStanding{
		MatchID: id, Number: a.Number, EntryIDs: []string{a.A.EntryID, a.B.EntryID}, Text: o.Text, By: o.Up, Sequence: seq,
	}
	switch o.Winner {
	case events.SideA:
		out.Winner = a.A.EntryID
	case events.SideB:
		out.Winner = a.B.EntryID
	case events.NoWinner:
		out.Winner = events.NoWinner
	}
	return out
}

// Anew is a match competition with its closed matches as they stand now, by id: the
// committee may decide one otherwise after its round. In a knockout that ends with
// the next draw, because who was drawn on has played. A match that is open again
// counts as recorded.
func Anew(comp *competition.State, now map[string]events.MatchStanding) *competition.State {
	out := *comp
	out.Matches = anew(comp.Matches, now)
	if comp.Terms.Match.Bracket == competition.Knockout {
		return &out
	}
	out.Past = slices.Clone(comp.Past)
	for i := range out.Past {
		out.Past[i].Matches = anew(out.Past[i].Matches, now)
	}
	return &out
}

func anew(recorded []events.MatchStanding, now map[string]events.MatchStanding) []events.MatchStanding {
	out := slices.Clone(recorded)
	for i, m := range out {
		if n, decided := now[m.MatchID]; decided {
			out[i] = n
		}
	}
	return out
}

// knockoutPlaces: the winner of the final is first, who lost in the same round
// shares a place.
func knockoutPlaces(comp *competition.State) map[string]string {
	out := map[string]string{}
	alive := comp.Field()
	for round := 1; round <= comp.Round; round++ {
		_, matches := comp.ClosedRound(round)
		var lost []string
		for _, m := range matches {
			for _, id := range m.EntryIDs {
				if id != m.Winner {
					lost = append(lost, id)
				}
			}
		}
		place := len(alive) - len(lost) + 1
		for _, id := range lost {
			out[id] = scoring.PositionText(place, len(lost) > 1)
		}
		alive = slices.DeleteFunc(alive, func(e competition.Entry) bool { return slices.Contains(lost, e.ID) })
	}
	if len(alive) == 1 && comp.Over() {
		out[alive[0].ID] = "1"
	}
	return out
}

// GroupTable is the table of a round robin as far as it is played.
func GroupTable(comp *competition.State) (draw.Table, error) {
	var ids []string
	for _, e := range comp.Field() {
		ids = append(ids, e.ID)
	}
	var results []draw.GroupResult
	for _, m := range comp.PlayedMatches() {
		r := draw.GroupResult{A: m.EntryIDs[0], B: m.EntryIDs[1], Tied: m.Winner == "", Out: m.Winner == events.NoWinner}
		if !r.Tied && !r.Out {
			r.By = m.By
		}
		if m.Winner == r.B {
			r.A, r.B = r.B, r.A
		}
		results = append(results, r)
	}
	return draw.GroupTable(ids, results)
}

func tablePlaces(comp *competition.State, table draw.Table) map[string]string {
	places := make([]scoring.Place, 0, len(table.Rows))
	for _, ids := range table.Order {
		position := len(places) + 1
		for _, id := range ids {
			places = append(places, scoring.Place{ID: id, Position: position, Tied: len(ids) > 1})
		}
	}
	applyTies(places, comp.Ties, Matches, "")
	out := map[string]string{}
	for _, p := range places {
		out[p.ID] = p.Text()
	}
	return out
}
