package card

import (
	"fmt"
	"math"
	"slices"
	"time"

	"marram.example/events"
)

// What a stroke can hold.
const (
	MostDistanceM     = 1500      // metres: no hole is longer
	MostMissM         = 500       // metres
	MostStrokePenalty = 4         // a stroke that incurs more is two strokes
	longestRoutine    = time.Hour // from intent to strike

	firstYear, lastYear = 1970, 9998 // of a device's clock, right or wrong
)

// The words that a field of a stroke may hold; the empty one is not said.
var (
	lies    = []string{events.LieTee, events.LieFairway, events.LieRough, events.LieSand, events.LieRecovery, events.LieGreen}
	targets = []string{"", events.TargetLeft, events.TargetAt, events.TargetRight}
	shapes  = []string{"", events.ShapeStraight, events.ShapeDraw, events.ShapeFade}
	strikes = []string{"", events.StrikePoor, events.StrikeFair, events.StrikeGood}
	missed  = []string{"", events.MissLeft, events.MissRight, events.MissOnLine}
	lengths = []string{"", events.MissShort, events.MissLong, events.MissLevel}
	clubs   = append([]string{""}, events.Clubs()...)
)

// checkStrokes makes sure that the strokes of a hole can have been played in this
// order. The fields of the one that is asked about go by their own names.
func checkStrokes(strokes []StrokeLine, asked string) error {
	if len(strokes) > MostStrokes {
		return events.Invalid("strokes", "too_many", fmt.Sprintf("a hole holds at most %d strokes of one ball", MostStrokes))
	}
	for i, x := range strokes {
		at := fmt.Sprintf("strokes[%d].", i)
		if asked != "" && x.ID == asked {
			at = ""
		}
		if err := checkStroke(at, x); err != nil {
			return err
		}
		if holed(x) && i < len(strokes)-1 {
			return events.Invalid(at+"finish.holed", "order", "a stroke that is holed is the last of its hole")
		}
		// Stroke and distance; the rule's number is from memory.
		if i > 0 && x.Lie == events.LieTee && strokes[i-1].Lie != events.LieTee && strokes[i-1].Penalty == 0 {
			return events.Invalid(at+"lie", "order", "a ball that has left the tee is there again only with a penalty").
				WithRule("Rules of Golf 18.1")
		}
	}
	return nil
}

func checkStroke(at string, x StrokeLine) error {
	if x.ID == "" {
		return events.Invalid(at+"stroke_id", "required", "a stroke has an id")
	}
	if err := checkPosition(at, x.Lie, x.DistanceM); err != nil {
		return err
	}
	for _, f := range []struct {
		field, value string
		known        []string
	}{
		{"club", x.Club, clubs},
		{"target", x.Target, targets},
		{"shape", x.Shape, shapes},
		{"strike", x.Strike, strikes},
		{"miss.side", x.Miss.Side, missed},
		{"miss.length", x.Miss.Length, lengths},
	} {
		if !slices.Contains(f.known, f.value) {
			return unknownWord(at+f.field, f.value, f.known[1:])
		}
	}
	switch {
	case x.Commitment < 0 || x.Commitment > 5:
		return events.Invalid(at+"commitment", "out_of_range", "commitment is 1 to 5")
	case x.Penalty < 0 || x.Penalty > MostStrokePenalty:
		return events.Invalid(at+"penalty", "out_of_range", fmt.Sprintf("one stroke incurs 0 to %d penalty strokes", MostStrokePenalty))
	}
	if err := checkClocks(at, x); err != nil {
		return err
	}
	if err := checkMiss(at, x.Miss); err != nil {
		return err
	}
	return checkFinish(at, x)
}

// checkClocks makes sure that the two times are of one stroke, and can be written.
func checkClocks(at string, x StrokeLine) error {
	for _, c := range []struct {
		field string
		time  time.Time
	}{{"intent_at", x.IntentAt}, {"struck_at", x.StruckAt}} {
		if !c.time.IsZero() && (c.time.UTC().Year() < firstYear || c.time.UTC().Year() > lastYear) {
			return events.Invalid(at+c.field, "out_of_range", fmt.Sprintf("a time lies in the years %d to %d", firstYear, lastYear))
		}
	}
	if !x.IntentAt.IsZero() && !x.StruckAt.IsZero() && (x.StruckAt.Before(x.IntentAt) || x.StruckAt.Sub(x.IntentAt) > longestRoutine) {
		return events.Invalid(at+"struck_at", "out_of_range", "a strike follows its intent, within an hour")
	}
	return nil
}

func checkFinish(at string, x StrokeLine) error {
	f := x.Finish
	switch {
	case f == nil:
		return nil
	case !f.Holed:
		return checkPosition(at+"finish.", f.Lie, f.DistanceM)
	case f.Lie != "" || f.DistanceM != 0:
		return events.Invalid(at+"finish.holed", "ambiguous", "a ball that is holed lies nowhere")
	default:
		return nil
	}
}

func checkPosition(at, lie string, distance float64) error {
	if !slices.Contains(lies, lie) {
		return unknownWord(at+"lie", lie, lies)
	}
	if !(distance > 0) || distance > MostDistanceM || math.IsInf(distance, 0) { // not a number is not above 0 either
		return events.Invalid(at+"distance", "out_of_range", fmt.Sprintf("the distance to the hole is above 0 and at most %d m", MostDistanceM))
	}
	return nil
}

// checkMiss makes sure that an amount has a side to it.
func checkMiss(at string, m events.Miss) error {
	for _, a := range []struct {
		field, side, none string
		by                float64
	}{
		{"miss.side_by", m.Side, events.MissOnLine, m.SideM},
		{"miss.length_by", m.Length, events.MissLevel, m.LengthM},
	} {
		switch {
		case a.by == 0:
		case !(a.by > 0) || a.by > MostMissM:
			return events.Invalid(at+a.field, "out_of_range", fmt.Sprintf("a miss is above 0 and at most %d m", MostMissM))
		case a.side == "" || a.side == a.none:
			return events.Invalid(at+a.field, "ambiguous", "say to which side")
		}
	}
	return nil
}

func unknownWord(field, value string, known []string) error {
	return events.Invalid(field, "unknown", fmt.Sprintf("%q is not known here; use one of %s", value, known))
}
