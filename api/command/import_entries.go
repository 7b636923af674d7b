package command

import (
	"context"
	"fmt"
	"slices"
	"strings"

	"marram.example/api/csvfile"
	"marram.example/events"
	"marram.example/events/card"
	"marram.example/events/competition"
	"marram.example/events/match"
	"marram.example/events/player"
	"marram.example/projections/handicap"
)

// competition is the competition of the file in the draft. It gives nil, and
// keeps a problem, where there is none or it has no terms. A dry run without a
// competition checks the file alone, and says so.
func (i *importing) competition(ctx context.Context) (*competition.State, error) {
	if i.competitionID == "" && i.report.DryRun {
		i.note(0, "no competition is named, so only the file itself was checked")
		return nil, nil
	}
	if i.competitionID == "" {
		i.problem(0, "", "no_competition", "", "say which competition the %s belong to", i.report.Kind)
		return nil, nil
	}
	c, err := i.field(ctx)
	if err != nil {
		return nil, i.refused(err, 0, func(string) string { return "" })
	}
	switch {
	case !c.Exists():
		i.problem(0, "", "not_found", "", "there is no such competition")
		return nil, nil
	case c.Terms == nil:
		i.problem(0, "", "no_terms", "", "state the terms of the competition first")
		return nil, nil
	}
	return c, nil
}

func (i *importing) stream() events.StreamID {
	return events.CompetitionStream(i.service.club, i.competitionID)
}

// field is the competition as the rows so far would leave it.
func (i *importing) field(ctx context.Context) (*competition.State, error) {
	if !events.ValidToken(i.competitionID) {
		return nil, events.NotFound("competition", "there is no such competition")
	}
	return look(ctx, i.draft, competitions, i.stream())
}

// entries plans an entries file.
func (i *importing) entries(ctx context.Context, rows []csvfile.EntryRow) error {
	if c, err := i.competition(ctx); c == nil || err != nil {
		return err
	}
	for _, r := range rows {
		p, err := i.member(ctx, r.Line, r.MemberNo)
		if err != nil {
			return err
		}
		if p == nil {
			continue
		}
		if err := i.entry(ctx, r, p); err != nil {
			if err := i.refused(err, r.Line, i.entryColumn); err != nil {
				return err
			}
		}
	}
	return nil
}

func (i *importing) entryColumn(field string) string {
	switch {
	case field == "tee" || field == "holes":
		return "tee"
	case field == "index_tenths" && i.file.Has("handicap_index"):
		return "handicap_index"
	case field == "team_name":
		return "team_name"
	case strings.HasPrefix(field, "partners") && i.file.Has("partners"):
		return "partners"
	default:
		return "member_no"
	}
}

// entry plans one row: a new entry, or a change of one that is in.
func (i *importing) entry(ctx context.Context, r csvfile.EntryRow, p *player.State) error {
	c, err := i.field(ctx)
	if err != nil {
		return err
	}
	id := i.service.PlayerID(r.MemberNo)
	if e, ok := c.Entries[EntryID(i.competitionID, id)]; ok && !e.Withdrawn {
		return i.amend(ctx, r, p, c, e)
	}
	m, err := membership(c, p, "", Member{PlayerID: id, Tee: r.Tee, IndexTenths: r.IndexTenths})
	if err != nil {
		return err
	}
	side, ok, err := i.side(ctx, r, c, events.Side{})
	if err != nil || !ok {
		return err
	}
	accept := acceptance(i.competitionID, m, side)
	if _, err := decide(ctx, i.draft, competitions, i.stream(), competition.Command(accept)); err != nil {
		return err
	}
	i.count(false, true)
	if c.Draw != nil {
		i.note(r.Line, "%s enters after the draw and needs a place on the start sheet", r.MemberNo)
	}
	return nil
}

