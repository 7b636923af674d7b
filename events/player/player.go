// Package player decides what may become of a player: registration, recorded
// handicap indexes, leaving, and the erasure of personal data.
package player

import (
	"bytes"
	"fmt"
	"regexp"
	"slices"
	"time"

	"marram.example/events"
)

// Index is one recorded handicap index.
type Index struct {
	Tenths    int                `json:"tenths"` // plus negative
	Effective string             `json:"effective"`
	Origin    events.IndexOrigin `json:"origin"`
}

// State is what is known of a player. Personal data is only here sealed.
type State struct {
	MemberNo string  `json:"member_no"`
	Sealed   []byte  `json:"sealed,omitempty"`
	Indexes  []Index `json:"indexes"` // in the order recorded
	Left     bool    `json:"left"`
	Erased   bool    `json:"erased"`

	Shares []Share `json:"shares,omitempty"` // who may read the player's reviews, in the order granted
	Notes  []Note  `json:"notes,omitempty"`  // of coaches, in the order written
}

// New is a player of whom nothing is known.
func New() *State { return &State{} }

// Clone copies a state so that evolving the copy leaves the original alone.
func Clone(s *State) *State {
	c := *s
	c.Indexes = append([]Index(nil), s.Indexes...)
	c.Shares, c.Notes = slices.Clone(s.Shares), slices.Clone(s.Notes)
	return &c
}

// Exists reports whether the player is registered.
func (s *State) Exists() bool { return s.MemberNo != "" }

// Current is the index in effect on a day (YYYY-MM-DD): the latest effective
// one, an official value before a club one of the same day, the later recorded
// among equals. It reports false where there is none yet.
func (s *State) Current(day string) (Index, bool) {
	var best Index
	found := false
	for _, i := range s.Indexes {
		if i.Effective > day {
			continue
		}
		if found && (i.Effective < best.Effective ||
			i.Effective == best.Effective && best.Origin == events.OriginOfficial && i.Origin == events.OriginClub) {
			continue
		}
		best, found = i, true
	}
	return best, found
}

// Command is what may be asked of a player.
type Command interface{ command() }

// Register states who plays at the club, for the first time or again. Sealed
// is empty where the name did not change; Index is recorded with it where given.
type Register struct {
	MemberNo string
	Sealed   []byte
	Index    *RecordIndex
}

// RecordIndex records a handicap index.
type RecordIndex struct {
	Tenths    int
	Effective string
	Origin    events.IndexOrigin
}

// Leave says that the player left the club.
type Leave struct{ Reason string }

// Erase says that the key to the personal data is gone.
type Erase struct{ Reason string }

func (Register) command()      {}
func (RecordIndex) command()   {}
func (Leave) command()         {}
func (Erase) command()         {}
func (ShareReview) command()   {}
func (WithdrawShare) command() {}
func (AddNote) command()       {}
func (RemoveNote) command()    {}

// Evolve adds an event to the state.
func Evolve(s *State, e events.Event) {
	switch e := e.(type) {
	case events.PlayerRegistered:
		s.MemberNo, s.Sealed, s.Left = e.MemberNo, e.Sealed, false
	case events.PlayerDetailsChanged:
		s.Sealed = e.Sealed
	case events.HandicapIndexRecorded:
		s.Indexes = append(s.Indexes, Index{Tenths: e.IndexTenths, Effective: e.Effective, Origin: e.Origin})
	case events.PlayerLeft:
		s.Left = true
	case events.PlayerErased:
		s.Erased, s.Left, s.Sealed = true, true, nil
		s.Shares, s.Notes = nil, nil
	case events.ReviewShared, events.ReviewShareWithdrawn, events.CoachNoteAdded, events.CoachNoteRemoved:
		evolveShares(s, e)
	}
}

