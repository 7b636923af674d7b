package card

import (
	"fmt"
	"slices"

	"marram.example/events"
)

// Ready says why the card cannot be certified yet, with the first hole that is
// missing or disputed; nil where every hole has what it needs.
func (s *State) Ready() error { return complete(s) }

// complete says whether every hole has what the card needs before anybody stands
// for it: undisputed entries, of every ball or of those that count.
func complete(s *State) error {
	for i, h := range s.Holes {
		if s.missing(i) {
			return events.NotNow(s.missingField(i), "hole_missing", missingDetail(h.Number))
		}
		for b := range s.Balls() {
			if s.Lines(b)[i].Differs() {
				return events.NotNow(holeField(b, i), "hole_differs", fmt.Sprintf("player and marker differ on hole %d; settle it first", h.Number)).
					WithRule("Rules of Golf 3.3b(2)")
			}
		}
	}
	return nil
}

func missingDetail(hole int) string {
	return fmt.Sprintf("hole %d has no entry; enter strokes, picked up or no score", hole)
}

// holeField is the hole at an index of a ball, as the card's document spells it.
func holeField(ball, at int) string {
	if ball == 0 {
		return fmt.Sprintf("holes[%d]", at)
	}
	return fmt.Sprintf("partners[%d].holes[%d]", ball-1, at)
}

// missing reports whether the hole at an index needs another entry. Of a side with
// several balls it needs only those that count (four-ball: Rules of Golf 23.2b).
func (s *State) missing(at int) bool {
	return !s.onEveryBall(at, hasEntry) && s.countBalls(at, hasStrokes) < s.needed(at)
}

// missingField is the first ball without an entry on a hole.
func (s *State) missingField(at int) string {
	for b := range s.Balls() {
		if !hasEntry(s.Lines(b)[at]) {
			return holeField(b, at)
		}
	}
	return holeField(0, at)
}

func hasEntry(h HoleLine) bool { return h.Counting().Entered() }

func hasStrokes(h HoleLine) bool { return h.Counting().Strokes > 0 }

// needed is how many balls count on the hole at an index; where round totals
// count, every ball does.
func (s *State) needed(at int) int {
	switch {
	case s.Side == events.SideFourBall:
		return 1
	case s.Side == events.SideBestOf && s.CountBy != byRound && len(s.Count) == 1:
		return s.Count[0]
	case s.Side == events.SideBestOf && s.CountBy != byRound:
		return s.Count[at]
	default:
		return s.Balls()
	}
}

// withNoReturn adds the ruling that follows by itself: in stroke play a returned
// card with a hole without strokes, or without those of as many balls as count, is
// a no return, and no longer one once the committee has put a number there (Rules
// of Golf 3.3c; boards commonly say NR). A no return that the committee ruled for a
// reason of its own, such as a card handed in too late, is the committee's to lift.
func withNoReturn(s *State, out []events.Event) []events.Event {
	if len(out) == 0 {
		return out
	}
	after := apply(s, out)
	if !after.Returned {
		return out
	}
	lacks := after.lacking()
	switch {
	case lacks != "" && after.Ruled == "":
		return append(out, events.CardStatusRuled{Status: events.StatusNoReturn, Reason: lacks})
	case lacks == "" && after.RuledForLacking():
		return append(out, events.CardStatusRuled{Status: events.StatusInPlay, Reason: "every hole has a score now"})
	}
	return out
}

// lacking says what a returned stroke-play card lacks, or nothing where it lacks
// nothing or does not need it: the first hole without enough strokes, or enough
// balls with strokes on every hole. An excluded hole is lacking nothing.
func (s *State) lacking() string {
	if s.Format != events.StrokePlay || !s.Returned {
		return ""
	}
	counts := func(h HoleLine) bool { return hasStrokes(h) || h.Excluded() }
	if s.CountBy == byRound {
		whole := 0
		for b := range s.Balls() {
			if !slices.ContainsFunc(s.Lines(b), func(h HoleLine) bool { return !counts(h) }) {
				whole++
			}
		}
		if whole < s.wholeNeeded() {
			return lackingBalls
		}
		return ""
	}
	for i, h := range s.Holes {
		if s.countBalls(i, counts) < s.needed(i) {
			return s.lackingReason(h.Number)
		}
	}
	return ""
}

// wholeNeeded is how many balls with a total the side needs where totals count.
func (s *State) wholeNeeded() int {
	if s.Side == events.SideBestOf {
		return s.Count[0]
	}
	return s.Balls()
}

// lackingBalls is what a side lacks of whose balls the round totals count.
const lackingBalls = "too few balls have a score on every hole"

func (s *State) lackingReason(hole int) string {
	if s.Side == events.SideBestOf || s.Side == events.SideAggregate {
		return fmt.Sprintf("hole %d has too few scores", hole)
	}
	return fmt.Sprintf("hole %d has no score", hole)
}

// RuledForLacking reports whether the ruling in force is a no return that followed
// by itself from a hole without a score: only such a one has a reason in these
// words.
func (s *State) RuledForLacking() bool {
	return s.Ruled == events.StatusNoReturn && (s.CountBy == byRound && s.RuledReason == lackingBalls ||
		slices.ContainsFunc(s.Holes, func(h HoleLine) bool { return s.RuledReason == s.lackingReason(h.Number) }))
}
