package web

import (
	"net/http"

	"github.com/labstack/echo/v4"

	"marram.example/api/command"
	"marram.example/events"
	"marram.example/events/competition"
	"marram.example/projections/breakdown"
)

// cardForms are the forms of a card's page. The one that was refused is set; the
// others are made fresh.
type cardForms struct{ enter, settle, reopen, rule, marker, link, penalty, unpenalty, score *form }

// deskCardPage is a card as the committee works on it: the paper card to type
// in, differences to settle, penalties, rulings, marker, links and history.
type deskCardPage struct {
	*deskComp
	Card    command.CardView
	Entry   competition.Entry
	Name    string
	Marker  string // name; empty where the committee keeps the card
	Group   events.Group
	Mates   []competition.Entry // who may keep the card instead
	Balls   []paperBall
	Lines   []paperLine
	Sums    paperSums
	Signed  bool // the box is ticked
	Confirm bool // an unlikely number has to be confirmed
	Apart   bool // player and marker entered values of their own
	Links   []cardLink
	History []breakdown.EventLine
	Final   bool                 // the result is published
	Ruling  *command.ScoreRuling // on a wrong score, looked at

	Form, Settle, Reopen, Rule, MarkerForm, Link, Penalty, Unpenalty, Score *form
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
	comp, err := w.deskCompAt(c, "cards", k.State.Round)
	return comp, k, err
}

func (w *Web) deskShowCard(c echo.Context, forms cardForms) error {
	return w.deskShowCardRuled(c, forms, nil)
}

// deskShowCardRuled is deskShowCard with a ruling on a wrong score to look at.
func (w *Web) deskShowCardRuled(c echo.Context, forms cardForms, ruling *command.ScoreRuling) error {
	comp, k, err := w.deskCardComp(c)
	if err != nil {
		return err
	}
	s := k.State
	p := deskCardPage{
		deskComp: comp, Card: k, Entry: comp.State.Entries[s.EntryID], Name: comp.Names[s.EntryID], Marker: comp.Names[s.MarkerID],
		Final: comp.Is("published"), Ruling: ruling,
	}
	p.Group = comp.groupOf(s.EntryID)
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
		{&p.Penalty, forms.penalty, "penalty-"}, {&p.Unpenalty, forms.unpenalty, "unpenalty-"}, {&p.Score, forms.score, "score-"},
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
	for _, f := range []*form{p.Settle, p.Reopen, p.Rule, p.MarkerForm, p.Penalty, p.Unpenalty, p.Score} {
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
