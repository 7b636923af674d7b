package handicap

import "time"

// Round is one acceptable score of a player. A round has an adjusted gross score, or the association's differential, or a
// reason for having neither.
type Round struct {
	Date          string // the day it was played, as YYYY-MM-DD
	Holes         int    // 18 or 9
	AdjustedGross int    // 0 where there is none
	Rating        Rating // of the holes played
	Slope         Slope
	PCC           int // playing conditions calculation of the day, -1 to 3; 0 while it is pending
	// Unavailable is the reason for having no figure, such as [AwaitingAssociation].
	Unavailable string
	// Official is the 18-hole differential that the association worked out, nil where it gave none. It wins over ours.
	Official *Differential
	// InEffect is the official index in effect when the round was played, nil where none is known. The estimate after the
	// rounds before it then stands in, if there is one.
	InEffect *Index
	// Committee is the committee's adjustment of this differential, in tenths (Rules of Handicapping 7.1a, from memory).
	Committee Differential
	// NoReduction says that the committee set aside the reduction for an exceptional score (5.9).
	NoReduction bool
}

// DatedIndex is an index with the day of the round after which, or during which, it was in effect (YYYY-MM-DD).
type DatedIndex struct {
	Index Index  `json:"index"`
	Date  string `json:"date"`
}

// RecordTerms are what a record needs beside its rounds.
type RecordTerms struct {
	Expected    *ExpectedTable   // the association's expected nine-hole differentials, nil where the club has none
	Exceptional ExceptionalBasis // which differential the exceptional score test reads
	Official    *Index           // the official index now, nil where none is known
	OfficialLow *DatedIndex      // the official low index now; it wins over the one found in the record
}

// RoundFigures is what became of one round.
type RoundFigures struct {
	Round        Round
	Unrounded    *ExactDifferential // of 18 holes; nil where there is no differential
	Differential *Differential      // rounded, without adjustments; nil where there is none
	Reason       string             // why there is no differential
	InEffect     *Index             // the index that the round was measured with, nil where there was none
	StandsIn     bool               // InEffect is our estimate, because no official index is known
	Reduction    int                // strokes that this round put on the most recent 20: 0, -1 or -2
	Adjustment   Differential       // tenths that this round carries now: reductions and the committee's
	Adjusted     *Differential      // Differential with Adjustment
	Recent       bool               // among the most recent 20 differentials now
	Counts       bool               // among the lowest that make up the estimate now
	Low          *DatedIndex        // the low index when the estimate was made after this round, nil where there was none
	After        *Estimate          // the estimate after this round, nil where there is none

	nine, expected *ExactDifferential // the parts of a completed nine-hole score
	source         string             // of the expected differential
	roundedTest    bool               // the exceptional score test read the rounded differential
}

// Record is a player's scoring record with the unofficial estimate that follows from it.
type Record struct {
	Rounds        []RoundFigures
	Differentials int         // how many rounds have one
	Awaiting      int         // how many rounds have none
	Low           *DatedIndex // the low index that the estimate was held against, nil where there is none
	Estimate      *Estimate   // nil below three differentials
	Official      *Index      // as given: it is the player's index, whatever the estimate says
}

// WorkOutRecord works out every round's differential, the reductions for exceptional scores, which rounds count, the low
// index, the caps and the unofficial estimate (Rules of Handicapping 5.1 to 5.9). It replays the rounds from the first
// and keeps no state, so that a late score, a correction or a later playing conditions calculation is handled by calling
// it again. rounds are in order of the date played; rounds of one day stay in the order given. The rounds are not changed.
//
//   - The most recent 20 differentials by date played make up the record.
//   - A nine-hole score needs an index in effect and a row of the expected table; until then its figure is awaited.
//   - Each estimate is the table's average of the adjusted differentials, capped against the low index, at most 54.0.
//   - The low index is the lowest index in effect on any of the 365 days before the most recent score (that they are
//     counted from that day is from memory). It takes in indexes that rest on 20 differentials only, since no low index
//     exists before (our reading of 5.7).
//   - Among equal differentials the more recent count; the sum is the same.
//
// Dates out of order or misshapen (field "rounds"), and impossible figures, are refused with an [InputError] that names
// the round.
func WorkOutRecord(rounds []Round, terms RecordTerms) (Record, error) {
	if terms.Exceptional != UnroundedDifferential && terms.Exceptional != RoundedDifferential {
		return Record{}, refuse("exceptional_basis", exceptionalRule, "%d is unknown", int(terms.Exceptional))
	}
	if terms.Official != nil {
		if err := terms.Official.Validate(); err != nil {
			return Record{}, err
		}
	}
	if terms.OfficialLow != nil {
		if err := validateLow(terms.OfficialLow.Index); err != nil {
			return Record{}, err
		}
	}
	replay := recordReplay{terms: terms, figures: make([]RoundFigures, len(rounds))}
	for i, round := range rounds {
		if err := replay.play(i, round); err != nil {
			return Record{}, refuse("rounds", "", "round %d, %s: %v", i+1, round.Date, err)
		}
	}
	replay.useOfficialLow()
	return replay.record(), nil
}

