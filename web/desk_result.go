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
	Ready      bool   // the round is closed
	Seed       string // for a lot drawn here
	Seen       string // fingerprint of Result: what is published is what was looked at
}

// deskResultRow is one line of the table.
type deskResultRow struct {
	events.ResultRow
	Name     string
	Position string
}

// Worth is what ranks in the competition's format; empty where there is none.
func (r deskResultRow) Worth(format string) string {
	if r.Status != events.StatusReturned && r.Status != events.StatusMissedCut {
		return shortStatus(r.Status)
	}
	return orMissing(worthOf(format, r.Net, r.Points, r.ParBogey))
}

// RoundWorth is the same of one round.
func (r deskResultRow) RoundWorth(format string, round int) string {
	for _, f := range r.Rounds {
		if f.Round == round {
			if f.Status != events.StatusReturned {
				return shortStatus(f.Status)
			}
			return orMissing(worthOf(format, f.Net, f.Points, f.ParBogey))
		}
	}
	return ""
}

// shortStatus is a status in a column of figures: a ruling as it is abbreviated.
func shortStatus(status string) string {
	if status == events.StatusInPlay || status == "" {
		return statusWords(status)
	}
	return status
}

// Handicaps are the playing handicaps of everybody with a ball of their own.
func (r deskResultRow) Handicaps(balls int) string {
	words := []string{playingText(r.PlayingHandicap)}
	for i := 0; i+1 < balls && i < len(r.Partners); i++ {
		words = append(words, playingText(r.Partners[i].PlayingHandicap))
	}
	return strings.Join(words, " / ")
}

// worthOf picks the figure that a format ranks by.
func worthOf(format string, net, points, parBogey *int) *int {
	switch format {
	case events.Stableford:
		return points
	case events.ParBogey:
		return parBogey
	default:
		return net
	}
}

func orMissing(n *int) string {
	if n == nil {
		return "–"
	}
	return signedText(*n)
}

// deskTie is a tie that still stands.
type deskTie struct {
	Ranking  string // net or gross
	Division string
	Words    string
	Position string
	Entries  []string
}

// Key tells the ties of a page apart.
func (t deskTie) Key() string {
	return t.Entries[0] + t.Ranking + t.Position + hex.EncodeToString([]byte(t.Division))
}

// resultChange is what one line says now and would say then.
type resultChange struct{ What, Before, After string }

func (w *Web) deskResult(c echo.Context) error { return w.deskShowResult(c, nil, nil) }

func (w *Web) deskShowResult(c echo.Context, f, tie *form) error {
	k, err := w.deskComp(c, "result")
	if err != nil {
		return err
	}
	p := deskResultPage{deskComp: k, Form: f, Tie: tie, Shown: c.QueryParam("ranking"), Ready: k.State.Over()}
	if f == nil {
		p.Form = newForm(k.Seq, nil)
	}
	if tie == nil {
		p.Tie = newForm(k.Seq, nil)
	}
	p.Form.again(k.Seq, nil)
	p.Tie.named("tie-").again(k.Seq, nil)
	if p.Seed = p.Tie.V("seed"); p.Seed == "" {
		if p.Seed, err = freshSeed(); err != nil {
			return err
		}
	}
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
	names := standing.Rankings(p.State.Terms)
	if !slices.Contains(names, p.Shown) {
		p.Shown = names[0]
	}
	for _, name := range names {
		p.Rankings = append(p.Rankings, choice{name, placesWords(name)})
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
	if m := p.State.Terms.Match; m == nil || m.Bracket != competition.Knockout { // who lost in one round shares a place for good
		for _, name := range names {
			p.Ties = append(p.Ties, tiesIn(p.Result.Rows, name)...)
		}
	}
	if p.State.Result != nil {
		p.Changes = resultChanges(p.State.Result, &p.Result, p.Names, names)
	}
}

// placesWords name a ranking as a heading.
func placesWords(ranking string) string {
	if ranking == standing.Matches {
		return "Places"
	}
	return rankingWords(ranking)
}

// WorthWords name what ranks in the format.
func (p deskResultPage) WorthWords() string {
	switch p.Format() {
	case events.Stableford:
		return "Points"
	case events.ParBogey:
		return "Result"
	default:
		return "Net"
	}
}

// Format is the one of the round of now: every round counts the same.
func (p deskResultPage) Format() string { return p.Terms().Format }

// OwnBalls is how many balls of a side have a playing handicap.
func (p deskResultPage) OwnBalls() int {
	if events.OneBall(p.Terms().Side) {
		return 1
	}
	return p.State.Terms.Players()
}

// RoundNumbers are the rounds that the table shows beside the total.
func (p deskResultPage) RoundNumbers() []int {
	if !p.Several() || p.State.IsMatch() {
		return nil
	}
	out := make([]int, p.State.Round)
	for i := range out {
		out[i] = i + 1
	}
	return out
}

// MatchRounds are the matches of every closed round.
func (p deskResultPage) MatchRounds() []matchesPlayed {
	var out []matchesPlayed
	for round := 1; round <= p.State.Round; round++ {
		if _, played := p.State.ClosedRound(round); len(played) > 0 {
			out = append(out, matchesPlayed{round, played})
		}
	}
	return out
}

// matchesPlayed are the matches of a closed round.
type matchesPlayed struct {
	Round   int
	Matches []events.MatchStanding
}

// HalfPoints writes points of which a tie brings half a one.
func (deskResultPage) HalfPoints(n int) string {
	if n%2 == 0 {
		return strconv.Itoa(n / 2)
	}
	if n < 2 {
		return "½"
	}
	return strconv.Itoa(n/2) + "½"
}

// SeedOf is the seed of a lot in words; empty for one drawn elsewhere.
func (deskResultPage) SeedOf(t competition.Tie) string {
	if t.Seed == 0 {
		return ""
	}
	return fmt.Sprintf(" with the seed %d", t.Seed)
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
		out = append(out, deskTie{Ranking: basis, Division: division, Words: placesWords(ranking), Position: pos, Entries: by[pos]})
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
			add(name+", "+placesWords(ranking), placeWords(o.Positions[ranking]), placeWords(r.Positions[ranking]))
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
	if r.Status != events.StatusReturned && r.Status != events.StatusMissedCut {
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
	number(r.ParBogey, "result")
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
