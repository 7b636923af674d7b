package main

import (
	"context"
	"fmt"
	"time"

	"marram.example/api/command"
	"marram.example/events"
)

// calendar plays what else the club had that week, so that a visitor finds pairs
// and matches too: a four-ball with its result, and a knockout half way.
func (d *demo) calendar(ctx context.Context, wednesday time.Time) error {
	if err := d.fourBall(ctx, wednesday.AddDate(0, 0, -3)); err != nil {
		return fmt.Errorf("play the four-ball: %w", err)
	}
	if err := d.knockout(ctx, time.Now()); err != nil {
		return fmt.Errorf("play the knockout: %w", err)
	}
	return nil
}

// fourBall plays a four-ball Stableford of twelve pairs from paper cards.
func (d *demo) fourBall(ctx context.Context, date time.Time) error {
	terms, err := command.PresetFor(command.Preset{Format: events.Stableford, Side: events.SideFourBall})
	if err != nil {
		return err
	}
	terms.CourseID, terms.Tees, terms.Start.GroupSize = d.course, []string{"White", "Yellow", "Red"}, 4
	terms.Prizes = []events.Prize{{Name: "Best pair", Ranking: "net", Places: 2}}
	id, err := d.open(ctx, "Sunday Four-ball", date, terms, d.field[:24], "random")
	if err != nil {
		return err
	}
	return d.publishFromPaper(ctx, id)
}

// knockout plays eight players' matches: the first round is over, the second in
// progress.
func (d *demo) knockout(ctx context.Context, date time.Time) error {
	terms, err := command.PresetFor(command.Preset{Format: events.MatchPlay})
	if err != nil {
		return err
	}
	terms.CourseID, terms.Tees, terms.Start.GroupSize = d.course, []string{"White", "Yellow", "Red"}, 2
	id, err := d.open(ctx, "Evening Knockout", date, terms, d.field[:8], "handicap")
	if err != nil {
		return err
	}
	if err := d.round(ctx, id, 36); err != nil {
		return err
	}
	if _, err := d.commands.CloseRound(ctx, d.committee(), id, command.CloseRound{}); err != nil {
		return err
	}
	if _, err := d.commands.Draw(ctx, d.committee(), id, command.Draw{Method: "seeded"}); err != nil {
		return err
	}
	if _, err := d.commands.OpenRound(ctx, d.committee(), id); err != nil {
		return err
	}
	return d.round(ctx, id, 11)
}

// round plays at most so many holes of every match of the present round.
func (d *demo) round(ctx context.Context, id string, most int) error {
	c, _, err := d.commands.Competition(ctx, id)
	if err != nil {
		return err
	}
	all, err := d.commands.MatchesOf(ctx, id, c, c.Round)
	if err != nil {
		return err
	}
	for _, m := range all {
		for n := 1; n <= most; n++ {
			if m, err = d.commands.Match(ctx, m.ID); err != nil {
				return err
			}
			if m.State.Standing().Over {
				break
			}
			if err := d.matchHole(ctx, m, n); err != nil {
				return err
			}
		}
	}
	return nil
}

// matchHole enters a hole of a match as the committee would from the players' word.
func (d *demo) matchHole(ctx context.Context, m command.MatchView, n int) error {
	in := command.EnterMatchHole{Number: n}
	for i, side := range []events.MatchSide{m.State.Arranged.A, m.State.Arranged.B} {
		var scores []command.MatchScore
		for _, b := range side.Balls {
			h := b.Holes[(n-1)%len(b.Holes)]
			strokes := demoScore(d.rng, h.Par, b.Figures.StrokesByHole[(n-1)%len(b.Holes)], 0)
			scores = append(scores, command.MatchScore{Strokes: &strokes})
		}
		if i == 0 {
			in.A = scores
		} else {
			in.B = scores
		}
	}
	_, err := d.commands.EnterMatchHole(ctx, d.committee(), m.ID, in)
	return err
}
