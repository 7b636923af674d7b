package main

import (
	"math"
	"math/rand/v2"
	"time"

	"marram.example/api/command"
	"marram.example/events"
)

// Everything in this file is invented: how the demo's players who log their strokes
// hit the ball, and what they say about it. No figure here describes anybody.

// demoGolfer is how one of them plays.
type demoGolfer struct {
	index      int     // tenths
	reach      float64 // metres with the driver
	leak       float64 // degrees that drives start to the right of their target
	spread     float64 // degrees, one standard deviation
	depth      float64 // of the intended length, one standard deviation
	poor       float64 // share of strokes struck poorly
	forgiven   float64 // how little a poor strike costs: 1 nothing, 0 all of it
	short      float64 // how far of the way a long first putt is hit
	holing     float64 // metres from which every other putt goes in
	puttsOnly  bool
	hesitating bool // takes longer as the round goes on
}

// demoGolfers are the three of the first group: drives leak to the right, and poor
// strikes end well; chips cost the second; the third logs putts alone.
var demoGolfers = []demoGolfer{
	{index: 71, reach: 208, leak: 3.6, spread: 3.4, depth: 0.06, poor: 0.34, forgiven: 0.8, short: 0.88, holing: 1.9, hesitating: true},
	{index: 118, reach: 196, leak: -0.5, spread: 3.9, depth: 0.07, poor: 0.3, forgiven: 0.25, short: 1.02, holing: 2.3},
	{index: 109, reach: 200, spread: 4.2, depth: 0.08, poor: 0.3, forgiven: 0.4, short: 0.98, holing: 2.5, puttsOnly: true},
}

// demoClub is a club and the share of the driver's length that it carries.
type demoClub struct {
	name  string
	share float64
}

var demoBag = []demoClub{
	{"driver", 1}, {"wood-3", 0.92}, {"hybrid-4", 0.84}, {"iron-5", 0.77}, {"iron-6", 0.72}, {"iron-7", 0.67}, {"iron-8", 0.62}, {"iron-9", 0.57},
	{"pitching-wedge", 0.51}, {"gap-wedge", 0.45}, {"sand-wedge", 0.37},
}

// demoHole is one hole as it is played stroke by stroke.
type demoHole struct {
	golfer  demoGolfer
	rng     *rand.Rand
	at      time.Time // the device's clock
	slow    float64   // how much longer than usual things take
	strokes []command.LoggedStroke
	lie     string
	left    float64 // metres to the hole
}

// play plays a hole of a length from the tee and returns its strokes, penalties
// among them, and when it was over.
func (g demoGolfer) play(rng *rand.Rand, length, par int, begin time.Time, slow float64) (strokes []command.LoggedStroke, over time.Time) {
	h := &demoHole{golfer: g, rng: rng, at: begin, slow: slow, lie: events.LieTee, left: float64(length)}
	for !h.holed() && len(h.strokes) < 11 {
		switch {
		case h.lie == events.LieGreen:
			h.putt()
		case h.left < 45:
			h.chip()
		default:
			h.full(par)
		}
	}
	if !h.holed() {
		h.strokes[len(h.strokes)-1].Finish = &command.Finish{Holed: true}
	}
	return h.strokes, h.at
}

func (h *demoHole) holed() bool {
	n := len(h.strokes)
	return n > 0 && h.strokes[n-1].Finish.Holed
}

// begin says what was meant, and how long it took to the strike.
func (h *demoHole) begin(club string, seconds float64) *command.Stroke {
	s := command.Stroke{Lie: h.lie, Distance: round1(h.left), Club: club}
	if h.rng.Float64() < 0.92 {
		intent := h.at.UTC()
		h.at = h.at.Add(time.Duration(seconds * h.slow * math.Exp(0.22*h.rng.NormFloat64()) * float64(time.Second))).Truncate(time.Second)
		struck := h.at.UTC()
		s.IntentAt, s.StruckAt, s.Commitment = &intent, &struck, 3+h.rng.IntN(3)
		if h.rng.Float64() < 0.18 {
			s.Commitment = 2
		}
	}
	return &s
}

// end keeps a stroke with where it finished.
func (h *demoHole) end(s *command.Stroke, lie string, left float64) {
	h.lie, h.left = lie, max(left, 0.1)
	s.Finish = &command.Finish{Lie: lie, Distance: round1(h.left)}
	h.strokes = append(h.strokes, command.LoggedStroke{Stroke: *s})
	h.at = h.at.Add(time.Duration(90+h.rng.IntN(120)) * time.Second)
}

func (h *demoHole) sink(s *command.Stroke) {
	s.Finish, s.GoodEnough = &command.Finish{Holed: true}, truth(true)
	h.strokes = append(h.strokes, command.LoggedStroke{Stroke: *s})
	h.at = h.at.Add(4 * time.Minute)
}

