package web

import (
	"net/http"
	"net/url"
	"slices"
	"strconv"

	"github.com/labstack/echo/v4"

	"marram.example/api/command"
	"marram.example/events"
	"marram.example/events/card"
	"marram.example/events/competition"
)

// strokeCard is a card as its player logs strokes on it.
type strokeCard struct {
	ID    string
	View  command.CardView
	State *card.State
	Ball  int
	Balls []strokeBall // of a side with a ball each; else empty
	Units units
	Live  bool // the round is played: the device's clock says when
	Write bool // the player may still enter scores
}

// strokeBall is one ball of a side.
type strokeBall struct {
	No   int
	Name string
	Here bool
}

// Steps of logging a hole.
const (
	stepIntent = "intent" // before a full stroke
	stepReview = "review" // after it
	stepPutt   = "putt"   // before or right after a putt
	stepPutted = "putted" // after a putt that was meant before
	stepAmend  = "amend"  // any field of a stroke
	stepDone   = "done"   // the ball is in the hole
)

// strokesPage is one hole with its strokes so far and what comes next.
type strokesPage struct {
	strokeCard
	Hole         card.HoleLine
	Before, Next int // holes beside it in the order of play
	Step         string
	Form         *form
	Played       []playedStroke
	Stroke       *playedStroke // reviewed or amended
	Number       int           // of the stroke that the step is about
	Insert       string        // the stroke that a new one goes before
	From         string        // where the ball lies, in words
	Say          strokeSum
	Done         *strokeSum // a hole that was just played to its end
	Undo         string     // sequence of what can be taken back
	Clubs, Other []strokeClub
	Closed       bool // nothing but a note: a hole cannot be shown
}

// strokeSum is what the strokes of a hole come to, beside its score on the card.
type strokeSum struct {
	Hole     int
	N        int // strokes and penalties
	Putts    int // played on the green
	Any      bool
	Whole    bool
	Differs  bool
	OnCard   events.Score
	Entered  bool
	MayEnter bool // the player may put N on the card
}

// playedStroke is a stroke that was logged.
type playedStroke struct {
	command.LoggedStroke
	No   int
	Here bool
	Last bool
}

// strokeClub is a club to press.
type strokeClub struct{ Club, Short, Name string }

// playersCard reads a card for who holds its player's link: strokes are that
// person's alone.
func (w *Web) playersCard(c echo.Context) (strokeCard, error) {
	out := strokeCard{ID: c.Param("card"), Units: unitsOf(c)}
	who, err := w.api.Auth.Holder(c, out.ID)
	if err != nil {
		return out, err
	}
	if who.Role != events.RolePlayer {
		return out, events.Forbidden("forbidden", "strokes are logged with the player's link of the card")
	}
	w.api.Auth.ActAs(c, who)
	var comp *competition.State
	if out.View, comp, _, err = w.api.CardFor(c); err != nil {
		return out, err
	}
	out.State = out.View.State
	out.Live = comp.Running() && out.State.Round == comp.Round && !out.State.Returned && out.State.Ruled == ""
	out.Write = comp.Running() && !out.State.Returned && out.State.Ruled == ""
	if out.Ball, err = strconv.Atoi(formOrQuery(c, "ball")); err != nil || out.Ball < 0 || out.Ball >= out.State.Balls() {
		out.Ball = 0
	}
	if out.State.Balls() > 1 {
		_, names := w.fieldNames(c, out.State.CompetitionID, comp)
		for b := range out.State.Balls() {
			out.Balls = append(out.Balls, strokeBall{b, nameOf(names, out.State.BallPlayer(b)), b == out.Ball})
		}
	}
	return out, nil
}

// formOrQuery is a value of the form that was sent, else of the address.
func formOrQuery(c echo.Context, name string) string {
	if v := c.FormValue(name); v != "" { // reads the address too
		return v
	}
	return c.QueryParam(name)
}

// At is the address of the strokes of a hole.
func (k strokeCard) At(hole int) string { return k.at(hole, nil) }

