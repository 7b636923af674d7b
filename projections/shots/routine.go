package shots

import (
	"fmt"
	"math"
	"slices"

	"marram.example/events"
)

// Forty is the time within which Rule 5.6b recommends that a stroke be made.
const Forty = 40.0

// FortySeconds are the words that go with every share above 40 seconds.
const FortySeconds = "Rule 5.6b of the Rules of Golf recommends that a stroke be made in no more than 40 seconds, and usually less, once " +
	"it is the player's turn and they can play without interference or distraction. It is a recommendation, the committee may set " +
	"its own policy, and seconds logged are not that clock: they run from the intent to the strike on the phone. A stroke above 40 " +
	"is no breach."

// TimeClass is a class of strokes whose times may be compared: harder strokes take longer, so like stands with like.
type TimeClass struct {
	Key  string  `json:"key"`
	From float64 `json:"from"` // metres to the hole, above it
	To   float64 `json:"to"`   // metres to the hole, up to it; 0 for no end

	Strokes    int     `json:"strokes"`
	Timed      int     `json:"timed"`  // with seconds logged
	Median     float64 `json:"median"` // seconds
	MAD        float64 `json:"mad"`    // median absolute deviation, seconds, unscaled
	Mean       float64 `json:"mean"`
	SD         float64 `json:"sd"`
	Variation  float64 `json:"variation"` // SD over Mean; 0 below two
	Robust     float64 `json:"robust"`    // 1.4826·MAD over Median: the same, whatever one stray stroke took
	Over40     Count   `json:"over_40"`
	WithIntent Count   `json:"with_intent"`
}

// Classes of time. The edges between putts are 6 and 20 feet (common practice, no source).
const (
	TimeFull       = "full"        // off the green, above 50 yards
	TimeShort      = "short"       // off the green, up to 50 yards
	TimePuttsShort = "putts_short" // up to 6 feet
	TimePuttsMid   = "putts_mid"   // up to 20 feet
	TimePuttsLong  = "putts_long"  // above
)

func timeClasses() []TimeClass {
	return []TimeClass{
		{Key: TimeFull, From: AroundTheGreen},
		{Key: TimeShort, To: AroundTheGreen},
		{Key: TimePuttsShort, To: 6 * Foot},
		{Key: TimePuttsMid, From: 6 * Foot, To: 20 * Foot},
		{Key: TimePuttsLong, From: 20 * Foot},
	}
}

func timeClassOf(p Position) int {
	switch {
	case p.Lie != events.LieGreen && !upTo(p.Distance, AroundTheGreen):
		return 0
	case p.Lie != events.LieGreen:
		return 1
	case upTo(p.Distance, 6*Foot):
		return 2
	case upTo(p.Distance, 20*Foot):
		return 3
	default:
		return 4
	}
}

// Attention is how long the strokes themselves took of a round.
type Attention struct {
	Minutes      float64  `json:"minutes"` // seconds logged, added up; strokes without a time are not in it
	Timed        int      `json:"timed"`
	LeftOut      int      `json:"left_out"` // strokes whose time was above ten minutes: the phone was put away in between
	Strokes      int      `json:"strokes"`
	Rounds       int      `json:"rounds"`        // whose length is known
	RoundMinutes float64  `json:"round_minutes"` // from the first to the last stamp of those, added up; 0 where not known
	Share        *float64 `json:"share"`         // of those rounds; null where not known
}

// AttentionCheck is a plain reckoning to compare with.
type AttentionCheck struct {
	Seconds      float64 `json:"seconds"` // a full stroke
	Strokes      int     `json:"strokes"`
	RoundMinutes float64 `json:"round_minutes"`
	Minutes      float64 `json:"minutes"`
	Share        float64 `json:"share"`
	Source       string  `json:"source"`
}

