package web

import (
	"fmt"
	"net/http"
	"strconv"
	"strings"

	"github.com/labstack/echo/v4"

	"marram.example/api/command"
	"marram.example/events"
	"marram.example/events/competition"
	"marram.example/events/match"
)

// matchPage is a match: to write on for whoever opened the link of one of its
// sides, to read for others.
type matchPage struct {
	ID            string
	CompetitionID string
	Competition   string
	Date          string
	Round         string // in words
	About         string
	Side          string // of the visitor: A or B; empty for a reader
	Write         bool
	A, B          matchSideView
	State         *match.State
	Standing      match.Standing
	Outcome       *match.Outcome // nil while there is none
	Closed        bool           // no further hole counts
	Big           string         // how it stands, large
	Small         string         // what that means
	Class         string         // under for who leads, over for who trails
	Strip         strip
	Lines         []matchLine
	Scores        bool // of some hole at least
	Now           *matchHole
	Before, Next  int
	Undo          *matchLine // the own word that may be taken back
	Differ        []matchLine
	Agreed        string // what was agreed so far, in words
	MayAgree      bool
	Suspension    *competition.Suspension
	Refusal       *events.Error
}

// matchSideView is a side with its balls on the hole shown.
type matchSideView struct {
	Key   string // A or B
	Name  string
	Balls []matchBallView
}

// matchBallView is one ball on the hole shown.
type matchBallView struct {
	Field    string // of the form
	Name     string // whose; the side's where it plays one ball
	Par      int
	Received int
	Said     events.MatchScore
}

// Many is a number above the keys.
func (b matchBallView) Many() string {
	if b.Said.Strokes > 9 {
		return strconv.Itoa(b.Said.Strokes)
	}
	return ""
}

// matchHole is the hole on the screen.
type matchHole struct {
	Number  int // in the order of play
	Hole    int // on the course
	Par, SI int
	Length  int
	Extra   bool
	Mine    string // what the visitor's side said
	Theirs  string // what the other side said
	Settled string // by the committee, or by a concession
	Differs bool
	Winner  string // what the visitor's side said, as a value
}

// matchLine is one hole played.
type matchLine struct {
	match.Line
	Extra   bool
	A, B    []matchCell
	Won     string // who won it, in words
	After   string // how the match stood, in words
	Winner  string
	Here    bool
	Mine    events.MatchHole
	Theirs  events.MatchHole
	MyWords string
	Words   string // of the other side
}

// matchCell is a ball's score on one hole.
type matchCell struct {
	Score    string
	Received int
	Conceded bool
}

// Us is the side of the visitor, Them the other one.
func (p *matchPage) Us() matchSideView {
	if p.Side == events.SideB {
		return p.B
	}
	return p.A
}

// Them is the side that the visitor plays against.
func (p *matchPage) Them() matchSideView {
	if p.Side == events.SideB {
		return p.A
	}
	return p.B
}

// Sides are both sides, the visitor's first.
func (p *matchPage) Sides() []matchSideView { return []matchSideView{p.Us(), p.Them()} }

// ScoresOpen reports whether the side entered scores on this hole, or on the one
// before it: then it will again.
func (p *matchPage) ScoresOpen() bool {
	if p.Now == nil || len(p.Lines) == 0 {
		return false
	}
	l := p.Lines[min(p.Now.Number, len(p.Lines))-1]
	return len(l.Mine.A) > 0 && len(l.Mine.B) > 0
}

func (w *Web) match(c echo.Context) error {
	p, err := w.matchPage(c)
	if err != nil {
		return err
	}
	return w.showMatch(c, http.StatusOK, p)
}

func (w *Web) showMatch(c echo.Context, status int, p *matchPage) error {
	out := page{Title: p.A.Name + " against " + p.B.Name, Body: "match-page", Styles: []string{"card.css", "matches.css", "match.css"}, Private: true, Data: p}
	if p.Write {
		out.Scripts, out.Bare, out.Body = []string{"match.js"}, true, "match-page writing"
	}
	return w.render(c, status, "match.html", out)
}

