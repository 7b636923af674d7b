package web

import (
	"fmt"
	"net/http"
	"slices"
	"strconv"
	"strings"

	"github.com/labstack/echo/v4"

	"marram.example/api/command"
	"marram.example/events"
	"marram.example/events/competition"
)

// startSheetPage is who goes out when, from where and with whom.
type startSheetPage struct {
	ID       string
	Kind     string // one_tee, two_tee or shotgun
	First    string // time of the first group
	Drawn    bool
	Revision int
	Reason   string
	Method   string // in words
	Round    int
	Date     string
	Words    string      // the round's name, where there are several
	Rounds   []boardLink // the ways to the other rounds
	Matches  bool
	Groups   []startGroup
}

// startGroup is one group of the sheet.
type startGroup struct {
	events.Group
	Players []startPlayer
	Bye     bool   // nobody to play against in this round
	MatchID string // once arranged
	Text    string // how the match stands or ended
}

// startPlayer is one entry of a group.
type startPlayer struct {
	Name    string
	Who     string // everybody of a side that has a name
	Marks   string // whose card the player keeps
	Tee     string // of a side all its tees
	Side    bool   // the index is the mean of its players'
	Playing *int   // playing handicap; nil before the card is issued, and of a side with several balls
	Index   int
	Club    bool   // the index was set by the committee
	CardID  string // once issued
}

func (w *Web) startSheet(c echo.Context) error {
	id, s, err := w.watched(c)
	if err != nil {
		return err
	}
	p := startSheetPage{ID: id, Date: s.Date, Round: s.Round}
	if s.Draw != nil && s.Terms != nil {
		round, err := strconv.Atoi(c.QueryParam("round"))
		if err != nil || s.Sheet(round) == nil {
			round = s.Round
		}
		if p, err = w.sheetOf(c, id, s, round); err != nil {
			return err
		}
	}
	return w.render(c, http.StatusOK, "start_sheet.html", page{
		Title: "Start sheet, " + s.Name, Body: "sheet", Styles: []string{"start_sheet.css"}, Competition: nav(id, s, "start-sheet"), Data: p,
	})
}

// sheetOf is the start sheet of a round that has one.
func (w *Web) sheetOf(c echo.Context, id string, s *competition.State, round int) (startSheetPage, error) {
	ctx := c.Request().Context()
	names, players := w.fieldNames(c, id, s)
	var cards map[string]command.CardView
	var matches []command.MatchView
	var err error
	if s.IsMatch() {
		matches, err = w.api.Commands.MatchesOf(ctx, id, s, round)
	} else {
		cards, err = w.api.Commands.Cards(ctx, id, s, round)
	}
	if err != nil {
		return startSheetPage{}, err
	}
	sheet, terms := s.Sheet(round), s.Terms.Round(round)
	p := startSheetPage{
		ID: id, Drawn: true, Kind: terms.Start.Kind, First: terms.Start.FirstTime, Revision: sheet.Revision, Reason: sheet.Reason,
		Method: drawWords(sheet.Method), Round: round, Date: s.Terms.DateOf(round, s.Date), Matches: s.IsMatch(),
	}
	if s.LastRound() > 1 {
		p.Words = sheetRound(s, round)
	}
	for n := 1; n <= s.Round && s.Round > 1; n++ {
		if s.Sheet(n) != nil {
			p.Rounds = append(p.Rounds, boardLink{Words: sheetRound(s, n), URL: fmt.Sprintf("/competitions/%s/start-sheet?round=%d", id, n), Here: n == round})
		}
	}
	for _, g := range sheet.Groups {
		group := startGroupOf(g, s, names, players, cards)
		group.Bye = s.IsMatch() && s.Terms.Match.Bracket == competition.Knockout && len(g.Places) == 1
		for _, m := range matches {
			if m.State.Arranged.Number == g.Number {
				group.MatchID, group.Text = m.ID, matchText(m, names)
			}
		}
		p.Groups = append(p.Groups, group)
	}
	return p, nil
}

// sheetRound names a round of a competition.
func sheetRound(s *competition.State, round int) string {
	if s.IsMatch() {
		return roundName(s.Terms.Match.Bracket, round, s.LastRound())
	}
	return fmt.Sprintf("Round %d", round)
}

// matchText says how a match stands, in words.
func matchText(m command.MatchView, names map[string]string) string {
	stands := m.State.Standing()
	text, leader := stands.Text, ""
	if o, over := m.State.Outcome(); over {
		text, leader = o.Text, o.Winner
	} else if stands.Played == 0 {
		return ""
	} else if stands.Lead > 0 {
		leader = events.SideA
	} else if stands.Lead < 0 {
		leader = events.SideB
	}
	switch leader {
	case events.SideA:
		return nameOf(names, m.State.Arranged.A.EntryID) + " " + leadText(text, stands.Lead, stands.Over)
	case events.SideB:
		return nameOf(names, m.State.Arranged.B.EntryID) + " " + leadText(text, stands.Lead, stands.Over)
	default:
		return text
	}
}

func startGroupOf(g events.Group, s *competition.State, names, players map[string]string, cards map[string]command.CardView) startGroup {
	marks := map[string]string{} // whose card an entry keeps
	for _, place := range g.Places {
		marks[place.MarkerID] = place.EntryID
	}
	group := startGroup{Group: g}
	for _, place := range g.Places {
		e := s.Entries[place.EntryID]
		row := startPlayer{Name: nameOf(names, place.EntryID), Index: e.Index(), Club: e.IndexOrigin == events.OriginClub, Side: len(e.Partners) > 0}
		if e.TeamName != "" {
			row.Who = whoIsWho(e, players)
		}
		if kept, ok := marks[place.EntryID]; ok {
			row.Marks = nameOf(names, kept)
		}
		if k, ok := cards[place.EntryID]; ok {
			row.CardID, e.Tee = k.ID, k.State.Tee
			if k.State.Balls() == 1 {
				playing := k.State.Figures.PlayingHandicap
				row.Playing = &playing
			}
		}
		row.Tee = teesOf(e)
		group.Players = append(group.Players, row)
	}
	return group
}

// teesOf names the tees of an entry's players, each once.
func teesOf(e competition.Entry) string {
	tees := []string{e.Tee}
	for _, p := range e.Partners {
		if !slices.Contains(tees, p.Tee) {
			tees = append(tees, p.Tee)
		}
	}
	return strings.Join(tees, ", ")
}

// drawWords say how the groups were made.
func drawWords(method string) string {
	switch method {
	case "handicap":
		return "Drawn by handicap"
	case "random":
		return "Drawn at random"
	case "as_entered":
		return "In the order of entry"
	case "standing":
		return "Drawn by how they stand"
	case "seeded":
		return "Drawn by seeds and by who won"
	case "round_robin":
		return "By the schedule of the round robin"
	default:
		return "Made up by the committee"
	}
}
