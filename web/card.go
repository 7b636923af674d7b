package web

import (
	"bytes"
	"net/http"
	"slices"
	"strconv"

	"github.com/google/uuid"
	"github.com/labstack/echo/v4"

	"marram.example/api/command"
	"marram.example/events"
	"marram.example/events/card"
	"marram.example/events/competition"
	"marram.example/projections/standing"
)

// cardPage is a card: to write on for its player and its marker while the round
// is played, to read for others.
type cardPage struct {
	ID            string
	CompetitionID string
	Competition   string
	Date          string
	Name          string // whose card it is
	Marker        string // who keeps it; empty where the committee does
	Role          events.Role
	Write         bool // the visitor may enter scores now
	Holds         bool // the visitor opened this card or is of the committee
	Sees          bool // entries of both are shown, not only what counts
	State         *card.State
	Suspension    *competition.Suspension
	Holes         []cardHole // in order of number
	Now           *cardHole  // the hole on the screen
	Before, Next  int        // holes beside it in the order of play
	Totals        cardTotals
	Complete      bool // every hole has an entry and none is disputed
	Differ        []cardHole
	Certified     bool // by the visitor
	Other         bool // the other one has certified
	Pair          *otherCard
	Undo          *undo
	Ask           *ask
	Refusal       *events.Error
	Points        bool
}

// cardHole is one hole as the visitor sees it.
type cardHole struct {
	card.HoleLine
	Mine     events.Score // what the visitor entered
	Theirs   events.Score // what the other one entered
	Played   bool
	Net      int
	Points   int
	ToPar    int // gross
	Holed    bool
	Here     bool
	Role     events.Role
	Unmarked bool
}

// Length is what the hole measures; 0 where unknown.
func (h cardHole) Length() int { return h.LengthM }

// otherCard is the second card that a phone holds: that of the player who is
// marked, or the own one.
type otherCard struct {
	ID    string
	Words string
}

// undo is the entry made last, with what stood before.
type undo struct {
	Hole   int
	Was    events.Score // what stood before
	Is     events.Score
	Number string
}

// ask is a number that is asked back before it is taken.
type ask struct {
	Hole    int
	Par     int
	Strokes int
}

// cardTotals is what the card comes to so far.
type cardTotals struct {
	Entered    int
	Holes      int
	Gross, Net int
	GrossToPar int
	NetToPar   int
	Points     int
	Counted    bool // strokes on every hole entered, so that totals mean something
	Out, In    nineTotals
}

// Whole adds up both nines.
func (t cardTotals) Whole() nineTotals {
	return nineTotals{
		Holes: t.Holes, Par: t.Out.Par + t.In.Par, Gross: t.Gross, Net: t.Net, Points: t.Points, Counted: t.Counted, Whole: t.Out.Whole && t.In.Whole,
	}
}

// nineTotals add up one nine.
type nineTotals struct {
	Holes, Par, Gross, Net, Points int
	Counted                        bool // strokes on every hole entered
	Whole                          bool // every hole entered with strokes
}

// ToPar is gross strokes against par once the nine is whole.
func (n nineTotals) ToPar() int { return n.Gross - n.Par }

// openCard exchanges a card link for a cookie and moves on, so that the secret
// stays out of the address bar.
func (w *Web) openCard(c echo.Context) error {
	id, err := w.api.Auth.CardCookie(c, c.Param("token"))
	if err != nil {
		return err
	}
	c.Response().Header().Set(echo.HeaderCacheControl, "no-store")
	return c.Redirect(http.StatusSeeOther, "/cards/"+id)
}

func (w *Web) card(c echo.Context) error {
	p, err := w.cardPage(c)
	if err != nil {
		return err
	}
	if p.Write {
		p.lastEntry(c)
	}
	return w.showCard(c, http.StatusOK, p)
}

// showCard writes the page, or only the part that changes by itself.
func (w *Web) showCard(c echo.Context, status int, p *cardPage) error {
	c.Response().Header().Set(echo.HeaderCacheControl, "no-store")
	if c.QueryParam("part") == "all" {
		var out bytes.Buffer
		if err := w.pages["card.html"].ExecuteTemplate(&out, "card-part", p); err != nil {
			return err
		}
		return c.HTMLBlob(status, out.Bytes())
	}
	scripts := []string{}
	if p.Write {
		scripts = append(scripts, "card.js")
	}
	body := "card"
	if p.Write {
		body = "card writing"
	}
	return w.render(c, status, "card.html", page{
		Title: p.Name + ", card", Body: body, Styles: []string{"card.css"}, Scripts: scripts, Private: true, Bare: p.Write, Data: p,
	})
}

func (w *Web) cardPage(c echo.Context) (*cardPage, error) {
	k, comp, holds, err := w.api.CardFor(c)
	if err != nil {
		return nil, err
	}
	s := k.State
	names := w.names(c, s.CompetitionID, comp)
	p := &cardPage{
		ID: k.ID, CompetitionID: s.CompetitionID, Competition: comp.Name, Date: comp.Date, State: s, Suspension: comp.Suspend,
		Name: nameOf(names, s.EntryID), Holds: holds, Points: s.Format == "stableford",
	}
	if s.MarkerID != "" {
		p.Marker = nameOf(names, s.MarkerID)
	}
	who := w.api.Auth.WhoOn(c, k.ID)
	if who.Role == events.RolePlayer || who.Role == events.RoleMarker {
		p.Role = who.Role
		p.Write = comp.Running() && !s.Returned && s.Ruled == ""
	}
	p.Sees = holds
	p.Certified, p.Other = s.CertifiedPlayer, s.CertifiedMarker
	if p.Role == events.RoleMarker {
		p.Certified, p.Other = p.Other, p.Certified
	}
	if err := p.fill(k); err != nil {
		return nil, err
	}
	p.pick(c.QueryParam("hole"))
	p.Pair = w.pair(c, p, comp, names)
	return p, nil
}

