package main

import (
	"cmp"
	"context"
	"fmt"
	"math/rand/v2"
	"slices"
	"time"

	"marram.example/api/command"
	"marram.example/events"
	"marram.example/events/card"
	"marram.example/projections/scoring"
)

// moment is something that happens on the course, so many minutes into the day.
type moment struct {
	minute float64
	do     func(context.Context) error
}

// playDay lays out what happens in a round: every group plays its holes in
// order, player and marker enter, some disagree and settle it, most hand in.
type playDay struct {
	demo  *demo
	rng   *rand.Rand
	cards map[string]command.CardView // by entry
	order []moment
}

// minutesAHole is the pace of the demo's groups (common practice, no source).
const minutesAHole = 13.0

// schedule lays out the whole day of a competition.
func (d *demo) schedule(ctx context.Context, competitionID string, rng *rand.Rand) ([]moment, error) {
	c, _, err := d.commands.Competition(ctx, competitionID)
	if err != nil {
		return nil, err
	}
	out, err := d.commands.Cards(ctx, competitionID, c, c.Round)
	if err != nil {
		return nil, err
	}
	day := &playDay{demo: d, rng: rng, cards: out}
	for i, g := range c.Draw.Groups {
		start, err := scoring.ParseClock(g.Time)
		if err != nil {
			return nil, err
		}
		for j, p := range g.Places {
			day.player(out[p.EntryID], float64(start), i*len(g.Places)+j)
		}
	}
	slices.SortStableFunc(day.order, func(a, b moment) int { return cmp.Compare(a.minute, b.minute) })
	return day.order, nil
}

func (p *playDay) at(minute float64, do func(context.Context) error) {
	p.order = append(p.order, moment{minute: minute, do: do})
}

// player lays out one card. A few make the morning interesting: a no-show, a
// retirement, a ball picked up, two who differ and leave it to the committee, and
// one who forgets to hand in.
func (p *playDay) player(k command.CardView, start float64, number int) {
	if number == 31 {
		p.at(start+6, func(ctx context.Context) error {
			_, err := p.demo.commands.Rule(ctx, p.demo.committee(), k.ID, command.RuleStatus{Status: events.StatusNoShow, Reason: "not at the tee"})
			return err
		})
		return
	}
	form := p.rng.NormFloat64() * 0.12
	minute := start
	for n, i := range k.State.PlayOrder() {
		minute += minutesAHole + p.rng.NormFloat64()*1.2
		if number == 17 && n == 11 {
			p.at(minute, func(ctx context.Context) error {
				_, err := p.demo.commands.Rule(ctx, p.demo.committee(), k.ID, command.RuleStatus{Status: events.StatusRetired, Reason: "felt unwell, went in"})
				return err
			})
			return
		}
		p.hole(k, k.State.Holes[i], minute, form, number, n)
	}
	if number == 44 {
		return // still in the bag: the committee has a card to chase
	}
	p.handIn(k, minute, number == 8)
}

// hole lays out what player and marker enter for a hole.
func (p *playDay) hole(k command.CardView, h card.HoleLine, minute, form float64, number, n int) {
	strokes, log := p.score(k, h, minute, form, n)
	entry := command.EnterScore{Hole: h.Number, Strokes: &strokes, Confirmed: true}
	if number == 23 && n == 6 {
		entry = command.EnterScore{Hole: h.Number, None: events.PickedUp}
	}
	mark := entry
	if p.rng.Float64() < 0.012 || number == 8 && n == 13 {
		other := strokes + 1
		mark = command.EnterScore{Hole: h.Number, Strokes: &other, Confirmed: true}
	}
	p.at(minute, func(ctx context.Context) error {
		return p.demo.enter(ctx, k, events.RoleMarker, mark)
	})
	p.at(minute+p.rng.Float64()*4, func(ctx context.Context) error {
		if err := p.demo.log(ctx, k, h.Number, log); err != nil {
			return err
		}
		return p.demo.enter(ctx, k, events.RolePlayer, entry)
	})
	if mark != entry && number != 8 { // they talk on the next tee, and the marker corrects
		p.at(minute+6, func(ctx context.Context) error {
			return p.demo.enter(ctx, k, events.RoleMarker, entry)
		})
	}
}

// score is what a hole took, and the strokes of who logs them.
func (p *playDay) score(k command.CardView, h card.HoleLine, minute, form float64, n int) (int, []command.LoggedStroke) {
	g, logs := p.demo.golfers[k.State.PlayerID]
	if !logs {
		return demoScore(p.rng, h.Par, h.Received, form), nil
	}
	now := time.Now()
	begin := time.Date(now.Year(), now.Month(), now.Day(), 0, 0, 0, 0, time.Local).Add(time.Duration((minute - minutesAHole) * float64(time.Minute)))
	strokes, _ := g.play(p.rng, h.LengthM, h.Par, begin, g.slowed(n))
	return count(strokes), g.kept(strokes)
}

// handIn lays out certification and return, unless a difference is left for the
// committee.
func (p *playDay) handIn(k command.CardView, minute float64, disputed bool) {
	if disputed {
		return
	}
	certify := func(role events.Role) func(context.Context) error {
		return func(ctx context.Context) error {
			_, err := p.demo.commands.Certify(ctx, p.demo.as(k, role), k.ID, role)
			return err
		}
	}
	p.at(minute+8, certify(events.RoleMarker))
	p.at(minute+9, certify(events.RolePlayer))
	p.at(minute+10, func(ctx context.Context) error {
		_, err := p.demo.commands.Return(ctx, p.demo.as(k, events.RolePlayer), k.ID)
		return err
	})
}

// play runs moments against the wall clock, speed minutes of golf a minute, from
// the minute given on. Moments before it happen at once, so that the first look
// at the board shows a morning under way.
func (d *demo) play(ctx context.Context, day []moment, from, speed float64, told func(done, total int)) error {
	began := time.Now()
	for i, m := range day {
		if wait := time.Duration((m.minute - from) / speed * float64(time.Minute)); m.minute > from {
			select {
			case <-ctx.Done():
				return ctx.Err()
			case <-time.After(wait - time.Since(began)):
			}
		}
		if err := m.do(ctx); err != nil {
			if e := events.AsError(err); e == nil {
				return fmt.Errorf("minute %.0f of the demo: %w", m.minute, err)
			}
			d.lines.Warn("demo", "refused", err.Error()) // a visitor changed things meanwhile; the day goes on
		}
		told(i+1, len(day))
	}
	return nil
}
