package api

import (
	"context"
	"fmt"
	"math"
	"slices"
	"strconv"
	"strings"

	"github.com/labstack/echo/v4"

	"marram.example/api/command"
	"marram.example/events"
	"marram.example/events/card"
	"marram.example/events/competition"
	"marram.example/projections/review"
	"marram.example/projections/shots"
	"marram.example/projections/strokes"
)

// ReviewOptions are what may be asked of a review.
type ReviewOptions struct {
	// Baseline is what strokes are compared with: BaselineMatched (also when empty),
	// BaselineClub, or a table's name as shots.Names lists them.
	Baseline string
	// Last is how many of the newest rounds are under review, and of one card with how
	// many rounds before it is compared: 5, 10, 20 or 50; 0 for all.
	Last int
	Ball int // of a card; 0 for the first player's, or the one that a side plays

	// Trouble beside the line to the target of a group of clubs, metres from the line;
	// a negative one lies on the other side of it. Both 0 for none described.
	Group     string // as in shots.Groups; empty for the driver
	Left      float64
	Right     float64
	CostLeft  float64 // strokes that it costs to finish there; both 0 for the same
	CostRight float64

	Units        string // of the sentences: review.Metres (also when empty) or review.Yards
	WithoutField bool   // leaves the day's field out: who asks may not watch the competition
}

// furthest is the furthest that trouble may be from the line, and dearest what it
// may cost: more is a slip of the finger.
const (
	furthest = 500.0 // metres
	dearest  = 10.0  // strokes
)

// usualRounds is how many rounds a review is about or rests on where nobody says
// otherwise: years of them tell less of a player's game now than they cost to read
// (common practice, no source).
const usualRounds = 50

// Lasts are the numbers of rounds that may be asked for; 0 is all of them.
func Lasts() []int { return []int{5, 10, 20, usualRounds, 0} }

// check makes sure that options make sense; fields are named as in the query.
func (o ReviewOptions) check() error {
	if o.Baseline != "" && !slices.Contains(Baselines(), o.Baseline) {
		return events.Invalid("baseline", "unknown", "the baselines are "+strings.Join(Baselines(), ", "))
	}
	if !slices.Contains(Lasts(), o.Last) {
		return events.Invalid("last", "unknown", "the last 5, 10, 20 or 50 rounds, or 0 for all of them")
	}
	if o.Group != "" && !slices.Contains(shots.Groups(), o.Group) {
		return events.Invalid("group", "unknown", "the groups of clubs are "+strings.Join(shots.Groups(), ", "))
	}
	if o.Units != "" && o.Units != review.Metres && o.Units != review.Yards {
		return events.Invalid("units", "unknown", "units are m or yd")
	}
	for _, d := range []struct {
		field            string
		value, low, high float64
		unit             string
	}{
		{"left", o.Left, -furthest, furthest, "metres from the line"}, {"right", o.Right, -furthest, furthest, "metres from the line"},
		{"cost_left", o.CostLeft, 0, dearest, "strokes"}, {"cost_right", o.CostRight, 0, dearest, "strokes"},
	} {
		if !(d.value >= d.low && d.value <= d.high) {
			return events.Invalid(d.field, "out_of_range", fmt.Sprintf("%g to %g %s", d.low, d.high, d.unit))
		}
	}
	if o.corridor() && o.Left+o.Right <= 0 {
		return events.Invalid("right", "no_corridor", "the two edges leave nothing between them")
	}
	return nil
}

// corridor reports whether trouble was described.
func (o ReviewOptions) corridor() bool { return o.Left != 0 || o.Right != 0 }