// amend brings an entry that is in into line with its row. What the row leaves
// open stays; only an official index follows the one on the player's record.
func (i *importing) amend(ctx context.Context, r csvfile.EntryRow, p *player.State, c *competition.State, e competition.Entry) error {
	a := competition.AmendEntry{
		EntryID: e.ID, Tee: e.Tee, IndexTenths: e.IndexTenths, IndexOrigin: e.IndexOrigin, Reason: "import of an entries file",
	}
	side, ok, err := i.side(ctx, r, c, e.Side)
	if err != nil || !ok {
		return err
	}
	a.Side = side
	if r.Tee != "" {
		a.Tee = r.Tee
	}
	switch now, ok := p.Current(c.Date); {
	case r.IndexTenths != nil && *r.IndexTenths != e.IndexTenths:
		a.IndexTenths, a.IndexOrigin = *r.IndexTenths, events.OriginClub
	case r.IndexTenths == nil && e.IndexOrigin == events.OriginOfficial && ok && now.Tenths != e.IndexTenths:
		a.IndexTenths, a.IndexOrigin = now.Tenths, now.Origin
	}
	decided, err := decide(ctx, i.draft, competitions, i.stream(), competition.Command(a))
	if err != nil {
		return err
	}
	i.count(true, len(decided) > 0)
	if len(decided) == 0 {
		return nil
	}
	if a.IndexTenths != e.IndexTenths {
		i.note(r.Line, "%s: the index of the entry changes from %s to %s", r.MemberNo, handicap.Index(e.IndexTenths), handicap.Index(a.IndexTenths))
	}
	return i.reissue(ctx, c, asDecided(a, decided))
}

// side is what a row says of partners and team name; what it leaves open is as it
// stands. Partners who play for the entry already keep tee and index. It reports
// false after a problem.
func (i *importing) side(ctx context.Context, r csvfile.EntryRow, c *competition.State, now events.Side) (events.Side, bool, error) {
	if r.TeamName != "" {
		now.TeamName = r.TeamName
	}
	if len(r.Partners) == 0 {
		return now, true, nil
	}
	partners := make([]events.Partner, len(r.Partners))
	ok := true
	for n, cell := range r.Partners {
		p, err := i.memberIn(ctx, r.Line, "partners", cell.MemberNo)
		if err != nil {
			return now, false, err
		}
		if p == nil {
			ok = false
			continue
		}
		id := i.service.PlayerID(cell.MemberNo)
		at := slices.IndexFunc(now.Partners, func(old events.Partner) bool { return old.PlayerID == id })
		if at >= 0 {
			partners[n] = now.Partners[at]
			if current, known := p.Current(c.Date); known && partners[n].IndexOrigin == events.OriginOfficial {
				partners[n].IndexTenths, partners[n].IndexOrigin = current.Tenths, current.Origin
			}
			if cell.Tee != "" {
				partners[n].Tee = cell.Tee
			}
			continue
		}
		if partners[n], err = membership(c, p, fmt.Sprintf("partners[%d].", n), Member{PlayerID: id, Tee: cell.Tee}); err != nil {
			return now, false, err
		}
	}
	now.Partners = partners
	return now, ok, nil
}

// reissue gives the cards that are out, or the match that is not begun, the figures
// of their amended entry.
func (i *importing) reissue(ctx context.Context, c *competition.State, a competition.AmendEntry) error {
	if c.IsMatch() {
		return i.rearrange(ctx, c, a)
	}
	for round := 1; round <= c.Round; round++ {
		if err := i.reissueIn(ctx, c, a, round); err != nil {
			return err
		}
	}
	return nil
}

func (i *importing) rearrange(ctx context.Context, c *competition.State, a competition.AmendEntry) error {
	_, seq, err := i.service.Competition(ctx, i.competitionID)
	if err != nil {
		return err
	}
	again, err := i.service.rearrangement(ctx, i.competitionID, c, seq, a)
	if err != nil || again == nil {
		return err
	}
	stream := events.MatchStream(i.service.club, i.competitionID, MatchID(i.competitionID, again.Number, again.Round))
	_, err = decide(ctx, i.draft, matches, stream, match.Command(*again))
	return err
}

func (i *importing) reissueIn(ctx context.Context, c *competition.State, a competition.AmendEntry, round int) error {
	stream := i.cardStream(a.EntryID, round)
	k, err := look(ctx, i.draft, cards, stream)
	if err != nil || !k.Exists() {
		return err
	}
	_, seq, err := i.service.Competition(ctx, i.competitionID)
	if err != nil {
		return err
	}
	base, err := i.service.grounds(ctx, i.competitionID, c, seq, round)
	if err != nil {
		return err
	}
	again, err := i.service.reissue(ctx, base, CardView{ID: stream.ID, State: k}, a)
	if err != nil {
		return err
	}
	_, err = decide(ctx, i.draft, cards, stream, card.Command(again))
	return err
}

func (i *importing) cardStream(entryID string, round int) events.StreamID {
	return events.CardStream(i.service.club, i.competitionID, CardID(i.competitionID, entryID, round))
}
