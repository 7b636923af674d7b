package competition

import (
	"fmt"
	"time"

	"marram.example/events"
)

// mostRounds is 72 holes.
const mostRounds = 4

// perRound is where a round's own terms stand in the input; the terms themselves
// where no round has its own.
func perRound(t events.Terms, n int) string {
	if len(t.PerRound) == 0 {
		return ""
	}
	return fmt.Sprintf("per_round[%d].", n-1)
}

// checkRounds checks what may differ from round to round.
func checkRounds(t events.Terms, courses map[string]map[string]events.TeeDefinition) error {
	if t.Format == events.MatchPlay && (t.Match == nil || t.Match.Bracket != Single) {
		if t.Rounds != 0 {
			return events.Invalid("rounds", "not_applicable", "a knockout or a round robin has as many rounds as its draw needs: leave this 0")
		}
	} else if err := within("rounds", t.Rounds, 1, mostRounds); err != nil {
		return err
	}
	if n := len(t.PerRound); n > 0 && n != t.Rounds {
		return events.Invalid("per_round", "round_count", fmt.Sprintf("there are %d rounds, not %d", t.Rounds, n))
	}
	for n := 1; n <= max(1, len(t.PerRound)); n++ {
		prefix := perRound(t, n)
		r := t.Round(n)
		if len(t.PerRound) > 0 {
			if err := checkDate(prefix, t.PerRound[n-1].Date); err != nil {
				return err
			}
		}
		if err := firstError(
			checkFormat(prefix, r),
			checkTees(prefix, r, courses[r.CourseID]),
			checkStart(r.Start, r.Holes, t.Players()),
		); err != nil {
			return err
		}
		if err := checkUnit(t, n); err != nil {
			return err
		}
	}
	return nil
}

// checkUnit makes sure that a round can be added to the first one.
func checkUnit(t events.Terms, n int) error {
	first, unit := Unit(t.Round(1).Format), Unit(t.Round(n).Format)
	if unit != first {
		return events.Invalid(perRound(t, n)+"format", "other_unit", fmt.Sprintf("%s count in the other rounds; %s cannot be added to them", first, unit))
	}
	return nil
}

func checkDate(prefix, date string) error {
	if date == "" {
		return nil
	}
	if _, err := time.Parse(time.DateOnly, date); err != nil {
		return events.Invalid(prefix+"date", "malformed", "a date is written YYYY-MM-DD")
	}
	return nil
}

func checkCut(t events.Terms) error {
	c := t.Cut
	if c == nil {
		return nil
	}
	if t.Format == events.MatchPlay {
		return events.Invalid("cut", "not_applicable", "match play has no cut")
	}
	if c.AfterRound < 1 || c.AfterRound >= t.Rounds {
		return events.Invalid("cut.after_round", "out_of_range", fmt.Sprintf("a cut lies between two rounds; this competition has %d", t.Rounds))
	}
	if err := within("cut.places", c.Places, 0, 1000); err != nil {
		return err
	}
	if c.Within != nil {
		return within("cut.within", *c.Within, 0, 100)
	}
	if c.Places == 0 {
		return events.Invalid("cut.places", "required", "say how many play on, or within how many of the lead")
	}
	return nil
}
