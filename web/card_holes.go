package web

import (
	"fmt"
	"slices"
	"strconv"
	"strings"

	"marram.example/api/command"
	"marram.example/events"
	"marram.example/events/card"
	"marram.example/projections/breakdown"
	"marram.example/projections/scoring"
	"marram.example/projections/standing"
)

// fill adds holes and totals of every ball.
func (p *cardPage) fill(k command.CardView, players map[string]string) error {
	scored, err := standing.Score(k.ID, k.Sequence, k.State)
	if err != nil {
		return err
	}
	p.Complete = k.State.Ready() == nil
	for ball := range k.State.Balls() {
		p.Balls = append(p.Balls, p.ballOf(k.State, scored.Net, ball, players))
	}
	p.shorten()
	p.Holes = p.Balls[0].Holes
	if p.Several() {
		p.sides(scored.Net)
	}
	for i := range p.Holes {
		for b := range p.Balls {
			if h := p.Balls[b].Holes[i]; h.Differs() {
				p.Differ = append(p.Differ, h)
			}
		}
	}
	p.total(&scored.Net)
	return nil
}

// ballOf is one ball of the card, hole by hole.
func (p *cardPage) ballOf(s *card.State, net scoring.Result, ball int, players map[string]string) cardBall {
	out := cardBall{No: ball, Tee: s.BallTee(ball), Off: s.BallFigures(ball).PlayingHandicap}
	results := net.Holes
	if s.Balls() > 1 {
		out.Name, results = nameOf(players, s.BallPlayer(ball)), net.Balls[ball].Holes
	}
	for i, h := range s.Lines(ball) {
		r := results[i]
		line := cardHole{
			HoleLine: h, Mine: h.Player, Theirs: h.Marker, Role: p.Role, Played: h.Counting().Entered(), Ball: ball, Whose: out.Name,
			Holed: h.Counting().Strokes > 0, Gross: r.Gross, Net: r.Net, Points: r.Points, ParBogey: r.ParBogey, ToPar: r.GrossToPar,
			Max: r.Maximum, Penalty: r.Penalty, Counts: slices.Contains(net.Holes[i].By, ball),
		}
		if p.Role == events.RoleMarker {
			line.Mine, line.Theirs = h.Marker, h.Player
		}
		line.Reduced = line.Max > 0 && line.Played && !line.Excluded() && r.Gross != h.Counting().Strokes+r.Penalty
		out.Holes = append(out.Holes, line)
	}
	return out
}

// shorten gives each ball of a side a name that fits a narrow column: initials, or
// numbers where two would be alike.
func (p *cardPage) shorten() {
	seen := map[string]bool{}
	for i := range p.Balls {
		b := &p.Balls[i]
		for _, word := range strings.Fields(b.Name) {
			for _, r := range word {
				b.Short += string(r) + "."
				break
			}
		}
		if seen[b.Short] {
			b.Short = strconv.Itoa(i + 1)
		}
		seen[b.Short] = true
	}
}

// sides adds what each hole comes to for the side.
func (p *cardPage) sides(net scoring.Result) {
	p.Enough = enoughWords(p.State)
	for i, r := range net.Holes {
		line := sideLine{Hole: &p.Balls[0].Holes[i]}
		var whose []string
		for b := range p.Balls {
			cell := &p.Balls[b].Holes[i]
			line.Cells = append(line.Cells, cell)
			if cell.Counts {
				whose = append(whose, cell.Whose)
			}
		}
		if r.Score.Entered() && r.Score.State != scoring.Excluded {
			line.Figure, line.Class = p.sideFigure(r)
		}
		if line.Figure != "" {
			line.Words = "The side has " + line.Figure
			switch {
			case p.ParBogey:
				line.Words = "The side " + line.Figure + " the hole"
			case p.Points:
				line.Words += " points"
			default:
				line.Words += " net"
			}
			if len(whose) > 0 {
				line.Words += ": " + strings.Join(whose, " and ") + map[bool]string{true: " counts", false: " count"}[len(whose) == 1]
			}
			line.Words += "."
		}
		p.Lines = append(p.Lines, line)
	}
}