// matchPage reads the match that the address names, as the visitor may see it.
func (w *Web) matchPage(c echo.Context) (*matchPage, error) {
	ctx := c.Request().Context()
	m, err := w.api.Commands.Match(ctx, c.Param("match"))
	if err != nil {
		return nil, err
	}
	a := m.State.Arranged
	comp, _, err := w.api.Commands.Competition(ctx, a.CompetitionID)
	if err != nil {
		return nil, err
	}
	p := &matchPage{
		ID: m.ID, CompetitionID: a.CompetitionID, Competition: comp.Name, Date: comp.Terms.DateOf(a.Round, comp.Date),
		Round: roundName(comp.Terms.Match.Bracket, a.Round, comp.LastRound()), State: m.State, Standing: m.State.Standing(), Suspension: comp.Suspend,
	}
	if who := w.api.Auth.WhoOn(c, m.ID); who.Role == events.RolePlayer && who.CardID == m.ID {
		p.Side = events.SideA
		if who.ID == a.B.EntryID {
			p.Side = events.SideB
		}
	} else if err := w.api.MayWatch(c, a.CompetitionID, comp.Terms); err != nil {
		return nil, err
	}
	if o, over := m.State.Outcome(); over {
		p.Outcome = &o
	}
	p.Write = p.Side != "" && p.Outcome == nil && comp.Running() && comp.Round == a.Round
	entries, players := w.fieldNames(c, a.CompetitionID, comp)
	p.A = matchSideOf(events.SideA, a.A, nameOf(entries, a.A.EntryID), players)
	p.B = matchSideOf(events.SideB, a.B, nameOf(entries, a.B.EntryID), players)
	p.Closed = p.Standing.Over && len(m.State.Differences()) == 0
	p.Strip = stripOf(p.Standing.Progress, a.Length, p.A.Name, p.B.Name)
	p.stand()
	p.lines()
	p.pick(c.QueryParam("hole"))
	return p, nil
}

func matchSideOf(key string, s events.MatchSide, name string, players map[string]string) matchSideView {
	out := matchSideView{Key: key, Name: name}
	for i, b := range s.Balls {
		ball := matchBallView{Field: key + strconv.Itoa(i), Name: name}
		if len(s.Balls) > 1 {
			ball.Name = nameOf(players, b.PlayerID)
		}
		out.Balls = append(out.Balls, ball)
	}
	return out
}

// name is what a side is called.
func (p *matchPage) name(side string) string {
	switch side {
	case events.SideA:
		return p.A.Name
	case events.SideB:
		return p.B.Name
	default:
		return ""
	}
}

// stand says in large and in small how the match stands for who looks at it.
func (p *matchPage) stand() {
	if p.Outcome != nil {
		p.Big, p.Small, p.Class = p.ended(p.Outcome.Winner, p.Outcome.Text)
		return
	}
	s := p.Standing
	left := p.State.Arranged.Length - s.Played
	switch {
	case s.Played == 0:
		p.Big, p.Small = "all square", "Nothing is entered yet."
		return
	case s.Over:
		p.Big, p.Small, p.Class = p.ended(s.Winner, s.Text)
		return
	case left > 0:
		p.Small = fmt.Sprintf("After %s, %d to play.", count(s.Played, "hole", "holes"), left)
	default:
		p.Small = "Level after " + count(s.Played, "hole", "holes") + ": the next hole won wins the match."
	}
	up := max(s.Lead, -s.Lead)
	leads := events.SideA
	if s.Lead < 0 {
		leads = events.SideB
	}
	dormie := s.Text == "dormie"
	switch {
	case up == 0:
		p.Big = s.Text
	case p.Side == "":
		p.Big = fmt.Sprintf("%d up", up)
		p.Small = p.name(leads) + " leads. " + p.Small
	case p.Side == leads:
		p.Big, p.Class = fmt.Sprintf("%d up", up), "under"
	default:
		p.Big, p.Class = fmt.Sprintf("%d down", up), "over"
	}
	if dormie {
		p.Big += ", dormie"
	}
}

