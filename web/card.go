package web

import (
	"bytes"
	"net/http"
	"strconv"

	"github.com/google/uuid"
	"github.com/labstack/echo/v4"

	"marram.example/api/command"
	"marram.example/events"
	"marram.example/events/card"
	"marram.example/events/competition"
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
	Holes         []cardHole // of the first ball, in order of number
	Balls         []cardBall // every ball; the first is that of Holes
	Lines         []sideLine // the holes of a side of several balls
	Now           *cardHole  // the hole on the screen
	NowBalls      []*cardHole
	NowSide       string // what that hole comes to for the side
	Enough        string // how many balls a hole needs, in words; empty for one ball
	Players       string // who plays one ball together
	Before, Next  int    // holes beside it in the order of play
	Totals        cardTotals
	Complete      bool // every hole has an entry and none is disputed
	Differ        []cardHole
	Unsettled     []cardHole // whose logged strokes say another score; for the player alone
	Certified     bool       // by the visitor
	Other         bool       // the other one has certified
	Pair          *otherCard
	Undo          *undo
	Ask           *ask
	Conflict      *conflict
	Refusal       *events.Error
	Points        bool
	ParBogey      bool
	Maximum       bool
	Review        bool // the visitor may read what the strokes tell, now
}

// cardBall is one ball of a card.
type cardBall struct {
	No    int
	Name  string
	Short string // for a narrow column
	Tee   string
	Off   int // playing handicap
	Holes []cardHole
}

// sideLine is one hole of a side of several balls.
type sideLine struct {
	Hole   *cardHole // of the first ball
	Cells  []*cardHole
	Words  string // which ball counts and what the hole comes to
	Figure string
	Class  string
	Here   bool
}

// Several reports whether the card has more than one ball.
func (p *cardPage) Several() bool { return len(p.Balls) > 1 }

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
	Ball     int
	Whose    string // the ball's player, on the card of a side
	Gross    int    // strokes that count
	ParBogey int    // 1 won, 0 tied, -1 lost
	Max      int    // most strokes that count; 0 where there is no maximum
	Reduced  bool   // the maximum counts
	Penalty  int    // strokes added by the committee
	Counts   bool   // for the side

	StrokesSay int // what the logged strokes add up to, where that differs from the card; else 0
}

// Outcome is what the hole comes to against par in par/bogey.
func (h cardHole) Outcome() string {
	switch {
	case !h.Played || h.Excluded():
		return ""
	case h.ParBogey > 0:
		return "won"
	case h.ParBogey < 0:
		return "lost"
	default:
		return "tied"
	}
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
	Hole int
	Ball int
	Was  events.Score // what stood before
	Is   events.Score
	Saw  string
}

// ask is a number that is asked back before it is taken.
type ask struct {
	Hole    int
	Ball    int
	Whose   string
	Par     int
	Strokes int
	Saw     string // as the form said it: the question changes nothing about what was seen
}

// cardTotals is what the card comes to so far.
type cardTotals struct {
	Entered    int
	Holes      int
	Gross, Net int
	GrossToPar int
	NetToPar   int
	Points     int
	ParBogey   int
	Counted    bool // strokes on every hole entered, so that totals mean something
	Out, In    nineTotals
}

// Whole adds up both nines.
func (t cardTotals) Whole() nineTotals {
	return nineTotals{
		Holes: t.Holes, Par: t.Out.Par + t.In.Par, Gross: t.Gross, Net: t.Net, Points: t.Points, ParBogey: t.ParBogey, Counted: t.Counted,
		Whole: t.Out.Whole && t.In.Whole, ToPar: t.GrossToPar,
	}
}

// nineTotals add up one nine. Par is that of the first ball's tee.
type nineTotals struct {
	Holes, Par, Gross, Net, Points, ParBogey int
	ToPar                                    int  // gross, over the holes that count
	Counted                                  bool // strokes on every hole entered
	Whole                                    bool // every hole entered with strokes
}

// openCard exchanges a card link for a cookie and moves on, so that the secret
// stays out of the address bar.
func (w *Web) openCard(c echo.Context) error {
	id, err := w.api.Auth.CardCookie(c, c.Param("token"))
	if err != nil {
		return err
	}
	c.Response().Header().Set(echo.HeaderCacheControl, "no-store")
	if command.IsMatchID(id) {
		return c.Redirect(http.StatusSeeOther, "/matches/"+id)
	}
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
	names, players := w.fieldNames(c, s.CompetitionID, comp)
	p := &cardPage{
		ID: k.ID, CompetitionID: s.CompetitionID, Competition: comp.Name, Date: comp.Date, State: s, Suspension: comp.Suspend,
		Name: nameOf(names, s.EntryID), Holds: holds,
		Points: s.Format == events.Stableford, ParBogey: s.Format == events.ParBogey, Maximum: s.Format == events.MaximumScore,
	}
	if s.Balls() == 1 {
		p.Players = whoIsWho(comp.Entries[s.EntryID], players)
	}
	if s.MarkerID != "" {
		p.Marker = nameOf(names, s.MarkerID)
	}
	if role := w.roleOn(c, k.ID); role == events.RolePlayer || role == events.RoleMarker {
		p.Role = role
		p.Write = comp.Running() && !s.Returned && s.Ruled == ""
	}
	p.Sees = holds
	if command.Interpretable(s, comp) == nil {
		if p.Review, err = w.readsReview(c, k); err != nil {
			return nil, err
		}
	}
	p.Certified, p.Other = s.CertifiedPlayer, s.CertifiedMarker
	if p.Role == events.RoleMarker {
		p.Certified, p.Other = p.Other, p.Certified
	}
	if err := p.fill(k, players); err != nil {
		return nil, err
	}
	p.strokesSay()
	p.pick(c.QueryParam("hole"))
	p.Pair = w.pair(c, p, comp, names)
	return p, nil
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
		switch w.roleOn(c, id) {
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
	ball, err := strconv.Atoi(c.QueryParam("ball"))
	if err != nil || ball < 0 || ball >= len(p.Balls) {
		ball = 0
	}
	i, ok := p.State.Line(hole)
	if !ok {
		return
	}
	p.Undo = &undo{Hole: hole, Ball: ball, Was: scoreFromText(c.QueryParam("was")), Is: p.Balls[ball].Holes[i].Mine, Saw: p.Balls[ball].Holes[i].Saw()}
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
