package board

import (
	"time"

	"marram.example/events"
	"marram.example/events/card"
	"marram.example/events/competition"
	"marram.example/projections/scoring"
	"marram.example/projections/standing"
)

// field is the fold of one competition and its cards.
type field struct {
	id       string
	comp     *competition.State
	numbers  map[string]int          // of entries, in the order of acceptance
	starts   map[string]events.Group // by entry
	players  map[string]struct{}
	cards    map[string]*held // by card
	byEntry  map[string]*held // the card that counts
	list     []*held          // the cards that count
	position events.Position
	at       time.Time
	built    *Board // nil when something happened since
}

// held is a card with its arithmetic, worked out when asked for.
type held struct {
	id       string
	seq      events.Sequence
	state    *card.State
	scored   *standing.Scored
	entry    scoring.Entry // as the own ranking takes it while the round is played
	fault    string
	lastHole int
	movement int

	withdrawn bool // its entry is not in the field
}

func newField(id string) *field {
	return &field{
		id: id, comp: competition.New(), numbers: map[string]int{}, starts: map[string]events.Group{},
		players: map[string]struct{}{}, cards: map[string]*held{}, byEntry: map[string]*held{},
	}
}

// fold adds an event of the competition or of one of its cards.
func (f *field) fold(r events.Recorded) {
	if r.Stream.Aggregate == events.Card {
		f.foldCard(r)
	} else {
		f.foldCompetition(r.Event)
	}
	f.touch(r.Position, r.Time)
}

// touch says that the board shows something else from a position on.
func (f *field) touch(at events.Position, when time.Time) {
	f.position, f.at, f.built = at, when.UTC(), nil
}

func (f *field) foldCompetition(e events.Event) {
	competition.Evolve(f.comp, e)
	switch e := e.(type) {
	case events.TermsSet:
		f.forget()
	case events.EntryAccepted:
		if _, again := f.numbers[e.EntryID]; !again {
			f.numbers[e.EntryID] = len(f.numbers)
		}
		f.players[e.PlayerID] = struct{}{}
		f.withdraw(e.EntryID, false)
	case events.EntryWithdrawn:
		f.withdraw(e.EntryID, true)
	case events.DrawPublished:
		clear(f.starts)
		for _, g := range e.Groups {
			for _, p := range g.Places {
				f.starts[p.EntryID] = g
			}
		}
	case events.ResultPublished:
		f.forget()
	}
}

func (f *field) withdraw(entryID string, out bool) {
	if h := f.byEntry[entryID]; h != nil {
		h.withdrawn = out
	}
}

// forget drops arithmetic that can be worked out again: other terms rank it
// differently, and a published competition is rarely looked at.
func (f *field) forget() {
	for _, h := range f.cards {
		h.scored = nil
	}
}

func (f *field) foldCard(r events.Recorded) {
	h := f.cards[r.Stream.ID]
	if h == nil {
		h = &held{id: r.Stream.ID, state: card.New()}
		f.cards[h.id] = h
	}
	h.seq = r.Sequence
	switch e := r.Event.(type) {
	case events.HoleScored:
		f.foldScore(h, e.Hole, e)
	case events.HoleScoreCorrected:
		f.foldScore(h, e.Hole, e)
	default:
		card.Evolve(h.state, e)
		h.scored = nil
		if _, issued := e.(events.CardIssued); issued {
			f.count(h)
		}
	}
}

// count makes a card the one that counts for its entry.
func (f *field) count(h *held) {
	old := f.byEntry[h.state.EntryID]
	h.withdrawn = f.comp.Entries[h.state.EntryID].Withdrawn
	f.byEntry[h.state.EntryID] = h
	for i, o := range f.list {
		if o == old {
			f.list[i] = h
			return
		}
	}
	f.list = append(f.list, h)
}

// foldScore adds a score and notes what it did to the card's place, where it
// changed what counts: a marker's confirmation of the player's number does not.
func (f *field) foldScore(h *held, hole int, e events.Event) {
	before := counting(h.state, hole)
	if h.scored == nil {
		f.score(h)
	}
	from := f.entryOf(h)
	card.Evolve(h.state, e)
	if counting(h.state, hole) == before {
		return
	}
	f.score(h)
	h.lastHole, h.movement = hole, f.movement(h, from)
}

func counting(s *card.State, hole int) events.Score {
	i, ok := s.Line(hole)
	if !ok {
		return events.Score{}
	}
	return s.Holes[i].Counting()
}

// score works out a card. A card that cannot be scored keeps its row, without
// figures and with the reason: the rest of the board goes on.
func (f *field) score(h *held) {
	h.fault, h.entry = "", scoring.Entry{ID: h.state.EntryID}
	scored, err := standing.Score(h.id, h.seq, h.state)
	if err != nil {
		h.scored, h.fault = &standing.Scored{CardID: h.id, Sequence: h.seq, Card: h.state}, err.Error()
		return
	}
	h.scored = &scored
	if f.comp.Terms != nil {
		h.entry = standing.LiveEntry(h.state.EntryID, h.scored, f.comp.Terms.Ranking)
	}
}

// entryOf is the card as the own ranking takes it.
func (f *field) entryOf(h *held) scoring.Entry {
	if h.scored == nil {
		f.score(h)
	}
	h.scored.Sequence = h.seq
	return h.entry
}
