// Package club decides what the club's committee settles for the whole club:
// whether unofficial estimates of a handicap index are worked out, and with which
// figures of the national association.
package club

import (
	"fmt"
	"slices"
	"strings"
	"unicode/utf8"

	"marram.example/events"
)

// Caution is what the committee acknowledges, word for word, before estimates are
// worked out. What it says follows the Rules of Handicapping, 1.2 and its
// explanation of what is reserved to authorised associations.
const Caution = "A handicap index is issued by the player’s national association and by nobody else. " +
	"What is worked out here from the club’s cards is an unofficial estimate. It is no handicap index: " +
	"it is used in no competition, it is not exported, and it must not be published or handed on as an index. " +
	"Only the committee and the player whose cards they are see it. " +
	"The method and its terms belong to The R&A and the USGA. In some countries, the United States among them, " +
	"a club may not work such figures out for its members at all. Whether yours may is for its national association to say: " +
	"ask it first. The committee that switches this on answers for it, and switches it off when the association asks."

// Expected are the association's expected score differentials over nine holes.
type Expected struct {
	Source string                 `json:"source"`
	Rows   []events.ExpectedScore `json:"rows"` // in rising order of index
}

// State is what the club has settled. The zero value is a club that has settled
// nothing: nothing is worked out.
type State struct {
	Estimates bool      `json:"estimates"`          // worked out and shown
	Caution   string    `json:"caution"`            // as acknowledged last; empty while off
	Reason    string    `json:"reason"`             // of the last switch
	Expected  *Expected `json:"expected,omitempty"` // nil where the club has none
}

// New is a club that has settled nothing.
func New() *State { return &State{} }

// Clone copies a state so that evolving the copy leaves the original alone. The
// expected scores are replaced whole, never changed in place.
func Clone(s *State) *State {
	c := *s
	return &c
}

// Command is what may be asked of a club.
type Command interface{ command() }

// SwitchEstimates turns the unofficial estimates on or off.
type SwitchEstimates struct {
	On      bool
	Caution string // the text of [Caution] as it was shown, to switch on
	Reason  string
}

// ImportExpected states the association's expected scores; they replace those
// before.
type ImportExpected struct {
	Source string
	Rows   []events.ExpectedScore
}

// WithdrawExpected takes them back.
type WithdrawExpected struct{ Reason string }

func (SwitchEstimates) command()  {}
func (ImportExpected) command()   {}
func (WithdrawExpected) command() {}

// Evolve adds an event to the state.
func Evolve(s *State, e events.Event) {
	switch e := e.(type) {
	case events.HandicapEstimatesSwitched:
		s.Estimates, s.Caution, s.Reason = e.On, e.Caution, e.Reason
	case events.ExpectedScoresImported:
		s.Expected = &Expected{Source: e.Source, Rows: e.Rows}
	case events.ExpectedScoresWithdrawn:
		s.Expected = nil
	}
}

// Decide turns a command into events, or refuses it with an *events.Error.
func Decide(s *State, c Command) ([]events.Event, error) {
	switch c := c.(type) {
	case SwitchEstimates:
		return switchEstimates(s, c)
	case ImportExpected:
		if err := checkExpected(c); err != nil {
			return nil, err
		}
		if x := s.Expected; x != nil && x.Source == c.Source && slices.Equal(x.Rows, c.Rows) {
			return nil, nil
		}
		return []events.Event{events.ExpectedScoresImported{Source: c.Source, Rows: slices.Clone(c.Rows)}}, nil
	case WithdrawExpected:
		if s.Expected == nil {
			return nil, nil
		}
		if err := checkText("reason", "say why the figures do not hold any more", c.Reason); err != nil {
			return nil, err
		}
		return []events.Event{events.ExpectedScoresWithdrawn{Reason: c.Reason}}, nil
	default:
		return nil, fmt.Errorf("club: unknown command %T", c)
	}
}

func switchEstimates(s *State, c SwitchEstimates) ([]events.Event, error) {
	if utf8.RuneCountInString(c.Reason) > mostText {
		return nil, tooLong("reason")
	}
	if !c.On {
		if !s.Estimates {
			return nil, nil
		}
		return []events.Event{events.HandicapEstimatesSwitched{Reason: c.Reason}}, nil
	}
	if c.Caution != Caution {
		return nil, events.Invalid("caution", "not_acknowledged",
			"estimates are switched on by acknowledging the caution, word for word as it is shown").
			WithRule("Rules of Handicapping 1.2: an index is issued by an authorised association alone")
	}
	if s.Estimates && s.Caution == c.Caution {
		return nil, nil
	}
	return []events.Event{events.HandicapEstimatesSwitched{On: true, Caution: c.Caution, Reason: c.Reason}}, nil
}

// mostText is the length of a sentence in characters.
const mostText = 300

func tooLong(field string) *events.Error {
	return events.Invalid(field, "too_long", fmt.Sprintf("at most %d characters fit here", mostText))
}

func checkText(field, missing, text string) error {
	switch {
	case strings.TrimSpace(text) == "":
		return events.Invalid(field, "required", missing)
	case utf8.RuneCountInString(text) > mostText:
		return tooLong(field)
	}
	return nil
}

// Limits of an expected score. The range of an index is that of the player's; the
// others only catch slips (common practice, no source).
const (
	minIndex, maxIndex       = -100, 540
	minExpected, maxExpected = -20, 60
	// MostRows is one for every index there is.
	MostRows     = maxIndex - minIndex + 1
	ruleExpected = "Rules of Handicapping 5.1b"
)

func checkExpected(c ImportExpected) error {
	if err := checkText("source", "say where the association states these figures", c.Source); err != nil {
		return err
	}
	if n := len(c.Rows); n < 1 || n > MostRows {
		return events.Invalid("rows", "out_of_range", fmt.Sprintf("there are 1 to %d rows, one for each index, not %d", MostRows, n))
	}
	for i := range c.Rows {
		if err := checkRow(c.Rows, i); err != nil {
			return err
		}
	}
	return nil
}

// checkRow looks at one row and the one before it.
func checkRow(rows []events.ExpectedScore, i int) error {
	row := rows[i]
	refuse := func(field, code, detail string) error {
		return events.Invalid(fmt.Sprintf("rows[%d].%s", i, field), code, detail).WithRule(ruleExpected)
	}
	switch row.ExpectedDen {
	case 1, 10, 100, 1000, 10000:
	default:
		return refuse("expected_den", "out_of_range", "an expected score has at most four decimals: the denominator is 1, 10, 100, 1000 or 10000")
	}
	switch {
	case row.IndexTenths < minIndex || row.IndexTenths > maxIndex:
		return refuse("index_tenths", "out_of_range", "an index lies between +10.0 and 54.0")
	case row.ExpectedNum < minExpected*row.ExpectedDen || row.ExpectedNum > maxExpected*row.ExpectedDen:
		return refuse("expected_num", "out_of_range", fmt.Sprintf("an expected score over nine holes lies between %d and %d strokes", minExpected, maxExpected))
	case i == 0:
		return nil
	}
	before := rows[i-1]
	switch {
	case row.IndexTenths <= before.IndexTenths:
		return refuse("index_tenths", "out_of_order", "rows stand in rising order of index, each index once")
	case row.ExpectedNum*before.ExpectedDen < before.ExpectedNum*row.ExpectedDen:
		return refuse("expected_num", "out_of_order", "the expected score falls while the index rises")
	}
	return nil
}
