package standing

import (
	"fmt"
	"regexp"
	"slices"
	"strings"

	"marram.example/events"
	"marram.example/events/competition"
)

// OtherTerms are terms under which the cards of a competition are counted once
// more. What is empty is as played. Of several rounds they hold in every one.
type OtherTerms struct {
	Format           string          // stroke_play, stableford, par_bogey or maximum_score
	Side             string          // four_ball, best_of or aggregate, among themselves
	Ranking          string          // net or gross
	AllowancePercent *int            // where players play their own ball
	SideAllowances   []int           // where a side plays one ball, lowest course handicap first
	Maximum          *events.Maximum // of maximum_score
	Count            []int           // of best_of: one number, or one a hole
	CountBy          string          // of best_of and aggregate: hole or round
	TieMethod        string          // countback, shared, lot or play_off
}

// On puts the other terms in the place of those that were played. Cards cannot be
// counted as something that was not played: one player is no pair, and one ball is
// not two. The error is an *events.Error that names the field.
func (o OtherTerms) On(played events.Terms) (events.Terms, error) {
	if played.Match != nil {
		return played, events.NotNow("competition_id", "match_play",
			"how a hole of a match is played depends on how the match stands; its holes cannot be counted in another way")
	}
	t := played
	t.PerRound = slices.Clone(played.PerRound)
	if err := o.format(&t); err != nil {
		return played, err
	}
	if err := o.side(&t, played); err != nil {
		return played, err
	}
	if err := o.allowances(&t); err != nil {
		return played, err
	}
	o.maximum(&t)
	if len(o.Count) > 0 {
		t.Count = o.Count
		o.everyRound(&t, func(r *events.RoundTerms) { r.Count = nil })
	}
	if o.CountBy != "" {
		t.CountBy = o.CountBy
		o.everyRound(&t, func(r *events.RoundTerms) { r.CountBy = "" })
	}
	put(&t.Ranking, o.Ranking)
	put(&t.TieMethod, o.TieMethod)
	if err := competition.CheckCounting(t); err != nil {
		return played, plainField(err)
	}
	return t, nil
}

// changesFigures reports whether anything but the order of the rankings is asked.
func (o OtherTerms) changesFigures() bool {
	return o.Format != "" || o.Side != "" || o.AllowancePercent != nil || len(o.SideAllowances) > 0 || o.Maximum != nil ||
		len(o.Count) > 0 || o.CountBy != "" || o.TieMethod != ""
}

func put(to *string, value string) {
	if value != "" {
		*to = value
	}
}

// everyRound changes what rounds state for themselves.
func (OtherTerms) everyRound(t *events.Terms, change func(*events.RoundTerms)) {
	for i := range t.PerRound {
		change(&t.PerRound[i])
	}
}

func (o OtherTerms) format(t *events.Terms) error {
	if o.Format == "" {
		return nil
	}
	if !slices.Contains(competition.Formats(), o.Format) {
		return events.Invalid("format", "unknown", fmt.Sprintf("%q is not counted on a card; use %s", o.Format, strings.Join(competition.Formats(), ", ")))
	}
	t.Format = o.Format
	o.everyRound(t, func(r *events.RoundTerms) { r.Format = "" })
	if o.Format != events.MaximumScore {
		t.Maximum = events.Maximum{}
		o.everyRound(t, func(r *events.RoundTerms) { r.Maximum = nil })
	}
	return nil
}

// ownBalls are the sides whose players play a ball each.
var ownBalls = []string{events.SideFourBall, events.SideBestOf, events.SideAggregate}

// Sides are the sides as which the cards of these terms can be counted: the one
// that was played alone, or those of which everybody plays a ball.
func Sides(t *events.Terms) []string {
	for n := 1; n <= max(1, len(t.PerRound)); n++ {
		if !slices.Contains(ownBalls, t.Round(n).Side) {
			return []string{t.Side}
		}
	}
	if t.Players() != 2 {
		return []string{events.SideBestOf, events.SideAggregate}
	}
	return slices.Clone(ownBalls)
}

func (o OtherTerms) side(t *events.Terms, played events.Terms) error {
	if o.Side == "" {
		return nil
	}
	if may := Sides(&played); !slices.Contains(may, o.Side) {
		switch {
		case played.Players() == 1:
			return events.Invalid("side", "not_played", "everybody played for themselves; cards of single players make no side")
		case events.OneBall(played.Side):
			return events.Invalid("side", "not_played", fmt.Sprintf("a side played one ball (%s); there is one score for it, however it is counted", played.Side))
		default:
			return events.Invalid("side", "not_played", fmt.Sprintf("these cards can be counted as %s, not as %q", strings.Join(may, " or "), o.Side))
		}
	}
	if o.Side == t.Side && !slices.ContainsFunc(t.PerRound, func(r events.RoundTerms) bool { return r.Side != "" }) {
		return nil
	}
	t.Side = o.Side
	o.everyRound(t, func(r *events.RoundTerms) { r.Side = "" })
	if o.Side != events.SideBestOf {
		t.Count = nil
		o.everyRound(t, func(r *events.RoundTerms) { r.Count = nil })
	}
	if o.Side == events.SideFourBall {
		t.CountBy = ""
		o.everyRound(t, func(r *events.RoundTerms) { r.CountBy = "" })
	}
	return nil
}

// allowances of own balls are one number, those of a ball played together one for
// each player.
func (o OtherTerms) allowances(t *events.Terms) error {
	for n := 1; n <= max(1, len(t.PerRound)); n++ {
		together := events.OneBall(t.Round(n).Side)
		if o.AllowancePercent != nil && together {
			return events.Invalid("allowance_percent", "not_applicable", "a side that plays one ball has an allowance for each player: state side_allowances, the lowest handicap first").
				WithRule("Rules of Handicapping, Appendix C")
		}
		if len(o.SideAllowances) > 0 && !together {
			return events.Invalid("side_allowances", "not_applicable", "everybody plays a ball: state allowance_percent")
		}
	}
	if o.AllowancePercent != nil {
		t.AllowancePercent = *o.AllowancePercent
		o.everyRound(t, func(r *events.RoundTerms) { r.AllowancePercent = nil })
	}
	if len(o.SideAllowances) > 0 {
		t.SideAllowances = o.SideAllowances
		o.everyRound(t, func(r *events.RoundTerms) { r.SideAllowances = nil })
	}
	return nil
}

// maximum goes to the rounds of maximum score; where there is none the terms state
// it all the same and are refused for it.
func (o OtherTerms) maximum(t *events.Terms) {
	if o.Maximum == nil {
		return
	}
	if t.Format == events.MaximumScore || len(t.PerRound) == 0 {
		t.Maximum = *o.Maximum
		o.everyRound(t, func(r *events.RoundTerms) { r.Maximum = nil })
		return
	}
	found := false
	for i := range t.PerRound {
		if t.PerRound[i].Format == events.MaximumScore {
			t.PerRound[i].Maximum, found = o.Maximum, true
		}
	}
	if !found {
		t.Maximum = *o.Maximum
	}
}

// inTerms finds what a field of the terms has around its name.
var inTerms = regexp.MustCompile(`^(per_round\[\d+\]\.)?(\w+).*$`)

// plainField names the field as other terms have it.
func plainField(err error) error {
	if e := events.AsError(err); e != nil {
		return e.WithField(inTerms.ReplaceAllString(e.Field, "$2"))
	}
	return err
}
