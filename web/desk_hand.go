package web

import (
	"cmp"
	"fmt"
	"slices"
	"strconv"
	"strings"

	"github.com/labstack/echo/v4"

	"marram.example/api/command"
	"marram.example/events"
	"marram.example/events/competition"
	"marram.example/projections/draw"
)

// deskHandPage changes a start sheet by hand. Nothing is stored before it is
// published: every other button only shows the sheet as it would be.
type deskHandPage struct {
	*deskComp
	Form   *form
	Round  int // that is drawn
	Groups []events.Group
	Spare  []competition.Entry // in the field, not on the sheet
	Locked map[string]bool     // entries whose card has a score
	Reason bool                // a sheet stands already
	Over   bool
}

func (w *Web) deskHand(c echo.Context) error { return w.deskShowHand(c, nil, nil) }

func (w *Web) deskShowHand(c echo.Context, f *form, groups []events.Group) error {
	k, err := w.deskComp(c, "draw")
	if err != nil {
		return err
	}
	p := deskHandPage{
		deskComp: k, Form: f, Round: k.State.Next(), Groups: groups, Locked: map[string]bool{}, Over: k.settled(),
		Reason: k.State.Draw != nil && k.State.Next() == k.State.Round,
	}
	if f == nil {
		p.Form = newForm(k.Seq, nil)
		if p.Groups, err = w.handStart(c, &p); err != nil {
			return err
		}
	}
	p.Form.again(k.Seq, nil)
	placed := map[string]bool{}
	for _, g := range p.Groups {
		for _, s := range g.Places {
			placed[s.EntryID] = true
		}
	}
	for _, e := range k.State.Playing(p.Round) {
		if !placed[e.ID] {
			p.Spare = append(p.Spare, e)
		}
	}
	for id, v := range k.Cards {
		p.Locked[id] = k.State.Running() && v.State.Played() > 0
	}
	return w.deskPage(c, p.Form.Status(), "desk_hand.html", "Start sheet by hand", p)
}

// handStart is the sheet that work by hand begins with: the one that stands, or of a
// later round, or of matches, the one that the usual method draws.
func (w *Web) handStart(c echo.Context, p *deskHandPage) ([]events.Group, error) {
	if p.Reason {
		return p.State.Draw.Groups, nil
	}
	if p.State.Terms == nil || p.Round == 1 && !p.State.IsMatch() {
		return nil, nil
	}
	usual := deskDrawPage{deskComp: p.deskComp, Round: p.Round}.Methods()[0].Value
	groups, err := w.api.Commands.PreviewDraw(c.Request().Context(), command.Request{Who: w.who(c)}, p.ID, command.Draw{Method: usual})
	if events.AsError(err) != nil {
		return nil, nil //nolint:nilerr // then the sheet begins empty
	}
	return groups, err
}

// Holes are those in play in the round.
func (p deskHandPage) Holes() []int { return p.State.Terms.Round(p.Round).Holes }

// Letters part two groups that start on one hole.
func (deskHandPage) Letters() []string { return []string{"A", "B", "C", "D"} }

// Choices lists the groups to move somebody to.
func (p deskHandPage) Choices() []choice {
	out := make([]choice, len(p.Groups))
	for i, g := range p.Groups {
		out[i] = choice{strconv.Itoa(i + 1), fmt.Sprintf("%d: %s, hole %d%s", i+1, g.Time, g.StartingHole, g.Letter)}
	}
	return out
}

func (w *Web) deskHandPublish(c echo.Context) error {
	f, err := readForm(c)
	if err != nil {
		return err
	}
	ctx, id := c.Request().Context(), c.Param("competition")
	s, _, err := w.api.Commands.Competition(ctx, id)
	if err != nil {
		return err
	}
	r := &cells{v: f.Values}
	groups := sheetOf(r, s)
	if r.refused(f) {
		return w.deskShowHand(c, f, groups)
	}
	if change := f.V("change"); change != "" {
		f.Values.Del("change")
		return w.deskShowHand(c, f, changed(groups, change, s))
	}
	groups = slices.DeleteFunc(groups, func(g events.Group) bool { return len(g.Places) == 0 })
	for i := range groups {
		groups[i].Number = i + 1
	}
	in := command.Draw{Method: "by_hand", Groups: groups, Reason: strings.TrimSpace(f.V("reason"))}
	if _, err := w.api.Commands.Draw(ctx, w.request(c, f), id, in); err != nil {
		if err = f.refuse(err); err != nil {
			return err
		}
		return w.deskShowHand(c, f, groups)
	}
	return done(c, "/desk/competitions/"+id+"/draw", "drawn")
}

