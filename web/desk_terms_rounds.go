package web

import (
	"cmp"
	"fmt"
	"net/url"
	"reflect"
	"slices"
	"strconv"
	"strings"

	"marram.example/api/command"
	"marram.example/events"
)

// cutValues are the cut as the form holds it.
func cutValues(v url.Values, c *events.Cut) {
	v.Set("cut.after_round", "")
	if c == nil {
		v.Set("cut.ties_in", "1")
		return
	}
	v.Set("cut.after_round", strconv.Itoa(c.AfterRound))
	v.Set("cut.places", positive(c.Places))
	if c.TiesIn {
		v.Set("cut.ties_in", "1")
	}
	if c.Within != nil {
		v.Set("cut.within", strconv.Itoa(*c.Within))
	}
}

// cutOf reads the cut; nil where everybody plays on.
func cutOf(r *cells, rounds int) *events.Cut {
	after := r.whole("cut.after_round", 0)
	if after == 0 || rounds < 2 {
		return nil
	}
	c := &events.Cut{AfterRound: after, Places: r.whole("cut.places", 0), TiesIn: r.ticked("cut.ties_in")}
	if r.text("cut.within") != "" {
		within := r.whole("cut.within", 0)
		c.Within = &within
	}
	return c
}

// roundValues are the terms of one round as the form holds them.
func roundValues(v url.Values, i int, o events.RoundTerms) {
	set := func(name, value string) {
		if value != "" {
			v.Set(cell("per_round", i, name), value)
		}
	}
	set("date", o.Date)
	set("first_time", o.FirstTime)
	set("format", o.Format)
	set("side", o.Side)
	set("course_id", o.CourseID)
	set("holes", holeChoice(o.Holes))
	set("count", numbersText(o.Count))
	set("allowances", numbersText(o.SideAllowances))
	if o.ParDifference != nil {
		set("par_difference", cond(*o.ParDifference, "yes", "no"))
	}
	if o.AllowancePercent != nil && len(o.SideAllowances) == 0 {
		set("allowances", strconv.Itoa(*o.AllowancePercent))
	}
	if o.Maximum != nil {
		set("maximum", cond(o.Maximum.Kind == events.FixedStrokes, strconv.Itoa(o.Maximum.Strokes), o.Maximum.Kind))
	}
}

func cond(test bool, yes, no string) string {
	if test {
		return yes
	}
	return no
}

// wholeTerms are terms with what settleRounds moved to the rounds taken back, as the
// form states it: of the first round in which the same side plays.
func wholeTerms(t events.Terms) events.Terms {
	for n := 1; n <= len(t.PerRound); n++ {
		round := t.Round(n)
		if round.Side != t.Side {
			continue
		}
		if len(t.SideAllowances) == 0 {
			t.SideAllowances = round.SideAllowances
		}
		if len(t.Count) == 0 {
			t.Count = round.Count
		}
		t.CountBy = cmp.Or(t.CountBy, round.CountBy)
	}
	t.PerRound = slices.Clone(t.PerRound)
	for i := range t.PerRound {
		o, round := &t.PerRound[i], t.Round(i+1)
		if round.Side == t.Side && slices.Equal(o.SideAllowances, t.SideAllowances) {
			o.SideAllowances = nil
		}
		if round.Side == t.Side && slices.Equal(o.Count, t.Count) {
			o.Count = nil
		}
		if events.OneBall(round.Side) {
			o.AllowancePercent = nil // always 100
		}
		if o.Maximum != nil && o.Maximum.Kind == "" {
			o.Maximum = nil
		}
		other := round.Side != t.Side || round.Format != t.Format
		if other && o.ParDifference != nil && *o.ParDifference == byStrokes(round.Format) {
			o.ParDifference = nil
		}
	}
	return t
}

// perRoundOf reads what differs from round to round. Where nothing does the terms
// have no rounds of their own.
func perRoundOf(r *cells, t *events.Terms) {
	if t.Rounds < 2 || t.Rounds > 4 {
		return
	}
	rounds := make([]events.RoundTerms, t.Rounds)
	differs := false
	for i := range rounds {
		rounds[i] = roundTermsOf(r, i, t)
		differs = differs || !reflect.DeepEqual(rounds[i], events.RoundTerms{})
	}
	if differs {
		t.PerRound = rounds
		settleRounds(t)
	}
}

