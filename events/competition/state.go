// Package competition decides what may become of a competition: its terms,
// entries, draw, rounds and result.
package competition

import (
	"maps"
	"slices"

	"marram.example/events"
)

// Entry is the place of one player, or of a side, in the field.
type Entry struct {
	ID          string             `json:"id"`
	PlayerID    string             `json:"player_id"` // the only player, or the first of a side
	Tee         string             `json:"tee"`
	IndexTenths int                `json:"index_tenths"`
	IndexOrigin events.IndexOrigin `json:"index_origin"`
	Late        bool               `json:"late"`
	Withdrawn   bool               `json:"withdrawn"`
	events.Side
}

// Players lists everybody who plays for the entry, the first one first.
func (e Entry) Players() []string {
	out := make([]string, 1, 1+len(e.Partners))
	out[0] = e.PlayerID
	for _, p := range e.Partners {
		out = append(out, p.PlayerID)
	}
	return out
}

// Index is the handicap index by which an entry is put into a division or drawn,
// in tenths: the player's, or the mean of a side's, a half going up (common
// practice, no source).
func (e Entry) Index() int {
	sum, n := e.IndexTenths, 1+len(e.Partners)
	for _, p := range e.Partners {
		sum += p.IndexTenths
	}
	return MeanIndex(sum, n)
}

// MeanIndex is a sum of n indexes in tenths over n, to a tenth, a half going up.
func MeanIndex(sum, n int) int {
	q := (2*sum + n) / (2 * n)
	if (2*sum+n)%(2*n) < 0 {
		q--
	}
	return q
}

// Phase is how far a competition has come.
type Phase string

// The phases, in their order.
const (
	Planned   Phase = "planned"   // terms and entries may change
	Drawn     Phase = "drawn"     // a start sheet stands
	Open      Phase = "open"      // cards are out
	Suspended Phase = "suspended" // play is stopped
	Between   Phase = "between"   // a round is closed and another one follows
	Closed    Phase = "closed"    // nothing is outstanding
	Published Phase = "published" // the result stands
)

// Tie is a tie settled by lot or by hand.
type Tie struct {
	Ranking  string   `json:"ranking"`
	Division string   `json:"division"`
	EntryIDs []string `json:"entry_ids"`
	Method   string   `json:"method"`
	Reason   string   `json:"reason"`
	Seed     uint64   `json:"seed,omitempty"` // of a lot drawn here
}

// PastRound is a closed round that another one followed.
type PastRound struct {
	Round    int                    `json:"round"`
	Draw     Draw                   `json:"draw"`
	Standing []events.CardStanding  `json:"standing"`
	Matches  []events.MatchStanding `json:"matches,omitempty"`
}

// Conditions are the playing conditions that the association published for the
// day of a round.
type Conditions struct {
	Adjustment int    `json:"adjustment"`
	Source     string `json:"source"`
}

// ExcludedHole is a hole of a round that counts for nobody.
type ExcludedHole struct {
	Round  int    `json:"round"`
	Hole   int    `json:"hole"`
	Reason string `json:"reason"`
}

// Cut is who plays on after a round.
type Cut struct {
	AfterRound int      `json:"after_round"`
	Through    []string `json:"through"`
	Missed     []string `json:"missed"`
	Line       *int     `json:"line"`
	Words      string   `json:"words"`
}

// State is what is known of a competition.
type State struct {
	Name       string                 `json:"name"`
	Date       string                 `json:"date"`
	Phase      Phase                  `json:"phase"`
	Terms      *events.Terms          `json:"terms"`
	Entries    map[string]Entry       `json:"entries"`
	Order      []string               `json:"order"`      // entry ids in the order accepted
	Round      int                    `json:"round"`      // that is prepared, played or was closed last; from 1
	Draw       *Draw                  `json:"draw"`       // of that round
	Suspend    *Suspension            `json:"suspension"` // set while play is stopped
	Standing   []events.CardStanding  `json:"standing"`   // as that round was closed
	Matches    []events.MatchStanding `json:"matches,omitempty"`
	Past       []PastRound            `json:"past,omitempty"`       // rounds before that one
	Cut        *Cut                   `json:"cut,omitempty"`        // once made
	Conditions map[int]Conditions     `json:"conditions,omitempty"` // by round
	Excluded   []ExcludedHole         `json:"excluded,omitempty"`
	Ties       []Tie                  `json:"ties"`
	Result     *events.Result         `json:"result"`
	Revision   int                    `json:"revision"` // of the result; 0 for the first
	Reason     string                 `json:"reason"`   // of the last revision
}

// Draw is the start sheet in force.
type Draw struct {
	Method   string         `json:"method"`
	Seed     uint64         `json:"seed"`
	Revision int            `json:"revision"` // how often it was replaced
	Groups   []events.Group `json:"groups"`
	Reason   string         `json:"reason"`
}

// Suspension is why and how play is stopped.
type Suspension struct {
	Kind   string `json:"kind"` // immediate or normal
	Reason string `json:"reason"`
}

// New is a competition of which nothing has happened yet.
func New() *State { return &State{Entries: map[string]Entry{}, Round: 1} }

// Clone copies a state so that evolving the copy leaves the original alone.
// Draw, terms and result are replaced whole by their events, never changed in
// place, so their pointers may be shared.
func Clone(s *State) *State {
	c := *s
	c.Entries = maps.Clone(s.Entries)
	c.Order = append([]string(nil), s.Order...)
	c.Ties = append([]Tie(nil), s.Ties...)
	c.Past = append([]PastRound(nil), s.Past...)
	c.Conditions = maps.Clone(s.Conditions)
	c.Excluded = append([]ExcludedHole(nil), s.Excluded...)
	return &c
}

