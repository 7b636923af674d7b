// Package record makes a player's scoring record for handicap purposes out of
// cards: which rounds are in it, each one's adjusted gross score and score
// differential, and the unofficial estimate that follows, every figure with its sum
// in words. It is pure; the page and the API show the same value.
//
// Official indexes are issued by national associations alone. An official index
// always wins over what is worked out here, and nothing of this package is used in
// a competition.
package record

import (
	"cmp"
	"slices"

	"marram.example/events/card"
	"marram.example/events/competition"
	"marram.example/projections/handicap"
)

// Card is a card of the player with what it was played under.
type Card struct {
	ID            string
	CompetitionID string
	Competition   string // its name
	Date          string // of the round, YYYY-MM-DD
	LeaveOutPar   bool   // as the terms of the round say
	// Conditions are the association's playing conditions for the round, nil while
	// they are pending.
	Conditions *competition.Conditions
	State      *card.State
}

// Input is what a record is made of.
type Input struct {
	PlayerID string
	Cards    []Card                  // in any order
	Official []handicap.DatedIndex   // official indexes with the day from which each counts, in the order recorded
	Expected *handicap.ExpectedTable // the association's, nil where the club has none
	Today    string                  // YYYY-MM-DD
}

// Round is one round of the record.
type Round struct {
	CardID        string `json:"card_id"`
	CompetitionID string `json:"competition_id"`
	Competition   string `json:"competition"`
	Number        int    `json:"round"`
	Date          string `json:"date"`
	Format        string `json:"format"`
	Tee           string `json:"tee"`
	Holes         int    `json:"holes"`  // 18 or 9
	Played        int    `json:"played"` // holes that were started

	AdjustedGross      *int `json:"adjusted_gross"` // null where holes were not played
	CourseRatingTenths int  `json:"course_rating_tenths"`
	SlopeRating        int  `json:"slope_rating"`
	PlayingConditions  *int `json:"playing_conditions"` // null while pending; then 0 is used

	DifferentialTenths *int   `json:"differential_tenths"` // null where there is none
	Reason             string `json:"reason"`              // why there is none
	InEffectTenths     *int   `json:"in_effect_tenths"`    // the index that the round was measured with; null for none
	StandsIn           bool   `json:"stands_in"`           // that was our estimate, because no official index is known
	Reduction          int    `json:"reduction"`           // strokes that an exceptional score put on the recent ones: 0, -1 or -2
	AdjustmentTenths   int    `json:"adjustment_tenths"`   // what the differential carries now
	AdjustedTenths     *int   `json:"adjusted_tenths"`     // differential with it
	Recent             bool   `json:"recent"`              // among the most recent 20
	Counts             bool   `json:"counts"`              // among the lowest, which are averaged
	EstimateTenths     *int   `json:"estimate_tenths"`     // the unofficial estimate after this round; null for none

	Explanation handicap.Explanation `json:"explanation"`
}

// LeftOut is a card that is no part of the record, and why.
type LeftOut struct {
	CardID        string `json:"card_id"`
	CompetitionID string `json:"competition_id"`
	Competition   string `json:"competition"`
	Number        int    `json:"round"`
	Date          string `json:"date"`
	Reason        string `json:"reason"`
	Rule          string `json:"rule,omitempty"`
}

// Estimate is the unofficial estimate.
type Estimate struct {
	Label         string       `json:"label"`          // always "unofficial estimate"
	Tenths        int          `json:"tenths"`         // plus negative
	AverageTenths int          `json:"average_tenths"` // of the lowest, adjusted, before caps and maximum
	OnRecord      int          `json:"on_record"`      // differentials, 3 to 20
	Lowest        int          `json:"lowest"`         // how many of them count
	Cap           handicap.Cap `json:"cap"`            // none, soft or hard
}

// Dated is an index in tenths with its day.
type Dated struct {
	Tenths int    `json:"index_tenths"` // plus negative
	Date   string `json:"date"`
}

// Record is a player's scoring record.
type Record struct {
	Official       *Dated               `json:"official"` // in effect today, as issued; it is the one that counts. Null where none is known
	Estimate       *Estimate            `json:"estimate"` // null below three differentials
	Low            *Dated               `json:"low"`      // the low index that the estimate was held against, null where there is none
	Differentials  int                  `json:"differentials"`
	Awaiting       int                  `json:"awaiting"`        // rounds without one
	ExpectedSource string               `json:"expected_source"` // of the expected scores; empty where the club has none
	Rounds         []Round              `json:"rounds"`          // by the day played, the oldest first
	LeftOut        []LeftOut            `json:"left_out"`        // in the same order
	Explanation    handicap.Explanation `json:"explanation"`     // of the estimate
}

// Of works a record out. Cards are replayed from the first, so that playing
// conditions, a correction or an official index that came late need nothing but
// another call. It fails only where a date is misshapen.
func Of(in Input) (Record, error) {
	cards := slices.Clone(in.Cards)
	slices.SortStableFunc(cards, func(a, b Card) int {
		return cmp.Or(cmp.Compare(a.Date, b.Date), cmp.Compare(a.CompetitionID, b.CompetitionID), cmp.Compare(a.State.Round, b.State.Round))
	})
	out := Record{Rounds: []Round{}, LeftOut: []LeftOut{}, ExpectedSource: in.Expected.Source()}
	var rounds []handicap.Round
	for _, c := range cards {
		if why := c.leaves(in.PlayerID); why != nil {
			out.LeftOut = append(out.LeftOut, *why)
			continue
		}
		index, err := in.inEffect(c, rounds)
		if err != nil {
			return Record{}, err
		}
		shown, counted, why := c.score(index)
		if why != nil {
			out.LeftOut = append(out.LeftOut, *why)
			continue
		}
		out.Rounds, rounds = append(out.Rounds, shown), append(rounds, counted)
	}
	terms := handicap.RecordTerms{Expected: in.Expected}
	if now, ok := in.official(in.Today); ok {
		out.Official = &Dated{Tenths: int(now.Index), Date: now.Date}
		terms.Official = &now.Index
	}
	worked, err := handicap.WorkOutRecord(rounds, terms)
	if err != nil {
		return Record{}, err
	}
	out.take(worked)
	return out, nil
}

// take fills in what the arithmetic found.
func (r *Record) take(worked handicap.Record) {
	r.Differentials, r.Awaiting, r.Explanation = worked.Differentials, worked.Awaiting, worked.Explain()
	if worked.Low != nil {
		r.Low = &Dated{Tenths: int(worked.Low.Index), Date: worked.Low.Date}
	}
	if e := worked.Estimate; e != nil {
		r.Estimate = &Estimate{
			Label: handicap.UnofficialEstimate, Tenths: int(e.Index), AverageTenths: int(e.Uncapped), OnRecord: e.OnRecord, Lowest: e.Lowest, Cap: e.Cap,
		}
	}
	for i, f := range worked.Rounds {
		x := &r.Rounds[i]
		x.Reason, x.StandsIn, x.Reduction, x.AdjustmentTenths, x.Recent, x.Counts = f.Reason, f.StandsIn, f.Reduction, int(f.Adjustment), f.Recent, f.Counts
		x.DifferentialTenths, x.AdjustedTenths, x.InEffectTenths = number(f.Differential), number(f.Adjusted), number(f.InEffect)
		if f.After != nil {
			x.EstimateTenths = number(&f.After.Index)
		}
		x.Explanation = append(x.Explanation, f.Explain()...)
	}
}

// number is a value of tenths as a plain number, or nil.
func number[T ~int](v *T) *int {
	if v == nil {
		return nil
	}
	n := int(*v)
	return &n
}