// ReviewOptionsOf reads the options that a query states. What is empty is left at its
// default, so that a form can be sent as it is.
func ReviewOptionsOf(c echo.Context) (ReviewOptions, error) {
	o := ReviewOptions{Last: usualRounds, Baseline: c.QueryParam("baseline"), Group: c.QueryParam("group"), Units: c.QueryParam("units")}
	for _, n := range []struct {
		to    *int
		field string
	}{{&o.Last, "last"}, {&o.Ball, "ball"}} {
		text := c.QueryParam(n.field)
		if text == "" {
			continue
		}
		v, err := strconv.Atoi(text)
		if err != nil || v < 0 {
			return o, events.Invalid(n.field, "malformed", n.field+" is a whole number from 0")
		}
		*n.to = v
	}
	for _, d := range []struct {
		to    *float64
		field string
	}{{&o.Left, "left"}, {&o.Right, "right"}, {&o.CostLeft, "cost_left"}, {&o.CostRight, "cost_right"}} {
		text := c.QueryParam(d.field)
		if text == "" {
			continue
		}
		v, err := strconv.ParseFloat(text, 64)
		if err != nil || math.IsNaN(v) || math.IsInf(v, 0) {
			return o, events.Invalid(d.field, "malformed", d.field+" is a number")
		}
		*d.to = v
	}
	return o, o.check()
}

// CardReview reviews the round on a card, on one ball of it. It is refused with
// withheld while the round's strokes may not be interpreted (Rules of Golf 4.3a).
// Who may see it is the caller's to ask: MayReviewCard.
//
// Of a card that one player plays alone it is compared with that player's rounds
// before it. A side holds one link, so that of nobody on it any other round is shown.
func (a *API) CardReview(ctx context.Context, k command.CardView, comp *competition.State, o ReviewOptions) (review.Review, error) {
	if err := command.Interpretable(k.State, comp); err != nil {
		return review.Review{}, err
	}
	if err := o.check(); err != nil {
		return review.Review{}, err
	}
	if o.Ball < 0 || o.Ball >= k.State.Balls() {
		return review.Review{}, events.Invalid("ball", "unknown", "this card has no such ball")
	}
	giveBack, err := a.reviews.take(ctx)
	if err != nil {
		return review.Review{}, err
	}
	defer giveBack()
	if k, err = a.Commands.Card(ctx, k.ID); err != nil {
		return review.Review{}, err
	}
	if err := command.Interpretable(k.State, comp); err != nil { // reopened while this waited
		return review.Review{}, err
	}
	if err := a.seenAll(ctx); err != nil {
		return review.Review{}, err
	}
	own := strokes.OfCard(k.State, k.ID, o.Ball)
	own.Date = dateOf(k.State, comp)
	in := review.Input{Own: []shots.Round{own}, One: true, Practice: k.State.Practice && !k.State.Returned}
	if in.Past, err = a.pastOf(ctx, k, own.Date, o.Last); err != nil {
		return review.Review{}, err
	}
	if !o.WithoutField {
		if in.Field, err = a.fieldOf(ctx, k); err != nil {
			return review.Review{}, err
		}
	}
	return a.reviewed(ctx, in, o)
}

// PlayerReview reviews a player's newest rounds, those that are returned and practice.
// It is refused for a player whose personal data is erased: there is nobody to show a
// review to. Who may see it is the caller's to ask: MayReview.
func (a *API) PlayerReview(ctx context.Context, playerID string, o ReviewOptions) (review.Review, error) {
	if err := o.check(); err != nil {
		return review.Review{}, err
	}
	p, _, err := a.Commands.Player(ctx, playerID)
	if err != nil {
		return review.Review{}, err
	}
	if p.Erased {
		return review.Review{}, events.NotFound("player_id", "this player's personal data was erased; no review is kept")
	}
	giveBack, err := a.reviews.take(ctx)
	if err != nil {
		return review.Review{}, err
	}
	defer giveBack()
	if err := a.seenAll(ctx); err != nil {
		return review.Review{}, err
	}
	most := 0
	if o.Last > 0 {
		most = o.Last + usualRounds // what is usual rests on the rounds before
	}
	played, err := a.Models.Strokes.ByPlayer(ctx, playerID, "", most)
	if err != nil {
		return review.Review{}, fromStore(err)
	}
	in := review.Input{}
	for i, p := range played {
		if o.Last > 0 && i >= o.Last {
			in.Past = append(in.Past, p.Round)
			continue
		}
		in.Own = append(in.Own, p.Round)
		in.Practice = in.Practice || p.Practice && !p.Returned
	}
	return a.reviewed(ctx, in, o)
}

