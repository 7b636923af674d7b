package scoring

import (
	"cmp"
	"slices"
)

// TieMethod says what happens to equal totals.
type TieMethod string

const (
	// Shared lets ties stand.
	Shared TieMethod = "shared"
	// ByCountback matches the cards of tied players; what it cannot separate stays tied.
	ByCountback TieMethod = "countback"
	// ByLot and ByPlayOff let ties stand until the committee has decided them.
	ByLot     TieMethod = "lot"
	ByPlayOff TieMethod = "play_off"
)

// ParseTieMethod reads "shared", "countback", "lot" or "play_off".
func ParseTieMethod(text string) (TieMethod, error) {
	switch method := TieMethod(text); method {
	case Shared, ByCountback, ByLot, ByPlayOff:
		return method, nil
	default:
		return "", refuse("ties", "", "%q is unknown; use shared, countback, lot or play_off", text)
	}
}

// Entry is what gets ranked: a card, a total over several rounds, or a status.
type Entry struct {
	ID string
	// Status takes the entry out of the ranking; empty for none.
	Status Status
	// Value ranks the entry where HasValue is true.
	Value    int
	HasValue bool
	// Card is the card of the (last) round for a countback; it may be nil.
	Card *Result
}

// FinalEntry ranks a card by its total. A card without one has no value.
func FinalEntry(id string, status Status, card *Result) Entry {
	return Entry{ID: id, Status: status, Value: card.Value, HasValue: card.Complete, Card: card}
}

// LiveEntry ranks a card in progress by where it stands to par, or to two points a hole.
func LiveEntry(id string, status Status, card *Result) Entry {
	return Entry{ID: id, Status: status, Value: card.Live, HasValue: card.HasLive, Card: card}
}

// RankTerms are the parts of the terms of the competition that a ranking needs. An empty Ties means [Shared].
type RankTerms struct {
	Format    Format
	Ties      TieMethod
	Countback CountbackTerms
}

// Place is one line of a ranking.
type Place struct {
	ID string
	// Entry is where the entry stands in the list that was ranked.
	Entry int
	// Position counts from 1; 0 where the entry has none.
	Position int
	Tied     bool
	Status   Status
	Value    int
	// HasValue says whether Value means anything; an entry with a status has no position even so.
	HasValue bool
	// Countback is the matching of cards that the entry took part in, shared by all who did; nil where there was none.
	Countback *CountbackResult
}

// Text is the position as shown: "1", "T2", or empty.
func (p Place) Text() string { return PositionText(p.Position, p.Tied) }

// Rank orders entries, best first. Equal values share a position, unless the terms ask for a countback and all cards of
// the tied group are complete: while one of them is still in play the tie is left. Entries without a value follow, then
// those with a status in the order NR, RTD, WD, NS, DQ, none with a position; who missed a cut comes right after the
// ranked, by total. What remains equal keeps the order of the list, so a caller who lists by name gets ties by name.
// Repeated or empty ids, unknown statuses and methods are refused.
func Rank(entries []Entry, terms RankTerms) ([]Place, error) {
	classes, err := classify(entries, &terms)
	if err != nil {
		return nil, err
	}
	direction := terms.Format.Direction
	order := make([]int, len(entries))
	for i := range order {
		order[i] = i
	}
	slices.SortFunc(order, func(a, b int) int {
		if c := cmp.Compare(classes[a], classes[b]); c != 0 {
			return c
		}
		if classes[a] == ranked || classes[a] == missedCut {
			if c := byValue(&entries[a], &entries[b], direction); c != 0 {
				return c
			}
		}
		return cmp.Compare(a, b) // what is equal keeps the order of the list
	})
	places := make([]Place, len(entries))
	for i, at := range order {
		e := &entries[at]
		places[i] = Place{ID: e.ID, Entry: at, Status: e.Status, Value: e.Value, HasValue: e.HasValue}
	}
	for start := 0; start < len(places) && classes[places[start].Entry] == ranked; {
		end := start + 1
		for end < len(places) && classes[places[end].Entry] == ranked && places[end].Value == places[start].Value {
			end++
		}
		if err := settle(places[start:end], start+1, entries, terms); err != nil {
			return nil, err
		}
		start = end
	}
	return places, nil
}

// byValue compares two of one class: who has no value comes last.
func byValue(a, b *Entry, direction Direction) int {
	switch {
	case a.HasValue && b.HasValue:
		return direction.Compare(a.Value, b.Value)
	case a.HasValue:
		return -1
	case b.HasValue:
		return 1
	default:
		return 0
	}
}

// ranked is the class of entries that have a position; the others follow in the order of statusOrder.
const (
	ranked    = -1
	missedCut = 0
)

func classify(entries []Entry, terms *RankTerms) ([]int, error) {
	if terms.Ties == "" {
		terms.Ties = Shared
	}
	if _, err := ParseTieMethod(string(terms.Ties)); err != nil {
		return nil, err
	}
	classes := make([]int, len(entries))
	seen := make(map[string]struct{}, len(entries))
	for i, e := range entries {
		if _, taken := seen[e.ID]; taken || e.ID == "" {
			return nil, refuse("entries", "", "entry %d has the id %q, which is empty or taken", i+1, e.ID)
		}
		seen[e.ID] = struct{}{}
		classes[i] = slices.Index(statusOrder, e.Status)
		if classes[i] < 0 {
			return nil, refuse("status", "", "%q of entry %q is unknown", string(e.Status), e.ID)
		}
		if e.Status == "" && e.HasValue {
			classes[i] = ranked
		}
	}
	return classes, nil
}

// settle gives positions from first on to a group with equal values.
func settle(group []Place, first int, entries []Entry, terms RankTerms) error {
	for i := range group {
		group[i].Position, group[i].Tied = first, len(group) > 1
	}
	if len(group) == 1 || terms.Ties != ByCountback {
		return nil
	}
	contenders := make([]Contender, len(group))
	for i, p := range group {
		card := entries[p.Entry].Card
		if card == nil || !card.Complete {
			return nil
		}
		contenders[i] = Contender{ID: p.ID, Card: card}
	}
	format := terms.Format
	if last := contenders[0].Card.Format; last != format.Name { // cards of the round before, in another format of the same unit
		var err error
		if format, err = FormatByName(last); err != nil {
			return err
		}
	}
	result, err := format.Countback(contenders, terms.Countback)
	if err != nil {
		return err
	}
	type seat struct{ position, size int }
	seats := make(map[string]seat, len(group))
	position := first
	for _, ids := range result.Order {
		for _, id := range ids {
			seats[id] = seat{position, len(ids)}
		}
		position += len(ids)
	}
	for i := range group {
		s := seats[group[i].ID]
		group[i].Position, group[i].Tied, group[i].Countback = s.position, s.size > 1, &result
	}
	slices.SortStableFunc(group, func(a, b Place) int { return cmp.Compare(a.Position, b.Position) })
	return nil
}
