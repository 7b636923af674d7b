package web

import (
	"cmp"
	"net/http"
	"net/url"
	"slices"
	"strconv"
	"strings"
	"time"

	"github.com/labstack/echo/v4"

	"marram.example/events"
	"marram.example/events/competition"
	"marram.example/projections/standing"
)

// resultPage is the result as published.
type resultPage struct {
	ID         string
	Published  bool
	Phase      competition.Phase
	Revision   int
	Reason     string
	Time       time.Time // when it was published; zero where that is not known at the moment
	Ranking    string
	Bases      []boardLink
	Divisions  []boardLink
	Unit       string // strokes, points, holes or matches
	Gross      bool   // the ranking is a gross one
	Sides      bool   // an entry is a side
	Cut        string // who went through, in words
	Rows       []resultRow
	Matches    []matchRound // of match play, the first round first
	Table      []tableLine  // of a round robin
	Knockout   bool
	Settled    []string // ties that the committee settled, in words
	Prizes     []prizeRow
	Countbacks []countbackView
	Earlier    []earlierResult
}

// resultRow is one line of the result in the ranking shown.
type resultRow struct {
	events.ResultRow
	Position string
	Name     string
	Who      string // everybody of a side that has a name
	Off      string // playing handicaps
	Figure   string // what counts in this ranking
	Words    string // countback in words, where one decided the place here
	Missed   bool   // the cut
	Parts    []roundCell
}

// prizeRow is one prize with who gets it.
type prizeRow struct {
	events.PrizeAwarded
	Name   string
	CardID string
}

// countbackView is a countback with names for ids.
type countbackView struct {
	events.Countback
	Names map[string]string
	Words []string // what separated whom
}

// earlierResult is a result that was replaced.
type earlierResult struct {
	Revision int
	Time     time.Time
	Reason   string
}

func (w *Web) result(c echo.Context) error {
	id, s, err := w.watched(c)
	if err != nil {
		return err
	}
	p := resultPage{ID: id, Phase: s.Phase}
	if s.Result != nil && s.Terms != nil {
		p = w.resultOf(c, id, s)
		w.addHistory(c, &p)
	}
	return w.render(c, http.StatusOK, "result.html", page{
		Title: "Result, " + s.Name, Body: "result", Styles: []string{"result.css", "matches.css"}, Competition: nav(id, s, "result"), Data: p,
	})
}

// addHistory adds when the result and those before it were published. It comes
// from the read store; where that is down the result is shown without.
func (w *Web) addHistory(c echo.Context, p *resultPage) {
	history, err := w.api.Models.Results.History(c.Request().Context(), p.ID)
	if err != nil {
		w.lines.Warn("earlier results not read", "competition", p.ID, "error", err)
		return
	}
	for _, r := range history {
		if r.Revision == p.Revision {
			p.Time = r.Time
		} else {
			p.Earlier = append(p.Earlier, earlierResult{Revision: r.Revision, Time: r.Time, Reason: r.Reason})
		}
	}
}