// Decide turns a command into events, or refuses it with an *events.Error.
func Decide(s *State, c Command) ([]events.Event, error) {
	if _, first := c.(Register); !first && !s.Exists() {
		return nil, events.NotFound("player_id", "no such player")
	}
	if _, again := c.(Erase); again && s.Erased {
		return nil, nil // so that an erasure cut short can be asked for again until the key is gone
	}
	if s.Erased {
		return nil, events.NotNow("player_id", "player_erased", "this player's personal data was erased; nothing more can be recorded")
	}
	switch c := c.(type) {
	case Register:
		out, err := register(s, c)
		if err != nil || c.Index == nil {
			return out, err
		}
		index, err := recordIndex(s, *c.Index)
		if err != nil {
			return nil, err
		}
		return append(out, index...), nil
	case RecordIndex:
		return recordIndex(s, c)
	case Leave:
		if s.Left {
			return nil, nil
		}
		return []events.Event{events.PlayerLeft{Reason: c.Reason}}, nil
	case Erase:
		return []events.Event{events.PlayerErased{Reason: c.Reason}}, nil
	case ShareReview:
		return shareReview(s, c)
	case WithdrawShare:
		return withdrawShare(s, c)
	case AddNote:
		return addNote(s, c)
	case RemoveNote:
		return removeNote(s, c)
	default:
		return nil, fmt.Errorf("player: unknown command %T", c)
	}
}

var memberNo = regexp.MustCompile(`^[A-Za-z0-9][A-Za-z0-9_./-]{0,31}$`)

func register(s *State, c Register) ([]events.Event, error) {
	if !memberNo.MatchString(c.MemberNo) {
		return nil, events.Invalid("member_no", "malformed", "a member number has 1 to 32 letters, digits, dots, slashes, hyphens or underscores")
	}
	if !s.Exists() {
		if len(c.Sealed) == 0 {
			return nil, events.Invalid("name", "required", "a player needs a name")
		}
		return []events.Event{events.PlayerRegistered{MemberNo: c.MemberNo, Sealed: c.Sealed}}, nil
	}
	if s.MemberNo != c.MemberNo {
		return nil, events.Conflict("member_no", "member_no_fixed", "a player keeps the member number; register the new number as another player")
	}
	var out []events.Event
	switch {
	case s.Left && len(c.Sealed) == 0:
		out = append(out, events.PlayerRegistered{MemberNo: c.MemberNo, Sealed: s.Sealed})
	case s.Left:
		out = append(out, events.PlayerRegistered{MemberNo: c.MemberNo, Sealed: c.Sealed})
	case len(c.Sealed) > 0 && !bytes.Equal(c.Sealed, s.Sealed):
		out = append(out, events.PlayerDetailsChanged{Sealed: c.Sealed})
	}
	return out, nil
}

// The range of an index. 54.0 is the maximum (Rules of Handicapping 5.3); the
// lower bound only catches slips (common practice, no source).
const minTenths, maxTenths = -100, 540

func recordIndex(s *State, c RecordIndex) ([]events.Event, error) {
	if c.Tenths < minTenths || c.Tenths > maxTenths {
		return nil, events.Invalid("handicap_index", "out_of_range", "a handicap index lies between +10.0 and 54.0").
			WithRule("Rules of Handicapping 5.3: maximum 54.0")
	}
	if _, err := time.Parse(time.DateOnly, c.Effective); err != nil {
		return nil, events.Invalid("effective", "malformed", "a date is written YYYY-MM-DD")
	}
	if c.Origin != events.OriginOfficial && c.Origin != events.OriginClub {
		return nil, events.Invalid("origin", "unknown", "the origin of an index is official or club")
	}
	want := Index(c)
	for i := len(s.Indexes) - 1; i >= 0; i-- {
		have := s.Indexes[i]
		if have.Effective == want.Effective && have.Origin == want.Origin {
			if have == want {
				return nil, nil
			}
			break
		}
	}
	return []events.Event{events.HandicapIndexRecorded{IndexTenths: c.Tenths, Effective: c.Effective, Origin: c.Origin}}, nil
}
