package web

import (
	"cmp"
	"crypto/sha256"
	"encoding/hex"
	"encoding/json"
	"fmt"
	"slices"
	"strconv"
	"strings"

	"github.com/google/uuid"
	"github.com/labstack/echo/v4"

	"marram.example/api/command"
	"marram.example/events"
	"marram.example/events/competition"
	"marram.example/projections/results"
	"marram.example/projections/standing"
)

// deskResultPage shows the result as the cards give it, and publishes it.
type deskResultPage struct {
	*deskComp
	Result     events.Result // from the cards as they stand
	Shown      string        // ranking
	Rankings   []choice
	Countbacks []events.Countback // of the ranking shown
	Ties       []deskTie
	Decided    []competition.Tie
	Rows       []deskResultRow
	Changes    []resultChange // against what is published
	Form       *form          // publishes or revises
	Tie        *form
	Past       []results.Published
	Ready      bool // the round is closed
	Stableford bool
	Seen       string // fingerprint of Result: what is published is what was looked at
}

// deskResultRow is one line of the table.
type deskResultRow struct {
	events.ResultRow
	Name     string
	Position string
}

// deskTie is a tie that still stands.
type deskTie struct {
	Ranking  string // net or gross
	Division string
	Words    string
	Position string
	Entries  []string
}

// resultChange is what one line says now and would say then.
type resultChange struct{ What, Before, After string }

func (w *Web) deskResult(c echo.Context) error { return w.deskShowResult(c, nil, nil) }

func (w *Web) deskShowResult(c echo.Context, f, tie *form) error {
	k, err := w.deskComp(c, "result")
	if err != nil {
		return err
	}
	p := deskResultPage{deskComp: k, Form: f, Tie: tie, Shown: c.QueryParam("ranking"), Ready: k.Is("closed", "published")}
	if f == nil {
		p.Form = newForm(k.Seq, nil)
	}
	if tie == nil {
		p.Tie = newForm(k.Seq, nil)
	}
	p.Form.again(k.Seq, nil)
	p.Tie.named("tie-").again(k.Seq, nil)
	if k.State.Terms != nil {
		if p.Result, _, err = w.api.Commands.Result(c.Request().Context(), k.ID); err != nil {
			return err
		}
		p.fill()
		p.Seen = fingerprintOf(&p.Result)
	}
	if p.Past, err = w.api.Models.Results.History(c.Request().Context(), k.ID); err != nil {
		w.lines.Warn("past results not read", "competition", k.ID, "error", err) // the page does without
	}
	slices.Reverse(p.Past)
	return w.deskPage(c, max(p.Form.Status(), p.Tie.Status()), "desk_result.html", "Result of "+k.State.Name, p)
}

// fingerprintOf tells two results apart.
func fingerprintOf(r *events.Result) string {
	b, err := json.Marshal(r)
	if err != nil {
		return "" // never: a result is plain data; without one nothing can be published
	}
	sum := sha256.Sum256(b)
	return hex.EncodeToString(sum[:12])
}

// looked reports whether the result is still the one that the page showed. The
// competition's version alone does not say: a card may have been corrected.
func (w *Web) looked(c echo.Context, f *form) (bool, error) {
	r, _, err := w.api.Commands.Result(c.Request().Context(), c.Param("competition"))
	if err != nil {
		return false, err
	}
	if f.V("seen") != fingerprintOf(&r) {
		f.Stale, f.Key = true, uuid.NewString()
		return false, nil
	}
	return true, nil
}

func (p *deskResultPage) fill() {
	t := p.State.Terms
	p.Stableford = t.Format == "stableford"
	names := standing.Rankings(t)
	if !slices.Contains(names, p.Shown) {
		p.Shown = names[0]
	}
	for _, name := range names {
		p.Rankings = append(p.Rankings, choice{name, rankingWords(name)})
	}
	_, division, _ := strings.Cut(p.Shown, "/")
	for _, r := range p.Result.Rows {
		if division == "" || r.Division == division {
			p.Rows = append(p.Rows, deskResultRow{r, p.Names[r.EntryID], r.Positions[p.Shown]})
		}
	}
	slices.SortStableFunc(p.Rows, func(a, b deskResultRow) int { return cmp.Compare(orderOf(a.Position), orderOf(b.Position)) })
	for _, b := range p.Result.Countbacks {
		if b.Ranking == p.Shown {
			p.Countbacks = append(p.Countbacks, b)
		}
	}
	p.Decided = p.State.Ties
	for _, name := range names {
		p.Ties = append(p.Ties, tiesIn(p.Result.Rows, name)...)
	}
	if p.State.Result != nil {
		p.Changes = resultChanges(p.State.Result, &p.Result, p.Names, names)
	}
}

// afterAll ranks a line without a position below all others.
const afterAll = 1 << 20

// orderOf is the number in a position: 2 in "T2".
func orderOf(position string) int {
	n, err := strconv.Atoi(strings.TrimPrefix(position, "T"))
	if err != nil {
		return afterAll
	}
	return n
}

