package shots

import (
	"fmt"
	"math"

	"marram.example/events"
)

// Pattern is where the strokes of a group of clubs finish, seen from their targets. Centres are medians and spreads scaled
// median differences of pairs (Spread), so that one shank moves neither. Right and long are positive.
//
// Directions are degrees and pool clubs of one kind whatever the length; metres describe the scatter as it is drawn. Below eight
// strokes with an amount there is nothing to draw but the dots: TooFew then says so and the figures are 0.
type Pattern struct {
	Group    string `json:"group"` // of clubs; empty where they are mixed
	N        int    `json:"n"`     // strokes of which a side or a length was said
	Measured int    `json:"measured"`
	Angles   int    `json:"angles"` // strokes with a direction in degrees

	BiasAngle    float64   `json:"bias_angle"`    // degrees
	BiasInterval *Interval `json:"bias_interval"` // of BiasAngle, 95 %, order statistics
	SpreadAngle  float64   `json:"spread_angle"`  // degrees, of all days together
	BiasShare    float64   `json:"bias_share"`    // length error as a share of the length meant
	SpreadShare  float64   `json:"spread_share"`

	BiasAcross   float64       `json:"bias_across"` // metres
	BiasAlong    float64       `json:"bias_along"`
	SpreadAcross float64       `json:"spread_across"`
	SpreadAlong  float64       `json:"spread_along"`
	Covariance   [2][2]float64 `json:"covariance"`           // of across and along, metres squared, robust
	Length       float64       `json:"length"`               // typical length played, metres; 0 where not known
	Ellipse      *Ellipse      `json:"ellipse"`              // of two thirds of the strokes to come; null where it is not drawn
	NoEllipse    string        `json:"no_ellipse,omitempty"` // why

	OneSided OneSided `json:"one_sided"`
	Left     int      `json:"left"`
	Right    int      `json:"right"`
	OnLine   int      `json:"on_line"`
	Short    int      `json:"short"`
	Long     int      `json:"long"`
	Level    int      `json:"level"`

	Days       []DayBias   `json:"days"`        // rounds with a direction, by date
	Within     float64     `json:"within"`      // σ: spread of a stroke within a day, degrees
	Between    float64     `json:"between"`     // τ: spread of the days, degrees; 0 also where Usual is null
	UsualError float64     `json:"usual_error"` // standard error of Usual.Mean
	Usual      *Posterior  `json:"usual"`       // what a day's bias is expected to be before its first stroke; null with too few days
	Today      *Posterior  `json:"today"`       // the same after today's strokes; null where there is no today
	Predictive float64     `json:"predictive"`  // spread of the next stroke, degrees: √(σ² + sd²) with what is not known of the bias
	Different  *Difference `json:"different"`   // null where today or the usual has too few strokes

	TooFew string `json:"too_few,omitempty"`
}

// leastDrawn strokes with an amount are asked before a pattern is drawn (common practice, no source).
const leastDrawn = 8

// Patterns are the patterns of all groups of clubs with a stroke of which something was said, the longest clubs first. The test
// of one-sided misses is adjusted for having looked at all of them.
func Patterns(rounds []Round, today string) []Pattern {
	var found []Pattern
	for _, group := range Groups() {
		if points := Misses(rounds, group); len(points) > 0 {
			found = append(found, PatternOf(points, today))
		}
	}
	var ps []float64
	for _, p := range found {
		if p.OneSided.Left+p.OneSided.Right > 0 {
			ps = append(ps, p.OneSided.P)
		}
	}
	adjusted := Holm(ps)
	for i := range found {
		if o := &found[i].OneSided; o.Left+o.Right > 0 {
			o.adjust(adjusted[0])
			adjusted = adjusted[1:]
		}
	}
	return found
}

// PatternOf is the pattern of the points given. Today is the id of the round that is compared with the others, or empty.
func PatternOf(points []MissPoint, today string) Pattern {
	p := Pattern{N: len(points), Group: sharedGroup(points)}
	var across, along, angles, shares, lengths, x, y []float64
	for _, m := range points {
		p.count(m)
		if m.AcrossKnown {
			across = append(across, m.Across)
		}
		if m.AlongKnown {
			along = append(along, m.Along)
		}
		if m.Measured {
			x, y = append(x, m.Across), append(y, m.Along)
		}
		if m.AngleKnown {
			angles = append(angles, m.Angle)
		}
		if m.ShareKnown {
			shares = append(shares, m.LengthShare)
		}
		if m.Played > 0 && !m.PlayedTypical {
			lengths = append(lengths, m.Played)
		}
	}
	p.Measured, p.Angles, p.Length = len(x), len(angles), Median(lengths)
	p.OneSided = OneSidedMiss(p.Left, p.Right)
	p.BiasAcross, p.SpreadAcross = centreAndSpread(across)
	p.BiasAlong, p.SpreadAlong = centreAndSpread(along)
	p.BiasAngle, p.SpreadAngle = centreAndSpread(angles)
	p.BiasShare, p.SpreadShare = centreAndSpread(shares)
	if len(angles) >= leastDrawn {
		p.BiasInterval = MedianInterval(angles)
	}
	if most := max(len(across), len(along)); most < leastDrawn {
		p.TooFew = fmt.Sprintf("%d %s with an amount: a pattern is drawn from %d on", most, strokesWord(most), leastDrawn)
	}
	p.draw(x, y)
	p.biases(points, today)
	p.predict()
	return p
}