// sideFigure is a side's hole in the unit of the format.
func (p *cardPage) sideFigure(r scoring.HoleResult) (figure, class string) {
	switch {
	case p.Points:
		return strconv.Itoa(r.Points), ""
	case p.ParBogey:
		return [...]string{"lost", "tied", "won"}[r.ParBogey+1], tint(-r.ParBogey)
	case r.Counts():
		return signedText(r.Net), tint(r.NetToPar)
	default:
		return "", ""
	}
}

// enoughWords say how many scores a hole of a side needs.
func enoughWords(s *card.State) string {
	switch {
	case s.Side == events.SideFourBall:
		return "The better ball counts; one score is enough."
	case s.CountBy == "round":
		return "The round of each ball counts by itself."
	case s.Side == events.SideBestOf && len(s.Count) == 1:
		return fmt.Sprintf("The best %s; as many scores are enough.", count(s.Count[0], "ball counts", "balls count"))
	case s.Side == events.SideBestOf:
		return "How many balls count differs by hole."
	default:
		return "Every ball counts."
	}
}

// Whose says whose card it is: a player's or a side's.
func (p *cardPage) Whose() string {
	if p.State.Side != "" {
		return "side"
	}
	return "player"
}

// StrokesTell reports whether the card adds up strokes. Where points or holes of the
// better ball count, strokes of the same balls are no gross score of the side: that is
// made of the ball with fewest strokes on each hole, which may be another one.
func (p *cardPage) StrokesTell() bool { return !p.Several() || !p.Points && !p.ParBogey }

// total adds up the card.
func (p *cardPage) total(net *scoring.Result) {
	t := net.Total
	p.Totals = cardTotals{
		Entered: t.Played, Holes: t.Holes, Gross: t.Gross, Net: t.Net, GrossToPar: t.GrossToPar(), NetToPar: t.NetToPar(), Points: t.Points,
		ParBogey: t.ParBogey, Counted: t.Scored > 0 && t.Scored+t.Excluded == t.Played,
	}
	nine := func(s scoring.Sum) nineTotals {
		return nineTotals{
			Holes: s.Holes, Gross: s.Gross, Net: s.Net, Points: s.Points, ParBogey: s.ParBogey, ToPar: s.GrossToPar(),
			Counted: s.Scored > 0 && s.Scored+s.Excluded == s.Played, Whole: s.AllScored(),
		}
	}
	p.Totals.Out, p.Totals.In = nine(net.Out), nine(net.In)
	for _, h := range p.Holes {
		if h.Number <= 9 {
			p.Totals.Out.Par += h.Par
		} else {
			p.Totals.In.Par += h.Par
		}
	}
}

// pick chooses the hole on the screen: the one asked for, else the first in the
// order of play of which the visitor has entered nothing; none once all are.
func (p *cardPage) pick(asked string) {
	if !p.Write {
		return
	}
	order := p.State.PlayOrder()
	at := slices.IndexFunc(order, func(i int) bool { return strconv.Itoa(p.Holes[i].Number) == asked })
	if at < 0 {
		at = slices.IndexFunc(order, func(i int) bool {
			return !slices.ContainsFunc(p.Balls, func(b cardBall) bool { return b.Holes[i].Mine.Entered() || b.Holes[i].Committee.Entered() })
		})
	}
	if at < 0 {
		return
	}
	i := order[at]
	p.Now, p.NowBalls = &p.Holes[i], nil
	for b := range p.Balls {
		p.Balls[b].Holes[i].Here = true
		p.NowBalls = append(p.NowBalls, &p.Balls[b].Holes[i])
	}
	if p.Several() {
		p.Lines[i].Here, p.NowSide = true, p.Lines[i].Words
	}
	if at > 0 {
		p.Before = p.Holes[order[at-1]].Number
	}
	if at+1 < len(order) {
		p.Next = p.Holes[order[at+1]].Number
	}
}

// scoreWords shows a score in words or figures.
func scoreWords(s events.Score) string {
	if s.None == events.Excluded {
		return "excluded"
	}
	return breakdown.ScoreText(s)
}
