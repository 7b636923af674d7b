package board

import (
	"maps"
	"slices"

	"marram.example/events"
	"marram.example/events/competition"
	"marram.example/projections/scoring"
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
	mode := standing.Live
	if f.over() {
		mode = standing.Final
	}
	cards := make(map[string]*standing.Scored, len(f.list))
	for _, h := range f.list {
		f.entryOf(h)
		if h.fault == "" {
			cards[h.state.EntryID] = h.scored
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

// over reports whether the round has been closed.
func (f *field) over() bool {
	return f.comp.Phase == competition.Closed || f.comp.Phase == competition.Published
}

func (f *field) heading() Heading {
	h := Heading{
		CompetitionID: f.id, Name: f.comp.Name, Date: f.comp.Date, Phase: f.comp.Phase, Suspension: f.comp.Suspend,
		Rankings: []string{}, Provisional: true, Revision: f.comp.Revision, Position: f.position, AsOf: f.at,
	}
	if t := f.comp.Terms; t != nil {
		h.Format, h.Holes, h.Rankings, h.Public = t.Format, len(t.Holes), standing.Rankings(t), t.BoardPublic
	}
	return h
}

func (f *field) row(r standing.Row) Row {
	g := f.starts[r.Entry.ID]
	out := Row{
		No: f.numbers[r.Entry.ID], EntryID: r.Entry.ID, PlayerID: r.Entry.PlayerID,
		GroupNumber: g.Number, GroupTime: g.Time, GroupLetter: g.Letter, StartingHole: g.StartingHole,
		Division: r.Division, Tee: r.Entry.Tee, IndexTenths: r.Entry.IndexTenths, Status: r.Status,
		Places: r.Places, Differences: []int{},
	}
	if out.Places == nil {
		out.Places = map[string]standing.Place{}
	}
	h := f.byEntry[r.Entry.ID]
	if h == nil {
		return out
	}
	s := h.state
	out.CardID, out.Status, out.Returned, out.StartingHole, out.Tee = h.id, s.Status(), s.Returned, s.StartingHole, s.Tee
	out.IndexTenths, out.PlayingHandicap = s.Figures.IndexTenths, number(s.Figures.PlayingHandicap)
	out.Thru, out.LastHole, out.Fault = s.Played(), h.lastHole, h.fault
	out.Differences = append(out.Differences, s.Differences()...)
	if s.Format == scoring.StrokePlay().Name && s.Figures.LowestPar > 0 {
		out.ParDifference = s.Figures.Par - s.Figures.LowestPar
	}
	if f.comp.Running() {
		out.Movement = h.movement
	}
	if s.Ruled == "" && h.fault == "" && h.scored != nil {
		figures(&out, h.scored)
	}
	return out
}

// figures fills in what a card comes to so far.
func figures(out *Row, s *standing.Scored) {
	net, gross := s.Net.Total, s.Gross.Total
	if net.Scored > 0 && net.Scored == net.Played {
		out.Gross, out.Net = number(net.Gross), number(net.Net)
		out.GrossToPar, out.NetToPar = number(net.GrossToPar()), number(net.NetToPar())
	}
	if s.Net.Format == scoring.Stableford().Name && s.Net.HasLive {
		out.Points, out.Level = number(net.Points), number(s.Net.Live)
		out.GrossPoints, out.GrossLevel = number(gross.Points), number(s.Gross.Live)
	}
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
			!equal(p.Gross, r.Gross) || !equal(p.Net, r.Net) || !equal(p.Points, r.Points)
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
