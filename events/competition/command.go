package competition

import (
	"fmt"

	"marram.example/events"
)

// Command is what may be asked of a competition.
type Command interface{ command() }

// Plan announces a competition, or gives it another name or date before play.
type Plan struct {
	Name string
	Date string // YYYY-MM-DD
}

// SetTerms states the terms. Courses are what the courses of the terms offer, by
// course and tee, as read.
type SetTerms struct {
	Terms   events.Terms
	Courses map[string]map[string]events.TeeDefinition
}

// AcceptEntry takes a player into the field.
type AcceptEntry struct {
	EntryID     string
	PlayerID    string
	Tee         string // empty for the first of the terms
	IndexTenths int
	IndexOrigin events.IndexOrigin
	events.Side
}

// AmendEntry changes tees, indexes or partners of an entry. After cards are out
// it puts right what was entered wrongly and needs a reason.
type AmendEntry struct {
	EntryID     string
	Tee         string
	IndexTenths int
	IndexOrigin events.IndexOrigin
	Reason      string
	events.Side
}

// WithdrawEntry takes an entry out of the field, before play.
type WithdrawEntry struct {
	EntryID string
	Reason  string
}

// PublishDraw puts up a start sheet, or another one.
type PublishDraw struct {
	Method string
	Seed   uint64
	Groups []events.Group
	Reason string // needed for every sheet but the first
	// Locked are entries whose card has a score: they may not leave the sheet.
	Locked []string
	// Cards or Matches are those of a closed round as they stand now, where the sheet
	// is for the next one: who plays on may have changed.
	Cards   []events.CardStanding
	Matches []events.MatchStanding
}

// OpenRound lets play begin.
type OpenRound struct{}

// SuspendRound stops play.
type SuspendRound struct {
	Kind   string // immediate or normal
	Reason string
}

// ResumeRound lets play go on.
type ResumeRound struct{}

// CloseRound ends the round; Cards are all cards of the round as read, or Matches
// all its matches. Cut says who plays on, where the terms make the cut here.
type CloseRound struct {
	Cards   []events.CardStanding
	Matches []events.MatchStanding
	Cut     *events.CutMade
}

// MakeCut makes the cut again, before the next round begins; Cards are those of the
// closed round as they stand now.
type MakeCut struct {
	events.CutMade
	Cards []events.CardStanding
}

// SetConditions states the playing conditions that the association published.
type SetConditions struct {
	Round      int
	Adjustment int
	Source     string
}

// ExcludeHole takes a hole out of a round for everybody.
type ExcludeHole struct {
	Round  int
	Hole   int
	Reason string
}

// RestoreHole takes that back.
type RestoreHole struct {
	Round  int
	Hole   int
	Reason string
}

// DecideTie settles a tie that the terms leave standing.
type DecideTie struct {
	Ranking  string
	Division string
	EntryIDs []string
	Method   string
	Reason   string
	Seed     uint64 // of a lot that was drawn here
}

// PublishResult makes the result stand.
type PublishResult struct{ Result events.Result }

// ReviseResult replaces a published result.
type ReviseResult struct {
	Result events.Result
	Reason string
}

func (Plan) command()          {}
func (SetTerms) command()      {}
func (AcceptEntry) command()   {}
func (AmendEntry) command()    {}
func (WithdrawEntry) command() {}
func (PublishDraw) command()   {}
func (OpenRound) command()     {}
func (SuspendRound) command()  {}
func (ResumeRound) command()   {}
func (CloseRound) command()    {}
func (MakeCut) command()       {}
func (SetConditions) command() {}
func (ExcludeHole) command()   {}
func (RestoreHole) command()   {}
func (DecideTie) command()     {}
func (PublishResult) command() {}
func (ReviseResult) command()  {}

// Decide turns a command into events, or refuses it with an *events.Error.
func Decide(s *State, c Command) ([]events.Event, error) {
	if _, first := c.(Plan); !first && !s.Exists() {
		return nil, events.NotFound("competition_id", "no such competition")
	}
	switch c := c.(type) {
	case Plan:
		return plan(s, c)
	case SetTerms:
		return setTerms(s, c)
	case AcceptEntry:
		return acceptEntry(s, c)
	case AmendEntry:
		return amendEntry(s, c)
	case WithdrawEntry:
		return withdrawEntry(s, c)
	case PublishDraw:
		return publishDraw(s, c)
	case OpenRound:
		return openRound(s)
	case SuspendRound:
		return suspendRound(s, c)
	case ResumeRound:
		return resumeRound(s)
	case CloseRound:
		return closeRound(s, c)
	case MakeCut:
		return makeCut(s, c)
	case SetConditions:
		return setConditions(s, c)
	case ExcludeHole:
		return excludeHole(s, c)
	case RestoreHole:
		return restoreHole(s, c)
	case DecideTie:
		return decideTie(s, c)
	case PublishResult:
		return publishResult(s, c)
	case ReviseResult:
		return reviseResult(s, c)
	default:
		return nil, fmt.Errorf("competition: unknown command %T", c)
	}
}
