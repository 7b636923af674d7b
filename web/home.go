package web

import (
	"cmp"
	"net/http"
	"slices"
	"time"

	"github.com/labstack/echo/v4"

	"marram.example/events"
	"marram.example/events/competition"
	"marram.example/projections/competitions"
)

// homePage is what is on at the club.
type homePage struct {
	Now    []announced
	Coming []announced
	Past   []announced
	Cards  bool // this browser opened cards
}

// announced is a competition as the list shows it.
type announced struct {
	ID       string
	Name     string
	Date     string
	Phase    competition.Phase
	Format   string // in words; empty before the terms are set
	Entered  string // how many players, pairs or teams, in words
	Watch    bool   // there are terms, and with them a board
	Matches  bool   // matches are played, no cards
	Playing  int    // cards or matches in play
	Returned int    // cards returned or ruled, or matches decided
	Issued   int    // cards or matches of the round
}

// listed is how many competitions the list reaches back.
const listed = 60

func (w *Web) home(c echo.Context) error {
	ctx := c.Request().Context()
	all, _, err := w.api.Models.Competitions.List(ctx, listed, "")
	if err != nil {
		return err
	}
	today := w.now().In(w.location).Format(time.DateOnly)
	p := homePage{Cards: len(w.api.Auth.Cards(c)) > 0}
	for i := range all {
		if w.api.MayWatch(c, all[i].ID, all[i].State.Terms) != nil {
			continue // planned without terms, or not for the public
		}
		a := announce(&all[i])
		switch {
		case a.Phase == competition.Open || a.Phase == competition.Suspended:
			w.countCards(c, &a)
			p.Now = append(p.Now, a)
		case a.Phase == competition.Published || a.Date < today:
			p.Past = append(p.Past, a)
		case a.Phase == competition.Closed || a.Date == today:
			p.Now = append(p.Now, a)
		default:
			p.Coming = append(p.Coming, a)
		}
	}
	slices.SortStableFunc(p.Coming, func(a, b announced) int { return cmp.Compare(a.Date, b.Date) })
	return w.render(c, http.StatusOK, "home.html", page{Body: "home", Styles: []string{"home.css"}, Data: p})
}

func announce(k *competitions.Competition) announced {
	s := k.State
	a := announced{ID: k.ID, Name: s.Name, Date: s.Date, Phase: s.Phase, Entered: entrants(s.Terms, len(s.Field()))}
	if s.Terms != nil {
		a.Format, a.Watch, a.Matches = formatWords(s.Terms), true, s.IsMatch()
	}
	return a
}

// countCards says how far the round of now has come.
func (w *Web) countCards(c echo.Context, a *announced) {
	b, ok := w.api.Boards.Snapshot(c.Request().Context(), a.ID)
	if !ok {
		return
	}
	for _, m := range b.Matches {
		if m.Round != b.Round {
			continue
		}
		a.Issued++
		switch {
		case m.Over:
			a.Returned++
		case m.Thru > 0:
			a.Playing++
		}
	}
	if a.Matches {
		return
	}
	for _, r := range b.Rows {
		if r.Status == events.StatusMissedCut {
			continue
		}
		a.Issued++
		switch {
		case r.Returned || r.Status != "" && r.Status != "in_play":
			a.Returned++
		case r.Thru > 0:
			a.Playing++
		}
	}
}
