package board

import (
	"maps"
	"slices"

	"marram.example/events"
	"marram.example/events/competition"
	"marram.example/projections/standing"
)

// board is how the field stands, without names. It is worked out once between
// two events and never changed afterwards.
func (f *field) board() *Board {
	if f.built == nil {
		f.built = f.build()
	}
	return f.built
}

func (f *field) build() *Board {
	b := &Board{Heading: f.heading(), Rows: []Row{}}
	if f.comp.Terms == nil {
		for _, e := range f.comp.Field() {
			b.Rows = append(b.Rows, f.row(standing.Row{Entry: e}))
		}
		return b
	}
	if f.comp.IsMatch() {
		f.buildMatches(b)
		return b
	}
	mode := standing.Live
	if f.comp.Over() || f.comp.Phase == competition.Between {
		mode = standing.Final
	}
	cards := make(standing.Cards, len(f.list))
	for _, h := range f.list {
		if rounds, fault := f.scoredRounds(h.state.EntryID); fault == "" {
			cards[h.state.EntryID] = rounds
		}
	}
	table, err := standing.Work(f.comp, cards, mode)
	if err != nil {
		b.Fault = err.Error()
		for _, e := range f.comp.Field() {
			b.Rows = append(b.Rows, f.row(standing.Row{Entry: e}))
		}
		return b
	}
	for _, r := range table.Rows {
		row := f.row(r)
		row.Countback = standing.InWords(table.Countbacks, table.Ranking, row.EntryID)
		b.Rows = append(b.Rows, row)
	}
	b.Provisional = !agrees(f.comp, b.Rows)
	return b
}

func (f *field) heading() Heading {
	h := Heading{
		CompetitionID: f.id, Name: f.comp.Name, Date: f.comp.Date, Phase: f.comp.Phase, Suspension: f.comp.Suspend,
		Rankings: []string{}, Provisional: true, Revision: f.comp.Revision, Position: f.position, AsOf: f.at,
		Round: f.comp.Round, Rounds: 1, Cut: f.comp.Cut,
	}
	if t := f.comp.Terms; t != nil {
		r := f.comp.RoundTerms()
		h.Format, h.Side, h.Holes, h.Rankings, h.Public, h.Practice = r.Format, r.Side, len(r.Holes), standing.Rankings(t), t.BoardPublic, t.Practice
		h.Rounds = f.comp.LastRound()
		for _, x := range f.comp.Excluded {
			if x.Round == f.comp.Round {
				h.Holes--
			}
		}
		if t.Match != nil {
			h.Bracket = t.Match.Bracket
		}
	}
	return h
}

func (f *field) row(r standing.Row) Row {
	g := f.starts[r.Entry.ID]
	out := Row{
		No: f.numbers[r.Entry.ID], EntryID: r.Entry.ID, PlayerID: r.Entry.PlayerID,
		GroupNumber: g.Number, GroupTime: g.Time, GroupLetter: g.Letter, StartingHole: g.StartingHole,
		Division: r.Division, Tee: r.Entry.Tee, IndexTenths: r.Entry.IndexTenths, Status: r.Status,
		Places: r.Places, Differences: []int{}, TeamName: r.Entry.TeamName,
	}
	for _, p := range r.Entry.Partners {
		out.Partners = append(out.Partners, Player{PlayerID: p.PlayerID})
	}
	if out.Places == nil {
		out.Places = map[string]standing.Place{}
	}
	h := f.last(r.Entry.ID)
	if h == nil {
		return out
	}
	s := h.state
	out.CardID, out.Returned, out.StartingHole, out.Tee = h.id, s.Returned, s.StartingHole, s.Tee
	if out.Status == "" {
		out.Status = s.Status()
	}
	out.IndexTenths, out.PlayingHandicap = s.Figures.IndexTenths, number(s.Figures.PlayingHandicap)
	out.Thru, out.LastHole, out.Fault = s.Played(), h.lastHole, h.fault
	out.Differences = append(out.Differences, s.Differences()...)
	if competition.Unit(s.Format) == "strokes" && s.Figures.LowestPar > 0 {
		out.ParDifference = s.Figures.Par - s.Figures.LowestPar
	}
	if f.comp.Running() {
		out.Movement = h.movement
	}
	if f.comp.LastRound() > 1 {
		out.Rounds = f.roundTotals(r.Rounds)
	}
	if out.Status != events.StatusInPlay && out.Status != events.StatusReturned && out.Status != events.StatusMissedCut {
		return out
	}
	t := r.Rounds.Totals(false)
	out.Gross, out.Net, out.GrossToPar, out.NetToPar = t.Gross, t.Net, t.GrossToPar, t.NetToPar
	out.Points, out.GrossPoints, out.Level, out.GrossLevel = t.Points, t.GrossPoints, t.Level, t.GrossLevel
	out.ParBogey, out.GrossParBogey = t.ParBogey, t.GrossParBogey
	return out
}

// roundTotals are the rounds of an entry one by one.
func (f *field) roundTotals(rounds standing.Rounds) []RoundTotal {
	var out []RoundTotal
	for i, s := range rounds {
		if s == nil {
			continue
		}
		t := RoundTotal{Round: i + 1, CardID: s.CardID, Thru: s.Card.Played()}
		if s.Card.Ruled == "" && s.Net.HasLive {
			t.Net, t.NetLevel = number(s.Net.Value), number(s.Net.Live)
		}
		if s.Card.Ruled == "" && s.Gross.HasLive {
			t.Gross, t.GrossLevel = number(s.Gross.Value), number(s.Gross.Live)
		}
		out = append(out, t)
	}
	return out
}

func number(n int) *int { return &n }

// agrees reports whether the published result says what the rows say. A card
// corrected after publication makes the board provisional until the result is
// revised.
func agrees(comp *competition.State, rows []Row) bool {
	if comp.Phase != competition.Published || comp.Result == nil || len(comp.Result.Rows) != len(rows) {
		return false
	}
	published := make(map[string]*events.ResultRow, len(rows))
	for i := range comp.Result.Rows {
		published[comp.Result.Rows[i].EntryID] = &comp.Result.Rows[i]
	}
	return !slices.ContainsFunc(rows, func(r Row) bool {
		p := published[r.EntryID]
		return p == nil || p.Status != r.Status || !maps.Equal(p.Positions, positions(r)) ||
			!equal(p.Gross, r.Gross) || !equal(p.Net, r.Net) || !equal(p.Points, r.Points) || !equal(p.ParBogey, r.ParBogey)
	})
}

func positions(r Row) map[string]string {
	out := make(map[string]string, len(r.Places))
	for name, p := range r.Places {
		if p.Position != "" {
			out[name] = p.Position
		}
	}
	return out
}

func equal(a, b *int) bool { return a == b || a != nil && b != nil && *a == *b }