// ended says how the match ended for who looks at it.
func (p *matchPage) ended(winner, text string) (big, small, class string) {
	switch {
	case winner == events.NoWinner:
		return text, "No side goes on.", ""
	case match.Other(winner) == "":
		return text, "The match is tied.", ""
	case p.Side == winner:
		return text, "You win.", "under"
	case p.Side != "":
		return text, p.name(winner) + " wins.", "over"
	default:
		return text, p.name(winner) + " wins.", ""
	}
}

// won says who won a hole.
func (p *matchPage) won(winner string) string {
	switch {
	case winner == events.Tied:
		return "tied"
	case winner == "":
		return ""
	case winner == p.Side:
		return "you won"
	case p.Side != "":
		return "they won"
	default:
		return p.name(winner)
	}
}

// lines lists every hole played.
func (p *matchPage) lines() {
	for i, l := range p.State.Holes {
		stands := l.Counting()
		line := matchLine{Line: l, Extra: l.Number > p.State.Arranged.Length, Winner: stands.Winner, Won: p.won(stands.Winner), Mine: l.A, Theirs: l.B}
		if p.Side == events.SideB {
			line.Mine, line.Theirs = l.B, l.A
		}
		if i < len(p.Standing.Progress) {
			line.After = p.leadWords(p.Standing.Progress[i])
		}
		line.A, line.B = p.cells(stands.A, events.SideA, l.Number), p.cells(stands.B, events.SideB, l.Number)
		p.Scores = p.Scores || len(stands.A) > 0 || len(stands.B) > 0
		line.MyWords, line.Words = p.wordOf(line.Mine), p.wordOf(line.Theirs)
		if l.Differs() && p.Side != "" {
			p.Differ = append(p.Differ, line)
		}
		p.Lines = append(p.Lines, line)
	}
	if n := len(p.Lines); p.Write && n > 0 {
		if last := p.Lines[n-1]; last.Mine.Entered() && last.Conceded == "" && !last.Committee.Entered() {
			p.Undo = &last
		}
	}
	p.agreements()
}

// leadWords say who leads by how much: the visitor's side, or the one above the
// line or below it for a reader.
func (p *matchPage) leadWords(lead int) string {
	leads := events.SideA
	if lead < 0 {
		leads = events.SideB
	}
	switch up := max(lead, -lead); {
	case up == 0:
		return "all square"
	case p.Side == "":
		return fmt.Sprintf("%s %d up", p.name(leads), up)
	case p.Side == leads:
		return fmt.Sprintf("%d up", up)
	default:
		return fmt.Sprintf("%d down", up)
	}
}

// Head is the heading of a side's scores.
func (p *matchPage) Head(s matchSideView) string {
	switch p.Side {
	case "":
		return s.Name
	case s.Key:
		return "You"
	default:
		return "They"
	}
}

// wordOf is what a side said of a hole.
func (p *matchPage) wordOf(h events.MatchHole) string {
	if !h.Entered() {
		return ""
	}
	words := p.won(h.Winner)
	switch h.Grounds {
	case events.HoleByPenalty:
		words += " by penalty"
	case events.HoleLastPickUp:
		words += ", picked up last"
	case events.HoleNotFinished:
		words += ", nobody finished"
	}
	if len(h.A) > 0 && len(h.B) > 0 {
		words += fmt.Sprintf(" (%s against %s)", scoresText(p.mine(h.A, h.B)), scoresText(p.mine(h.B, h.A)))
	}
	return words
}

// mine is the scores of the visitor's side first; of side A for a reader.
func (p *matchPage) mine(a, b []events.MatchScore) []events.MatchScore {
	if p.Side == events.SideB {
		return b
	}
	return a
}

func scoresText(all []events.MatchScore) string {
	out := make([]string, 0, len(all))
	for _, s := range all {
		if s.Entered() {
			out = append(out, scoreWords(s.Score))
		}
	}
	return strings.Join(out, " and ")
}

func (p *matchPage) cells(scores []events.MatchScore, side string, number int) []matchCell {
	var out []matchCell
	received := p.State.Received(side, number)
	for i, n := range received {
		cell := matchCell{Received: n}
		if i < len(scores) && scores[i].Entered() {
			cell.Score, cell.Conceded = scoreWords(scores[i].Score), scores[i].Conceded
		}
		out = append(out, cell)
	}
	return out
}

