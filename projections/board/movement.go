package board

import (
	"slices"

	"marram.example/projections/scoring"
	"marram.example/projections/standing"
)

// movement is how many places a card has gained in the own ranking since it was
// ranked as from, with everybody else as they stand at this event. It is 0
// where it had no place before or has none now.
//
// It is worked out at the event itself and never when the board is published,
// so that it does not depend on which events happened to go out together.
func (f *field) movement(h *held, from scoring.Entry) int {
	before, after := f.placeOf(h, from), f.placeOf(h, f.entryOf(h))
	if before == 0 || after == 0 {
		return 0
	}
	return before - after
}

// placeOf is the position that a card has in the own ranking when it is ranked
// as e: what scoring.Rank says of the whole field, at the price of counting.
func (f *field) placeOf(h *held, e scoring.Entry) int {
	if f.comp.Terms == nil || !placed(e) {
		return 0
	}
	format, err := scoring.FormatByName(f.comp.RoundTerms().Format)
	if err != nil {
		return 0
	}
	position := 1
	tied := []scoring.Entry{e}
	for _, o := range f.list {
		if o == h || o.withdrawn {
			continue
		}
		other := f.entryOf(o)
		switch {
		case !placed(other):
		case format.Direction.Better(other.Value, e.Value):
			position++
		case other.Value == e.Value:
			tied = append(tied, other)
		}
	}
	if len(tied) == 1 || scoring.TieMethod(f.comp.Terms.TieMethod) != scoring.ByCountback || slices.ContainsFunc(tied, inPlay) {
		return position // a tie stands while one of its cards is in play
	}
	terms, err := standing.RankTerms(f.comp.Terms, format)
	if err != nil {
		return position
	}
	places, err := scoring.Rank(tied, terms)
	if err != nil {
		return position
	}
	for _, p := range places {
		if p.Entry == 0 {
			return position + p.Position - 1
		}
	}
	return position
}

func inPlay(e scoring.Entry) bool { return e.Card == nil || !e.Card.Complete }

func placed(e scoring.Entry) bool { return e.HasValue && e.Status == "" }
