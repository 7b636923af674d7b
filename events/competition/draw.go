package competition

import (
	"fmt"
	"math/bits"
	"reflect"
	"slices"
	"strings"

	"marram.example/events"
)

// publishDraw puts up a sheet. After the close it only takes in a player who was
// left out: without a place there is no card (Rules of Golf 20.2d(2)).
func publishDraw(s *State, c PublishDraw) ([]events.Event, error) {
	if s.Over() && (s.IsMatch() || !s.unplaced()) {
		return nil, events.NotNow("groups", "round_closed", "the round is closed")
	}
	if s.Terms == nil {
		return nil, events.NotNow("terms", "no_terms", "state the terms before the draw")
	}
	if s.IsMatch() && s.Running() {
		return nil, events.NotNow("groups", "matches_arranged", "the matches of this round are arranged; rule on one that is not played")
	}
	if err := oneOf("method", c.Method, "handicap", "random", "as_entered", "standing", "seeded", "round_robin", "by_hand"); err != nil {
		return nil, err
	}
	s, again, err := Recount(s, c.Cards, c.Matches)
	if err != nil {
		return nil, err
	}
	round := s.Next()
	if s.uncut() {
		return nil, events.NotNow("cut", "cut_not_made", "make the cut before the next draw")
	}
	if err := checkGroups(s, round, c.Groups); err != nil {
		return nil, err
	}
	if s.Draw != nil && round == s.Round {
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
	return append(again, events.DrawPublished{Round: round, Method: c.Method, Seed: c.Seed, Groups: c.Groups, Reason: c.Reason}), nil
}

func holds(g events.Group, entryID string) bool {
	return slices.ContainsFunc(g.Places, func(p events.GroupSlot) bool { return p.EntryID == entryID })
}

func checkGroups(s *State, round int, groups []events.Group) error {
	if len(groups) == 0 {
		return events.Invalid("groups", "required", "a start sheet has at least one group")
	}
	inPlay := s.Terms.Round(round).Holes
	playing := map[string]Entry{}
	for _, e := range s.Playing(round) {
		playing[e.ID] = e
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
		if !slices.Contains(inPlay, g.StartingHole) {
			return events.Invalid(field+".starting_hole", "not_in_play", fmt.Sprintf("hole %d is not in play", g.StartingHole))
		}
		if g.Letter != "" && (len(g.Letter) != 1 || g.Letter < "A" || g.Letter > "Z") {
			return events.Invalid(field+".letter", "malformed", "the letter of a group is one of A to Z, or none")
		}
		if err := checkStartOf(s, field, g, starts); err != nil {
			return err
		}
		if n := len(g.Places) * s.Terms.Players(); n < 1 || n > 4 {
			return events.Invalid(field+".places", "group_size", fmt.Sprintf("group %d has %d players; a group has at most 4", g.Number, n))
		}
		if err := checkPlaces(field, g, playing, placed); err != nil {
			return err
		}
	}
	for _, e := range s.Playing(round) {
		if !placed[e.ID] && s.IsMatch() && s.Terms.Match.Bracket != Knockout {
			continue // who has no opponent sits a round out
		}
		if !placed[e.ID] {
			return events.Invalid("groups", "entry_left_out", fmt.Sprintf("entry %s has no place on the start sheet", e.ID))
		}
	}
	if s.IsMatch() {
		return checkPairs(s, round, groups)
	}
	return nil
}

// checkStartOf refuses two groups from one tee at a time. Who has a bye starts
// nowhere.
func checkStartOf(s *State, field string, g events.Group, starts map[string]int) error {
	if s.IsMatch() && len(g.Places) == 1 {
		return nil
	}
	at := fmt.Sprintf("%s hole %d%s", g.Time, g.StartingHole, g.Letter)
	if other, taken := starts[at]; taken {
		return events.Invalid(field+".time", "duplicate", fmt.Sprintf("groups %d and %d both start at %s", other, g.Number, at))
	}
	starts[at] = g.Number
	return nil
}

func checkPlaces(field string, g events.Group, playing map[string]Entry, placed map[string]bool) error {
	for j, p := range g.Places {
		f := fmt.Sprintf("%s.places[%d]", field, j)
		if _, ok := playing[p.EntryID]; !ok {
			return events.Invalid(f+".entry_id", "unknown", fmt.Sprintf("entry %q does not play in this round", p.EntryID))
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

// checkPairs makes sure that every group is a match, or in the first round of a
// knockout the place of one who has a bye: neighbours on the sheet meet next.
func checkPairs(s *State, round int, groups []events.Group) error {
	n := len(s.Playing(round))
	if n < 2 {
		return events.NotNow("groups", "no_opponent", "a match needs two entries")
	}
	bye := s.Terms.Match.Bracket == Knockout && round == 1
	for i, g := range groups {
		field := fmt.Sprintf("groups[%d].places", i)
		if len(g.Places) != 2 && (!bye || len(g.Places) != 1) {
			return events.Invalid(field, "not_a_match", "a match is between two entries")
		}
		if s.Terms.Match.Bracket == RoundRobin && s.met(round, g.Places[0].EntryID, g.Places[1].EntryID) {
			return events.Invalid(field, "met_before", "these two have played each other already")
		}
	}
	want := len(groups)
	switch s.Terms.Match.Bracket {
	case Knockout:
		want = 1 << (bits.Len(uint(n-1)) - 1)
	case RoundRobin:
		want = n / 2
	}
	if len(groups) != want {
		return events.Invalid("groups", "matches", fmt.Sprintf("this round has %d matches and byes, not %d", want, len(groups)))
	}
	return nil
}

// met reports whether two entries played each other before a round.
func (s *State) met(round int, a, b string) bool {
	for r := 1; r < round; r++ {
		_, matches := s.ClosedRound(r)
		if slices.ContainsFunc(matches, func(m events.MatchStanding) bool {
			return slices.Contains(m.EntryIDs, a) && slices.Contains(m.EntryIDs, b)
		}) {
			return true
		}
	}
	return false
}