func (k strokeCard) at(hole int, more url.Values) string {
	q := url.Values{"hole": {strconv.Itoa(hole)}}
	if k.Ball > 0 {
		q.Set("ball", strconv.Itoa(k.Ball))
	}
	for name, v := range more {
		q[name] = v
	}
	return "/cards/" + k.ID + "/strokes?" + q.Encode()
}

// line finds a hole of the ball.
func (k strokeCard) line(hole int) (card.HoleLine, bool) {
	i, ok := k.State.Line(hole)
	if !ok {
		return card.HoleLine{}, false
	}
	return k.State.Lines(k.Ball)[i], true
}

// sum is what the strokes of a hole say.
func (k strokeCard) sum(hole int) strokeSum {
	h, _ := k.line(hole)
	out := strokeSum{Hole: hole, OnCard: h.Player, Differs: k.State.StrokesDiffer(k.Ball, hole)}
	if !h.Player.Entered() {
		out.OnCard = h.Counting()
	}
	out.N, out.Whole = k.State.StrokesScore(k.Ball, hole)
	out.Entered = out.OnCard.Entered()
	out.MayEnter = k.Write && out.Whole && !h.Committee.Entered() && h.Player.Strokes != out.N && out.N <= card.MaxStrokes
	for _, x := range k.State.StrokesOn(k.Ball, hole) {
		out.Any = true
		if x.Lie == events.LieGreen {
			out.Putts++
		}
	}
	return out
}

// strokes is the page on which a hole's strokes are logged.
func (w *Web) strokes(c echo.Context) error {
	k, err := w.playersCard(c)
	if err != nil {
		return err
	}
	p, err := w.strokesOn(c, k, firstHole(k, c.QueryParam("hole")))
	if err != nil {
		return err
	}
	if err := p.ask(c.QueryParams()); err != nil {
		return err
	}
	if done, err := strconv.Atoi(c.QueryParam("done")); err == nil {
		if _, ok := k.line(done); ok {
			s := k.sum(done)
			p.Done = &s
		}
	}
	if _, err := strconv.ParseUint(c.QueryParam("did"), 10, 64); err == nil {
		p.Undo = c.QueryParam("did")
	}
	return w.showStrokes(c, http.StatusOK, p)
}

func (w *Web) showStrokes(c echo.Context, status int, p *strokesPage) error {
	return w.render(c, status, "strokes.html", page{
		Title: "Hole " + strconv.Itoa(p.Hole.Number) + ", strokes", Body: "strokes writing", Styles: []string{"strokes.css"},
		Scripts: []string{"strokes.js"}, Private: true, Bare: true, Data: p,
	})
}

// firstHole is the hole asked for, else the first in the order of play that has no
// strokes yet, else the first.
func firstHole(k strokeCard, asked string) int {
	if n, err := strconv.Atoi(asked); err == nil {
		if _, ok := k.line(n); ok {
			return n
		}
	}
	order := k.State.PlayOrder()
	for _, i := range order {
		if h := k.State.Holes[i]; !k.sum(h.Number).Any {
			return h.Number
		}
	}
	if len(order) == 0 {
		return 0
	}
	return k.State.Holes[order[0]].Number
}

// strokesOn reads what was logged on a hole.
func (w *Web) strokesOn(c echo.Context, k strokeCard, hole int) (*strokesPage, error) {
	p := &strokesPage{strokeCard: k}
	var ok bool
	if p.Hole, ok = k.line(hole); !ok {
		return nil, events.NotFound("hole", "this card has no such hole")
	}
	order := k.State.PlayOrder()
	at := slices.IndexFunc(order, func(i int) bool { return k.State.Holes[i].Number == hole })
	if at > 0 {
		p.Before = k.State.Holes[order[at-1]].Number
	}
	if at >= 0 && at+1 < len(order) {
		p.Next = k.State.Holes[order[at+1]].Number
	}
	logged, err := w.api.Commands.Logged(c.Request().Context(), k.State, k.Ball, hole)
	if err != nil {
		return nil, err
	}
	for i, x := range logged {
		p.Played = append(p.Played, playedStroke{LoggedStroke: x, No: i + 1, Last: i == len(logged)-1})
	}
	p.Say = k.sum(hole)
	p.Clubs, p.Other = k.bag()
	return p, nil
}

