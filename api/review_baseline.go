package api

import (
	"context"
	"errors"
	"fmt"
	"slices"
	"strings"

	"marram.example/projections/shots"
)

// Baselines beside the tables that shots.Names lists.
const (
	BaselineMatched = "matched" // a published table stretched to the player's handicap
	BaselineClub    = "club"    // fitted from what the club's players logged
)

// published is the table that others are made from.
const published = "broadie-2012"

// Baselines lists the names of all baselines that a review may be asked against.
func Baselines() []string {
	return slices.Concat([]string{BaselineMatched, BaselineClub}, shots.Names())
}

// against is what the strokes of some rounds are compared with.
type against struct {
	baseline *shots.Baseline
	note     string          // what else must be said of it
	matched  *shots.Baseline // to the handicap; nil where the cards do not give one
	club     *shots.Fit      // of which the baseline is; nil for any other
	table    *shots.Baseline // the published one
}

func (a *API) against(ctx context.Context, name string, rounds []shots.Round) (against, error) {
	table, err := shots.Named(published)
	if err != nil {
		return against{}, err
	}
	out := against{baseline: table, table: table}
	if out.matched, err = matched(table, rounds); err != nil {
		return against{}, err
	}
	switch name {
	case "", BaselineMatched:
		out.baseline = out.matched
		if out.matched == nil {
			out.baseline, out.note = table, "No baseline can be matched to a handicap: the cards have no course rating or no lengths of holes."
		}
	case BaselineClub:
		fit, err := a.club.fit(ctx, a.Models.Strokes)
		if err != nil {
			return against{}, err
		}
		out.baseline, out.note, out.club = fit.Baseline(), noteOf(fit), fit
	default:
		if out.baseline, err = shots.Named(name); err != nil {
			return against{}, err
		}
	}
	return out, nil
}

// matched stretches a table so that the tees of all holes played add up to what the
// handicaps of the rounds' own cards make expect there. It is nil where no round has
// both a course rating and the length of every hole, or where they fit no table.
func matched(table *shots.Baseline, rounds []shots.Round) (*shots.Baseline, error) {
	var holes []shots.Hole
	target := 0.0
	for _, r := range rounds {
		if r.CourseRating <= 0 || slices.ContainsFunc(r.Holes, func(h shots.Hole) bool { return h.Length <= 0 }) {
			continue
		}
		holes = append(holes, r.Holes...)
		target += r.CourseRating + r.CourseHandicap + shots.OverHandicap*float64(len(r.Holes))/18
	}
	if len(holes) == 0 {
		return nil, nil
	}
	b, err := shots.Matched(table, holes, target)
	var in *shots.InputError
	if errors.As(err, &in) {
		return nil, nil
	}
	return b, err
}

// noteOf says of which lies the club has too few strokes.
func noteOf(f *shots.Fit) string {
	var few []string
	for _, l := range f.Lies {
		if !f.Enough(l.Lie) {
			few = append(few, l.Lie)
		}
	}
	switch need := fmt.Sprintf("%d strokes of %d players are needed", f.MinStrokes, f.MinPlayers); {
	case len(few) == 0:
		return ""
	case len(few) == len(f.Lies):
		return fmt.Sprintf("The club has too few strokes for a baseline of its own (%s from a lie); these are the published values.", need)
	default:
		return fmt.Sprintf("Too few of the club's own strokes from %s (%s): the published values stand there.", strings.Join(few, ", "), need)
	}
}
