package board

import (
	"slices"
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
	cards    map[string]*held   // by card
	rounds   map[string][]*held // by entry, in the order of the rounds
	list     []*held            // the card of its last round of every entry
	matches  []*game            // in the order in which they were arranged
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
	ranked   bool          // entry is worked out
	entry    scoring.Entry // its entry over all rounds, as the own ranking takes it while a round is played; of the last card only
	fault    string
	lastHole int
	movement int

	withdrawn bool // its entry is not in the field
}

func newField(id string) *field {
	return &field{
		id: id, comp: competition.New(), numbers: map[string]int{}, starts: map[string]events.Group{},
		players: map[string]struct{}{}, cards: map[string]*held{}, rounds: map[string][]*held{},
	}
}

// fold adds an event of the competition or of one of its cards, and reports whether
// the board shows it: strokes that a player logs are no part of it.
func (f *field) fold(r events.Recorded) bool {
	if events.AboutStrokes(r.Event) {
		if h := f.cards[r.Stream.ID]; h != nil {
			h.seq = r.Sequence
		}
		return false
	}
	switch r.Stream.Aggregate {
	case events.Card:
		f.foldCard(r)
	case events.Match:
		f.foldMatch(r)
	default:
		f.foldCompetition(r.Event)
	}
	f.touch(r.Position, r.Time)
	return true
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
		f.know(e.EntryID)
		f.withdraw(e.EntryID, false)
	case events.EntryAmended:
		f.know(e.EntryID)
	case events.EntryWithdrawn:
		f.withdraw(e.EntryID, true)
	case events.DrawPublished:
		clear(f.starts)
		for _, g := range e.Groups {
			for _, p := range g.Places {
				f.starts[p.EntryID] = g
			}
		}
	case events.RoundOpened, events.RoundClosed, events.CutMade:
		f.rank() // who plays on may be others
	case events.ResultPublished:
		f.forget()
	}
}

// know notes whose names the board shows.
func (f *field) know(entryID string) {
	for _, id := range f.comp.Entries[entryID].Players() {
		f.players[id] = struct{}{}
	}
}

func (f *field) withdraw(entryID string, out bool) {
	for _, h := range f.rounds[entryID] {
		h.withdrawn = out
	}
}

// last is the card of an entry's last round, or nil.
func (f *field) last(entryID string) *held {
	if r := f.rounds[entryID]; len(r) > 0 {
		return r[len(r)-1]
	}
	return nil
}

// forget drops arithmetic that can be worked out again: other terms rank it
// differently, and a published competition is rarely looked at.
func (f *field) forget() {
	for _, h := range f.cards {
		h.scored, h.ranked = nil, false
	}
}

// rank drops what the field was ranked by, and keeps the arithmetic of the cards.
func (f *field) rank() {
	for _, h := range f.cards {
		h.ranked = false
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
		f.foldScore(h, e.Hole, e.Ball, e)
	case events.HoleScoreCorrected:
		f.foldScore(h, e.Hole, e.Ball, e)
	default:
		card.Evolve(h.state, e)
		if _, issued := e.(events.CardIssued); issued {
			f.count(h)
		}
		f.changed(h)
	}
}

// changed drops the arithmetic of a card, and what its entry is ranked by.
func (f *field) changed(h *held) {
	h.scored = nil
	if last := f.last(h.state.EntryID); last != nil {
		last.ranked = false
	}
}

// count puts a card of a round among those of its entry.
func (f *field) count(h *held) {
	entry := h.state.EntryID
	old := f.last(entry)
	h.withdrawn = f.comp.Entries[entry].Withdrawn
	rounds := slices.DeleteFunc(f.rounds[entry], func(o *held) bool { return o.state.Round == h.state.Round })
	rounds = append(rounds, h)
	slices.SortStableFunc(rounds, func(a, b *held) int { return a.state.Round - b.state.Round })
	f.rounds[entry] = rounds
	for i, o := range f.list {
		if o == old {
			f.list[i] = f.last(entry)
			return
		}
	}
	f.list = append(f.list, h)
}

// foldScore adds a score and notes what it did to the entry's place, where it
// changed what counts: a marker's confirmation of the player's number does not.
func (f *field) foldScore(h *held, hole, ball int, e events.Event) {
	before := counting(h.state, hole, ball)
	last := f.last(h.state.EntryID)
	var from scoring.Entry
	if last != nil {
		from = f.entryOf(last)
	}
	card.Evolve(h.state, e)
	if counting(h.state, hole, ball) == before {
		return
	}
	f.changed(h)
	if last != nil {
		last.lastHole, last.movement = hole, f.movement(last, from)
	}
}

func counting(s *card.State, hole, ball int) events.Score {
	i, ok := s.Line(hole)
	if !ok || ball >= s.Balls() {
		return events.Score{}
	}
	return s.Lines(ball)[i].Counting()
}

// score works out a card. A card that cannot be scored keeps its row, without
// figures and with the reason: the rest of the board goes on.
func (f *field) score(h *held) *standing.Scored {
	if h.scored == nil {
		h.fault = ""
		scored, err := standing.Score(h.id, h.seq, h.state)
		if err != nil {
			scored, h.fault = standing.Scored{CardID: h.id, Sequence: h.seq, Card: h.state}, err.Error()
		}
		h.scored = &scored
	}
	h.scored.Sequence = h.seq
	return h.scored
}

// scoredRounds are the cards of an entry with their arithmetic, and why one of
// them cannot be scored, where one cannot.
func (f *field) scoredRounds(entryID string) (standing.Rounds, string) {
	cards := standing.Cards{}
	for _, h := range f.rounds[entryID] {
		scored := f.score(h)
		if h.fault != "" {
			return nil, h.fault
		}
		cards.Put(entryID, h.state.Round, scored)
	}
	return cards[entryID], ""
}

// entryOf is an entry as the own ranking takes it; h is its last card.
func (f *field) entryOf(h *held) scoring.Entry {
	if h.ranked {
		return h.entry
	}
	h.ranked, h.entry = true, scoring.Entry{ID: h.state.EntryID}
	rounds, fault := f.scoredRounds(h.state.EntryID)
	if fault != "" || f.comp.Terms == nil {
		return h.entry
	}
	if e, err := standing.LiveEntry(f.comp, h.state.EntryID, rounds, f.comp.Terms.Ranking); err == nil {
		h.entry = e
	}
	return h.entry
}