// CheckAttention reckons so many seconds a stroke against a round's length in minutes.
func CheckAttention(seconds float64, strokes int, roundMinutes float64) AttentionCheck {
	c := AttentionCheck{Seconds: seconds, Strokes: strokes, RoundMinutes: roundMinutes, Minutes: seconds * float64(strokes) / 60,
		Source: "common practice, no source"}
	if roundMinutes > 0 {
		c.Share = c.Minutes / roundMinutes
	}
	return c
}

// TimeEffect asks whether the slower strokes gained more or less than the quicker ones of the same class and round.
type TimeEffect struct {
	Quicker   int     `json:"quicker"`
	Slower    int     `json:"slower"`
	Test      Test    `json:"test"`       // Statistic: slower less quicker, strokes gained a stroke
	SeenAbove float64 `json:"seen_above"` // the smallest difference that so many strokes show 4 times in 5, at 5 %
	HowSure   string  `json:"how_sure"`
	TooFew    string  `json:"too_few,omitempty"`
}

// Routine is what was done before the strokes: was something intended, and how long did it take? All times are seconds logged,
// from the intent entered to the strike confirmed; they hold the fumbling with the phone.
type Routine struct {
	Classes    []TimeClass    `json:"classes"`
	Over40     Count          `json:"over_40"` // of the strokes with a time; see Rule
	WithIntent Count          `json:"with_intent"`
	Rule       string         `json:"rule"`
	Trend      *Slope         `json:"trend"` // seconds a hole in the order of play, strokes less the median of their class; null with too few
	Attention  Attention      `json:"attention"`
	Check      AttentionCheck `json:"check"` // 45 seconds for 36 full strokes in four hours
	Effect     TimeEffect     `json:"effect"`
}

// leastTimed strokes are asked before a trend is stated, and in either half before times are set against results (common
// practice, no source).
const leastTimed = 8

// longestStroke: after ten minutes between intent and strike the phone was put away in between (common practice, no source).
const longestStroke = 600.0

// longestRound: stamps further apart belong to a log that was completed later (common practice, no source).
const longestRound = 12 * 60.0

// RoutineOf works it out of rounds; the gains are those of the same rounds, and may be missing.
func RoutineOf(rounds []Round, gains []Gain) Routine {
	r := Routine{Classes: timeClasses(), Rule: FortySeconds, Check: CheckAttention(45, 36, 240)}
	times := make([][]float64, len(r.Classes))
	var timed [][]timedStroke
	withLength := 0.0
	for _, round := range rounds {
		var own []timedStroke
		seconds := 0.0
		for i, h := range round.Holes {
			for _, s := range h.Strokes {
				class := timeClassOf(s.From)
				c := &r.Classes[class]
				c.Strokes++
				c.WithIntent.Chances++
				if s.Intent {
					c.WithIntent.Done++
				}
				if t, ok := secondsOf(s); ok {
					own = append(own, timedStroke{class: class, hole: float64(i + 1), seconds: t})
					times[class] = append(times[class], t)
					seconds += t
				} else if s.Seconds != nil && *s.Seconds > longestStroke {
					r.Attention.LeftOut++
				}
			}
		}
		timed = append(timed, own)
		r.Attention.Minutes += seconds / 60
		if minutes := roundMinutes(round); minutes > 0 && len(own) > 0 {
			r.Attention.Rounds++
			r.Attention.RoundMinutes += minutes
			withLength += seconds / 60
		}
	}
	for i := range r.Classes {
		c := &r.Classes[i]
		c.fill(times[i])
		r.Attention.Strokes += c.Strokes
		r.Attention.Timed += c.Timed
		r.Over40 = Count{Done: r.Over40.Done + c.Over40.Done, Chances: r.Over40.Chances + c.Over40.Chances}
		r.WithIntent = Count{Done: r.WithIntent.Done + c.WithIntent.Done, Chances: r.WithIntent.Chances + c.WithIntent.Chances}
	}
	if r.Attention.RoundMinutes > 0 {
		share := withLength / r.Attention.RoundMinutes
		r.Attention.Share = &share
	}
	r.Trend = timeTrend(r.Classes, timed)
	r.Effect = timeEffect(gains)
	return r
}

