package scoring

// Total is what several rounds of one player or side add up to.
type Total struct {
	Unit Unit
	// Value is the sum of the rounds' totals, in strokes, points or holes; final only where Complete is true.
	Value int
	// Complete is true where every round of the competition has a total.
	Complete bool
	// Lacking is the first round, counted from 1, that can have no total; 0 for none.
	Lacking int
	// Live is where the player stands over all holes played so far: to par, to two points a hole, or holes up. It says
	// nothing where HasLive is false.
	Live    int
	HasLive bool
	// Level is the total of the rounds given when they are played level.
	Level int
	// Played is how many rounds are complete.
	Played int
	// Last is the card of the last round that has one, for a countback; nil before the first.
	Last *Result
}

// Rounds adds up the rounds of one player or side, in their order; of is how many the competition has, and a round that
// is nil has no card yet. Rounds of different units or bases are refused with an error of field "format": strokes,
// points and holes do not add up. So is a number of rounds outside 1 to of.
func Rounds(results []*Result, of int) (Total, error) {
	if len(results) > of || of < 1 {
		return Total{}, refuse("rounds", "", "%d rounds are given, the competition has %d", len(results), of)
	}
	var t Total
	var first *Result
	for i, r := range results {
		if r == nil {
			continue
		}
		if first == nil {
			first, t.Unit = r, r.Unit
		}
		if r.Unit != first.Unit || r.Basis != first.Basis {
			return Total{}, refuse("format", "", "round %d counts %s %s, the rounds before count %s %s", i+1, r.Basis, r.Unit, first.Basis, first.Unit)
		}
		t.Value += r.Value
		t.Level += r.Level
		switch {
		case r.Complete:
			t.Played++
		case r.Lacking != 0 && t.Lacking == 0:
			t.Lacking = i + 1
		}
		if r.HasLive {
			t.Live += r.Live
			t.HasLive = true
		}
		t.Last = r
	}
	t.Complete = t.Played == of
	if t.Lacking != 0 {
		t.HasLive, t.Live = false, 0
	}
	return t, nil
}

// FinalEntry is the entry that ranks by the total of all rounds, with the last round's card for the countback. Its terms are
// those with SeveralRounds where there is more than one round. Who missed a cut keeps the total of the rounds played.
func (t Total) FinalEntry(id string, status Status) Entry {
	has := t.Complete || status == MissedCut && t.Played > 0 && t.Lacking == 0
	return Entry{ID: id, Status: status, Value: t.Value, HasValue: has, Card: t.Last}
}

// LiveEntry is the entry that ranks while rounds are played: by where it stands over all holes played so far.
func (t Total) LiveEntry(id string, status Status) Entry {
	return Entry{ID: id, Status: status, Value: t.Live, HasValue: t.HasLive, Card: t.Last}
}
