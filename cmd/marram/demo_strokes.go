package main

import (
	"context"
	"fmt"
	"time"

	"golang.org/x/sync/errgroup"

	"marram.example/api/command"
	"marram.example/events"
)

// pastRounds is how many mornings the three have behind them.
const pastRounds = 9

// meetLoggers says who logs strokes: the three who are first on the start sheet.
func (d *demo) meetLoggers() {
	d.loggers, d.golfers = d.field[:len(demoGolfers)], make(map[string]demoGolfer, len(demoGolfers))
	for i, g := range demoGolfers {
		d.golfers[d.commands.PlayerID(d.loggers[i].memberNo)] = g
	}
}

// mornings plays what the three played before today, and a practice round that is
// under way.
func (d *demo) mornings(ctx context.Context) error {
	d.meetLoggers()
	last := ""
	for n := pastRounds; n > 0; n-- {
		date := time.Now().AddDate(0, 0, -7*n)
		id, err := d.open(ctx, "Early Group", date, d.strokeTerms(), d.loggers, "as_entered")
		if err != nil {
			return err
		}
		if err := d.logRound(ctx, id, date, 18, true); err != nil {
			return err
		}
		if _, err := d.commands.CloseRound(ctx, d.committee(), id, command.CloseRound{}); err != nil {
			return err
		}
		if _, err := d.commands.Publish(ctx, d.committee(), id); err != nil {
			return err
		}
		last = id
	}
	if err := d.share(ctx, last); err != nil {
		return err
	}
	terms := d.strokeTerms()
	terms.Practice, terms.Holes = true, []int{1, 2, 3, 4, 5, 6, 7, 8, 9}
	id, err := d.open(ctx, "Practice Nine", time.Now(), terms, d.loggers[:2], "as_entered")
	if err != nil {
		return err
	}
	return d.logRound(ctx, id, time.Now(), 6, false)
}

func (d *demo) strokeTerms() events.Terms {
	t := demoTerms(events.StrokePlay, d.course)
	t.Divisions, t.Prizes = nil, []events.Prize{{Name: "Best net", Ranking: "net", Places: 1}}
	return t
}

// logRound plays so many holes of every card of a competition, stroke by stroke, and
// types the scores in. The cards go on side by side, as phones do.
func (d *demo) logRound(ctx context.Context, id string, date time.Time, holes int, signed bool) error {
	c, _, err := d.commands.Competition(ctx, id)
	if err != nil {
		return err
	}
	out, err := d.commands.Cards(ctx, id, c, c.Round)
	if err != nil {
		return err
	}
	var side errgroup.Group
	for _, entry := range c.Order {
		k := out[entry]
		begin := time.Date(date.Year(), date.Month(), date.Day(), 7, 10, 0, 0, time.Local)
		logs, scores := d.playCard(k, begin, holes)
		paper := d.committee()
		side.Go(func() error {
			for _, l := range logs {
				if _, err := d.commands.LogHole(ctx, l.request, k.ID, l.hole, command.LogHole{Strokes: l.strokes}); err != nil {
					return fmt.Errorf("log hole %d: %w", l.hole, err)
				}
			}
			if !signed {
				return nil
			}
			_, err := d.commands.EnterCard(ctx, paper, k.ID, command.EnterCard{Signed: true, Confirmed: true, Scores: scores})
			return err
		})
	}
	return side.Wait()
}

// demoLog is a hole that a player logs.
type demoLog struct {
	request command.Request
	hole    int
	strokes []command.LoggedStroke
}

// playCard plays the first holes of a card.
func (d *demo) playCard(k command.CardView, begin time.Time, holes int) (logs []demoLog, scores []command.HoleEntry) {
	g := d.golfers[k.State.PlayerID]
	at := begin
	for n, h := range k.State.Holes {
		if n >= holes {
			break
		}
		var strokes []command.LoggedStroke
		strokes, at = g.play(d.rng, h.LengthM, h.Par, at, g.slowed(n))
		total := count(strokes)
		scores = append(scores, command.HoleEntry{Strokes: &total})
		if kept := g.kept(strokes); len(kept) > 0 {
			logs = append(logs, demoLog{d.as(k, events.RolePlayer), h.Number, kept})
		}
	}
	return logs, scores
}

// share keeps the ways into the reviews of the first of the three: the own phone, and
// a coach's.
func (d *demo) share(ctx context.Context, competitionID string) error {
	playerID := d.commands.PlayerID(d.loggers[0].memberNo)
	k, err := d.commands.Card(ctx, command.CardID(competitionID, command.EntryID(competitionID, playerID), 1))
	if err != nil {
		return err
	}
	token, err := d.commands.CardLink(ctx, k.ID, events.RolePlayer)
	if err != nil {
		return err
	}
	d.review = "/c/" + token
	r := d.as(k, events.RolePlayer)
	if _, err := d.commands.ShareReview(ctx, r, k.ID, command.ShareReview{For: "Invented coach"}); err != nil {
		return err
	}
	shares, err := d.commands.Shares(ctx, r.Who, k.ID)
	if err != nil {
		return err
	}
	d.coach = shares[0].Path
	return nil
}

// log logs a hole as its player.
func (d *demo) log(ctx context.Context, k command.CardView, hole int, strokes []command.LoggedStroke) error {
	if len(strokes) == 0 {
		return nil
	}
	_, err := d.commands.LogHole(ctx, d.as(k, events.RolePlayer), k.ID, hole, command.LogHole{Strokes: strokes})
	return err
}

// slowed is how much longer than usual things take on the n-th hole of a round.
func (g demoGolfer) slowed(n int) float64 {
	if !g.hesitating {
		return 1
	}
	return 1 + 0.03*float64(n)
}