// At turns the pattern into metres across at a length: the bias to expect of the next stroke and its predictive spread, which is
// what CorridorOf and BestAim take. It goes by today where there is one, else by the usual, else by all strokes together. False
// where the pattern has no direction.
func (p Pattern) At(length float64) (bias, spread float64, known bool) {
	if p.Predictive <= 0 || length <= 0 || !finite(length) {
		return 0, 0, false
	}
	angle := p.BiasAngle
	switch {
	case p.Today != nil:
		angle = p.Today.Mean
	case p.Usual != nil:
		angle = p.Usual.Mean
	}
	return length * math.Tan(angle*math.Pi/180), length * math.Tan(p.Predictive*math.Pi/180), true
}

func (p *Pattern) predict() {
	switch {
	case p.Angles < leastDrawn || p.Within <= 0:
	case p.Today != nil:
		p.Predictive = math.Hypot(p.Within, p.Today.SD)
	case p.Usual != nil:
		p.Predictive = math.Hypot(p.Within, p.Usual.SD)
	default:
		// Days stray too, so that all strokes together spread no less than those of a day. The standard error of a median is
		// √(π/2) times that of a mean.
		spread := max(p.SpreadAngle, p.Within)
		p.Predictive = math.Hypot(spread, spread*math.Sqrt(math.Pi/2/float64(p.Angles)))
	}
}

// draw sets covariance and ellipse. The correlation is Spearman's turned into that of a normal pattern, 2 sin(πρ/6) (Pearson
// 1907, from memory), which a stray stroke hardly moves.
func (p *Pattern) draw(x, y []float64) {
	if len(x) < leastDrawn {
		p.NoEllipse = fmt.Sprintf("%d %s with both amounts: an ellipse is drawn from %d on", len(x), strokesWord(len(x)), leastDrawn)
		return
	}
	sx, sy := Spread(x), Spread(y)
	r := 2 * math.Sin(math.Pi*Spearman(x, y)/6)
	p.Covariance = [2][2]float64{{sx * sx, r * sx * sy}, {r * sx * sy, sy * sy}}
	if sx == 0 || sy == 0 || math.Abs(r) >= 1 {
		p.NoEllipse = "the strokes lie on one line: nothing to draw around them"
		return
	}
	wider := nextWithin(float64(len(x)), EllipseShare)
	drawn := [2][2]float64{{wider * p.Covariance[0][0], wider * p.Covariance[0][1]}, {wider * p.Covariance[1][0], wider * p.Covariance[1][1]}}
	if ellipse, err := EllipseOf([2]float64{Median(x), Median(y)}, drawn, EllipseShare); err == nil {
		p.Ellipse = &ellipse
	}
}

// nextWithin is the factor on a covariance estimated from n strokes for its ellipse to hold that share of the strokes to come:
// the prediction region 2(m²-1)/(m(m-2))·F(2, m-2) over the known normal's -2 ln(1-share). F with 2 degrees above has a closed
// form. Spread is worth 86 % of the strokes that it is made of.
func nextWithin(n, share float64) float64 {
	m := 0.86 * n
	f := (m - 2) / 2 * (math.Pow(1-share, -2/(m-2)) - 1)
	return 2 * (m*m - 1) / (m * (m - 2)) * f / (-2 * math.Log1p(-share))
}

func (p *Pattern) count(m MissPoint) {
	switch m.Side {
	case events.MissLeft:
		p.Left++
	case events.MissRight:
		p.Right++
	case events.MissOnLine:
		p.OnLine++
	}
	switch m.Length {
	case events.MissShort:
		p.Short++
	case events.MissLong:
		p.Long++
	case events.MissLevel:
		p.Level++
	}
}

// centreAndSpread are 0 below the least number of strokes.
func centreAndSpread(xs []float64) (centre, spread float64) {
	if len(xs) < leastDrawn {
		return 0, 0
	}
	return Median(xs), Spread(xs)
}

func sharedGroup(points []MissPoint) string {
	group := ""
	for i, m := range points {
		own := GroupOf(m.Club)
		if i > 0 && own != group {
			return ""
		}
		group = own
	}
	return group
}

func strokesWord(n int) string {
	if n == 1 {
		return "stroke"
	}
	return "strokes"
}