// agreements say who stands for the result so far.
func (p *matchPage) agreements() {
	if p.Outcome != nil {
		return
	}
	mine, theirs := p.State.AgreedA, p.State.AgreedB
	if p.Side == events.SideB {
		mine, theirs = theirs, mine
	}
	if p.Side != "" {
		if mine.Winner != "" {
			p.Agreed = "You stand for " + p.resultText(mine) + "."
		}
		if theirs.Winner != "" {
			p.Agreed += " " + p.Them().Name + " stands for " + p.resultText(theirs) + "."
		}
		p.MayAgree = p.Write && p.Closed && (mine.Winner == "" || p.State.ResultDiffers())
	}
}

func (p *matchPage) resultText(a match.Agreed) string {
	if n := p.name(a.Winner); n != "" {
		return a.Text + " for " + n
	}
	return a.Text
}

// pick chooses the hole on the screen: the one asked for, else the first of which
// the visitor's side has said nothing; none once the match is decided.
func (p *matchPage) pick(asked string) {
	if !p.Write {
		return
	}
	n, err := strconv.Atoi(asked)
	if err != nil || n < 1 || n > len(p.Lines)+1 {
		n = len(p.Lines) + 1
	}
	if n > len(p.Lines) && p.Closed {
		return
	}
	hole := p.State.HoleAt(n)
	if hole == 0 {
		return
	}
	now := &matchHole{Number: n, Hole: hole, Extra: n > p.State.Arranged.Length}
	var said events.MatchHole
	if n <= len(p.Lines) {
		l := &p.Lines[n-1]
		l.Here = true
		said = l.Mine
		now.Mine, now.Theirs, now.Winner, now.Differs = l.MyWords, l.Words, l.Mine.Winner, l.Differs()
		switch {
		case l.Committee.Entered():
			now.Settled = "The committee settled this hole: " + p.wordOf(l.Committee) + "."
		case l.Conceded != "":
			now.Settled = p.name(l.Conceded) + " conceded this hole."
		}
	}
	p.onHole(now, said)
	p.Now = now
	if n > 1 {
		p.Before = n - 1
	}
	if n <= len(p.Lines) && (n < len(p.Lines) || !p.Closed) {
		p.Next = n + 1
	}
}

// onHole fills in what each ball has on a hole.
func (p *matchPage) onHole(now *matchHole, said events.MatchHole) {
	for _, s := range []struct {
		view   *matchSideView
		side   events.MatchSide
		scores []events.MatchScore
	}{{&p.A, p.State.Arranged.A, said.A}, {&p.B, p.State.Arranged.B, said.B}} {
		received := p.State.Received(s.view.Key, now.Number)
		for i := range s.view.Balls {
			b := &s.view.Balls[i]
			for _, h := range s.side.Balls[i].Holes {
				if h.Number == now.Hole {
					b.Par = h.Par
					if now.Par == 0 || s.view.Key == p.Side && i == 0 {
						now.Par, now.SI, now.Length = h.Par, h.StrokeIndex, h.LengthM
					}
				}
			}
			if i < len(received) {
				b.Received = received[i]
			}
			if i < len(s.scores) {
				b.Said = s.scores[i]
			}
		}
	}
}

// matchRequest is what surrounds the input of a form about a match.
func (w *Web) matchRequest(c echo.Context) (command.Request, error) {
	return w.formRequestOn(c, c.Param("match"))
}

// toMatch leads back to the match.
func toMatch(c echo.Context) error {
	return c.Redirect(http.StatusSeeOther, "/matches/"+c.Param("match"))
}

// refusedOnMatch shows the match again with what was wrong.
func (w *Web) refusedOnMatch(c echo.Context, number string, err error) error {
	e := events.AsError(err)
	if e == nil || e.Kind == events.KindForbidden || e.Kind == events.KindNotFound {
		return err
	}
	p, err := w.matchPage(c)
	if err != nil {
		return err
	}
	if number != "" {
		p.pick(number)
	}
	p.Refusal = e
	status := http.StatusUnprocessableEntity
	if e.Kind != events.KindInvalid {
		status = http.StatusConflict
	}
	return w.showMatch(c, status, p)
}
