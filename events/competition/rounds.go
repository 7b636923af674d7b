package competition

import (
	"math/bits"
	"slices"

	"marram.example/events"
)

// LastRound is the number of the last round: as the terms say, or in a knockout
// or a round robin as many as its field needs.
func (s *State) LastRound() int {
	if s.Terms == nil || s.Terms.Match == nil {
		return s.rounds()
	}
	n := len(s.Field())
	switch {
	case n < 2:
		return 1
	case s.Terms.Match.Bracket == Knockout:
		return bits.Len(uint(n - 1))
	case s.Terms.Match.Bracket == RoundRobin:
		return n - 1 + n%2
	default:
		return s.rounds()
	}
}

func (s *State) rounds() int {
	if s.Terms == nil {
		return 1
	}
	return max(1, s.Terms.Rounds)
}

// IsMatch reports whether matches are played.
func (s *State) IsMatch() bool { return s.Terms != nil && s.Terms.Match != nil }

// RoundTerms are the terms that hold in the present round; nil before the terms
// are set.
func (s *State) RoundTerms() *events.Terms {
	if s.Terms == nil {
		return nil
	}
	t := s.Terms.Round(s.Round)
	return &t
}

// Sheet is the start sheet of a round, or nil.
func (s *State) Sheet(round int) *Draw {
	if round == s.Round {
		return s.Draw
	}
	for i := range s.Past {
		if s.Past[i].Round == round {
			return &s.Past[i].Draw
		}
	}
	return nil
}

// Next is the round that a start sheet would be for now.
func (s *State) Next() int {
	if s.Phase == Between {
		return s.Round + 1
	}
	return s.Round
}

// Playing lists the entries that play in a round: the whole field in the first
// and in a round robin, later those whose cards are in and who made the cut, or
// who won their match.
func (s *State) Playing(round int) []Entry {
	field := s.Field()
	if round == 1 {
		return field
	}
	out := make([]Entry, 0, len(field))
	for _, e := range field {
		if s.Plays(round, e.ID) {
			out = append(out, e)
		}
	}
	return out
}

// Plays reports whether an entry of the field is still in when a round is drawn.
func (s *State) Plays(round int, entryID string) bool {
	if s.Cut != nil && round > s.Cut.AfterRound && !slices.Contains(s.Cut.Through, entryID) {
		return false
	}
	for r := 1; r < round; r++ {
		if !s.goesOn(r, entryID) {
			return false
		}
	}
	return true
}

// goesOn reports whether an entry is still in after a closed round.
func (s *State) goesOn(round int, entryID string) bool {
	standing, matches := s.ClosedRound(round)
	if s.IsMatch() {
		if s.Terms.Match.Bracket != Knockout {
			return true
		}
		for _, m := range matches {
			if slices.Contains(m.EntryIDs, entryID) {
				return m.Winner == entryID
			}
		}
		return true // a bye
	}
	for _, k := range standing {
		if k.EntryID == entryID {
			return k.Status == events.StatusReturned
		}
	}
	return false
}

// ClosedRound is what stood when a round was closed.
func (s *State) ClosedRound(round int) ([]events.CardStanding, []events.MatchStanding) {
	for _, p := range s.Past {
		if p.Round == round {
			return p.Standing, p.Matches
		}
	}
	if round == s.Round {
		return s.Standing, s.Matches
	}
	return nil, nil
}

// PlayedMatches lists the matches of every closed round, in order.
func (s *State) PlayedMatches() []events.MatchStanding {
	var out []events.MatchStanding
	for _, p := range s.Past {
		out = append(out, p.Matches...)
	}
	return append(out, s.Matches...)
}

// drawn puts up a start sheet; that of a later round ends the one before.
func (s *State) drawn(e events.DrawPublished) {
	if e.Round > s.Round {
		s.Past = append(s.Past, PastRound{Round: s.Round, Draw: *s.Draw, Standing: s.Standing, Matches: s.Matches})
		s.Round, s.Draw, s.Standing, s.Matches = e.Round, nil, nil, nil
	}
	revision := 0
	if s.Draw != nil {
		revision = s.Draw.Revision + 1
	}
	s.Draw = &Draw{Method: e.Method, Seed: e.Seed, Revision: revision, Groups: e.Groups, Reason: e.Reason}
	if s.Phase == Planned || s.Phase == Between {
		s.Phase = Drawn
	}
}

// IsExcluded reports whether a hole of a round counts for nobody.
func (s *State) IsExcluded(round, hole int) bool {
	return slices.ContainsFunc(s.Excluded, func(x ExcludedHole) bool { return x.Round == round && x.Hole == hole })
}
