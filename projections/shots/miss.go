package shots

import (
	"math"

	"marram.example/events"
)

// MissPoint is where one stroke finished seen from its target, as far as the player said it. Across is positive to the right and
// Along positive beyond the target, both in metres from the intended finish.
type MissPoint struct {
	Round    string `json:"round"` // of the card
	Date     string `json:"date"`
	Hole     int    `json:"hole"`
	StrokeID string `json:"stroke_id"`
	Club     string `json:"club"`
	Strike   string `json:"strike,omitempty"`
	Side     string `json:"side,omitempty"`   // left, right, on_line
	Length   string `json:"length,omitempty"` // short, long, level

	Across      float64 `json:"across"`
	Along       float64 `json:"along"`
	AcrossKnown bool    `json:"across_known"` // an amount was given, or it was on line
	AlongKnown  bool    `json:"along_known"`  // an amount was given, or it was level
	Measured    bool    `json:"measured"`     // both: it can be drawn

	Played        float64 `json:"played"`         // metres along the line of play; 0 where not known
	PlayedTypical bool    `json:"played_typical"` // Played is what this club usually does, not what this stroke did
	Angle         float64 `json:"angle"`          // degrees, atan(Across/Played), right positive
	AngleKnown    bool    `json:"angle_known"`
	LengthShare   float64 `json:"length_share"` // Along as a share of the length that was meant
	ShareKnown    bool    `json:"length_share_known"`
}

// reach is the distance up to which a stroke from anywhere but the tee of a par 4 or more is taken to be played at the hole
// (common practice, no source).
const reach = 230.0

// past is the share of the distance to the hole up to which what is left can lie beyond the hole.
const past = 0.15

// Misses collects the strokes of a group of clubs, or of one club, of which a side or a length was said, in the order of the
// rounds. An empty group means all clubs but the putter, strokes without a club included. A putt that was holed and of which
// nothing was said is no point: its line is not known.
//
// A face or path error makes an angle, so that direction needs the length played. It comes from the distance to the hole before
// and after the stroke, less what the miss across adds to the latter. After a penalty the next position is not where the ball
// finished; then a stroke at the hole with an amount short or long gives its length, and any other stroke gets the median of its
// club, or else of the group, from three strokes on. Strokes out of bounds thus stay in the pattern.
func Misses(rounds []Round, group string) []MissPoint {
	var points []MissPoint
	for _, r := range rounds {
		for _, h := range r.Holes {
			for i := range h.Strokes {
				if inGroup(h.Strokes[i].Club, group) {
					if p, said := missOf(r, h, i); said {
						points = append(points, p)
					}
				}
			}
		}
	}
	byClub, all := map[string][]float64{}, []float64(nil)
	for _, p := range points {
		if p.Played > 0 {
			byClub[p.Club] = append(byClub[p.Club], p.Played)
			all = append(all, p.Played)
		}
	}
	const least = 3
	typical := map[string]float64{}
	for club, lengths := range byClub {
		if len(lengths) >= least {
			typical[club] = Median(lengths)
		}
	}
	for i := range points {
		p := &points[i]
		if p.Played == 0 {
			if usual, known := typical[p.Club]; known {
				p.Played, p.PlayedTypical = usual, true
			} else if group != "" && len(all) >= least {
				p.Played, p.PlayedTypical = Median(all), true
			}
		}
		p.measure()
	}
	return points
}

func inGroup(club, group string) bool {
	own := GroupOf(club)
	if group == "" {
		return own != GroupPutter
	}
	return club == group || own == group
}

// missOf is the i-th stroke of a hole with its length where the positions or the amounts tell it.
func missOf(r Round, h Hole, i int) (MissPoint, bool) {
	s := h.Strokes[i]
	p := MissPoint{Round: r.ID, Date: r.Date, Hole: h.Number, StrokeID: s.ID, Club: s.Club, Strike: s.Strike, Side: s.Miss.Side, Length: s.Miss.Length}
	p.Side, p.Across, p.AcrossKnown = amount(s.Miss.Side, s.Miss.Across, events.MissLeft, events.MissRight, events.MissOnLine)
	p.Length, p.Along, p.AlongKnown = amount(s.Miss.Length, s.Miss.Along, events.MissShort, events.MissLong, events.MissLevel)
	p.Measured = p.AcrossKnown && p.AlongKnown
	if p.Side == "" && p.Length == "" {
		return p, false
	}
	atHole := PhaseOf(h.Par, s.From) != PhaseOffTheTee && s.From.Distance <= reach
	to, known := h.end(i)
	if s.Penalty > 0 {
		to, known = s.Finish, s.Finish != nil && s.Finish.Lie != ""
	}
	switch {
	case known:
		left := 0.0
		if to != nil {
			left = to.Distance
		}
		p.Played = lengthPlayed(s.From.Distance, left, p, atHole)
	case atHole && p.AlongKnown:
		p.Played = max(0, s.From.Distance+p.Along)
	}
	return p, true
}

// amount brings side and signed amount of one direction into agreement.
func amount(said string, value float64, negative, positive, neither string) (string, float64, bool) {
	if !finite(value) {
		value = 0
	}
	switch {
	case said == neither:
		return said, 0, true
	case said == negative:
		return said, -math.Abs(value), value != 0
	case said == positive:
		return said, math.Abs(value), value != 0
	case value < 0:
		return negative, value, true
	case value > 0:
		return positive, value, true
	default:
		return "", 0, false
	}
}

// lengthPlayed is how far along the line to the hole a stroke went that was d from the hole before it and left after it, 0 where
// the two do not tell. What is left holds the miss across too; a stroke at the hole that was long may have passed it.
func lengthPlayed(d, left float64, p MissPoint, atHole bool) float64 {
	toGo := left
	if p.AcrossKnown {
		toGo = math.Sqrt(max(0, left*left-p.Across*p.Across))
	}
	played := d - toGo
	if atHole && left <= past*d {
		switch p.Length {
		case events.MissLong:
			played = d + toGo
		case events.MissLevel:
			played = d
		}
	}
	if !finite(played) || played <= 0 {
		return 0
	}
	return played
}

func (p *MissPoint) measure() {
	if p.Played <= 0 {
		return
	}
	if p.AcrossKnown {
		p.Angle, p.AngleKnown = math.Atan2(p.Across, p.Played)*180/math.Pi, true
	}
	if meant := p.Played - p.Along; p.AlongKnown && meant > 0 {
		p.LengthShare, p.ShareKnown = p.Along/meant, true
	}
}
