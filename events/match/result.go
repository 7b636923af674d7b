package match

import (
	"fmt"
	"slices"
	"strings"

	"marram.example/events"
)

func agreeResult(s *State, c AgreeResult) ([]events.Event, error) {
	if err := checkWriter(c.MatchWriter); err != nil {
		return nil, err
	}
	if c.By != events.RolePlayer {
		return nil, events.Forbidden("role", "the sides agree on a result; the committee records it")
	}
	if c.Winner == "" {
		return nil, events.Invalid("winner", "required", "say which result the side stands for")
	}
	if s.Ruled.Ruling == "" && s.Decided.Winner == c.Winner && (c.Text == "" || c.Text == s.Decided.Text) {
		return nil, nil // decided just so
	}
	if err := checkOpen(s); err != nil {
		return nil, err
	}
	o, err := result(s, c.Winner, c.Text)
	if err != nil {
		return nil, err
	}
	word := Agreed{Winner: o.Winner, Text: o.Text}
	own, other := s.AgreedA, s.AgreedB
	if c.BySide == events.SideB {
		own, other = other, own
	}
	if own == word {
		return nil, nil
	}
	out := []events.Event{events.MatchResultAgreed{Winner: o.Winner, Text: o.Text, MatchWriter: c.MatchWriter}}
	if other == word {
		out = append(out, decided(s, o, c.MatchWriter))
	}
	return out, nil
}

func recordResult(s *State, c RecordResult) ([]events.Event, error) {
	if err := checkCommittee(c.MatchWriter); err != nil {
		return nil, err
	}
	if d := s.Decided; s.Ruled.Ruling == "" && d.Winner != "" && (c.Winner == "" || c.Winner == d.Winner) && (c.Text == "" || c.Text == d.Text) {
		return nil, nil
	}
	if err := checkOpen(s); err != nil {
		return nil, err
	}
	o, err := result(s, c.Winner, c.Text)
	if err != nil {
		return nil, err
	}
	return []events.Event{decided(s, o, c.MatchWriter)}, nil
}

func decided(s *State, o Outcome, w events.MatchWriter) events.MatchDecided {
	d := events.MatchDecided{Winner: o.Winner, Text: o.Text, Up: o.Up, Played: o.Played, Grounds: o.Grounds, MatchWriter: w}
	if o.Grounds != events.MatchStated {
		d.Progress = s.Standing().Progress
	}
	return d
}

// result is what the holes say, or what is told where they do not decide the match.
func result(s *State, winner, text string) (Outcome, error) {
	if differ := s.Differences(); len(differ) > 0 {
		return Outcome{}, events.NotNow(fmt.Sprintf("holes[%d]", differ[0]-1), "hole_differs",
			fmt.Sprintf("the sides differ on hole %d; settle it first", s.Holes[differ[0]-1].Hole))
	}
	stands := s.Standing()
	if !stands.Over {
		return told(s, stands, winner, text)
	}
	o := Outcome{Winner: stands.Winner, Text: stands.Text, Up: magnitude(stands.Lead), Played: stands.Played, Grounds: events.MatchByHoles}
	if winner != "" && winner != o.Winner || text != "" && text != o.Text {
		field := "text"
		if winner != "" && winner != o.Winner {
			field = "winner"
		}
		return Outcome{}, events.Conflict(field, "other_result", fmt.Sprintf("the holes say %s", resultWords(o.Winner, o.Text)))
	}
	return o, nil
}

// told is a result of which the log does not hold every hole. It must be one that a
// match can end with, and that the holes entered can lead to.
func told(s *State, stands Standing, winner, text string) (Outcome, error) {
	a := s.Arranged
	if text == "" {
		return Outcome{}, events.NotNow("match_id", "not_over", fmt.Sprintf("the match is not over: %s after %d", stands.Text, stands.Played)).
			WithRule("Rules of Golf 3.2a")
	}
	up, played, ok := ReadResult(text, a.Length, a.ExtraHoles)
	if !ok {
		return Outcome{}, events.Invalid("text", "no_result", fmt.Sprintf("%q ends no match of %d holes; write it as 3 and 2, 1 up or tied", text, a.Length)).
			WithRule("Rules of Golf 3.2a")
	}
	lead := up
	switch {
	case up == 0 && winner != events.Tied, up > 0 && Other(winner) == "":
		return Outcome{}, events.Invalid("winner", "does_not_fit", fmt.Sprintf("%s is no result for %q", text, winner))
	case winner == events.SideB:
		lead = -up
	}
	if magnitude(lead-stands.Lead) > played-stands.Played {
		return Outcome{}, events.Invalid("text", "not_from_here", fmt.Sprintf("the holes entered cannot lead to %s", resultWords(winner, text)))
	}
	return Outcome{Winner: winner, Text: text, Up: up, Played: played, Grounds: events.MatchStated}, nil
}

