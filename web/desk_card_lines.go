package web

import (
	"fmt"
	"slices"

	"marram.example/events"
	"marram.example/events/card"
	"marram.example/projections/scoring"
	"marram.example/projections/standing"
)

// paperBall is one ball of the card: a player's own, or the one that a side plays.
type paperBall struct {
	Ball    int
	Name    string // who plays it
	Tee     string
	Figures events.Figures
	Round   int // penalty strokes against its whole round
}

// paperLine is one hole of the card.
type paperLine struct {
	I        int // place on the card, from 0
	Number   int
	Par      int // as those of the first ball
	Index    int
	Last     bool   // of a nine: a line of sums follows
	NineOf   string // Out or In
	Excluded bool
	Need     int // balls that count on the hole
	Differs  bool
	Cells    []paperCell
}

// paperCell is one ball on one hole.
type paperCell struct {
	card.HoleLine
	Ball      int
	Name      string // of the player; empty on a card with one ball
	Field     string // name of its field
	PlayerHas string
	MarkerHas string
	Penalty   int // strokes added to what was entered
	Maximum   int // most strokes that count; 0 for no maximum
	Counts    bool
}

// paperSums are the totals as they stand; the script keeps them up to date.
type paperSums struct {
	Format string
	Gross  *int   // of a card with one ball
	Worth  *int   // what ranks: net strokes, points or holes
	Name   string // of that in the script
	Label  string // in words
	Holes  int    // that count
	By     string // hole or round: what is taken of several balls
	Count  int    // rounds of balls that count, where rounds count
	Round  int    // penalty strokes against the round, of every ball that counts
}

// SeveralBalls reports whether more than one ball stands on the card.
func (p deskCardPage) SeveralBalls() bool { return len(p.Balls) > 1 }

// Columns is how wide the paper table is.
func (p deskCardPage) Columns() int { return 6 + len(p.Balls) }

// lines lays the holes out with what player and marker have, and the totals.
func (p *deskCardPage) lines() {
	s := p.Card.State
	for ball := range s.Balls() {
		p.Balls = append(p.Balls, paperBall{
			Ball: ball, Name: p.People[s.BallPlayer(ball)], Tee: s.BallTee(ball), Figures: s.BallFigures(ball), Round: s.RoundPenalty(ball),
		})
	}
	sc, err := standing.Score(p.Card.ID, p.Card.Sequence, s)
	scored := err == nil
	for i, h := range s.Holes {
		l := paperLine{
			I: i, Number: h.Number, Par: h.Par, Index: h.StrokeIndex, NineOf: "Out", Excluded: h.Excluded(), Need: needed(s, i),
			Last: i == len(s.Holes)-1 || h.Number == 9,
		}
		if h.Number > 9 {
			l.NineOf = "In"
		}
		var by []int
		if scored {
			by = sc.Net.Holes[i].By
		}
		for ball := range s.Balls() {
			at := s.Lines(ball)[i]
			c := paperCell{
				HoleLine: at, Ball: ball, Field: scoreField(ball, i), PlayerHas: cellText(at.Player), MarkerHas: cellText(at.Marker),
				Penalty: s.PenaltyOn(ball, at.Number), Counts: slices.Contains(by, ball),
			}
			if s.Balls() > 1 {
				c.Name = p.Balls[ball].Name
			}
			if s.Format == events.MaximumScore {
				c.Maximum = scoring.MaximumOf(s.Maximum, at.Par, at.Received)
			}
			p.Apart = p.Apart || at.Player.Entered() || at.Marker.Entered()
			l.Differs = l.Differs || at.Differs()
			l.Cells = append(l.Cells, c)
		}
		p.Lines = append(p.Lines, l)
	}
	p.sums(s, scored, &sc)
}

func (p *deskCardPage) sums(s *card.State, scored bool, sc *standing.Scored) {
	p.Sums = paperSums{Format: s.Format, Holes: counting(s), By: "hole", Count: s.Balls(), Name: "net", Label: "net"}
	if s.CountBy == "round" {
		p.Sums.By = "round"
		if len(s.Count) == 1 {
			p.Sums.Count = s.Count[0]
		}
	}
	for ball := range s.Balls() {
		p.Sums.Round += s.RoundPenalty(ball)
	}
	switch s.Format {
	case events.Stableford:
		p.Sums.Name, p.Sums.Label = "points", "points"
	case events.ParBogey:
		p.Sums.Name, p.Sums.Label = "par_bogey", "holes up or down"
	}
	if !scored || sc.Net.Total.Played == sc.Net.Total.Excluded {
		return
	}
	t := sc.Net.Total
	p.Sums.Worth = &t.Net
	switch s.Format {
	case events.Stableford:
		p.Sums.Worth = &t.Points
	case events.ParBogey:
		p.Sums.Worth = &t.ParBogey
	}
	if s.Balls() == 1 {
		p.Sums.Gross = &t.Gross
	}
}

// needed is how many balls count on a hole of a side.
func needed(s *card.State, at int) int {
	switch s.Side {
	case events.SideAggregate:
		return s.Balls()
	case events.SideBestOf:
		if len(s.Count) == 1 {
			return s.Count[0]
		}
		return s.Count[at]
	default:
		return 1
	}
}

// AllPenalties lists the penalties of the card with what they are on.
func (p deskCardPage) AllPenalties() []penaltyLine {
	var out []penaltyLine
	for _, x := range p.Card.State.Penalties {
		l := penaltyLine{Penalty: x, On: "the round"}
		if x.Hole > 0 {
			l.On = fmt.Sprintf("hole %d", x.Hole)
		}
		if p.SeveralBalls() {
			l.On += " of " + p.People[p.Card.State.BallPlayer(x.Ball)]
		}
		out = append(out, l)
	}
	return out
}

// penaltyLine is a penalty as listed.
type penaltyLine struct {
	card.Penalty
	On string
}

// BallChoices are the balls of the card as a list.
func (p deskCardPage) BallChoices() []choice {
	out := make([]choice, len(p.Balls))
	for i, b := range p.Balls {
		out[i] = choice{fmt.Sprint(b.Ball), b.Name}
	}
	return out
}

// HoleChoices are the holes of the card as a list.
func (p deskCardPage) HoleChoices() []choice {
	var out []choice
	for _, l := range p.Lines {
		if !l.Excluded {
			out = append(out, choice{fmt.Sprint(l.Number), fmt.Sprintf("%d, par %d", l.Number, l.Par)})
		}
	}
	return out
}

// Outcome says in words what a ruling on a score comes to.
func (p deskCardPage) Outcome() string {
	switch p.Ruling.Outcome {
	case "disqualified":
		return "The card is disqualified"
	case "ball_out":
		return "The round of this ball is out; the team's other balls go on counting"
	case "penalty_added":
		return "The committee adds " + count(p.Ruling.Penalty, "penalty stroke", "penalty strokes")
	default:
		return "The score stands as returned"
	}
}
