package card

import (
	"fmt"

	"marram.example/events"
)

// Command is what may be asked of a card.
type Command interface{ command() }

// Issue gives an entry its card, with every figure fixed and its grounds.
type Issue struct{ events.CardIssued }

// Reissue replaces tee, figures, marker or start. On a card with scores it
// corrects a wrong handicap or tee: it needs a reason, the holes in play stay the
// same and so do the scores.
type Reissue struct{ events.CardReissued }

// AssignMarker names who keeps the card from now on.
type AssignMarker struct {
	MarkerID     string
	StartingHole int
	Reason       string
}

// EnterScore enters, changes or (with the zero score) takes back the value of
// one person for one hole of a ball. The committee excludes a hole with the score
// of that name, and takes that back with the zero score: both for every ball,
// whichever is named.
type EnterScore struct {
	Ball      int // 0 is the first player's, or the one of the side
	Hole      int // number on the course
	Score     events.Score
	By        events.Role
	Confirmed bool   // an unlikely number is meant
	Reason    string // required of the committee on a returned card
	Saw       *Saw   // what the writer saw when entering; nil for paper and whoever does not say
}

// EnterCard enters all holes of a ball at once, or of every ball of a side, as
// typed from a paper card.
type EnterCard struct {
	Ball      int              // whose Scores they are; 0 with Partners
	Scores    []events.Score   // in the order of the card's holes
	Partners  [][]events.Score // the same of balls 1 and on: none of them or all
	By        events.Role
	Confirmed bool
	Signed    bool   // the paper carries both signatures, and every ball: certify and return it
	Receipt   string // code for the return
	Reason    string
}

// Certify says that player or marker stands for the hole scores.
type Certify struct {
	By     events.Role
	Keeper string // "committee" where both signed on paper
}

// Return hands the card in.
type Return struct{ Receipt string }

// Reopen gives a returned or ruled card back.
type Reopen struct{ Reason string }

// RuleStatus rules NR, RTD, WD, NS or DQ, or in_play to lift a ruling.
type RuleStatus struct {
	Status string
	Reason string
}

// AddPenalty puts penalty strokes on a hole of a ball, or on its round. Who asks
// heeds what may no longer be added once the competition is closed (Rules of Golf
// 20.2e).
type AddPenalty struct {
	PenaltyID string // chosen by who asks; the same again adds nothing
	Ball      int
	Hole      int    // number on the course; 0 for the round
	Strokes   int    // 1 to 10
	Rule      string // as the committee states it; may be empty
	Reason    string
}

// RemovePenalty takes a penalty back.
type RemovePenalty struct {
	PenaltyID string
	Reason    string
}

// Uphold says that the committee looked at a returned score and lets it stand. The
// log keeps its word for that, also where it had typed the score in itself.
type Uphold struct {
	Ball   int
	Hole   int // number on the course
	Reason string
}

func (Issue) command()         {}
func (Reissue) command()       {}
func (AssignMarker) command()  {}
func (EnterScore) command()    {}
func (EnterCard) command()     {}
func (Certify) command()       {}
func (Return) command()        {}
func (Reopen) command()        {}
func (RuleStatus) command()    {}
func (AddPenalty) command()    {}
func (RemovePenalty) command() {}
func (Uphold) command()        {}

// Decide turns a command into events, or refuses it with an *events.Error.
func Decide(s *State, c Command) ([]events.Event, error) {
	if _, first := c.(Issue); !first && !s.Exists() {
		return nil, events.NotFound("card_id", "no such card")
	}
	switch c := c.(type) {
	case Issue:
		return issue(s, c)
	case Reissue:
		return reissue(s, c)
	case AssignMarker:
		return assignMarker(s, c)
	case EnterScore:
		return enterScore(s, c)
	case EnterCard:
		return enterCard(s, c)
	case Certify:
		return certify(s, c)
	case Return:
		return hand(s, c)
	case Reopen:
		return reopen(s, c)
	case RuleStatus:
		return ruleStatus(s, c)
	case AddPenalty:
		return addPenalty(s, c)
	case RemovePenalty:
		return removePenalty(s, c)
	case Uphold:
		return uphold(s, c)
	case RecordStroke:
		return recordStroke(s, c)
	case AmendStroke:
		return amendStroke(s, c)
	case RemoveStroke:
		return removeStroke(s, c)
	case LogHole:
		return logHole(s, c)
	default:
		return nil, fmt.Errorf("card: unknown command %T", c)
	}
}
