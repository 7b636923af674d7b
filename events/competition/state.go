// Package competition decides what may become of a competition: its terms,
// entries, draw, rounds and result.
package competition

import (
	"maps"
	"slices"

	"marram.example/events"
)

// Entry is one player's place in the field.
type Entry struct {
	ID          string             `json:"id"`
	PlayerID    string             `json:"player_id"`
	Tee         string             `json:"tee"`
	IndexTenths int                `json:"index_tenths"`
	IndexOrigin events.IndexOrigin `json:"index_origin"`
	Late        bool               `json:"late"`
	Withdrawn   bool               `json:"withdrawn"`
}

// Phase is how far a competition has come.
type Phase string

// The phases, in their order.
const (
	Planned   Phase = "planned"   // terms and entries may change
	Drawn     Phase = "drawn"     // a start sheet stands
	Open      Phase = "open"      // cards are out
	Suspended Phase = "suspended" // play is stopped
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
}

// State is what is known of a competition.
type State struct {
	Name     string                `json:"name"`
	Date     string                `json:"date"`
	Phase    Phase                 `json:"phase"`
	Terms    *events.Terms         `json:"terms"`
	Entries  map[string]Entry      `json:"entries"`
	Order    []string              `json:"order"` // entry ids in the order accepted
	Draw     *Draw                 `json:"draw"`
	Suspend  *Suspension           `json:"suspension"` // set while play is stopped
	Standing []events.CardStanding `json:"standing"`   // as the round was closed
	Ties     []Tie                 `json:"ties"`
	Result   *events.Result        `json:"result"`
	Revision int                   `json:"revision"` // of the result; 0 for the first
	Reason   string                `json:"reason"`   // of the last revision
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
func New() *State { return &State{Entries: map[string]Entry{}} }

// Clone copies a state so that evolving the copy leaves the original alone.
// Draw, terms and result are replaced whole by their events, never changed in
// place, so their pointers may be shared.
func Clone(s *State) *State {
	c := *s
	c.Entries = maps.Clone(s.Entries)
	c.Order = append([]string(nil), s.Order...)
	c.Ties = append([]Tie(nil), s.Ties...)
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

// CardsOut reports whether cards are issued: from the opening of the round on.
func (s *State) CardsOut() bool { return s.Running() || s.over() }

// over reports whether the round is closed, with or without a result.
func (s *State) over() bool { return s.Phase == Closed || s.Phase == Published }

// unplaced reports whether somebody in the field has no place on the start sheet.
func (s *State) unplaced() bool {
	return slices.ContainsFunc(s.Field(), func(e Entry) bool {
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
			ID: e.EntryID, PlayerID: e.PlayerID, Tee: e.Tee, IndexTenths: e.IndexTenths, IndexOrigin: e.IndexOrigin, Late: e.Late,
		}
	case events.EntryAmended:
		n := s.Entries[e.EntryID]
		n.Tee, n.IndexTenths, n.IndexOrigin = e.Tee, e.IndexTenths, e.IndexOrigin
		s.Entries[e.EntryID] = n
	case events.EntryWithdrawn:
		n := s.Entries[e.EntryID]
		n.Withdrawn = true
		s.Entries[e.EntryID] = n
	case events.DrawPublished:
		revision := 0
		if s.Draw != nil {
			revision = s.Draw.Revision + 1
		}
		s.Draw = &Draw{Method: e.Method, Seed: e.Seed, Revision: revision, Groups: e.Groups, Reason: e.Reason}
		if s.Phase == Planned {
			s.Phase = Drawn
		}
	case events.RoundOpened:
		s.Phase, s.Standing = Open, nil
	case events.RoundSuspended:
		s.Phase, s.Suspend = Suspended, &Suspension{Kind: e.Kind, Reason: e.Reason}
	case events.RoundResumed:
		s.Phase, s.Suspend = Open, nil
	case events.RoundClosed:
		s.Phase, s.Suspend, s.Standing = Closed, nil, e.Cards
	case events.TieDecided:
		t := Tie{Ranking: e.Ranking, Division: e.Division, EntryIDs: e.EntryIDs, Method: e.Method, Reason: e.Reason}
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