type timedStroke struct {
	class         int
	hole, seconds float64
}

// secondsOf are the seconds logged, where they can be those of a stroke.
func secondsOf(s Stroke) (float64, bool) {
	if s.Seconds == nil || !(*s.Seconds > 0 && *s.Seconds <= longestStroke) {
		return 0, false
	}
	return *s.Seconds, true
}

func (c *TimeClass) fill(times []float64) {
	c.Timed, c.Median, c.MAD, c.Mean, c.SD, c.Variation = len(times), Median(times), MAD(times), Mean(times), SD(times), Variation(times)
	if c.Median > 0 {
		c.Robust = madToSD * c.MAD / c.Median
	}
	c.Over40.Chances = len(times)
	for _, t := range times {
		if t > Forty {
			c.Over40.Done++
		}
	}
}

// roundMinutes is the time from the first stamp to the last, 0 where there are no two or they cannot be of one round.
func roundMinutes(r Round) float64 {
	first, last := math.Inf(1), math.Inf(-1)
	for _, h := range r.Holes {
		for _, s := range h.Strokes {
			if s.At == 0 {
				continue
			}
			at := float64(s.At) / 60_000
			last = max(last, at)
			if t, ok := secondsOf(s); ok { // the stamp is the strike's, its intent was before
				at -= t / 60
			}
			first = min(first, at)
		}
	}
	if minutes := last - first; finite(minutes) && minutes > 0 && minutes <= longestRound {
		return minutes
	}
	return 0
}

func timeTrend(classes []TimeClass, rounds [][]timedStroke) *Slope {
	var series [][][2]float64
	n := 0
	for _, strokes := range rounds {
		points := make([][2]float64, 0, len(strokes))
		for _, s := range strokes {
			points = append(points, [2]float64{s.hole, s.seconds - classes[s.class].Median})
		}
		n += len(points)
		series = append(series, points)
	}
	if n < leastTimed {
		return nil
	}
	return TheilSen(series...)
}

// timeEffect splits the strokes of one class and round at their median time.
func timeEffect(gains []Gain) TimeEffect {
	type like struct {
		round string
		class int
	}
	var order []like
	byClass := map[like][]Gain{}
	for _, g := range gains {
		if _, ok := secondsOf(g.Stroke); !ok {
			continue
		}
		key := like{g.Round, timeClassOf(g.From)}
		if byClass[key] == nil {
			order = append(order, key)
		}
		byClass[key] = append(byClass[key], g)
	}
	var values []float64
	var slower []bool
	var classes []int
	e := TimeEffect{HowSure: SureTooFew}
	for class, key := range order {
		var times []float64
		for _, g := range byClass[key] {
			times = append(times, *g.Stroke.Seconds)
		}
		half := Median(times)
		if slices.Min(times) == half || slices.Max(times) == half {
			continue // they cannot be told apart
		}
		for i, g := range byClass[key] {
			if times[i] == half {
				continue
			}
			values, slower, classes = append(values, g.Gained), append(slower, times[i] > half), append(classes, class)
			if times[i] > half {
				e.Slower++
			} else {
				e.Quicker++
			}
		}
	}
	if e.Quicker < leastTimed || e.Slower < leastTimed {
		e.TooFew = tooFewOf(e.Quicker, "quicker strokes", e.Slower, fmt.Sprintf("slower ones to compare like with like: from %d of each on", leastTimed))
		e.Test = Test{P: 1, Method: "too few"}
		return e
	}
	e.Test = PermuteDifference(values, slower, classes, Seed)
	e.SeenAbove, e.HowSure = e.Test.seenAbove(), HowSure(e.Test.P)
	return e
}
