package competition

import (
	"fmt"
	"slices"

	"marram.example/events"
)

// sideSizes are how many players an entry of each kind has.
func sideSizes(side string) (fewest, most int, known bool) {
	switch side {
	case "":
		return 1, 1, true
	case events.SideFourBall, events.SideFoursomes, events.SideGreensomes, events.SideChapman:
		return 2, 2, true
	case events.SideScramble, events.SideBestOf, events.SideAggregate:
		return 2, 4, true
	default:
		return 0, 0, false
	}
}

// checkSide makes sure that an entry can be what the terms say, in every round.
func checkSide(t events.Terms) error {
	if t.SideSize == 1 {
		return events.Invalid("side_size", "out_of_range", "0 stands for one player; a side has 2 to 4")
	}
	for n := 1; n <= max(1, len(t.PerRound)); n++ {
		prefix := perRound(t, n)
		r := t.Round(n)
		fewest, most, known := sideSizes(r.Side)
		if !known {
			return events.Invalid(prefix+"side", "unknown", fmt.Sprintf("%q is not known here; leave it empty for one player, or use %s", r.Side,
				"four_ball, foursomes, greensomes, chapman, scramble, best_of or aggregate"))
		}
		if p := t.Players(); p < fewest || p > most {
			return events.Invalid("side_size", "out_of_range", fmt.Sprintf("%s is played by %s, not %d", sideName(r.Side), sizes(fewest, most), p))
		}
		if err := firstError(checkAllowances(prefix, r), checkCount(prefix, r)); err != nil {
			return err
		}
	}
	return nil
}

func sideName(side string) string {
	if side == "" {
		return "an entry without a side"
	}
	return side
}

func sizes(fewest, most int) string {
	switch {
	case most == 1:
		return "one player"
	case fewest == most:
		return fmt.Sprintf("sides of %d", fewest)
	default:
		return fmt.Sprintf("sides of %d to %d", fewest, most)
	}
}

// checkAllowances makes sure that the percents fit the balls that are played.
func checkAllowances(prefix string, t events.Terms) error {
	if err := within(prefix+"allowance_percent", t.AllowancePercent, 0, 200); err != nil {
		return err
	}
	if !events.OneBall(t.Side) {
		if len(t.SideAllowances) > 0 {
			return events.Invalid(prefix+"side_allowances", "not_applicable", "only sides that play one ball have an allowance for each player")
		}
		return nil
	}
	if len(t.SideAllowances) != t.Players() {
		return events.Invalid(prefix+"side_allowances", "side_size",
			fmt.Sprintf("state %d percentages, the lowest handicap first", t.Players())).WithRule("Rules of Handicapping, Appendix C")
	}
	for i, p := range t.SideAllowances {
		if err := within(fmt.Sprintf("%sside_allowances[%d]", prefix, i), p, 0, 200); err != nil {
			return err
		}
	}
	if t.AllowancePercent != 100 {
		return events.Invalid(prefix+"allowance_percent", "not_applicable", "where each player has a percentage of their own this is 100")
	}
	return nil
}

func checkCount(prefix string, t events.Terms) error {
	if t.CountBy != "" {
		if err := oneOf(prefix+"count_by", t.CountBy, "hole", "round"); err != nil {
			return err
		}
		if t.Side != events.SideBestOf && t.Side != events.SideAggregate {
			return events.Invalid(prefix+"count_by", "not_applicable", "only teams count by hole or by round")
		}
	}
	if t.Side != events.SideBestOf {
		if len(t.Count) > 0 {
			return events.Invalid(prefix+"count", "not_applicable", "only best_of states how many balls count")
		}
		return nil
	}
	if len(t.Count) != 1 && (len(t.Count) != len(t.Holes) || t.CountBy == "round") {
		return events.Invalid(prefix+"count", "hole_count", "state one number of balls that count, or one for each hole in play")
	}
	most := t.Players()
	if len(t.Count) == 1 {
		most-- // all of them count in an aggregate
	}
	for i, n := range t.Count {
		if err := within(fmt.Sprintf("%scount[%d]", prefix, i), n, 1, most); err != nil {
			return err
		}
	}
	return nil
}

// checkHighest makes sure that maximum score has its maximum, and nothing else.
func checkHighest(prefix string, t events.Terms) error {
	if t.Format != events.MaximumScore {
		if t.Maximum.Kind != "" || t.Maximum.Strokes != 0 {
			return events.Invalid(prefix+"maximum", "not_applicable", "only maximum_score has a maximum")
		}
		return nil
	}
	if err := oneOf(prefix+"maximum.kind", t.Maximum.Kind, events.NetDoubleBogey, events.DoublePar, events.FixedStrokes); err != nil {
		return err
	}
	if t.Maximum.Kind == events.FixedStrokes {
		if t.Maximum.Strokes == 0 {
			return events.Invalid(prefix+"maximum.strokes", "required", "say how many strokes count at most, 4 to 20")
		}
		return within(prefix+"maximum.strokes", t.Maximum.Strokes, 4, 20)
	}
	if t.Maximum.Strokes != 0 {
		return events.Invalid(prefix+"maximum.strokes", "not_applicable", "this maximum is worked out for each hole")
	}
	return nil
}

// Formats are the formats in which cards are played.
func Formats() []string {
	return []string{events.StrokePlay, events.Stableford, events.ParBogey, events.MaximumScore}
}

// Unit is what a format counts; rounds of one unit can be added up.
func Unit(format string) string {
	switch format {
	case events.StrokePlay, events.MaximumScore:
		return "strokes"
	case events.Stableford:
		return "points"
	case events.ParBogey:
		return "holes"
	default:
		return "matches"
	}
}

func checkFormat(prefix string, t events.Terms) error {
	return firstError(
		oneOf(prefix+"format", t.Format, slices.Concat(Formats(), []string{events.MatchPlay})...),
		checkHighest(prefix, t),
	)
}