// strike judges the strike, and says how much of a poor one is left in the outcome.
func (h *demoHole) strike(s *command.Stroke) (harm float64) {
	p := h.golfer.poor
	if s.Commitment > 0 && s.Commitment <= 3 {
		p *= 1.35
	}
	switch x := h.rng.Float64(); {
	case x < p:
		s.Strike = events.StrikePoor
		return 1 - h.golfer.forgiven
	case x < p+0.3:
		s.Strike = events.StrikeFair
	default:
		s.Strike = events.StrikeGood
	}
	return 0
}

// full plays a full stroke towards the hole, or as far as the club goes.
func (h *demoHole) full(par int) {
	g, wanted := h.golfer, h.left
	club := demoBag[0]
	if h.lie != events.LieTee || par == 3 {
		club = demoBag[1]
	}
	for _, c := range demoBag {
		if c.share < club.share && c.share*g.reach >= wanted {
			club = c
		}
	}
	s := h.begin(club.name, 24)
	s.Target, s.Shape = events.TargetAt, events.ShapeStraight
	harm := h.strike(s)
	length := min(wanted, club.share*g.reach)
	if h.lie == events.LieRough || h.lie == events.LieRecovery {
		length *= 0.9
	}
	degrees := g.spread * (1 + 0.6*harm) * h.rng.NormFloat64()
	if club.name == "driver" {
		degrees += g.leak
		s.Shape = events.ShapeFade
	}
	long := g.depth*h.rng.NormFloat64() - 0.16*harm
	along, across := length*(1+long), length*math.Tan(degrees*math.Pi/180)
	say(s, across, along-length, 6)
	rest := math.Hypot(h.left-along, across)
	lie := h.lands(rest, across, wanted-length < 1)
	good := lie == events.LieFairway || lie == events.LieGreen
	s.GoodEnough = truth(good || h.rng.Float64() < 0.25)
	if math.Abs(across) > 42 { // in the dunes: played again from where it was, one stroke added
		s.Penalty, s.GoodEnough = 1, truth(false)
		h.end(s, h.lie, h.left)
		return
	}
	h.end(s, lie, rest)
}

// lands says on what the ball came to rest.
func (h *demoHole) lands(rest, across float64, atGreen bool) string {
	switch x := h.rng.Float64(); {
	case atGreen && rest < 12:
		return events.LieGreen
	case atGreen && rest < 35 && x < 0.25:
		return events.LieSand
	case math.Abs(across) < 14 && x < 0.92:
		return events.LieFairway
	case math.Abs(across) > 30:
		return events.LieRecovery
	default:
		return events.LieRough
	}
}

// chip plays from near the green.
func (h *demoHole) chip() {
	s := h.begin("sand-wedge", 20)
	harm := h.strike(s)
	share := 0.16 + 0.1*(1-h.golfer.forgiven)
	if h.lie == events.LieSand {
		share *= 1.5
	}
	long := h.left * (share*h.rng.NormFloat64() - 0.4*harm)
	across := h.left * 0.08 * h.rng.NormFloat64()
	say(s, across, long, 1.5)
	rest := math.Hypot(long, across)
	s.GoodEnough = truth(rest < 3)
	if lie := h.lie; rest > 9 {
		h.end(s, lie, rest)
		return
	}
	h.end(s, events.LieGreen, max(rest, 0.3))
}

// putt rolls one; long ones come up short, or go past.
func (h *demoHole) putt() {
	s := h.begin("putter", 17)
	h.strike(s)
	if h.rng.Float64() < 1/(1+math.Pow(h.left/h.golfer.holing, 2.2)) {
		h.sink(s)
		return
	}
	reached := 1.04
	if h.left > 4 {
		reached = h.golfer.short
	}
	along := h.left * (reached - 1 + 0.07*h.rng.NormFloat64())
	across := h.left * 0.03 * h.rng.NormFloat64()
	say(s, across, along, 0.15)
	rest := max(math.Hypot(along, across), 0.2)
	s.GoodEnough = truth(rest < 0.8)
	h.end(s, events.LieGreen, rest)
}

// say puts a miss into words and metres; what is within reach is level or on line.
func say(s *command.Stroke, across, along, near float64) {
	side := func(v float64, minus, none, plus string) (string, float64) {
		switch {
		case v < -near:
			return minus, round1(-v)
		case v > near:
			return plus, round1(v)
		default:
			return none, 0
		}
	}
	s.Miss.Side, s.Miss.SideBy = side(across, events.MissLeft, events.MissOnLine, events.MissRight)
	s.Miss.Length, s.Miss.LengthBy = side(along, events.MissShort, events.MissLevel, events.MissLong)
}

// count is the score that strokes make.
func count(strokes []command.LoggedStroke) int {
	n := len(strokes)
	for _, s := range strokes {
		n += s.Penalty
	}
	return n
}

// kept are the strokes that the player bothers to log.
func (g demoGolfer) kept(strokes []command.LoggedStroke) []command.LoggedStroke {
	if !g.puttsOnly {
		return strokes
	}
	var out []command.LoggedStroke
	for _, s := range strokes {
		if s.Lie == events.LieGreen {
			out = append(out, s)
		}
	}
	return out
}

func truth(b bool) *bool { return &b }

func round1(v float64) float64 { return max(math.Round(v*10)/10, 0.1) }
