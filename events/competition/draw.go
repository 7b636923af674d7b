package competition

import (
	"fmt"
	"reflect"
	"slices"
	"strings"

	"marram.example/events"
)

// publishDraw puts up a sheet. After the close it only takes in a player who was
// left out: without a place there is no card (Rules of Golf 20.2d(2)).
func publishDraw(s *State, c PublishDraw) ([]events.Event, error) {
	if s.over() && !s.unplaced() {
		return nil, events.NotNow("groups", "round_closed", "the round is closed")
	}
	if s.Terms == nil {
		return nil, events.NotNow("terms", "no_terms", "state the terms before the draw")
	}
	if err := oneOf("method", c.Method, "handicap", "random", "as_entered", "by_hand"); err != nil {
		return nil, err
	}
	if err := checkGroups(s, c.Groups); err != nil {
		return nil, err
	}
	if s.Draw != nil {
		if reflect.DeepEqual(s.Draw.Groups, c.Groups) {
			return nil, nil
		}
		if strings.TrimSpace(c.Reason) == "" {
			return nil, events.Invalid("reason", "required", "say why the start sheet changes")
		}
	}
	for _, id := range c.Locked {
		if !slices.ContainsFunc(c.Groups, func(g events.Group) bool { return holds(g, id) }) {
			return nil, events.NotNow("groups", "has_scores", "an entry whose card has scores must stay on the start sheet")
		}
	}
	return []events.Event{events.DrawPublished{Round: firstRound, Method: c.Method, Seed: c.Seed, Groups: c.Groups, Reason: c.Reason}}, nil
}

func holds(g events.Group, entryID string) bool {
	return slices.ContainsFunc(g.Places, func(p events.GroupSlot) bool { return p.EntryID == entryID })
}

func checkGroups(s *State, groups []events.Group) error {
	if len(groups) == 0 {
		return events.Invalid("groups", "required", "a start sheet has at least one group")
	}
	placed := map[string]bool{}
	starts := map[string]int{}
	for i, g := range groups {
		field := fmt.Sprintf("groups[%d]", i)
		if g.Number != i+1 {
			return events.Invalid(field+".number", "out_of_order", "groups are numbered from 1 in their order")
		}
		if _, err := ParseClock(g.Time); err != nil {
			return events.Invalid(field+".time", "malformed", "a time is written HH:MM")
		}
		if !slices.Contains(s.Terms.Holes, g.StartingHole) {
			return events.Invalid(field+".starting_hole", "not_in_play", fmt.Sprintf("hole %d is not in play", g.StartingHole))
		}
		if g.Letter != "" && (len(g.Letter) != 1 || g.Letter < "A" || g.Letter > "Z") {
			return events.Invalid(field+".letter", "malformed", "the letter of a group is one of A to Z, or none")
		}
		at := fmt.Sprintf("%s hole %d%s", g.Time, g.StartingHole, g.Letter)
		if other, taken := starts[at]; taken {
			return events.Invalid(field+".time", "duplicate", fmt.Sprintf("groups %d and %d both start at %s", other, g.Number, at))
		}
		starts[at] = g.Number
		if len(g.Places) < 1 || len(g.Places) > 4 {
			return events.Invalid(field+".places", "group_size", fmt.Sprintf("group %d has %d players; a group has at most 4", g.Number, len(g.Places)))
		}
		if err := checkPlaces(s, field, g, placed); err != nil {
			return err
		}
	}
	for _, e := range s.Field() {
		if !placed[e.ID] {
			return events.Invalid("groups", "entry_left_out", fmt.Sprintf("entry %s has no place on the start sheet", e.ID))
		}
	}
	return nil
}

func checkPlaces(s *State, field string, g events.Group, placed map[string]bool) error {
	for j, p := range g.Places {
		f := fmt.Sprintf("%s.places[%d]", field, j)
		if _, err := entry(s, p.EntryID); err != nil {
			return events.Invalid(f+".entry_id", "unknown", fmt.Sprintf("entry %q is not in the field", p.EntryID))
		}
		if placed[p.EntryID] {
			return events.Invalid(f+".entry_id", "duplicate", fmt.Sprintf("entry %s stands twice on the start sheet", p.EntryID))
		}
		placed[p.EntryID] = true
		if p.MarkerID == "" && len(g.Places) == 1 {
			continue
		}
		if p.MarkerID == p.EntryID || p.MarkerID != "" && !holds(g, p.MarkerID) {
			return events.Invalid(f+".marker_id", "not_in_group", "a card is kept by another player of the group").
				WithRule("Rules of Golf 3.3b(1)")
		}
	}
	return nil
}