// Exists reports whether the competition has been planned.
func (s *State) Exists() bool { return s.Name != "" }

// Field lists the entries that are in, in the order accepted.
func (s *State) Field() []Entry {
	out := make([]Entry, 0, len(s.Order))
	for _, id := range s.Order {
		if e := s.Entries[id]; !e.Withdrawn {
			out = append(out, e)
		}
	}
	return out
}

// Group finds where an entry stands on the start sheet.
func (s *State) Group(entryID string) (events.Group, events.GroupSlot, bool) {
	if s.Draw == nil {
		return events.Group{}, events.GroupSlot{}, false
	}
	for _, g := range s.Draw.Groups {
		for _, p := range g.Places {
			if p.EntryID == entryID {
				return g, p, true
			}
		}
	}
	return events.Group{}, events.GroupSlot{}, false
}

// tie finds a decided tie among just these entries in any order, or gives -1.
func (s *State) tie(ranking, division string, entryIDs []string) int {
	want := slices.Sorted(slices.Values(entryIDs))
	return slices.IndexFunc(s.Ties, func(t Tie) bool {
		return t.Ranking == ranking && t.Division == division && slices.Equal(slices.Sorted(slices.Values(t.EntryIDs)), want)
	})
}

// Running reports whether the round is open, suspended or not.
func (s *State) Running() bool { return s.Phase == Open || s.Phase == Suspended }

// CardsOut reports whether the cards of the round are issued: from its opening on.
func (s *State) CardsOut() bool { return s.Running() || s.Phase == Between || s.Over() }

// Over reports whether the last round is closed, with or without a result.
func (s *State) Over() bool { return s.Phase == Closed || s.Phase == Published }

// Begun reports whether any card of the competition has been issued.
func (s *State) Begun() bool { return s.CardsOut() || len(s.Past) > 0 }

// unplaced reports whether somebody in the field has no place on the start sheet.
func (s *State) unplaced() bool {
	return slices.ContainsFunc(s.Playing(s.Round), func(e Entry) bool {
		_, _, placed := s.Group(e.ID)
		return !placed
	})
}

// Evolve adds an event to the state.
func Evolve(s *State, e events.Event) {
	switch e := e.(type) {
	case events.CompetitionPlanned:
		s.Name, s.Date = e.Name, e.Date
		if s.Phase == "" {
			s.Phase = Planned
		}
	case events.TermsSet:
		t := e.Terms
		s.Terms = &t
	case events.EntryAccepted:
		if _, again := s.Entries[e.EntryID]; !again {
			s.Order = append(s.Order, e.EntryID)
		}
		s.Entries[e.EntryID] = Entry{
			ID: e.EntryID, PlayerID: e.PlayerID, Tee: e.Tee, IndexTenths: e.IndexTenths, IndexOrigin: e.IndexOrigin, Late: e.Late, Side: e.Side,
		}
	case events.EntryAmended:
		n := s.Entries[e.EntryID]
		n.Tee, n.IndexTenths, n.IndexOrigin, n.Side = e.Tee, e.IndexTenths, e.IndexOrigin, e.Side
		s.Entries[e.EntryID] = n
	case events.EntryWithdrawn:
		n := s.Entries[e.EntryID]
		n.Withdrawn = true
		s.Entries[e.EntryID] = n
	case events.DrawPublished:
		s.drawn(e)
	case events.RoundOpened:
		s.Phase, s.Standing = Open, nil
	case events.RoundSuspended:
		s.Phase, s.Suspend = Suspended, &Suspension{Kind: e.Kind, Reason: e.Reason}
	case events.RoundResumed:
		s.Phase, s.Suspend = Open, nil
	case events.RoundClosed:
		s.Phase, s.Suspend, s.Standing, s.Matches = Closed, nil, e.Cards, e.Matches
		if s.Round < s.LastRound() {
			s.Phase = Between
		}
	case events.CutMade:
		c := cutOf(e)
		s.Cut = &c
	case events.PlayingConditionsSet:
		if s.Conditions == nil {
			s.Conditions = map[int]Conditions{}
		}
		s.Conditions[e.Round] = Conditions{Adjustment: e.Adjustment, Source: e.Source}
	case events.HoleExcluded:
		s.Excluded = append(s.Excluded, ExcludedHole{Round: e.Round, Hole: e.Hole, Reason: e.Reason})
	case events.HoleRestored:
		s.Excluded = slices.DeleteFunc(s.Excluded, func(x ExcludedHole) bool { return x.Round == e.Round && x.Hole == e.Hole })
		if len(s.Excluded) == 0 {
			s.Excluded = nil // as where none ever was
		}
	case events.TieDecided:
		t := Tie{Ranking: e.Ranking, Division: e.Division, EntryIDs: e.EntryIDs, Method: e.Method, Reason: e.Reason, Seed: e.Seed}
		if i := s.tie(t.Ranking, t.Division, t.EntryIDs); i >= 0 {
			s.Ties[i] = t // decided again: the last word counts
		} else {
			s.Ties = append(s.Ties, t)
		}
	case events.ResultPublished:
		r := e.Result
		s.Phase, s.Result = Published, &r
	case events.ResultRevised:
		r := e.Result
		s.Result, s.Revision, s.Reason = &r, e.Revision, e.Reason
	}
}