// recordReplay is the state between two rounds.
type recordReplay struct {
	terms    RecordTerms
	figures  []RoundFigures
	recent   []int           // places of the rounds with the most recent 20 differentials, oldest first
	standing []standingIndex // indexes that rested on a full record, oldest first
	day      int             // of the round played last
	current  *Estimate       // after the rounds so far
	low      *DatedIndex     // of the current estimate
	room     [recordLength]Differential
}

// standingIndex is an index in effect until a day, counted from 1970; the last one is still in effect.
type standingIndex struct {
	DatedIndex
	until int
}

func (r *recordReplay) play(place int, round Round) error {
	day, err := civilDay(round.Date)
	if err != nil {
		return err
	}
	if place > 0 && day < r.day {
		return refuse("date", "Rules of Handicapping 4.3", "it comes before the round above; rounds are listed by the date played")
	}
	r.day = day
	figures := &r.figures[place]
	figures.Round = round
	figures.roundedTest = r.terms.Exceptional == RoundedDifferential
	if err := r.inEffect(figures); err != nil {
		return err
	}
	r.seeIndex(figures, day)
	if err := r.differential(figures); err != nil {
		return err
	}
	if figures.Differential == nil {
		figures.Low, figures.After = r.low, r.current
		return nil
	}
	r.adjust(place)
	if len(r.recent) < fewestDifferentials {
		return nil
	}
	r.estimate(figures, day)
	return nil
}

// inEffect finds the index that the round is measured with.
func (r *recordReplay) inEffect(figures *RoundFigures) error {
	if given := figures.Round.InEffect; given != nil {
		if err := given.Validate(); err != nil {
			return err
		}
		index := *given
		figures.InEffect = &index
		return nil
	}
	if r.current != nil {
		index := r.current.Index
		figures.InEffect, figures.StandsIn = &index, true
	}
	return nil
}

// seeIndex notes how long the index before this round was in effect, and lets an official one take the estimate's place.
func (r *recordReplay) seeIndex(figures *RoundFigures, day int) {
	if len(r.standing) == 0 {
		return
	}
	latest := &r.standing[len(r.standing)-1]
	latest.until = day
	if figures.Round.InEffect != nil && latest.Index != *figures.InEffect {
		latest.DatedIndex = DatedIndex{Index: *figures.InEffect, Date: figures.Round.Date}
	}
}

// differential works out the round's 18-hole differential, or the reason for having none.
func (r *recordReplay) differential(figures *RoundFigures) error {
	round := figures.Round
	if err := validateHoleCount(round.Holes); err != nil {
		return err
	}
	if err := round.Committee.Validate(); err != nil {
		return err
	}
	if round.Official != nil {
		if err := round.Official.Validate(); err != nil {
			return err
		}
		figures.has(round.Official.Exact())
		return nil
	}
	if round.AdjustedGross == 0 {
		if round.Unavailable == "" {
			return refuse("adjusted_gross", "", "there is neither a score nor a reason for having none")
		}
		figures.Reason = round.Unavailable
		return nil
	}
	if round.Unavailable != "" {
		return refuse("unavailable", "", "there is a score of %d as well as a reason for having none", round.AdjustedGross)
	}
	exact, err := scoreDifferential(round.Holes, round.AdjustedGross, round.Rating, round.Slope, round.PCC)
	if err != nil {
		return err
	}
	if round.Holes == 18 {
		figures.has(exact)
		return nil
	}
	figures.nine = &exact
	if figures.InEffect == nil {
		figures.Reason = "a nine-hole score counts once an index exists: " + AwaitingAssociation
		return nil
	}
	sum, expected, ok := r.terms.Expected.complete(exact, *figures.InEffect)
	if !ok {
		figures.Reason = AwaitingAssociation
		return nil
	}
	figures.expected, figures.source = &expected, r.terms.Expected.Source()
	figures.has(sum)
	return nil
}