// roundTermsOf reads one round. An allowance that is left open is the published one
// where something else is played than in the rest of the competition.
func roundTermsOf(r *cells, i int, t *events.Terms) events.RoundTerms {
	name := func(field string) string { return cell("per_round", i, field) }
	o := events.RoundTerms{
		Date: r.text(name("date")), FirstTime: r.text(name("first_time")), Format: r.text(name("format")), Side: r.text(name("side")),
		CourseID: r.text(name("course_id")), Count: r.numbers(name("count")),
	}
	if ends, ok := holeChoices[r.text(name("holes"))]; ok {
		o.Holes = command.HoleRange(ends[0], ends[1])
	}
	format, side := cmp.Or(o.Format, t.Format), cmp.Or(o.Side, t.Side)
	other := format != t.Format || side != t.Side
	if adds := r.text(name("par_difference")); adds != "" || other {
		difference := adds == "yes" || adds == "" && byStrokes(format)
		o.ParDifference = &difference
	}
	percents := r.numbers(name("allowances"))
	if len(percents) == 0 && other {
		counting := o.Count
		if len(counting) == 0 && side == t.Side {
			counting = t.Count
		}
		if found, ok := (played{format, side, t.Players(), soleCount(counting)}).published(); ok {
			percents = found.Percents
		}
	}
	switch {
	case len(percents) == 0:
	case events.OneBall(side):
		o.SideAllowances = percents
	case len(percents) == 1:
		o.AllowancePercent = &percents[0]
	default:
		r.wrong(events.Invalid(name("allowances"), "not_applicable", "each plays their own ball here: state one percentage"))
	}
	if highest := r.text(name("maximum")); highest != "" && format == events.MaximumScore {
		o.Maximum = maximumOf(highest)
	}
	return o
}

// maximumOf reads a maximum as the list of a round offers it: a kind, or a number
// of strokes.
func maximumOf(s string) *events.Maximum {
	if n, err := strconv.Atoi(s); err == nil {
		return &events.Maximum{Kind: events.FixedStrokes, Strokes: n}
	}
	return &events.Maximum{Kind: s}
}

// Maximums are the maximums that a round may have.
func (deskTermsPage) Maximums() []choice {
	out := []choice{{"", "as above"}, {events.NetDoubleBogey, "net double bogey"}, {events.DoublePar, "twice par"}}
	for n := 4; n <= 20; n++ {
		out = append(out, choice{strconv.Itoa(n), fmt.Sprintf("%d strokes", n)})
	}
	return out
}

// settleRounds states with each round what the terms as a whole cannot say: a round
// can add to them, but not take away what does not apply to it.
func settleRounds(t *events.Terms) {
	whole := *t
	is := func(fits func(events.Terms) bool) bool {
		for n := 1; n <= len(t.PerRound); n++ {
			if !fits(whole.Round(n)) {
				return false
			}
		}
		return true
	}
	oneBall := func(r events.Terms) bool { return events.OneBall(r.Side) }
	counts := func(r events.Terms) bool { return r.Side == events.SideBestOf }
	teams := func(r events.Terms) bool { return counts(r) || r.Side == events.SideAggregate }
	allOneBall, allCount, allTeams := is(oneBall), is(counts), is(teams)
	if !allOneBall {
		t.SideAllowances = nil
	}
	if !allCount {
		t.Count = nil
	}
	if !allTeams {
		t.CountBy = ""
	}
	hundred := 100
	for i := range t.PerRound {
		o, round := &t.PerRound[i], whole.Round(i+1)
		if !allOneBall && oneBall(round) {
			o.AllowancePercent = &hundred
			if len(o.SideAllowances) == 0 {
				o.SideAllowances = slices.Clone(whole.SideAllowances)
			}
		}
		if !allCount && counts(round) && len(o.Count) == 0 {
			o.Count = slices.Clone(whole.Count)
		}
		if !allTeams && teams(round) {
			o.CountBy = cmp.Or(whole.CountBy, "hole")
		}
		if round.Format != events.MaximumScore && whole.Maximum.Kind != "" {
			o.Maximum = &events.Maximum{}
		}
	}
}

// RoundExists is the condition under which there is a round.
func (deskTermsPage) RoundExists(i int) string {
	return "rounds=" + strings.Join([]string{"1", "2", "3", "4"}[i:], ",")
}

// RoundFormats are the formats of a round: no matches.
func (deskTermsPage) RoundFormats() []choice {
	return slices.DeleteFunc(formats(), func(c choice) bool { return c.Value == events.MatchPlay })
}

// RoundSides are who can play together in a round: an entry has as many players in
// every round.
func (deskTermsPage) RoundSides() []choice { return sides()[1:] }

// CourseChoices are the courses as a list.
func (p deskTermsPage) CourseChoices() []choice {
	out := make([]choice, len(p.Courses))
	for i := range p.Courses {
		out[i] = choice{p.Courses[i].ID, p.Courses[i].State.Name}
	}
	return out
}

// RoundsDiffer reports whether anything stands in the fields of a round.
func (deskTermsPage) RoundsDiffer(f *form) bool {
	for name, values := range f.Values {
		if strings.HasPrefix(name, "per_round[") && strings.Join(values, "") != "" {
			return true
		}
	}
	return false
}
