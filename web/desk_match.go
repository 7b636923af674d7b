package web

import (
	"cmp"
	"fmt"
	"net/http"
	"net/url"
	"strconv"
	"strings"

	"github.com/labstack/echo/v4"

	"marram.example/api/command"
	"marram.example/events"
	"marram.example/events/match"
)

// matchForms are the forms of a match's page; the one that was refused is set.
type matchForms struct{ hole, remove, concedeHole, concede, result, rule, reopen, link *form }

// deskMatchPage is one match as the committee works on it.
type deskMatchPage struct {
	*deskComp
	Match command.MatchView
	Row   deskMatchRow
	A, B  deskMatchSide
	Lines []deskMatchLine
	Holes []choice // that may be entered: the next one first, then those to correct
	Links []cardLink
	Final bool // the round is closed
	Next  bool // another hole may be entered

	Hole, Remove, ConcedeHole, Concede, Result, Rule, Reopen, Link *form
}

// deskMatchSide is one side of a match with its balls.
type deskMatchSide struct {
	Side  string // A or B
	Name  string
	Balls []deskMatchBall
}

// deskMatchBall is one ball of a side.
type deskMatchBall struct {
	Name    string
	Field   string // of its score
	Tee     string
	Playing int
	Strokes int // received over the holes in play
}

// deskMatchLine is one hole that was played.
type deskMatchLine struct {
	match.Line
	Par, Index int
	Won        string // A, B or tied, as it counts
	Scores     [2]string
	Received   [2]string
	Grounds    string
	Lead       string // after it, in words
	Differs    bool
}

// deskMatchComp reads the match of the address with its competition.
func (w *Web) deskMatchComp(c echo.Context) (*deskComp, command.MatchView, error) {
	m, err := w.api.Commands.Match(c.Request().Context(), c.Param("match"))
	if err != nil {
		return nil, m, err
	}
	c.SetParamNames("match", "competition")
	c.SetParamValues(c.Param("match"), m.State.Arranged.CompetitionID)
	comp, err := w.deskCompAt(c, "matches", m.State.Arranged.Round)
	return comp, m, err
}

func (w *Web) deskMatch(c echo.Context) error { return w.deskShowMatch(c, matchForms{}) }

func (w *Web) deskShowMatch(c echo.Context, forms matchForms) error {
	comp, m, err := w.deskMatchComp(c)
	if err != nil {
		return err
	}
	p := deskMatchPage{deskComp: comp, Match: m, Final: !comp.State.Running() || !comp.Present()}
	for _, r := range comp.matchRows() {
		if r.ID == m.ID {
			p.Row = r
		}
	}
	a := m.State.Arranged
	p.A, p.B = comp.matchSide(events.SideA, a.A), comp.matchSide(events.SideB, a.B)
	p.lines()
	p.holes()
	status := http.StatusOK
	for _, x := range []struct {
		to   **form
		have *form
		name string
	}{
		{&p.Hole, forms.hole, ""}, {&p.Remove, forms.remove, "remove-"}, {&p.ConcedeHole, forms.concedeHole, "give-"}, {&p.Concede, forms.concede, "concede-"},
		{&p.Result, forms.result, "result-"}, {&p.Rule, forms.rule, "rule-"}, {&p.Reopen, forms.reopen, "reopen-"}, {&p.Link, forms.link, "link-"},
	} {
		f := x.have
		if f == nil {
			f = newForm(m.Sequence, nil)
		}
		f.named(x.name).again(m.Sequence, nil)
		*x.to = f
		status = max(status, f.Status())
	}
	if forms.hole == nil && c.QueryParam("hole") != "" {
		p.Hole.Values = p.holeValues(c.QueryParam("hole"))
	}
	for _, side := range []deskMatchSide{p.A, p.B} {
		l, err := w.matchLink(c, m, side.Side)
		if err != nil {
			return err
		}
		l.Who = side.Name
		p.Links = append(p.Links, l)
	}
	return w.deskPage(c, status, "desk_match.html", p.Row.A+" v "+p.Row.B, p)
}

func (k *deskComp) matchSide(side string, s events.MatchSide) deskMatchSide {
	out := deskMatchSide{Side: side, Name: k.Names[s.EntryID]}
	list := "a"
	if side == events.SideB {
		list = "b"
	}
	for i, b := range s.Balls {
		ball := deskMatchBall{Name: k.People[b.PlayerID], Field: item(list, i), Tee: b.Tee, Playing: b.Figures.PlayingHandicap}
		if len(s.Balls) == 1 {
			ball.Name = out.Name
		}
		for _, n := range b.Strokes {
			ball.Strokes += n
		}
		out.Balls = append(out.Balls, ball)
	}
	return out
}

// lines lay out what was played, with the state after every hole.
func (p *deskMatchPage) lines() {
	s := p.Match.State
	stands := s.Standing()
	for _, l := range s.Holes {
		now := l.Counting()
		out := deskMatchLine{Line: l, Won: now.Winner, Grounds: groundsWords(now.Grounds), Differs: l.Differs()}
		for _, h := range s.Arranged.A.Balls[0].Holes {
			if h.Number == l.Hole {
				out.Par, out.Index = h.Par, h.StrokeIndex
			}
		}
		out.Scores = [2]string{matchScoresText(now.A), matchScoresText(now.B)}
		out.Received = [2]string{receivedText(s.Received(events.SideA, l.Number)), receivedText(s.Received(events.SideB, l.Number))}
		if l.Number <= stands.Played {
			lead := stands.Progress[l.Number-1]
			out.Lead = match.StateText(lead, l.Number, s.Arranged.Length)
			if lead > 0 {
				out.Lead = "A " + out.Lead
			} else if lead < 0 {
				out.Lead = "B " + out.Lead
			}
		}
		p.Lines = append(p.Lines, out)
	}
}