// mostGroups bounds how many groups of a form are read.
const mostGroups = 400

// sheetOf reads the sheet as typed: groups in their order, players in theirs.
func sheetOf(r *cells, s *competition.State) []events.Group {
	var groups []events.Group
	for i := range mostGroups {
		at := fmt.Sprintf("groups[%d]", i)
		if _, ok := r.v[at+".time"]; !ok {
			break
		}
		groups = append(groups, events.Group{
			Number: i + 1, Time: r.text(at + ".time"), StartingHole: r.whole(at+".starting_hole", 1), Letter: strings.ToUpper(r.text(at + ".letter")),
			Places: []events.GroupSlot{},
		})
	}
	type seat struct {
		slot  events.GroupSlot
		order int
	}
	seats := make([][]seat, len(groups))
	for n, e := range s.Playing(s.Next()) {
		g := r.whole("group."+e.ID, 0)
		if g < 1 || g > len(groups) {
			continue
		}
		seats[g-1] = append(seats[g-1], seat{
			events.GroupSlot{EntryID: e.ID, MarkerID: r.text("marker." + e.ID)}, r.whole("order."+e.ID, 1000+n),
		})
	}
	for i, sat := range seats {
		slices.SortStableFunc(sat, func(a, b seat) int { return cmp.Compare(a.order, b.order) })
		for _, x := range sat {
			groups[i].Places = append(groups[i].Places, x.slot)
		}
		if !s.IsMatch() {
			groups[i].Places = marked(groups[i].Places)
		}
	}
	return groups
}

// marked keeps the markers where each is another player of the group, and names
// them anew where somebody came or went.
func marked(places []events.GroupSlot) []events.GroupSlot {
	ids := make([]string, len(places))
	for i, p := range places {
		ids[i] = p.EntryID
	}
	for _, p := range places {
		if p.MarkerID == p.EntryID || !slices.Contains(ids, p.MarkerID) {
			return draw.Mark(ids)
		}
	}
	return places
}

// changed carries out one change of the sheet on the page: up.<entry>,
// down.<entry>, add, or remove.<group>.
func changed(groups []events.Group, change string, s *competition.State) []events.Group {
	what, which, _ := strings.Cut(change, ".")
	switch what {
	case "add":
		return append(groups, nextGroup(groups, s))
	case "remove":
		if n, err := strconv.Atoi(which); err == nil && n >= 1 && n <= len(groups) && len(groups[n-1].Places) == 0 {
			groups = slices.Delete(groups, n-1, n)
			for i := range groups {
				groups[i].Number = i + 1
			}
		}
	case "up", "down":
		for _, g := range groups {
			at := slices.IndexFunc(g.Places, func(p events.GroupSlot) bool { return p.EntryID == which })
			to := at - 1
			if what == "down" {
				to = at + 1
			}
			if at >= 0 && to >= 0 && to < len(g.Places) {
				g.Places[at], g.Places[to] = g.Places[to], g.Places[at]
			}
		}
	}
	return groups
}

// nextGroup is an empty group at the next time of the terms.
func nextGroup(groups []events.Group, s *competition.State) events.Group {
	g := events.Group{Number: len(groups) + 1, Time: "08:00", StartingHole: 1, Places: []events.GroupSlot{}}
	if s.Terms == nil {
		return g
	}
	t := s.Terms.Round(s.Next())
	g.StartingHole = t.Holes[0]
	if starts, err := draw.Starts(len(groups)+1, t); err == nil {
		next := starts[len(groups)]
		g.Time, g.StartingHole, g.Letter = next.Time, next.StartingHole, next.Letter
	}
	return g
}
