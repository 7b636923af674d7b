package command

import (
	"context"
	"slices"

	"marram.example/events"
	"marram.example/events/card"
	"marram.example/events/competition"
	eventlog "marram.example/events/log"
	"marram.example/projections/draw"
	"marram.example/projections/standing"
)

// Draw makes a start sheet by a method, or takes one made by hand.
type Draw struct {
	Method string         `json:"method"` // handicap, random, as_entered, standing, seeded, round_robin or by_hand
	Seed   uint64         `json:"seed"`   // of a random draw
	Groups []events.Group `json:"groups"` // of a draw by hand; markers may be left empty
	Reason string         `json:"reason"` // for every sheet but the first
}

// PlaceLate puts a late entry on the start sheet.
type PlaceLate struct {
	EntryID string `json:"entry_id"`
	Group   int    `json:"group"` // number of the group to join; 0 for a new group at the end
	Reason  string `json:"reason"`
}

// Draw is the use case of the same name. Where cards are out, new entries get
// theirs and markers follow the sheet.
func (s *Service) Draw(ctx context.Context, r Request, id string, in Draw) (Done, error) {
	return s.onPlan(ctx, r, id, func(c *competition.State, seq events.Sequence) (planned, error) {
		if c.Terms == nil {
			return planned{}, events.NotNow("terms", "no_terms", "state the terms before the draw")
		}
		after, now, err := s.recounted(ctx, id, c)
		if err != nil {
			return planned{}, err
		}
		groups, err := s.drawn(ctx, id, after, in)
		if err != nil {
			return planned{}, err
		}
		return s.publishDraw(ctx, id, c, seq, competition.PublishDraw{
			Method: in.Method, Seed: in.Seed, Groups: groups, Reason: in.Reason, Cards: now.Cards, Matches: now.Matches,
		})
	})
}

// drawn are the groups of the next start sheet.
func (s *Service) drawn(ctx context.Context, id string, c *competition.State, in Draw) ([]events.Group, error) {
	if in.Method == "by_hand" {
		if c.IsMatch() {
			return in.Groups, nil
		}
		return withMarkers(in.Groups), nil
	}
	round := c.Next()
	terms, playing := c.Terms.Round(round), c.Playing(round)
	if in.Method == draw.ByStanding {
		all, err := s.AllCards(ctx, id, c)
		if err != nil {
			return nil, err
		}
		if playing, err = byStanding(c, all, playing); err != nil {
			return nil, err
		}
	}
	if !c.IsMatch() {
		return draw.Groups(playing, in.Method, in.Seed, terms)
	}
	if first := c.Sheet(1); c.Terms.Match.Bracket == competition.RoundRobin && round > 1 && first != nil {
		in.Method, in.Seed = first.Method, first.Seed // the schedule goes on as it began
	}
	seeds, err := draw.Seeds(playing, in.Method, in.Seed)
	if err != nil {
		return nil, err
	}
	matches, err := pairs(c, seeds, round)
	if err != nil {
		return nil, domain(err)
	}
	return draw.Matches(matches, terms)
}

// byStanding puts entries in the order of the competition so far, the leaders last.
func byStanding(c *competition.State, all []map[string]CardView, playing []competition.Entry) ([]competition.Entry, error) {
	if c.IsMatch() || c.Next() == 1 {
		return nil, events.NotNow("method", "nothing_played", "there is no standing yet; draw by another method")
	}
	before := *c
	before.Round = c.Next() - 1 // also where the next round is drawn already, and drawn again
	scored, err := Scored(all[:before.Round])
	if err != nil {
		return nil, err
	}
	table, err := standing.Work(&before, scored, standing.Final)
	if err != nil {
		return nil, domain(err)
	}
	order := make(map[string]int, len(table.Rows))
	for i, r := range table.Rows {
		order[r.Entry.ID] = i
	}
	out := slices.Clone(playing)
	slices.SortStableFunc(out, func(a, b competition.Entry) int { return order[b.ID] - order[a.ID] })
	return out, nil
}

