package standing

import (
	"cmp"
	"fmt"
	"slices"
	"strings"

	"marram.example/events"
	"marram.example/events/competition"
)

// Result is the final table as the event that publishes it states it, with
// prizes awarded.
func Result(comp *competition.State, cards Cards) (events.Result, error) {
	if comp.IsMatch() {
		return matchResult(comp)
	}
	t, err := Work(comp, cards, Final)
	if err != nil {
		return events.Result{}, err
	}
	out := events.Result{Rows: make([]events.ResultRow, len(t.Rows)), Countbacks: t.Countbacks}
	for i, r := range t.Rows {
		out.Rows[i] = resultRow(comp, r, &t)
	}
	out.Prizes = prizes(comp.Terms, t)
	return out, nil
}

func resultRow(comp *competition.State, r Row, t *Table) events.ResultRow {
	out := events.ResultRow{
		EntryID: r.Entry.ID, PlayerID: r.Entry.PlayerID, Division: r.Division, Tee: r.Entry.Tee, IndexTenths: r.Entry.IndexTenths,
		Status: r.Status, Positions: map[string]string{}, TeamName: r.Entry.TeamName, Partners: partnersOf(r),
	}
	for name, p := range r.Places {
		if p.Position != "" {
			out.Positions[name] = p.Position
		}
	}
	s := r.Rounds.Last()
	if s == nil {
		return out
	}
	out.CardID, out.CardSequence, out.Tee = s.CardID, s.Sequence, s.Card.Tee
	out.IndexTenths, out.PlayingHandicap = s.Card.Figures.IndexTenths, s.Card.Figures.PlayingHandicap
	out.Countback = InWords(t.Countbacks, comp.Terms.Ranking, r.Entry.ID)
	if comp.Terms.Rounds > 1 {
		out.Rounds = roundFigures(r.Rounds)
	}
	if r.Status != events.StatusReturned && r.Status != events.StatusMissedCut {
		return out // a ruled card has no total; its holes stay on the card
	}
	all := r.Rounds.Totals(true)
	out.Gross, out.Net, out.Points, out.GrossPoints, out.ParBogey = all.Gross, all.Net, all.Points, all.GrossPoints, all.ParBogey
	return out
}

// partnersOf are the other players of a side as their card has them.
func partnersOf(r Row) []events.ResultPlayer {
	var out []events.ResultPlayer
	s := r.Rounds.Last()
	for i, p := range r.Entry.Partners {
		row := events.ResultPlayer{PlayerID: p.PlayerID, Tee: p.Tee, IndexTenths: p.IndexTenths}
		if s != nil && i+1 < s.Card.Balls() {
			f := s.Card.BallFigures(i + 1)
			row.Tee, row.IndexTenths, row.PlayingHandicap = s.Card.BallTee(i+1), f.IndexTenths, f.PlayingHandicap
		}
		out = append(out, row)
	}
	return out
}

func roundFigures(r Rounds) []events.RoundFigures {
	var out []events.RoundFigures
	for i, s := range r {
		if s == nil {
			continue
		}
		f := events.RoundFigures{
			Round: i + 1, CardID: s.CardID, CardSequence: s.Sequence, Status: s.Card.Status(), PlayingHandicap: s.Card.Figures.PlayingHandicap,
		}
		if s.Card.Ruled == "" {
			t := s.totals(true)
			f.Gross, f.Net, f.Points, f.ParBogey = t.Gross, t.Net, t.Points, t.ParBogey
		}
		out = append(out, f)
	}
	return out
}

// InWords says how a countback placed an entry in a ranking; empty where none did.
func InWords(all []events.Countback, ranking, entryID string) string {
	for _, c := range all {
		if c.Ranking != ranking {
			continue
		}
		at := slices.IndexFunc(c.Order, func(ids []string) bool { return slices.Contains(ids, entryID) })
		if at < 0 {
			continue
		}
		var parts []string
		if at > 0 {
			s := c.Steps[at-1]
			parts = append(parts, fmt.Sprintf("behind on %s, %s against %s", s.Window, s.Below, s.Above))
		}
		if at < len(c.Steps) {
			s := c.Steps[at]
			parts = append(parts, fmt.Sprintf("ahead on %s, %s against %s", s.Window, s.Above, s.Below))
		}
		if len(c.Order[at]) > 1 {
			parts = append(parts, "still tied after every window")
		}
		return strings.Join(parts, "; ")
	}
	return ""
}

// prizes awards in the order of the terms. Who has one is passed over for later
// ones where the terms give one prize a player; players whose tie stands share a
// place.
func prizes(terms *events.Terms, t Table) []events.PrizeAwarded {
	out := []events.PrizeAwarded{}
	has := map[string]bool{}
	for _, p := range terms.Prizes {
		name := RankingOf(p.Ranking, p.Division)
		ranked := make([]Row, 0, len(t.Rows))
		for _, r := range t.Rows {
			if pl, ok := r.Places[name]; ok && pl.Position != "" {
				ranked = append(ranked, r)
			}
		}
		slices.SortStableFunc(ranked, func(a, b Row) int { return cmp.Compare(a.Places[name].Order, b.Places[name].Order) })
		passed, place, last := 0, 0, ""
		awarded := 0
		for _, r := range ranked {
			if terms.OnePrizeAPlayer && has[r.Entry.ID] {
				passed++
				continue
			}
			if position := r.Places[name].Position; position != last || !strings.HasPrefix(position, "T") {
				place, last = awarded+1, position
			}
			if place > p.Places {
				break
			}
			out = append(out, events.PrizeAwarded{Prize: p.Name, Place: place, EntryID: r.Entry.ID, PassedBy: passed})
			awarded++
		}
		for _, a := range out {
			has[a.EntryID] = true
		}
	}
	return out
}
