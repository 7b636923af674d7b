package standing

import (
	"slices"

	"marram.example/events"
	"marram.example/events/competition"
	"marram.example/projections/scoring"
)

// The rankings over the whole field. A ranking of a division is named
// net/<division> or gross/<division>.
const (
	Net   = "net"
	Gross = "gross"
)

// RankingOf names a ranking of the field, or of a division where one is given.
func RankingOf(basis, division string) string {
	if division == "" {
		return basis
	}
	return basis + "/" + division
}

// Matches is the one ranking of a match competition.
const Matches = "match"

// Rankings lists the names of all rankings of a competition, its own first.
func Rankings(t *events.Terms) []string {
	if t.Match != nil {
		return []string{Matches}
	}
	bases := []string{Net, Gross}
	if t.Ranking == Gross {
		bases = []string{Gross, Net}
	}
	out := slices.Clone(bases)
	for _, d := range t.Divisions {
		for _, b := range bases {
			out = append(out, RankingOf(b, d.Name))
		}
	}
	return out
}

// Place is where a row stands in one ranking.
type Place struct {
	Position string `json:"position"` // "1", "T2"; empty without one
	Order    int    `json:"order"`    // 0 for the first line shown, through the whole ranking
}

// Row is one entry of the field as it stands.
type Row struct {
	Entry    competition.Entry
	Division string
	Rounds   Rounds // its cards, by round
	Status   string // in_play, returned, MC, NR, RTD, WD, NS, DQ; empty before a card is issued
	Places   map[string]Place
}

// Table is the whole field as it stands.
type Table struct {
	Ranking    string // the competition's own: net or gross
	Format     scoring.Format
	Rows       []Row              // in the order of the competition's own ranking
	Countbacks []events.Countback // every one that was worked out
}

// Mode says how cards in progress are ranked.
type Mode int

// Live ranks every entry by the total it reaches when the rest of the round is
// played level (see LiveEntry), and breaks a tie only between complete cards.
// Final says that the round is over: only complete cards have a position, and
// ties that the committee settled are in its order.
const (
	Live Mode = iota
	Final
)

// Work ranks a field of cards. An entry without one stands below all others. Terms
// must be set.
func Work(comp *competition.State, cards Cards, mode Mode) (Table, error) {
	format, err := scoring.FormatByName(comp.RoundTerms().Format)
	if err != nil {
		return Table{}, err
	}
	t := Table{Ranking: comp.Terms.Ranking, Format: format}
	field := comp.Field()
	t.Rows = make([]Row, len(field))
	for i, e := range field {
		row := Row{Entry: e, Rounds: cards[e.ID], Places: make(map[string]Place, 4)}
		tenths := e.Index()
		if last := row.Rounds.Last(); last != nil {
			row.Status, tenths = row.Rounds.Status(comp, e.ID), index(last.Card)
		}
		row.Division = competition.DivisionOf(comp.Terms, tenths)
		t.Rows[i] = row
	}
	for _, name := range Rankings(comp.Terms) {
		if err := t.rank(comp, name, mode); err != nil {
			return Table{}, err
		}
	}
	own := comp.Terms.Ranking
	slices.SortStableFunc(t.Rows, func(a, b Row) int { return a.Places[own].Order - b.Places[own].Order })
	return t, nil
}

// rank works out one ranking and writes each row's place in it.
func (t *Table) rank(comp *competition.State, name string, mode Mode) error {
	basis, division := split(name)
	var rows []int
	var entries []scoring.Entry
	for i := range t.Rows {
		if division == "" || t.Rows[i].Division == division {
			rows = append(rows, i)
			e, err := rankEntry(comp, &t.Rows[i], basis, mode)
			if err != nil {
				return err
			}
			entries = append(entries, e)
		}
	}
	if len(rows) == 0 {
		return nil
	}
	terms, err := RankTerms(comp.Terms, t.Format)
	if err != nil {
		return err
	}
	places, err := scoring.Rank(entries, terms)
	if err != nil {
		return err
	}
	if mode == Final {
		applyTies(places, comp.Ties, basis, division)
	}
	for order, p := range places {
		t.Rows[rows[p.Entry]].Places[name] = Place{Position: p.Text(), Order: order}
	}
	t.Countbacks = append(t.Countbacks, countbacks(name, places)...)
	return nil
}

func split(name string) (basis, division string) {
	if len(name) > len(Net) && name[:len(Net)+1] == Net+"/" {
		return Net, name[len(Net)+1:]
	}
	if len(name) > len(Gross) && name[:len(Gross)+1] == Gross+"/" {
		return Gross, name[len(Gross)+1:]
	}
	return name, ""
}

func rankEntry(comp *competition.State, r *Row, basis string, mode Mode) (scoring.Entry, error) {
	switch {
	case r.Rounds.Last() == nil:
		return scoring.Entry{ID: r.Entry.ID}, nil
	case mode == Live:
		return LiveEntry(comp, r.Entry.ID, r.Rounds, basis)
	default:
		return finalEntry(comp, r.Entry.ID, r.Rounds, basis)
	}
}

// RankTerms are the parts of a competition's terms that a ranking needs.
func RankTerms(t *events.Terms, format scoring.Format) (scoring.RankTerms, error) {
	countback, err := scoring.CountbackTermsOf(t)
	return scoring.RankTerms{Format: format, Ties: scoring.TieMethod(t.TieMethod), Countback: countback}, err
}

// applyTies puts entries that the committee separated by lot or play-off in
// their order, where exactly these are still tied.
func applyTies(places []scoring.Place, ties []competition.Tie, basis, division string) {
	for _, tie := range ties {
		if tie.Ranking != basis || tie.Division != division {
			continue
		}
		at := slices.IndexFunc(places, func(p scoring.Place) bool { return p.Tied && slices.Contains(tie.EntryIDs, p.ID) })
		if at < 0 || at+len(tie.EntryIDs) > len(places) {
			continue
		}
		group := places[at : at+len(tie.EntryIDs)]
		same := func(p scoring.Place) bool {
			return p.Position == group[0].Position && slices.Contains(tie.EntryIDs, p.ID)
		}
		next := at + len(group)
		if slices.ContainsFunc(group, func(p scoring.Place) bool { return !same(p) }) ||
			next < len(places) && places[next].Position == group[0].Position {
			continue
		}
		first := group[0].Position
		slices.SortFunc(group, func(a, b scoring.Place) int {
			return slices.Index(tie.EntryIDs, a.ID) - slices.Index(tie.EntryIDs, b.ID)
		})
		for i := range group {
			group[i].Position, group[i].Tied = first+i, false
		}
	}
}

// countbacks lists the matchings of a ranking, each once.
func countbacks(name string, places []scoring.Place) []events.Countback {
	var out []events.Countback
	var last *scoring.CountbackResult
	for i, p := range places {
		if p.Countback == nil || p.Countback == last {
			continue
		}
		last = p.Countback
		c := events.Countback{Ranking: name, From: i + 1, Rule: last.Rule, Order: last.Order}
		for _, d := range last.Decided {
			c.Steps = append(c.Steps, events.CountbackStep{Window: d.Window, Above: d.AboveValue, Below: d.BelowValue})
		}
		for _, k := range last.Cards {
			w := events.CountbackWindows{EntryID: k.ID}
			for _, v := range k.Windows {
				w.Windows = append(w.Windows, events.CountbackWindow{Window: v.Window, Gross: v.Gross, Share: v.Share, Value: v.Value})
			}
			c.Cards = append(c.Cards, w)
		}
		out = append(out, c)
	}
	return out
}