func (f *RoundFigures) has(exact ExactDifferential) {
	rounded := exact.Rounded()
	f.Unrounded, f.Differential = &exact, &rounded
}

// adjust adds the round to the most recent 20 and puts its reduction, if it is exceptional, on all of them.
func (r *recordReplay) adjust(place int) {
	if len(r.recent) == recordLength {
		copy(r.recent, r.recent[1:])
		r.recent = r.recent[:recordLength-1]
	}
	r.recent = append(r.recent, place)
	figures := &r.figures[place]
	figures.Adjustment = figures.Round.Committee
	if figures.InEffect == nil || figures.Round.NoReduction {
		return
	}
	figures.Reduction = exceptional(*figures.InEffect, *figures.Unrounded, r.terms.Exceptional)
	for _, other := range r.recent {
		r.figures[other].Adjustment += Differential(10 * figures.Reduction)
	}
}

func (r *recordReplay) estimate(figures *RoundFigures, day int) {
	adjusted := r.adjusted() // each was plausible before its adjustments; those are bounded
	r.low = r.lowBefore(day)
	var low *Index
	if r.low != nil {
		low = &r.low.Index
	}
	after := estimate(adjusted, low)
	r.current = &after
	figures.Low, figures.After = r.low, r.current
	if len(adjusted) == recordLength {
		r.standing = append(r.standing, standingIndex{DatedIndex: DatedIndex{Index: after.Index, Date: figures.Round.Date}, until: day})
	}
}

// adjusted lists the most recent differentials with their adjustments, oldest first, in room that the next call reuses.
func (r *recordReplay) adjusted() []Differential {
	list := r.room[:0]
	for _, place := range r.recent {
		list = append(list, *r.figures[place].Differential+r.figures[place].Adjustment)
	}
	return list
}

const lowIndexDays = 365

// lowBefore is the lowest index in effect on any of the 365 days before a day; among equals the latest.
func (r *recordReplay) lowBefore(day int) *DatedIndex {
	var lowest *DatedIndex
	for i := len(r.standing) - 1; i >= 0 && r.standing[i].until >= day-lowIndexDays; i-- {
		if lowest == nil || r.standing[i].Index < lowest.Index {
			lowest = &r.standing[i].DatedIndex
		}
	}
	if lowest == nil {
		return nil
	}
	found := *lowest
	return &found
}

// useOfficialLow holds the present estimate against the official low index, if one is given.
func (r *recordReplay) useOfficialLow() {
	if r.terms.OfficialLow == nil || len(r.recent) < recordLength {
		return
	}
	low := *r.terms.OfficialLow
	r.low = &low
	*r.current = estimate(r.adjusted(), &low.Index) // the rounds since the last differential share it
	for i := r.recent[recordLength-1]; i < len(r.figures); i++ {
		r.figures[i].Low = r.low
	}
}

// record marks what counts now and gathers the result.
func (r *recordReplay) record() Record {
	record := Record{Rounds: r.figures, Low: r.low, Estimate: r.current, Official: r.terms.Official}
	for i := range r.figures {
		figures := &r.figures[i]
		if figures.Differential == nil {
			record.Awaiting++
			continue
		}
		record.Differentials++
		adjusted := *figures.Differential + figures.Adjustment
		figures.Adjusted = &adjusted
	}
	for _, place := range r.recent {
		r.figures[place].Recent = true
	}
	if record.Estimate == nil {
		return record
	}
	for range record.Estimate.Lowest {
		best := -1
		for _, place := range r.recent { // oldest first, so that the more recent of equals wins
			if !r.figures[place].Counts && (best < 0 || *r.figures[place].Adjusted <= *r.figures[best].Adjusted) {
				best = place
			}
		}
		r.figures[best].Counts = true
	}
	return record
}

// civilDay counts days from 1 January 1970 to a date written YYYY-MM-DD.
func civilDay(date string) (int, error) {
	parsed, err := time.Parse(time.DateOnly, date)
	if err != nil {
		return 0, refuse("date", "", "%q is not a date written YYYY-MM-DD", date)
	}
	return int(floorDiv(parsed.Unix(), 24*60*60)), nil
}