// reviewed adds what strokes are compared with, and composes the review.
func (a *API) reviewed(ctx context.Context, in review.Input, o ReviewOptions) (review.Review, error) {
	with, err := a.against(ctx, o.Baseline, in.Own)
	if err != nil {
		return review.Review{}, err
	}
	in.Baseline, in.BaselineNote, in.Matched, in.Units = with.baseline, with.note, with.matched, o.Units
	in.Club, in.Published = with.club, with.table
	if o.corridor() {
		trouble := review.CorridorInput{Group: o.Group, Left: o.Left, Right: o.Right, CostLeft: o.CostLeft, CostRight: o.CostRight}
		if trouble.Group == "" {
			trouble.Group = shots.GroupDriver
		}
		in.Corridors = []review.CorridorInput{trouble}
	}
	return review.Of(in)
}

// seenAll waits until the read models have seen all that the log holds at this
// moment: a card that was reopened just now is withheld by then.
func (a *API) seenAll(ctx context.Context) error {
	at, _, err := a.Log.Last(ctx)
	if err != nil {
		return err
	}
	wait, cancel := context.WithTimeout(ctx, a.Patience)
	defer cancel()
	if err := a.Runner.WaitFor(wait, at); err != nil {
		return fmt.Errorf("%w: %w", errBehind, err)
	}
	return nil
}

// pastOf are the rounds that the player of a card had played before it, the newest
// first, at most so many (0 for all); none where it is a side's.
func (a *API) pastOf(ctx context.Context, k command.CardView, date string, most int) ([]shots.Round, error) {
	players := k.State.Players()
	if len(players) != 1 {
		return nil, nil
	}
	ask := 0
	if most > 0 {
		ask = most + 4 // rounds of the same day, this card's among them, are dropped below
	}
	played, err := a.Models.Strokes.ByPlayer(ctx, players[0], date, ask)
	if err != nil {
		return nil, fromStore(err)
	}
	var past []shots.Round
	for _, p := range played {
		earlier := p.Date < date || p.CompetitionID == k.State.CompetitionID && p.Number < k.State.Round
		if p.CardID == k.ID || !earlier {
			continue
		}
		if past = append(past, p.Round); len(past) == most {
			break
		}
	}
	return past, nil
}

// dateOf is the day of a card's round: its own, or as the terms have it where the card
// is older than that.
func dateOf(k *card.State, comp *competition.State) string {
	switch {
	case k.Date != "":
		return k.Date
	case comp.Terms != nil:
		return comp.Terms.DateOf(k.Round, comp.Date)
	default:
		return comp.Date
	}
}

func getCardReview(ctx context.Context, r reading) (review.Review, error) {
	k, err := r.api.Commands.Card(ctx, r.Param("card"))
	if err != nil {
		return review.Review{}, err
	}
	if err := r.api.MayReviewCard(r.Context, k); err != nil {
		return review.Review{}, err
	}
	o, err := ReviewOptionsOf(r.Context)
	if err != nil {
		return review.Review{}, err
	}
	comp, _, err := r.api.Commands.Competition(ctx, k.State.CompetitionID)
	if err != nil {
		return review.Review{}, err
	}
	o.WithoutField = r.api.MayWatch(r.Context, k.State.CompetitionID, comp.Terms) != nil
	return r.api.CardReview(ctx, k, comp, o)
}

func getPlayerReview(ctx context.Context, r reading) (review.Review, error) {
	id := r.Param("player")
	if err := r.api.MayReview(r.Context, id); err != nil {
		return review.Review{}, err
	}
	o, err := ReviewOptionsOf(r.Context)
	if err != nil {
		return review.Review{}, err
	}
	return r.api.PlayerReview(ctx, id, o)
}
