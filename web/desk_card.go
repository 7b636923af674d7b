package web

import (
	"net/http"

	"github.com/labstack/echo/v4"

	"marram.example/api/command"
	"marram.example/events"
	"marram.example/events/card"
	"marram.example/events/competition"
	"marram.example/projections/breakdown"
	"marram.example/projections/standing"
)

// cardForms are the forms of a card's page. The one that was refused is set; the
// others are made fresh.
type cardForms struct{ enter, settle, reopen, rule, marker, link *form }

// deskCardPage is a card as the committee works on it: the paper card to type
// in, differences to settle, rulings, marker, links and history.
type deskCardPage struct {
	*deskComp
	Card    command.CardView
	Entry   competition.Entry
	Name    string
	Marker  string // name; empty where the committee keeps the card
	Group   events.Group
	Mates   []competition.Entry // who may keep the card instead
	Lines   []paperLine
	Sums    paperSums
	Signed  bool // the box is ticked
	Confirm bool // an unlikely number has to be confirmed
	Apart   bool // player and marker entered values of their own
	Links   []cardLink
	History []breakdown.EventLine
	Final   bool // the result is published

	Form, Settle, Reopen, Rule, MarkerForm, Link *form
}

// paperLine is one hole of the card.
type paperLine struct {
	card.HoleLine
	I         int    // place on the card, from 0
	Field     string // name of its field
	Last      bool   // of a nine: a line of sums follows
	NineOf    string // Out or In
	PlayerHas string
	MarkerHas string
}

// paperSums are the totals as they stand; the script keeps them up to date.
type paperSums struct {
	Gross, Net, Points *int
	Stableford         bool
}

// cardLink opens a card for its player or its marker.
type cardLink struct {
	Role events.Role
	Who  string
	URL  string
	Code qrCode
}

// Rulings are what may be ruled on the card.
func (p deskCardPage) Rulings() []choice {
	var out []choice
	for _, s := range []string{
		events.StatusNoReturn, events.StatusRetired, events.StatusWithdrew, events.StatusNoShow, events.StatusDisqualified,
	} {
		out = append(out, choice{s, s + ": " + statusWords(s)})
	}
	if p.Card.State.Ruled != "" {
		out = append([]choice{{events.StatusInPlay, "lift the ruling " + p.Card.State.Ruled}}, out...)
	}
	return out
}

func (w *Web) deskCard(c echo.Context) error { return w.deskShowCard(c, cardForms{}) }

// deskCardComp reads the card of the address with its competition.
func (w *Web) deskCardComp(c echo.Context) (*deskComp, command.CardView, error) {
	k, err := w.api.Commands.Card(c.Request().Context(), c.Param("card"))
	if err != nil {
		return nil, k, err
	}
	c.SetParamNames("card", "competition")
	c.SetParamValues(c.Param("card"), k.State.CompetitionID)
	comp, err := w.deskComp(c, "cards")
	return comp, k, err
}

func (w *Web) deskShowCard(c echo.Context, forms cardForms) error {
	comp, k, err := w.deskCardComp(c)
	if err != nil {
		return err
	}
	s := k.State
	p := deskCardPage{
		deskComp: comp, Card: k, Entry: comp.State.Entries[s.EntryID], Name: comp.Names[s.EntryID], Marker: comp.Names[s.MarkerID],
		Final: comp.Is("published"),
	}
	p.Group, _, _ = comp.State.Group(s.EntryID)
	for _, slot := range p.Group.Places {
		if slot.EntryID != s.EntryID {
			p.Mates = append(p.Mates, comp.State.Entries[slot.EntryID])
		}
	}
	status := http.StatusOK
	for _, x := range []struct {
		to   **form
		have *form
		name string
	}{
		{&p.Form, forms.enter, ""}, {&p.Settle, forms.settle, "settle-"}, {&p.Reopen, forms.reopen, "reopen-"}, {&p.Rule, forms.rule, "rule-"},
		{&p.MarkerForm, forms.marker, "marker-"}, {&p.Link, forms.link, "link-"},
	} {
		f := x.have
		if f == nil {
			f = newForm(k.Sequence, nil)
		}
		*x.to = f.named(x.name)
		status = max(status, f.Status())
	}
	if forms.enter == nil {
		p.Form.Values = cardValues(s)
		p.Signed = !s.Returned
	} else {
		p.Signed = p.Form.V("signed") != ""
	}
	p.Form.again(k.Sequence, cardValues(s))
	for _, f := range []*form{p.Settle, p.Reopen, p.Rule, p.MarkerForm} {
		f.again(k.Sequence, nil)
	}
	for _, e := range p.Form.Refused {
		p.Confirm = p.Confirm || e.Code == "unlikely_score"
	}
	p.lines()
	if p.Links, err = w.cardLinks(c, &p); err != nil {
		return err
	}
	if err := w.cardHistory(c, &p); err != nil {
		return err
	}
	return w.deskPage(c, status, "desk_card.html", "Card of "+p.Name, p, "paper.js")
}

// lines lays the holes out with what player and marker have, and the totals.
func (p *deskCardPage) lines() {
	holes := p.Card.State.Holes
	for i, h := range holes {
		l := paperLine{HoleLine: h, I: i, Field: scoreField(i), NineOf: "Out"}
		if h.Number > 9 {
			l.NineOf = "In"
		}
		l.Last = i == len(holes)-1 || h.Number == 9
		l.PlayerHas, l.MarkerHas = cellText(h.Player), cellText(h.Marker)
		p.Apart = p.Apart || h.Player.Entered() || h.Marker.Entered()
		p.Lines = append(p.Lines, l)
	}
	sc, err := standing.Score(p.Card.ID, p.Card.Sequence, p.Card.State)
	if err != nil {
		return
	}
	p.Sums.Stableford = sc.Net.Format == "stableford"
	if t := sc.Net.Total; t.Played > 0 {
		p.Sums.Gross, p.Sums.Net, p.Sums.Points = &t.Gross, &t.Net, &t.Points
	}
}

// cardHistory tells in words what happened to the card, the latest first.
func (w *Web) cardHistory(c echo.Context, p *deskCardPage) error {
	stream := events.CardStream(w.api.Club, p.ID, p.Card.ID)
	recorded, err := w.api.Log.Stream(c.Request().Context(), stream)
	if err != nil {
		return err
	}
	b, err := breakdown.Of(p.Card.ID, p.State, recorded)
	if err != nil {
		return err
	}
	for i := len(b.Events) - 1; i >= 0; i-- {
		p.History = append(p.History, b.Events[i])
	}
	return nil
}

// cardLinks are the links of the card's player and marker.
func (w *Web) cardLinks(c echo.Context, p *deskCardPage) ([]cardLink, error) {
	who := []struct {
		role events.Role
		name string
	}{{events.RolePlayer, p.Name}, {events.RoleMarker, p.Marker}}
	var out []cardLink
	for _, x := range who {
		if x.role == events.RoleMarker && p.Card.State.MarkerID == "" {
			continue
		}
		l, err := w.cardLink(c, p.Card.ID, x.role)
		if err != nil {
			return nil, err
		}
		l.Who = x.name
		out = append(out, l)
	}
	return out, nil
}