// usual clubs have keys of their own at first; the others lie folded beside them, and
// a club that was named on this card stays in sight. Their order is always the same:
// a page that put one forward would advise.
func usual() []string {
	return []string{
		"driver", "wood-3", "wood-5", "hybrid-4", "iron-4", "iron-5", "iron-6", "iron-7", "iron-8", "iron-9",
		"pitching-wedge", "gap-wedge", "sand-wedge", "lob-wedge", "putter",
	}
}

func (k strokeCard) bag() (clubs, other []strokeClub) {
	named := usual()
	for _, x := range k.State.Strokes {
		named = append(named, x.Club)
	}
	for _, name := range events.Clubs() {
		x := strokeClub{name, clubShort(name), clubWords(name)}
		if slices.Contains(named, name) {
			clubs = append(clubs, x)
		} else {
			other = append(other, x)
		}
	}
	return clubs, other
}

// ask finds the step that comes next, and fills its form in.
func (p *strokesPage) ask(q url.Values) error {
	if id := q.Get("stroke"); id != "" {
		return p.amend(id)
	}
	if id := q.Get("before"); id != "" {
		at := p.find(id)
		if at < 0 {
			return events.NotFound("before", "this hole has no such stroke")
		}
		p.Insert, p.Number = id, at+1
		p.intent(q, p.Played[:at])
		return nil
	}
	p.Number = len(p.Played) + 1
	n := len(p.Played)
	switch {
	case n > 0 && p.Played[n-1].holed():
		p.Step, p.Form = stepDone, newForm(0, nil)
	case n > 0 && p.Played[n-1].Finish == nil && q.Get("next") == "":
		p.review(n - 1)
	default:
		p.intent(q, p.Played)
	}
	return nil
}

func (p *strokesPage) find(id string) int {
	return slices.IndexFunc(p.Played, func(x playedStroke) bool { return x.StrokeID == id })
}

func (x playedStroke) holed() bool { return x.Finish != nil && x.Finish.Holed }

// review asks what became of a stroke.
func (p *strokesPage) review(at int) {
	x := &p.Played[at]
	x.Here, p.Stroke, p.Number, p.Step = true, x, x.No, stepReview
	if x.Lie == events.LieGreen {
		p.Step = stepPutted
	}
	p.From = p.lies(x.Lie, x.Distance)
	p.Form = newForm(0, nil)
}

// intent asks for the next stroke: lie and distance as the one before it left them.
func (p *strokesPage) intent(q url.Values, before []playedStroke) {
	lie, distance := "", 0.0
	switch n := len(before); {
	case n == 0:
		lie, distance = events.LieTee, float64(p.Hole.LengthM)
	case before[n-1].Finish != nil && !before[n-1].Finish.Holed:
		lie, distance = before[n-1].Finish.Lie, before[n-1].Finish.Distance
	}
	if asked := q.Get("lie"); asked != "" && asked != lie && knownLie(asked) {
		if lie == events.LieTee {
			distance = 0 // a hole's length is known from its tee alone
		}
		lie = asked
	}
	p.Step = stepIntent
	if lie == events.LieGreen {
		p.Step = stepPutt
	}
	v := url.Values{"lie": {lie}}
	if distance > 0 {
		v.Set("distance", p.Units.edit(distance, lie))
	}
	p.Form = newForm(0, v)
}

func knownLie(lie string) bool {
	return slices.ContainsFunc(strokeLies(), func(l strokeLie) bool { return l.Lie == lie })
}

// amend asks for any field of a stroke, filled in with what stands.
func (p *strokesPage) amend(id string) error {
	at := p.find(id)
	if at < 0 {
		return events.NotFound("stroke", "this hole has no such stroke")
	}
	x := &p.Played[at]
	x.Here, p.Stroke, p.Number, p.Step = true, x, x.No, stepAmend
	p.Form = newForm(0, p.valuesOf(x.Stroke))
	return nil
}

// lies says where a ball lies, in words: "Fairway, 120 m".
func (p *strokesPage) lies(lie string, metres float64) string {
	return lieName(lie) + ", " + p.Units.edit(metres, lie) + " " + p.Units.Unit(lie)
}