// fill adds holes and totals.
func (p *cardPage) fill(k command.CardView) error {
	scored, err := standing.Score(k.ID, k.Sequence, k.State)
	if err != nil {
		return err
	}
	p.Complete = true
	for i, h := range k.State.Holes {
		r := scored.Net.Holes[i]
		line := cardHole{HoleLine: h, Mine: h.Player, Theirs: h.Marker, Role: p.Role, Played: h.Counting().Entered()}
		if p.Role == events.RoleMarker {
			line.Mine, line.Theirs = h.Marker, h.Player
		}
		line.Holed = h.Counting().Strokes > 0
		line.Net, line.Points, line.ToPar = r.Net, r.Points, r.GrossToPar
		p.Holes = append(p.Holes, line)
		if h.Differs() {
			p.Differ = append(p.Differ, line)
		}
		p.Complete = p.Complete && line.Played && !h.Differs()
	}
	t := scored.Net.Total
	p.Totals = cardTotals{
		Entered: t.Played, Holes: t.Holes, Gross: t.Gross, Net: t.Net, GrossToPar: t.GrossToPar(), NetToPar: t.NetToPar(), Points: t.Points,
		Counted: t.Scored > 0 && t.Scored == t.Played,
	}
	o, in := scored.Net.Out, scored.Net.In
	p.Totals.Out = nineTotals{Holes: o.Holes, Gross: o.Gross, Net: o.Net, Points: o.Points, Counted: o.Scored > 0 && o.Scored == o.Played, Whole: o.Scored == o.Holes}
	p.Totals.In = nineTotals{Holes: in.Holes, Gross: in.Gross, Net: in.Net, Points: in.Points, Counted: in.Scored > 0 && in.Scored == in.Played, Whole: in.Scored == in.Holes}
	for _, h := range k.State.Holes {
		if h.Number <= 9 {
			p.Totals.Out.Par += h.Par
		} else {
			p.Totals.In.Par += h.Par
		}
	}
	return nil
}

// pick chooses the hole on the screen: the one asked for, else the first in the
// order of play that the visitor has not entered; none once all are.
func (p *cardPage) pick(asked string) {
	if !p.Write {
		return
	}
	order := p.State.PlayOrder()
	at := slices.IndexFunc(order, func(i int) bool { return strconv.Itoa(p.Holes[i].Number) == asked })
	if at < 0 {
		at = slices.IndexFunc(order, func(i int) bool { return !p.Holes[i].Mine.Entered() && !p.Holes[i].Committee.Entered() })
	}
	if at < 0 {
		return
	}
	p.Now = &p.Holes[order[at]]
	p.Now.Here = true
	if at > 0 {
		p.Before = p.Holes[order[at-1]].Number
	}
	if at+1 < len(order) {
		p.Next = p.Holes[order[at+1]].Number
	}
}

// pair finds the other card that this phone opened.
func (w *Web) pair(c echo.Context, p *cardPage, comp *competition.State, names map[string]string) *otherCard {
	if p.Role == "" {
		return nil
	}
	for _, id := range w.api.Auth.Cards(c) {
		if id == p.ID || command.CompetitionOf(id) != p.CompetitionID {
			continue
		}
		who := w.api.Auth.WhoOn(c, id)
		switch who.Role {
		case events.RolePlayer:
			return &otherCard{ID: id, Words: "Your own card"}
		case events.RoleMarker:
			for _, e := range comp.Field() {
				if command.CardID(p.CompetitionID, e.ID, p.State.Round) == id {
					return &otherCard{ID: id, Words: "Card of " + nameOf(names, e.ID)}
				}
			}
		}
	}
	return nil
}

// lastEntry offers to take back what was entered a moment ago, as the address
// that the form led to says it.
func (p *cardPage) lastEntry(c echo.Context) {
	hole, err := strconv.Atoi(c.QueryParam("after"))
	if err != nil {
		return
	}
	i, ok := p.State.Line(hole)
	if !ok {
		return
	}
	p.Undo = &undo{Hole: hole, Was: scoreFromText(c.QueryParam("was")), Is: p.Holes[i].Mine}
}

// scoreText writes a score as forms and addresses carry it.
func scoreText(s events.Score) string {
	if s.Strokes > 0 {
		return strconv.Itoa(s.Strokes)
	}
	return s.None
}

func scoreFromText(v string) events.Score {
	if n, err := strconv.Atoi(v); err == nil && n > 0 && n <= card.MaxStrokes {
		return events.Score{Strokes: n}
	}
	if v == events.PickedUp || v == events.NoScore {
		return events.Score{None: v}
	}
	return events.Score{}
}

// freshKey is the id of a command that a form will send: a second press of the
// same button is the same command.
func freshKey() string { return uuid.Must(uuid.NewV7()).String() }
