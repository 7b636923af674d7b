package match

import (
	"fmt"

	"marram.example/events"
)

// Command is what may be asked of a match.
type Command interface{ command() }

// Arrange says who plays whom, with every figure fixed and its grounds. While
// nothing is entered, a later one with a reason corrects holes, tees or figures.
type Arrange struct{ events.MatchArranged }

// Entry is what somebody enters for a hole: the scores, or who won it.
type Entry struct {
	A       []events.MatchScore // gross, by ball; empty where only the winner is told
	B       []events.MatchScore //
	Winner  string              // A, B or tied; empty where the scores say it
	Grounds string              // stated, conceded, penalty or last_to_pick_up, where it is not by scores; empty for what fits
}

// DecideHole enters, or changes, the word of one writer on one hole. Holes are
// entered in order of play.
type DecideHole struct {
	Number int // in the order of play, from 1; extra holes go on
	Entry
	events.MatchWriter
	Reason string // required of the committee where it changes who won a hole that nobody disputes
}

// DecideHoles enters the first holes of a match at once, as from a paper card.
type DecideHoles struct {
	Holes []Entry // in order of play, from the first
	events.MatchWriter
	Reason string // as for one hole
}

// RemoveHole takes back what was a slip. A player takes back the own side's word;
// it must not leave a gap. The committee removes the whole last hole, with whatever
// was said of it, and says why.
type RemoveHole struct {
	Number int
	events.MatchWriter
	Reason string // required of the committee
}

// ConcedeHole gives a hole that is not completed. A side concedes for itself; the
// other one enters the hole as won. Nobody but the committee takes it back (Rules
// of Golf 3.2b).
type ConcedeHole struct {
	Number int
	Side   string // the one that loses it
	events.MatchWriter
}

// ConcedeMatch gives a match that is not over (Rules of Golf 3.2b(1)).
type ConcedeMatch struct {
	Side string // the one that loses it
	events.MatchWriter
	Reason string
}

// AgreeResult says that a side stands for the result. When both stand for the
// same, the match is decided. Where the holes were not all entered, a result that
// they can lead to may be told.
type AgreeResult struct {
	Winner string // A, B or tied: what the side has seen or tells
	Text   string // such as 3 and 2; may be empty where the holes decide
	events.MatchWriter
}

// RecordResult is the committee's record of the result: what the holes say, or
// what it was told.
type RecordResult struct {
	Winner string // may be empty where the holes decide
	Text   string // likewise
	events.MatchWriter
}

// Rule decides the match whatever the holes say, or lifts an earlier ruling. It is
// the committee's.
type Rule struct {
	Ruling string // disqualified, default, awarded, not_played or lifted
	Winner string // A, B, tied or none; empty for lifted
	Up     int    // holes credited to the winner
	events.MatchWriter
	Reason string
}

// Reopen takes a result, a concession of the match or a ruling back. It is the
// committee's.
type Reopen struct {
	events.MatchWriter
	Reason string
}

func (Arrange) command()      {}
func (DecideHole) command()   {}
func (DecideHoles) command()  {}
func (RemoveHole) command()   {}
func (ConcedeHole) command()  {}
func (ConcedeMatch) command() {}
func (AgreeResult) command()  {}
func (RecordResult) command() {}
func (Rule) command()         {}
func (Reopen) command()       {}

// Decide turns a command into events, or refuses it with an *events.Error.
func Decide(s *State, c Command) ([]events.Event, error) {
	if _, first := c.(Arrange); !first && !s.Exists() {
		return nil, events.NotFound("match_id", "no such match")
	}
	switch c := c.(type) {
	case Arrange:
		return arrange(s, c)
	case DecideHole:
		return decideHole(s, c)
	case DecideHoles:
		return decideHoles(s, c)
	case RemoveHole:
		return removeHole(s, c)
	case ConcedeHole:
		return concedeHole(s, c)
	case ConcedeMatch:
		return concedeMatch(s, c)
	case AgreeResult:
		return agreeResult(s, c)
	case RecordResult:
		return recordResult(s, c)
	case Rule:
		return rule(s, c)
	case Reopen:
		return reopen(s, c)
	default:
		return nil, fmt.Errorf("match: unknown command %T", c)
	}
}

// checkWriter makes sure that somebody writes for a side, or is the committee.
func checkWriter(w events.MatchWriter) error {
	switch w.By {
	case events.RoleCommittee:
		if w.BySide != "" {
			return events.Invalid("by_side", "not_a_side", "the committee writes for no side")
		}
		return nil
	case events.RolePlayer:
		if Other(w.BySide) == "" {
			return events.Invalid("by_side", "unknown", fmt.Sprintf("a player writes for side A or B, not %q", w.BySide))
		}
		return nil
	default:
		return events.Forbidden("role", "the players of a match and the committee write it")
	}
}

func checkCommittee(w events.MatchWriter) error {
	if err := checkWriter(w); err != nil {
		return err
	}
	if w.By != events.RoleCommittee {
		return events.Forbidden("committee_only", "only the committee does that")
	}
	return nil
}

// checkOpen refuses what comes after the result.
func checkOpen(s *State) error {
	if s.Ruled.Ruling != "" {
		return events.NotNow("match_id", "match_ruled", fmt.Sprintf("the committee ruled this match: %s", RulingText(s.Ruled.Ruling)))
	}
	if s.Decided.Winner != "" {
		return events.NotNow("match_id", "match_decided", fmt.Sprintf("the match is decided: %s; the committee may reopen it", resultWords(s.Decided.Winner, s.Decided.Text))).
			WithRule("Rules of Golf 3.2a(5)")
	}
	return nil
}

// resultWords names a result for people.
func resultWords(winner, text string) string {
	if Other(winner) == "" {
		return text
	}
	return fmt.Sprintf("%s for side %s", text, winner)
}
