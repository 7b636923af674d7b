package web

import (
	"cmp"
	"fmt"
	"net/http"
	"slices"
	"strings"

	"github.com/labstack/echo/v4"

	"marram.example/events"
	"marram.example/events/competition"
	"marram.example/events/player"
)

// playerPage is a player with what may be shown of them: the index to the
// committee and to whoever holds one of their cards, rounds to all who may see
// the competition.
type playerPage struct {
	Name    string
	Erased  bool
	Left    bool
	Whole   bool // the visitor may see the index
	Current *player.Index
	History []player.Index // by date
	Chart   *indexChart
	Rounds  []playedRound
	Record  string // address of the handicap record; empty where there is none to be seen
	Review  string // address of the review of all rounds; empty for who may not read it
}

// playedRound is one round of the player.
type playedRound struct {
	CompetitionID string
	Name          string
	Date          string
	CardID        string
	Status        string
	Result        *events.ResultRow // nil before the result is published
	Ranking       string
}

func (w *Web) player(c echo.Context) error {
	ctx := c.Request().Context()
	id := c.Param("player")
	none := events.NotFound("player_id", "there is no such player, or nothing of theirs may be shown")
	if !events.ValidToken(id) {
		return none
	}
	cards, err := w.api.Models.Cards.ByPlayer(ctx, id)
	if err != nil {
		return err
	}
	p := playerPage{Whole: isCommittee(w.who(c))}
	for _, k := range cards {
		s, _, err := w.api.Commands.Competition(ctx, k.State.CompetitionID)
		if err != nil {
			return err
		}
		p.Whole = p.Whole || k.State.PlayerID == id && w.roleOn(c, k.ID) == events.RolePlayer
		if w.api.MayWatch(c, k.State.CompetitionID, s.Terms) != nil {
			continue
		}
		p.Rounds = append(p.Rounds, roundOf(k.ID, k.State.EntryID, k.State.CompetitionID, k.State.Status(), s))
		if p.Name == "" {
			p.Name = w.names(c, k.State.CompetitionID, s)[k.State.EntryID]
		}
	}
	if !p.Whole && len(p.Rounds) == 0 {
		return none
	}
	if p.Whole {
		if err := w.wholePlayer(c, id, &p); err != nil {
			return err
		}
	}
	if reads, err := w.readsReviews(c, id); err != nil {
		return err
	} else if reads && !p.Erased {
		p.Review = "/players/" + id + "/review"
	}
	if p.Name == "" {
		p.Name = erasedName
	}
	slices.SortStableFunc(p.Rounds, func(a, b playedRound) int { return cmp.Compare(b.Date, a.Date) })
	return w.render(c, http.StatusOK, "player.html", page{
		Title: p.Name, Body: "player", Styles: []string{"player.css"}, Private: p.Whole || p.Review != "", Data: p,
	})
}

// wholePlayer adds what only committee and player see.
func (w *Web) wholePlayer(c echo.Context, id string, p *playerPage) error {
	known, err := w.api.Models.Players.Get(c.Request().Context(), id)
	if err != nil {
		return err
	}
	p.Name, p.Erased, p.Left = known.State.Name, known.State.Erased, known.State.Left
	p.History = slices.Clone(known.State.Indexes)
	slices.SortStableFunc(p.History, func(a, b player.Index) int { return cmp.Compare(a.Effective, b.Effective) })
	if now, ok := known.State.Current(w.now().In(w.location).Format("2006-01-02")); ok {
		p.Current = &now
	}
	p.Chart = chartOf(p.History)
	settled, _, err := w.api.Commands.Club(c.Request().Context())
	if err == nil && settled.Estimates && !p.Erased {
		p.Record = "/players/" + id + "/record"
	}
	return err
}

func roundOf(cardID, entry, id, status string, s *competition.State) playedRound {
	r := playedRound{CompetitionID: id, Name: s.Name, Date: s.Date, CardID: cardID, Status: status}
	if s.Result != nil && s.Terms != nil {
		r.Ranking = s.Terms.Ranking
		for i := range s.Result.Rows {
			if s.Result.Rows[i].EntryID == entry {
				r.Result = &s.Result.Rows[i]
			}
		}
	}
	return r
}

// Score is what the round came to, in words; empty without a total.
func (r playedRound) Score() string {
	if r.Result == nil {
		return ""
	}
	var parts []string
	if r.Result.Points != nil {
		parts = append(parts, count(*r.Result.Points, "point", "points"))
	}
	if r.Result.Net != nil && r.Result.Points == nil {
		parts = append(parts, fmt.Sprintf("net %d", *r.Result.Net))
	}
	if r.Result.Gross != nil {
		parts = append(parts, fmt.Sprintf("gross %d", *r.Result.Gross))
	}
	return strings.Join(parts, ", ")
}

// Place is the position in the competition's own ranking.
func (r playedRound) Place() string {
	if r.Result == nil {
		return ""
	}
	return r.Result.Positions[r.Ranking]
}

// indexChart is the history of an index as a drawing of 600 by 180 units. A
// lower index stands higher: up is better.
type indexChart struct {
	Line   string // path of the steps
	Points []chartPoint
	Low    chartLabel // best and worst shown beside the axis
	High   chartLabel
	Words  string // what the drawing shows
}

type chartPoint struct {
	X, Y  int
	Index player.Index
}

type chartLabel struct {
	Y    int
	Text string
}

// The drawing's frame.
const (
	chartLeft, chartRight = 64, 580
	chartTop, chartFoot   = 24, 150
)

// chartOf draws a history of at least two records.
func chartOf(history []player.Index) *indexChart {
	if len(history) < 2 {
		return nil
	}
	best, worst := history[0], history[0]
	for _, x := range history {
		if x.Tenths < best.Tenths {
			best = x
		}
		if x.Tenths > worst.Tenths {
			worst = x
		}
	}
	first, last := dayNumber(history[0].Effective), dayNumber(history[len(history)-1].Effective)
	c := &indexChart{
		Low:  chartLabel{Y: chartTop, Text: handicapText(best.Tenths)},
		High: chartLabel{Y: chartFoot, Text: handicapText(worst.Tenths)},
	}
	var line strings.Builder
	for i, x := range history {
		at := chartPoint{X: chartLeft, Y: (chartTop + chartFoot) / 2, Index: x}
		if last > first {
			at.X += (chartRight - chartLeft) * (dayNumber(x.Effective) - first) / (last - first)
		}
		if worst.Tenths > best.Tenths {
			at.Y = chartTop + (chartFoot-chartTop)*(x.Tenths-best.Tenths)/(worst.Tenths-best.Tenths)
		}
		if i == 0 {
			fmt.Fprintf(&line, "M%d %d", at.X, at.Y)
		} else {
			fmt.Fprintf(&line, "H%dV%d", at.X, at.Y)
		}
		c.Points = append(c.Points, at)
	}
	c.Line = line.String()
	from, to := history[0], history[len(history)-1]
	c.Words = fmt.Sprintf("Handicap index from %s on %s to %s on %s, best %s, highest %s.", handicapText(from.Tenths), shortDay(from.Effective),
		handicapText(to.Tenths), shortDay(to.Effective), handicapText(best.Tenths), handicapText(worst.Tenths))
	return c
}
