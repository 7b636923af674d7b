package standing

import (
	"slices"

	"marram.example/events"
	"marram.example/events/competition"
	"marram.example/projections/scoring"
)

// Rounds are the scored cards of one entry in the order of the rounds; nil where
// it has none.
type Rounds []*Scored

// Cards are the scored cards of a field, by entry.
type Cards map[string]Rounds

// Put adds the card of a round, counted from 1.
func (c Cards) Put(entryID string, round int, s *Scored) {
	round = max(1, round)
	rounds := c[entryID]
	for len(rounds) < round {
		rounds = append(rounds, nil)
	}
	rounds[round-1] = s
	c[entryID] = rounds
}

// In is the card of a round, or nil.
func (r Rounds) In(round int) *Scored {
	if round < 1 || round > len(r) {
		return nil
	}
	return r[round-1]
}

// Last is the card of the latest round that has one, or nil.
func (r Rounds) Last() *Scored {
	for i := len(r) - 1; i >= 0; i-- {
		if r[i] != nil {
			return r[i]
		}
	}
	return nil
}

// Status is how an entry stands over its rounds: a ruling on any card, MC, returned
// or in_play; empty before the first card is issued.
func (r Rounds) Status(comp *competition.State, entryID string) string {
	last := r.Last()
	if last == nil {
		return ""
	}
	for _, s := range r {
		if s != nil && s.Card.Ruled != "" {
			return s.Card.Ruled
		}
	}
	if missedCut(comp, entryID) {
		return events.StatusMissedCut
	}
	return last.Card.Status()
}

func missedCut(comp *competition.State, entryID string) bool {
	return comp.Cut != nil && slices.Contains(comp.Cut.Missed, entryID)
}

// ruling takes an entry out of the ranking, or puts it below the cut.
func (r Rounds) ruling(comp *competition.State, entryID string) scoring.Status {
	switch s := r.Status(comp, entryID); s {
	case events.StatusInPlay, events.StatusReturned:
		return ""
	default:
		return scoring.Status(s)
	}
}

// sum adds up the rounds on a basis, out of so many.
func (r Rounds) sum(basis string, of int) (scoring.Total, error) {
	results := make([]*scoring.Result, min(len(r), of))
	for i := range results {
		if r[i] != nil {
			results[i] = r[i].on(basis)
		}
	}
	return scoring.Rounds(results, of)
}

// LiveEntry is an entry in progress as Live ranks it on a basis (Net or Gross): by
// the total that it reaches when what is left of the round is played level, in
// par, for two points a hole, or all square. The level is that of the own tee's
// whole round: where tees of one competition have different pars a round of 70 is
// a round of 70, whatever it is to par, and the live order has to end in the final
// one. Before its first hole of the first round an entry has no place, nor has one
// that does not play the present round: it lacks what the others add up.
func LiveEntry(comp *competition.State, entryID string, r Rounds, basis string) (scoring.Entry, error) {
	t, err := r.sum(basis, comp.LastRound())
	if err != nil {
		return scoring.Entry{ID: entryID}, err
	}
	e := t.LiveEntry(entryID, r.ruling(comp, entryID))
	if e.Status == "" && r.In(comp.Round) == nil && !comp.Plays(comp.Round, entryID) {
		e.HasValue = false
	}
	if e.HasValue {
		e.Value += t.Level
	}
	return e, nil
}

// finalEntry ranks an entry by its total over the rounds that were played. One
// that lacks a round has no total.
func finalEntry(comp *competition.State, entryID string, r Rounds, basis string) (scoring.Entry, error) {
	t, err := r.sum(basis, comp.Round)
	if err != nil {
		return scoring.Entry{ID: entryID}, err
	}
	return t.FinalEntry(entryID, r.ruling(comp, entryID)), nil
}
