package competition

import (
	"slices"

	"marram.example/events"
)

// How matches hang together (MatchTerms.Bracket).
const (
	Knockout   = "knockout"
	RoundRobin = "round_robin"
	Single     = "single" // each match for itself
)

// checkMatch checks what match play needs beside the rest.
func checkMatch(t events.Terms) error {
	if t.Format != events.MatchPlay {
		if t.Match != nil {
			return events.Invalid("match", "not_applicable", "only match play has these terms")
		}
		return nil
	}
	if t.Match == nil {
		return events.Invalid("match", "required", "match play states bracket and length")
	}
	if err := oneOf("match.bracket", t.Match.Bracket, Knockout, RoundRobin, Single); err != nil {
		return err
	}
	if !slices.Contains([]string{"", events.SideFourBall, events.SideFoursomes, events.SideGreensomes, events.SideChapman}, t.Side) {
		return events.Invalid("side", "not_applicable", "matches are played by one player a side, or in four-ball, foursomes, greensomes or Chapman")
	}
	if n := len(t.Holes); t.Match.Length != n && (t.Match.Length != 36 || n != 18) {
		return events.Invalid("match.length", "hole_count", "a match is as long as the holes in play, or 36 over 18 holes")
	}
	if t.Match.Bracket == Knockout && !t.Match.ExtraHoles {
		return events.Invalid("match.extra_holes", "no_winner", "a knockout needs extra holes for a tied match").WithRule("Rules of Golf 3.2a(4)")
	}
	if len(t.PerRound) > 0 {
		return events.Invalid("per_round", "not_applicable", "all rounds of matches are alike")
	}
	if len(t.Divisions) > 0 {
		return events.Invalid("divisions", "not_applicable", "matches have no divisions")
	}
	if len(t.Prizes) > 0 {
		return events.Invalid("prizes", "not_applicable", "the places of a match competition are its result")
	}
	return nil
}
