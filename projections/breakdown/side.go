package breakdown

import (
	"fmt"
	"strconv"
	"strings"

	"marram.example/events"
	"marram.example/events/card"
	"marram.example/projections/handicap"
	"marram.example/projections/scoring"
	"marram.example/projections/standing"
)

// Totals are what holes come to. Figures are null where they mean nothing: in
// another format, or where a hole has no strokes.
type Totals struct {
	Gross      *int                 `json:"gross"`               // strokes
	Net        *int                 `json:"net"`                 // strokes
	Points     *int                 `json:"points"`              // Stableford only
	ParBogey   *int                 `json:"par_bogey,omitempty"` // par/bogey only: holes won less holes lost
	Total      handicap.Explanation `json:"total"`               // how the total that ranks adds up
	GrossTotal handicap.Explanation `json:"gross_total"`         // the same without strokes received
}

func totalsOf(net, gross *scoring.Result) Totals {
	out := Totals{Total: orNone(net.ExplainTotal()), GrossTotal: orNone(gross.ExplainTotal())}
	if net.Total.AllScored() {
		out.Gross, out.Net = number(net.Total.Gross), number(net.Total.Net)
	}
	switch net.Unit {
	case scoring.UnitPoints:
		out.Points = number(net.Total.Points)
	case scoring.UnitHoles:
		out.ParBogey = number(net.Total.ParBogey)
	case scoring.UnitStrokes:
	}
	return out
}

// Ball is one ball of a side whose players each play their own.
type Ball struct {
	Ball     int    `json:"ball"` // 0 is the card's first player's
	PlayerID string `json:"player_id"`
	Tee      string `json:"tee"`
	Sums
	Holes []Hole `json:"holes"`
	Totals
	Counts bool `json:"counts"` // the whole round counts; only where round totals do
}

// Side says how a side's score comes from its balls.
type Side struct {
	Name    string         `json:"name"`               // four_ball, foursomes ...
	Words   string         `json:"words"`              // how the score comes about
	Rule    string         `json:"rule"`               //
	Count   []int          `json:"count,omitempty"`    // balls that count in best_of: one number, or one a hole
	CountBy string         `json:"count_by,omitempty"` // hole or round
	Rounds  *handicap.Line `json:"rounds,omitempty"`   // which whole rounds count; only where round totals do
	Holes   []SideHole     `json:"holes"`              // of a side with several balls
}

// SideHole is one hole of a side with several balls.
type SideHole struct {
	Number   int           `json:"number"`
	By       []int         `json:"by"`    // balls that count
	Equal    []int         `json:"equal"` // balls that would have counted just as well
	Gross    *int          `json:"gross"` // strokes of the balls that count
	Net      *int          `json:"net"`
	Points   *int          `json:"points"`
	ParBogey *int          `json:"par_bogey,omitempty"`
	Sum      handicap.Line `json:"sum"`
}

// byRound says that whole rounds of balls count.
const byRound = "round"

// sideOf opens the side of a card; it is nil for one player.
func sideOf(c *card.State, net *scoring.Result) *Side {
	side, err := scoring.SideByName(c.Side)
	if err != nil || c.Side == "" {
		return nil
	}
	count := 1
	if c.Side == events.SideAggregate {
		count = c.Balls()
	}
	for _, n := range c.Count {
		count = max(count, n)
	}
	out := &Side{Name: c.Side, Words: side.Words(count, c.Balls()), Rule: side.Rule, Count: c.Count, CountBy: c.CountBy, Holes: []SideHole{}}
	if net.Balls == nil {
		return out
	}
	if c.CountBy == byRound {
		out.Words += ", each over the whole round"
		line := roundsLine(net, side)
		out.Rounds = &line
	}
	for place, h := range net.Holes {
		x := SideHole{Number: h.Hole, By: orNone(h.By), Equal: orNone(h.Equal), Sum: net.ExplainHole(place)}
		if h.Score.Entered() && h.Score.State != scoring.Excluded {
			x.Points = number(h.Points)
			if net.Unit == scoring.UnitHoles {
				x.ParBogey = number(h.ParBogey)
			}
		}
		if h.Counts() {
			x.Gross, x.Net = number(h.Gross), number(h.Net)
		}
		out.Holes = append(out.Holes, x)
	}
	return out
}

// countingRounds are the balls whose rounds count, where whole rounds do.
func countingRounds(net *scoring.Result) []int {
	for _, h := range net.Holes {
		if len(h.By) > 0 {
			return h.By
		}
	}
	return nil
}

// roundsLine says what the balls' rounds come to and which of them count.
func roundsLine(net *scoring.Result, side scoring.Side) handicap.Line {
	balls := make([]string, len(net.Balls))
	for i := range net.Balls {
		balls[i] = fmt.Sprintf("ball %d %s", i+1, roundText(&net.Balls[i]))
	}
	line := handicap.Line{Label: "Rounds of the balls", Arithmetic: strings.Join(balls, ", "), Rule: side.Rule}
	by := countingRounds(net)
	if len(by) == 0 {
		line.Arithmetic += ": too few have a total"
		return line
	}
	sum, names, figures := 0, make([]string, len(by)), make([]string, len(by))
	for n, i := range by {
		sum += net.Balls[i].Value
		names[n], figures[n] = strconv.Itoa(i+1), strconv.Itoa(net.Balls[i].Value)
	}
	if len(by) == 1 {
		line.Arithmetic += ": ball " + names[0] + " counts"
		return line
	}
	line.Arithmetic += fmt.Sprintf(": balls %s count, %s = %d", strings.Join(names, " and "), strings.Join(figures, " + "), sum)
	return line
}

func roundText(r *scoring.Result) string {
	switch {
	case r.Lacking != 0:
		return fmt.Sprintf("no total (hole %d has no score)", r.Lacking)
	case r.Complete:
		return strconv.Itoa(r.Value)
	default:
		return fmt.Sprintf("%d after %d", r.Value, r.HolesPlayed)
	}
}

// balls opens every ball of a side with several.
func balls(c *card.State, s *standing.Scored, format scoring.Format, leaveOut bool, at map[ballHole][]events.Position, why map[int]string) []Ball {
	out := []Ball{}
	counting := countingRounds(&s.Net)
	for i := range s.Net.Balls {
		b := Ball{
			Ball: i, PlayerID: c.BallPlayer(i), Tee: c.BallTee(i), Sums: sumsOf(c.BallFigures(i), layout(c.Lines(i)), leaveOut),
			Holes: holes(c, i, s.Net.Balls[i], format, at, why), Totals: totalsOf(&s.Net.Balls[i], &s.Gross.Balls[i]),
		}
		for _, n := range counting {
			b.Counts = b.Counts || c.CountBy == byRound && n == i
		}
		out = append(out, b)
	}
	return out
}

func layout(lines []card.HoleLine) []events.Hole {
	out := make([]events.Hole, len(lines))
	for i, h := range lines {
		out[i] = h.Hole
	}
	return out
}