// resultOf is the published result as the visitor asked to see it.
func (w *Web) resultOf(c echo.Context, id string, s *competition.State) resultPage {
	names, players := w.fieldNames(c, id, s)
	p := resultPage{
		ID: id, Published: true, Phase: s.Phase, Revision: s.Revision, Reason: s.Reason, Unit: competition.Unit(s.Terms.Format),
		Sides: s.Terms.Players() > 1,
	}
	if s.Cut != nil {
		p.Cut = sentence(s.Cut.Words)
	}
	rankings, ranking := standing.Rankings(s.Terms), c.QueryParam("ranking")
	if !slices.Contains(rankings, ranking) {
		ranking = rankings[0]
	}
	p.Ranking = ranking
	p.links(rankings)
	basis, division, _ := strings.Cut(ranking, "/")
	p.Gross = basis == standing.Gross
	b, _ := w.api.Boards.Snapshot(c.Request().Context(), id)
	for _, r := range s.Result.Rows {
		if division != "" && r.Division != division {
			continue
		}
		row := resultRow{
			ResultRow: r, Position: r.Positions[ranking], Name: nameOf(names, r.EntryID), Off: offText(r),
			Figure: p.figure(r), Words: standing.InWords(s.Result.Countbacks, ranking, r.EntryID), Missed: r.Status == events.StatusMissedCut,
		}
		if r.TeamName != "" {
			row.Who = whoIsWho(s.Entries[r.EntryID], players)
		}
		if now, ok := b.Row(r.EntryID); ok && p.Gross && p.Unit == "holes" && now.GrossParBogey != nil && row.Position != "" {
			row.Figure = toParWords(*now.GrossParBogey)
		}
		p.Rows = append(p.Rows, row)
		p.Rows[len(p.Rows)-1].Parts = p.parts(r)
	}
	slices.SortStableFunc(p.Rows, func(a, b resultRow) int { return cmp.Compare(placeNumber(a.Position), placeNumber(b.Position)) })
	p.orderTies(s.Result.Countbacks)
	p.addMatches(s, b, names)
	cards := map[string]string{}
	for _, r := range s.Result.Rows {
		cards[r.EntryID] = r.CardID
	}
	for _, z := range s.Result.Prizes {
		p.Prizes = append(p.Prizes, prizeRow{PrizeAwarded: z, Name: nameOf(names, z.EntryID), CardID: cards[z.EntryID]})
	}
	for _, b := range s.Result.Countbacks {
		if b.Ranking == ranking {
			p.Countbacks = append(p.Countbacks, countbackOf(b, names))
		}
	}
	for _, t := range s.Ties {
		if standing.RankingOf(t.Ranking, t.Division) == ranking {
			p.Settled = append(p.Settled, settledWords(t, names))
		}
	}
	return p
}

func (p *resultPage) links(rankings []string) {
	b := boardPage{Ranking: p.Ranking}
	b.CompetitionID, b.Rankings = p.ID, rankings
	b.links()
	for _, all := range [][]boardLink{b.Bases, b.Divisions} {
		for i := range all {
			all[i].URL = "/competitions/" + p.ID + "/result?ranking=" + url.QueryEscape(all[i].Ranking)
		}
	}
	p.Bases, p.Divisions = b.Bases, b.Divisions
}

// figure is what counts in the ranking shown.
func (p *resultPage) figure(r events.ResultRow) string {
	n := r.Net
	switch {
	case p.Unit == "points" && p.Gross:
		n = r.GrossPoints
	case p.Unit == "points":
		n = r.Points
	case p.Unit == "holes" && p.Gross:
		n = nil
	case p.Unit == "holes":
		if n = r.ParBogey; n != nil {
			return toParWords(*n)
		}
	case p.Gross:
		n = r.Gross
	}
	if n == nil {
		return ""
	}
	return strconv.Itoa(*n)
}

// lastPlace sorts those without a position below all others.
const lastPlace = 1 << 30

// placeNumber is the number of a position such as "4" or "T2".
func placeNumber(position string) int {
	n, err := strconv.Atoi(strings.TrimPrefix(position, "T"))
	if err != nil {
		return lastPlace
	}
	return n
}

// orderTies brings those whose tie stands into the order in which the countback
// lists them, so that the page reads the same every time.
func (p *resultPage) orderTies(all []events.Countback) {
	at := map[string]int{}
	for _, b := range all {
		if b.Ranking != p.Ranking {
			continue
		}
		for _, group := range b.Order {
			for _, id := range group {
				at[id] = len(at)
			}
		}
	}
	slices.SortStableFunc(p.Rows, func(a, b resultRow) int {
		if a.Position != b.Position || a.Position == "" {
			return 0
		}
		return cmp.Compare(at[a.EntryID], at[b.EntryID])
	})
}

func countbackOf(b events.Countback, names map[string]string) countbackView {
	v := countbackView{Countback: b, Names: map[string]string{}}
	for _, k := range b.Cards {
		v.Names[k.EntryID] = nameOf(names, k.EntryID)
	}
	together := func(ids []string) string {
		list := make([]string, len(ids))
		for i, id := range ids {
			list[i] = nameOf(names, id)
		}
		return strings.Join(list, " and ")
	}
	for i, step := range b.Steps {
		if i+1 < len(b.Order) {
			v.Words = append(v.Words, together(b.Order[i])+" before "+together(b.Order[i+1])+" on "+windowWords(step.Window)+
				": "+mixedText(step.Above)+" against "+mixedText(step.Below)+".")
		}
	}
	for _, group := range b.Order {
		if len(group) > 1 {
			v.Words = append(v.Words, together(group)+" are level on every count and share the place.")
		}
	}
	return v
}