func concedeMatch(s *State, c ConcedeMatch) ([]events.Event, error) {
	if err := checkWriter(c.MatchWriter); err != nil {
		return nil, err
	}
	if err := checkConceding(c.Side, c.MatchWriter); err != nil {
		return nil, err
	}
	if s.Ruled.Ruling == "" && s.Conceded == c.Side {
		return nil, nil
	}
	if err := checkOpen(s); err != nil {
		return nil, err
	}
	stands := s.Standing()
	if s.closed() {
		return nil, events.NotNow("match_id", "match_over", fmt.Sprintf("the match is over: %s", resultWords(stands.Winner, stands.Text))).
			WithRule("Rules of Golf 3.2b(1)")
	}
	winner := Other(c.Side)
	up := stands.Lead
	if winner == events.SideB {
		up = -up
	}
	o := Outcome{Winner: winner, Text: conceded, Up: max(1, up), Played: stands.Played, Grounds: events.MatchGivenUp}
	return []events.Event{events.MatchConceded{Side: c.Side, MatchWriter: c.MatchWriter, Reason: c.Reason}, decided(s, o, c.MatchWriter)}, nil
}

// winners are what a ruling may name.
var winners = map[string][]string{
	events.MatchDisqualified: {events.SideA, events.SideB, events.NoWinner},
	events.MatchDefault:      {events.SideA, events.SideB, events.NoWinner},
	events.MatchAwarded:      {events.SideA, events.SideB},
	events.MatchNotPlayed:    {events.SideA, events.SideB, events.Tied, events.NoWinner},
	events.MatchRulingLifted: {""},
}

func rule(s *State, c Rule) ([]events.Event, error) {
	if err := checkCommittee(c.MatchWriter); err != nil {
		return nil, err
	}
	may, ok := winners[c.Ruling]
	if !ok {
		return nil, events.Invalid("ruling", "unknown", fmt.Sprintf("%q is not a ruling; use disqualified, default, awarded, not_played or lifted", c.Ruling))
	}
	if !slices.Contains(may, c.Winner) {
		return nil, events.Invalid("winner", "does_not_fit", fmt.Sprintf("%q does not win by %s", c.Winner, RulingText(c.Ruling)))
	}
	most := 0
	if Other(c.Winner) != "" {
		most = s.Arranged.Length/2 + 1
	}
	if c.Up < 0 || c.Up > most {
		return nil, events.Invalid("up", "out_of_range", fmt.Sprintf("0 to %d holes are credited here, not %d", most, c.Up))
	}
	if strings.TrimSpace(c.Reason) == "" {
		return nil, events.Invalid("reason", "required", "say why")
	}
	if len(s.Holes) > 0 && (c.Ruling == events.MatchDefault || c.Ruling == events.MatchNotPlayed) {
		return nil, events.NotNow("ruling", "has_holes", "a match with a hole entered was played; award it or disqualify a side")
	}
	if c.Ruling == events.MatchRulingLifted && s.Ruled.Ruling == "" || s.Ruled == (Ruling{Ruling: c.Ruling, Winner: c.Winner, Up: c.Up, Reason: c.Reason}) {
		return nil, nil
	}
	return []events.Event{events.MatchRuled{Ruling: c.Ruling, Winner: c.Winner, Up: c.Up, Reason: c.Reason}}, nil
}

func reopen(s *State, c Reopen) ([]events.Event, error) {
	if err := checkCommittee(c.MatchWriter); err != nil {
		return nil, err
	}
	if _, ok := s.Outcome(); !ok {
		return nil, events.NotNow("match_id", "in_play", "the match is in play already")
	}
	if strings.TrimSpace(c.Reason) == "" {
		return nil, events.Invalid("reason", "required", "say why the match is reopened")
	}
	return []events.Event{events.MatchReopened{Reason: c.Reason}}, nil
}
