package card_test

import (
	"fmt"

	"marram.example/events"
	"marram.example/events/card"
)

// Where the rules of sides come from.
const (
	fourBall     = "Rules of Golf 23.2b"
	fourBallDone = "Rules of Golf 23.2a"
	team         = "Committee Procedures 9D"
	oneBall      = "Rules of Golf 22"
	maximum      = "Rules of Golf 21.2"
	appendixC    = "Rules of Handicapping, Appendix C"
)

// blue is the same nine from another tee: its fifth hole is a par 5.
func blue() []events.Hole {
	holes := nine()
	holes[4].Par, holes[4].StrokeIndex, holes[8].StrokeIndex = 5, 5, 4
	return holes
}

// partner is the ball of player p2, p3 or p4, from the other tee, off 2.
func partner(ball int) events.Ball {
	return events.Ball{
		PlayerID: fmt.Sprintf("p%d", ball+1), Tee: "Blue", Holes: blue(),
		Figures: events.Figures{
			IndexTenths: 20, IndexOrigin: events.OriginOfficial, IndexUsedTenths: 20, CourseRatingTenths: 370, SlopeRating: 113, Par: 37, LowestPar: 36,
			CourseHandicapNum: 2, CourseHandicapDen: 1, CourseHandicap: 2, AllowancePercent: 100, PlayingHandicap: 2,
			StrokesByHole: []int{0, 0, 0, 1, 0, 0, 1, 0, 0},
		},
	}
}

// sideOf is a card of players who play their own balls.
func sideOf(format string, balls int, play events.Play) events.CardIssued {
	c := issued(format)
	c.Play = play
	for b := 1; b < balls; b++ {
		c.Partners = append(c.Partners, partner(b))
	}
	return c
}

// shared is a card of two who play one ball off 60 % of 3 and 40 % of 8: 5.
func shared(format, side string) events.CardIssued {
	c := issued(format)
	c.Side = side
	c.Figures.CourseHandicapNum, c.Figures.CourseHandicapDen, c.Figures.CourseHandicap, c.Figures.PlayingHandicap = 5, 1, 5, 5
	c.Figures.StrokesByHole = []int{1, 0, 0, 1, 1, 0, 1, 0, 1}
	c.Figures.Shares = []events.Share{share("p2", 3, 60), share("p1", 8, 40)}
	return c
}

// share is a share of a whole course handicap, written as thirds.
func share(player string, course int64, percent int) events.Share {
	return events.Share{
		PlayerID: player, Tee: "White", IndexOrigin: events.OriginOfficial, CourseRatingTenths: 360, SlopeRating: 113, Par: 36,
		CourseHandicapNum: 3 * course, CourseHandicapDen: 3, Percent: percent,
	}
}

var (
	pair       = sideOf("stroke_play", 2, events.Play{Side: "four_ball"})
	pairPoints = sideOf("stableford", 2, events.Play{Side: "four_ball"})
	bestTwo    = sideOf("stroke_play", 3, events.Play{Side: "best_of", Count: []int{2}})
	oneTwoAll  = sideOf("stroke_play", 3, events.Play{Side: "best_of", Count: []int{1, 2, 3, 1, 2, 3, 1, 2, 3}, CountBy: "hole"})
	bestRounds = sideOf("stroke_play", 3, events.Play{Side: "best_of", Count: []int{2}, CountBy: "round"})
	together   = sideOf("stroke_play", 2, events.Play{Side: "aggregate"})
	rounds     = sideOf("stroke_play", 2, events.Play{Side: "aggregate", CountBy: "round"})
	foursome   = shared("stroke_play", "foursomes")
	capped     = with(issued("maximum_score"), func(c *events.CardIssued) { c.Maximum = events.Maximum{Kind: "net_double_bogey"} })
	parBogey   = issued("par_bogey")
)

// of is the same event on another ball.
func of(ball int, e events.Event) events.Event {
	switch e := e.(type) {
	case events.HoleScored:
		e.Ball = ball
		return e
	case events.HoleScoreCorrected:
		e.Ball = ball
		return e
	default:
		panic(fmt.Sprintf("%T is about no ball", e))
	}
}

// ballScored is what a role enters for a ball; holes without an entry are left out.
func ballScored(ball int, r events.Role, scores []events.Score) []events.Event {
	var out []events.Event
	for i, v := range scores {
		if v.Entered() {
			out = append(out, of(ball, by(r, i+1, v)))
		}
	}
	return out
}

func enterBall(ball int, r events.Role, hole int, v events.Score) card.EnterScore {
	return card.EnterScore{Ball: ball, Hole: hole, Score: v, By: r}
}

// without is a paper card with one value on some holes.
func without(v events.Score, holes ...int) []events.Score {
	out := paper()
	for _, h := range holes {
		out[h-1] = v
	}
	return out
}

var notInPlay = events.Score{None: events.Excluded}