// withMarkers assigns markers in groups where none is named.
func withMarkers(groups []events.Group) []events.Group {
	out := slices.Clone(groups)
	for i, g := range out {
		if slices.ContainsFunc(g.Places, func(p events.GroupSlot) bool { return p.MarkerID != "" }) {
			continue
		}
		ids := make([]string, len(g.Places))
		for j, p := range g.Places {
			ids[j] = p.EntryID
		}
		out[i].Places = draw.Mark(ids)
	}
	return out
}

// PlaceLate is the use case of the same name.
func (s *Service) PlaceLate(ctx context.Context, r Request, id string, in PlaceLate) (Done, error) {
	return s.onPlan(ctx, r, id, func(c *competition.State, seq events.Sequence) (planned, error) {
		if c.Draw == nil || c.Terms == nil {
			return planned{}, events.NotNow("groups", "not_drawn", "there is no start sheet yet")
		}
		groups, err := withLate(c, in)
		if err != nil {
			return planned{}, err
		}
		reason := in.Reason
		if reason == "" {
			reason = "late entry"
		}
		return s.publishDraw(ctx, id, c, seq, competition.PublishDraw{Method: "by_hand", Groups: groups, Reason: reason})
	})
}

func withLate(c *competition.State, in PlaceLate) ([]events.Group, error) {
	if _, _, placed := c.Group(in.EntryID); placed {
		return nil, events.Conflict("entry_id", "placed", "this entry is on the start sheet already")
	}
	groups := slices.Clone(c.Draw.Groups)
	if in.Group == 0 {
		starts, err := draw.Starts(len(groups)+1, *c.RoundTerms())
		if err != nil {
			return nil, err
		}
		last := starts[len(groups)]
		last.Places = draw.Mark([]string{in.EntryID})
		return append(groups, last), nil
	}
	at := slices.IndexFunc(groups, func(g events.Group) bool { return g.Number == in.Group })
	if at < 0 {
		return nil, events.NotFound("group", "no such group")
	}
	ids := make([]string, 0, len(groups[at].Places)+1)
	for _, p := range groups[at].Places {
		ids = append(ids, p.EntryID)
	}
	groups[at].Places = draw.Mark(append(ids, in.EntryID))
	return groups, nil
}

// publishDraw puts up a sheet and, where cards are out, brings them into line.
func (s *Service) publishDraw(
	ctx context.Context, id string, c *competition.State, seq events.Sequence, p competition.PublishDraw,
) (planned, error) {
	if !c.CardsOut() || c.Phase == competition.Between || c.IsMatch() {
		return planned{decision: p}, nil
	}
	out, err := s.Cards(ctx, id, c, c.Round)
	if err != nil {
		return planned{}, err
	}
	for entry, k := range out {
		if k.State.Played() > 0 {
			p.Locked = append(p.Locked, entry)
		}
	}
	slices.Sort(p.Locked)
	base, err := s.grounds(ctx, id, c, seq, c.Round)
	if err != nil {
		return planned{}, err
	}
	follow, err := s.followDraw(ctx, base, p, out)
	return planned{decision: p, cards: follow}, err
}

// followDraw issues missing cards and moves markers after a change on the day.
func (s *Service) followDraw(ctx context.Context, base grounds, p competition.PublishDraw, out map[string]CardView) ([]eventlog.Step, error) {
	var steps []eventlog.Step
	for _, g := range p.Groups {
		for _, slot := range g.Places {
			have, issued := out[slot.EntryID]
			if !issued {
				issue, err := s.issueSteps(ctx, base, g, slot)
				if err != nil {
					return nil, err
				}
				steps = append(steps, issue...)
				continue
			}
			if have.State.MarkerID != slot.MarkerID || have.State.StartingHole != g.StartingHole {
				move := card.AssignMarker{MarkerID: slot.MarkerID, StartingHole: g.StartingHole, Reason: p.Reason}
				steps = append(steps, s.cardStep(have.ID, move))
			}
		}
	}
	return steps, nil
}