// holes lists what may be entered: the hole that comes next, then those entered.
func (p *deskMatchPage) holes() {
	s := p.Match.State
	words := func(n, hole int) string {
		if n == hole {
			return fmt.Sprintf("hole %d", hole)
		}
		return fmt.Sprintf("hole %d, played as number %d", hole, n)
	}
	next := len(s.Holes) + 1
	if hole := s.HoleAt(next); hole > 0 && !deskMatchOver(s) {
		p.Next = true
		p.Holes = append(p.Holes, choice{strconv.Itoa(next), "next: " + words(next, hole)})
	}
	for i := len(s.Holes) - 1; i >= 0; i-- {
		l := s.Holes[i]
		p.Holes = append(p.Holes, choice{strconv.Itoa(l.Number), "correct " + words(l.Number, l.Hole)})
	}
}

// holeValues are what counts on a hole, to be corrected.
func (p *deskMatchPage) holeValues(number string) url.Values {
	v := url.Values{"number": {number}}
	n, err := strconv.Atoi(number)
	if err != nil || n < 1 || n > len(p.Match.State.Holes) {
		return v
	}
	now := p.Match.State.Holes[n-1].Counting()
	for list, scores := range map[string][]events.MatchScore{"a": now.A, "b": now.B} {
		for i, sc := range scores {
			v.Set(item(list, i), cellText(sc.Score))
			if sc.Conceded {
				v.Set(item(list, i)+".conceded", "1")
			}
		}
	}
	if now.Grounds != events.HoleByScores && now.Grounds != events.HoleNotFinished {
		v.Set("winner", now.Winner)
		v.Set("grounds", now.Grounds)
	}
	return v
}

func matchScoresText(scores []events.MatchScore) string {
	words := make([]string, len(scores))
	for i, sc := range scores {
		words[i] = cmp.Or(cellText(sc.Score), "–")
		if sc.Conceded {
			words[i] += "c"
		}
	}
	return strings.Join(words, " / ")
}

func receivedText(strokes []int) string {
	words := make([]string, len(strokes))
	some := false
	for i, n := range strokes {
		words[i], some = signedText(n), some || n != 0
	}
	if !some {
		return ""
	}
	return strings.Join(words, " / ")
}

// groundsWords say how a hole was decided, where its scores do not.
func groundsWords(grounds string) string {
	switch grounds {
	case events.HoleStated:
		return "as told"
	case events.HoleGiven:
		return "conceded"
	case events.HoleByPenalty:
		return "by a penalty"
	case events.HoleLastPickUp:
		return "picked up last"
	case events.HoleNotFinished:
		return "nobody finished"
	default:
		return ""
	}
}

// BothSides are the two sides in their order.
func (p deskMatchPage) BothSides() []deskMatchSide { return []deskMatchSide{p.A, p.B} }

// Sides are the two sides as a list.
func (p deskMatchPage) Sides() []choice {
	return []choice{{events.SideA, "A: " + p.A.Name}, {events.SideB, "B: " + p.B.Name}}
}

// Winners are who may win a hole or the match.
func (p deskMatchPage) Winners() []choice { return append(p.Sides(), choice{events.Tied, "tied"}) }

// RuledWinners are whom a ruling may be for.
func (p deskMatchPage) RuledWinners() []choice {
	return append(p.Winners(), choice{events.NoWinner, "nobody: both sides are out"})
}

// Grounds are how a hole may be decided beside by its scores.
func (deskMatchPage) Grounds() []choice {
	return []choice{
		{events.HoleStated, "as the players say"}, {events.HoleByPenalty, "by a penalty: loss of hole"}, {events.HoleGiven, "conceded by the other side"},
		{events.HoleLastPickUp, "by who picked up last"},
	}
}

// Rulings are what the committee may rule.
func (p deskMatchPage) Rulings() []choice {
	out := []choice{
		{events.MatchDefault, "default: a side did not come"}, {events.MatchDisqualified, "disqualified: a side, or both"},
		{events.MatchAwarded, "awarded, for another reason"}, {events.MatchNotPlayed, "not played, credited as the terms say"},
	}
	if p.Match.State.Ruled.Ruling != "" {
		out = append([]choice{{events.MatchRulingLifted, "lift the ruling " + match.RulingText(p.Match.State.Ruled.Ruling)}}, out...)
	}
	return out
}

// Decided reports whether a result is recorded, conceded or ruled.
func (p deskMatchPage) Decided() bool {
	_, ok := p.Match.State.Outcome()
	return ok
}

// matchLink is the link of a side of a match, with its code.
func (w *Web) matchLink(c echo.Context, m command.MatchView, side string) (cardLink, error) {
	entry := m.State.Arranged.A.EntryID
	if side == events.SideB {
		entry = m.State.Arranged.B.EntryID
	}
	token, err := w.api.Commands.MatchLink(c.Request().Context(), m.ID, entry)
	if err != nil {
		return cardLink{}, err
	}
	return w.linkOf(c, token, events.Role(side))
}