// tiesIn lists the ties of a ranking that stand.
func tiesIn(rows []events.ResultRow, ranking string) []deskTie {
	basis, division, _ := strings.Cut(ranking, "/")
	by := map[string][]string{}
	var order []string
	for _, r := range rows {
		if pos := r.Positions[ranking]; strings.HasPrefix(pos, "T") {
			if by[pos] == nil {
				order = append(order, pos)
			}
			by[pos] = append(by[pos], r.EntryID)
		}
	}
	slices.SortFunc(order, func(a, b string) int { return cmp.Compare(orderOf(a), orderOf(b)) })
	var out []deskTie
	for _, pos := range order {
		out = append(out, deskTie{Ranking: basis, Division: division, Words: rankingWords(ranking), Position: pos, Entries: by[pos]})
	}
	return out
}

// resultChanges lists what a revision would change.
func resultChanges(before, after *events.Result, names map[string]string, rankings []string) []resultChange {
	var out []resultChange
	old := map[string]events.ResultRow{}
	for _, r := range before.Rows {
		old[r.EntryID] = r
	}
	add := func(what, a, b string) {
		if a != b {
			out = append(out, resultChange{what, a, b})
		}
	}
	for _, r := range after.Rows {
		o, had := old[r.EntryID]
		delete(old, r.EntryID)
		name := names[r.EntryID]
		if !had {
			out = append(out, resultChange{name, "not in the result", rowWords(r)})
			continue
		}
		add(name, rowWords(o), rowWords(r))
		for _, ranking := range rankings {
			add(name+", "+rankingWords(ranking), placeWords(o.Positions[ranking]), placeWords(r.Positions[ranking]))
		}
	}
	for id, o := range old {
		out = append(out, resultChange{names[id], rowWords(o), "not in the result"})
	}
	a, b := prizeLines(before, names), prizeLines(after, names)
	for _, prize := range prizeNames(before, after) {
		add("Prize: "+prize, a[prize], b[prize])
	}
	return out
}

func placeWords(position string) string {
	if position == "" {
		return "no position"
	}
	return "position " + position
}

// rowWords say what a line of a result comes to.
func rowWords(r events.ResultRow) string {
	if r.Status != events.StatusReturned {
		return r.Status
	}
	var parts []string
	number := func(n *int, what string) {
		if n != nil {
			parts = append(parts, what+" "+signedText(*n))
		}
	}
	number(r.Gross, "gross")
	number(r.Net, "net")
	number(r.Points, "points")
	return strings.Join(parts, ", ")
}

func prizeLines(r *events.Result, names map[string]string) map[string]string {
	out := map[string]string{}
	for _, p := range r.Prizes {
		line := fmt.Sprintf("%s %s", ordinal(p.Place), names[p.EntryID])
		if out[p.Prize] != "" {
			line = out[p.Prize] + ", " + line
		}
		out[p.Prize] = line
	}
	return out
}

func prizeNames(all ...*events.Result) []string {
	var out []string
	for _, r := range all {
		for _, p := range r.Prizes {
			if !slices.Contains(out, p.Prize) {
				out = append(out, p.Prize)
			}
		}
	}
	return out
}

func (w *Web) deskPublish(c echo.Context) error {
	return w.deskResultAct(c, "published", func(id string, f *form) error {
		_, err := w.api.Commands.Publish(c.Request().Context(), w.request(c, f), id)
		return err
	})
}

func (w *Web) deskRevise(c echo.Context) error {
	return w.deskResultAct(c, "revised", func(id string, f *form) error {
		_, err := w.api.Commands.Revise(c.Request().Context(), w.request(c, f), id, strings.TrimSpace(f.V("reason")))
		return err
	})
}

// deskResultAct makes a result stand, if it is still the one that was looked at.
func (w *Web) deskResultAct(c echo.Context, word string, act func(id string, f *form) error) error {
	f, err := readForm(c)
	if err != nil {
		return err
	}
	if same, err := w.looked(c, f); err != nil {
		return err
	} else if !same {
		return w.deskShowResult(c, f, nil)
	}
	id := c.Param("competition")
	if err := act(id, f); err != nil {
		if err = f.refuse(err); err != nil {
			return err
		}
		return w.deskShowResult(c, f, nil)
	}
	return done(c, "/desk/competitions/"+id+"/result", word)
}

// deskTie settles a tie: every entry of it gets its place.
func (w *Web) deskTie(c echo.Context) error {
	f, err := readForm(c)
	if err != nil {
		return err
	}
	id, r := c.Param("competition"), &cells{v: f.Values}
	entries := slices.Clone(f.Values["entry"])
	places := map[string]int{}
	for _, e := range entries {
		places[e] = r.whole("place."+e, 0)
	}
	for n := 1; n <= len(entries); n++ {
		if !slices.ContainsFunc(entries, func(e string) bool { return places[e] == n }) {
			r.wrong(events.Invalid("entry_ids", "order", fmt.Sprintf("give every player of the tie a place of their own, from 1 to %d", len(entries))))
			break
		}
	}
	if r.refused(f) {
		return w.deskShowResult(c, nil, f)
	}
	slices.SortFunc(entries, func(a, b string) int { return cmp.Compare(places[a], places[b]) })
	in := command.DecideTie{Ranking: f.V("ranking"), Division: f.V("division"), EntryIDs: entries, Method: f.V("method"), Reason: r.text("reason")}
	if _, err := w.api.Commands.DecideTie(c.Request().Context(), w.request(c, f), id, in); err != nil {
		if err = f.refuse(err); err != nil {
			return err
		}
		return w.deskShowResult(c, nil, f)
	}
	return done(c, "/desk/competitions/"+id+"/result", "tie")
}
